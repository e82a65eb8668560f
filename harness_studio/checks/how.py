"""How ampacity is found: by heat balance or by a handbook table, and the words for it in file, command and window."""

from __future__ import annotations

from dataclasses import dataclass

from harness_studio.electrics.heat.ampacity import Method
from harness_studio.standards.ampacity import table_names

HEAT_BALANCE, HANDBOOK = "heat_balance", "handbook"


@dataclass(frozen=True, slots=True)
class How:
    """How ampacity is found: method, table (None: the first that judges), and the altitude."""

    method: Method = "heat balance"
    table: str | None = None
    altitude_m: float = 0.0

    def __str__(self) -> str:
        return self.method if self.table is None else f"{self.method} {self.table}"


def names() -> tuple[str, ...]:
    """Return the ways to find ampacity as file and command name them."""
    return (HEAT_BALANCE, HANDBOOK, *table_names())


def named(text: str) -> How | None:
    """Return the way that a name stands for, None where there is none; hyphens and blanks will do for underscores."""
    name = "_".join(text.strip().lower().replace("-", " ").replace("_", " ").split())
    if name == HEAT_BALANCE:
        return How("heat balance")
    if name in (HANDBOOK, "handbook_table"):
        return How("handbook table")
    return How("handbook table", name) if name in table_names() else None


def name_of(how: How) -> str:
    """Return the name of a way to find ampacity."""
    return HEAT_BALANCE if how.method == "heat balance" else how.table or HANDBOOK
