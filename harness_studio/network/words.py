"""What each resistance of the network is called."""

from __future__ import annotations

from collections.abc import Mapping

from .network import Network

KINDS: Mapping[str, str] = {
    "wire": "wire", "crimp": "crimp", "ring": "ring on its stud", "stud": "stud on its body", "mated": "mated contact",
    "terminal": "terminal", "splice_leg": "splice", "clip": "fuse clip", "fuse": "fuse", "switch": "switch contact",
    "relay": "relay contact", "mount": "case on its body", "bus": "bus bar", "body": "body metal", "bond": "stray bond",
    "through": "feed-through",
}  # fmt: skip


def kind_words(network: Network, address: str) -> str:
    """Return what a joint is: 'stud on its body', 'mated contact'."""
    number = network.joints.get(address)
    return KINDS[network.branches.kind[number]] if number is not None else "joint"
