"""A figure as it is shown: the number with its method, its table, and how sure it is."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Figure:
    """A number and all that belongs beside it.

    `method` is the way it was found ('heat balance', 'handbook table', 'published curve', ...), `table` the name of
    the table or law, `note` what was assumed on the way ('' if nothing).
    """

    value: float
    unit: str
    method: str
    table: str
    source: str
    sureness: str
    note: str = ""

    @property
    def backing(self) -> str:
        """Method, table, source and note as one line, nothing twice."""
        return "; ".join(
            dict.fromkeys(text for text in (self.method, self.table, self.source, self.note) if text)
        )


@dataclass(frozen=True, slots=True)
class NotJudged:
    """There is no figure: why not, in one line, and so that it can stand in a finding."""

    why: str


def notes(*texts: str) -> str:
    """Return the texts that are not empty as one note."""
    return "; ".join(text for text in texts if text)
