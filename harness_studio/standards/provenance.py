"""Where a figure comes from and how sure it is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

#: How sure a figure is: read on two or more pages, on one, recalled and not verified, arithmetic, or a rule of the
#: trade that no document backs.
SURENESS = ("seen2", "seen1", "memory", "computed", "common practice, no source")


@dataclass(frozen=True, slots=True)
class Provenance:
    """The source of a figure in words, and its sureness (one of `SURENESS`)."""

    source: str
    sureness: str


def of(row: Mapping[str, Any], *tables: Mapping[str, Any]) -> Provenance:
    """Return the provenance a row states, or inherits from the nearest of the tables around it.

    Parameters
    ----------
    row
        Mapping with its own `source` and `sureness`, or without.
    tables
        The mappings around it, nearest first.

    Raises
    ------
    ValueError
        If nobody states a source and a known sureness.
    """
    levels = (row, *tables)
    source = next((str(level["source"]) for level in levels if "source" in level), "")
    sureness = next((str(level["sureness"]) for level in levels if "sureness" in level), "")
    if not source or sureness not in SURENESS:
        raise ValueError(f"no source or sureness for {dict(row)!r}")
    return Provenance(source, sureness)


def lower(first: str, second: str) -> str:
    """Return the less sure of two marks: an answer is as sure as the weakest figure in it."""
    order = ("seen2", "seen1", "computed", "memory", "common practice, no source")
    return max(first, second, key=order.index)
