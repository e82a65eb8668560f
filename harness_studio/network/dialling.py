"""A network with joints at other resistances, without expanding its harness again."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import replace

from harness_studio.base.errors import AddressError, nearest

from .network import Network


def dialled(network: Network, joint_ohm: Iterable[tuple[str, float]]) -> Network:
    """Return a network that was expanded with no joint dialled as `expand` gives it with these dialled.

    Everything but the resistances is shared with the given one. A joint that is given by two of its names stands as
    the name says that its branch has.

    Raises
    ------
    AddressError
        If a joint is not there.
    """
    branches = network.branches
    ohm = branches.resistance_ohm.copy()
    given = dict(joint_ohm)
    check_joints(given, network.joints)
    by_own_name = [a for a in given if branches.address[network.joints[a]] == a]
    for address in [*(a for a in given if a not in by_own_name), *by_own_name]:
        ohm[network.joints[address]] = given[address]
    return replace(network, branches=replace(branches, resistance_ohm=ohm))


def check_joints(addresses: Iterable[str], joints: Collection[str]) -> None:
    """Raise an AddressError for the first address that is none of a network's joints."""
    for address in addresses:
        if address not in joints:
            near = nearest(address, joints)
            raise AddressError(
                f"'{address}' is no joint of this network" + (f"; nearest is '{near}'" if near else "")
            )
