"""A network with joints at other resistances, without expanding its harness again."""

from __future__ import annotations

from collections.abc import Iterable
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
    for address in given:
        if address not in network.joints:
            near = nearest(address, network.joints)
            raise AddressError(
                f"'{address}' is no joint of this network" + (f"; nearest is '{near}'" if near else "")
            )
    by_own_name = [a for a in given if branches.address[network.joints[a]] == a]
    for address in [*(a for a in given if a not in by_own_name), *by_own_name]:
        ohm[network.joints[address]] = given[address]
    return replace(network, branches=replace(branches, resistance_ohm=ohm))
