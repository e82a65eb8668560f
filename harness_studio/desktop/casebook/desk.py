"""What every page of a case does with the session: one edit for each entry, and what went wrong in one line."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from harness_studio.base.errors import EditError
from harness_studio.model import case_edits
from harness_studio.model.cases import Case
from harness_studio.model.edits import Edit

if TYPE_CHECKING:
    from harness_studio.session.session import Session


class Desk:
    """The open case of a session.

    Parameters
    ----------
    complain
        Told in one line what was not done.
    """

    def __init__(self, complain: Callable[[str], object]) -> None:
        self.session: Session | None = None
        self.complain = complain

    @property
    def case(self) -> Case | None:
        """The open case."""
        if self.session is None or self.session.casework.case_id is None:
            return None
        found: Case | None = self.session.harness.tables["cases"].get(self.session.casework.case_id)
        return found

    def apply(self, make: Callable[[], Edit]) -> bool:
        """Make an edit and apply it; return whether that was allowed."""
        if self.session is None:
            return False
        try:
            self.session.apply(make())
        except EditError as error:
            self.complain(str(error))
            return False
        return True

    def set(self, words: str = "", /, **fields: Any) -> bool:
        """Set what the case holds one of; nothing happens where it is so already."""
        case, session = self.case, self.session
        if case is None or session is None or all(getattr(case, k) == v for k, v in fields.items()):
            return False
        return self.apply(lambda: case_edits.set_case(session.harness, case.id, words, **fields))

    def keep(self, what: case_edits.Entries, entry: Any, number: int | None = None) -> bool:
        """Keep an entry: a new one, or in the place of the numbered one."""
        case, session = self.case, self.session
        if case is None or session is None:
            return False
        if number is None:
            return self.apply(lambda: case_edits.add_entry(session.harness, case.id, what, entry))
        return self.apply(lambda: case_edits.replace_entry(session.harness, case.id, what, number, entry))

    def take_out(self, what: case_edits.Entries, number: int) -> bool:
        """Take an entry out."""
        case, session = self.case, self.session
        if case is None or session is None:
            return False
        return self.apply(lambda: case_edits.remove_entry(session.harness, case.id, what, number))
