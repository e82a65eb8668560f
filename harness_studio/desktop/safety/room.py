"""Recovery copies, the lock of the open file, and what others do to that file meanwhile."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.base.errors import HarnessError
from harness_studio.desktop.rooms import Room
from harness_studio.session.recovery import Recovery, bring_back, held
from harness_studio.session.session import Session
from harness_studio.storage import recovery as copies

from .watch import Watch

if TYPE_CHECKING:
    from pathlib import Path

    from harness_studio.desktop.window import Window
    from harness_studio.storage.recovery import Copy, Record


class Safety:
    """Follows the session of a window; offers are made in the bar that the window has for them."""

    def __init__(self, window: Window) -> None:
        self._window = window
        self._watch = Watch(window)
        self._watch.touched.connect(self._touched)
        self._watch.ticked.connect(self._ticked)
        self._session: Session | None = None
        self._recovery: Recovery | None = None
        self._claimed: Record | None = None
        self._gone = False
        self._found: list[Copy] = copies.abandoned()

    # The session -----------------------------------------------------------------------------------------------------

    def follow(self, session: Session) -> None:
        """Keep another session's work; the one before was saved, or the user lets it go."""
        self._end(left=True)
        window = self._window
        self._session = session
        record, self._claimed = self._claimed, None
        self._recovery = Recovery(session, window.scheduler, window.tell, record)
        self._ends = [session.subscribe("saved", self._saved)]
        window.offer.hide()
        if session.project.hold() is not None:
            self._tell_held()
        self._watch.follow(session.path)
        self._gone = False
        if not window.offer.text:
            self._offer_copies()

    def close(self, left: bool) -> None:
        """Let go; what was not saved stays to be recovered unless the user left of their own will."""
        self._end(left=left)
        self._watch.follow(None)

    def _end(self, *, left: bool) -> None:
        if self._session is None:
            return
        for end in self._ends:
            end()
        if self._recovery is not None:
            self._recovery.end(left=left)
        self._session.project.release()
        self._session, self._recovery = None, None

    def _saved(self, path: Path | None) -> None:
        self._watch.follow(path)
        self._gone = False
        if self._session is not None and self._session.project.held_by is None:
            self._window.offer.hide()
            self._offer_copies()

    def _tell_held(self) -> None:
        assert self._session is not None
        project = self._session.project
        name = project.path.name if project.path is not None else ""
        self._window.offer.say(
            f"{name} is open in {project.held_by} and read-only here. Saving asks for another name."
        )

    # After a crash ---------------------------------------------------------------------------------------------------

    def _offer_copies(self) -> None:
        """Offer the latest copy that a program left behind."""
        if not self._found:
            return
        copy = self._found[0]
        name = copy.about.file.replace("\\", "/").rpartition("/")[2] or "a harness without a file"
        more = len(self._found) - 1
        rest = f" ({more} more after this one)" if more else ""
        self._window.offer.say(
            f"The program ended before this work was saved{rest}: {name}, {held(copy)}.",
            [
                ("Bring it back", self.bring_back),
                ("Throw it away", self.throw_away),
                ("Later", self.put_off),
            ],
        )

    def bring_back(self) -> None:
        """Open the work that is offered."""
        self._window.leaving(self._bring_back)

    def _bring_back(self) -> None:
        copy = self._found.pop(0)
        record = copies.claim(copy)
        if record is None:
            self._window.tell("Another window has taken this work over.")
            self._offer_copies()
            return
        try:
            project = bring_back(copy)
        except HarnessError as error:
            record.let_go()
            self._window.tell(f"The recovery copy {copy.path} cannot be read: {error}")
            return
        self._claimed = record
        self._window.show_session(Session(project, self._window.scheduler))
        if project.path is None and copy.about.file:
            self._window.tell(
                f"{copy.about.file} is gone or was changed after these edits: this work has no file until it is saved."
            )

    def throw_away(self) -> None:
        """Remove the copy that is offered, and offer the next one."""
        copies.discard(self._found.pop(0))
        self._offer_copies()

    def put_off(self) -> None:
        """Offer the next copy; this one is offered again by the next window."""
        self._found.pop(0)
        self._offer_copies()

    # What others do to the file --------------------------------------------------------------------------------------

    def _touched(self) -> None:
        if self._session is None or self._session.path is None:
            return
        path, project = self._session.path, self._session.project
        if not path.exists():
            if not self._gone:
                self._gone = True
                self._window.offer.say(f"{path.name} was moved or removed. Saving writes it again.")
            return
        self._gone = False
        try:
            changed = project.changed_by_others()
        except HarnessError as error:
            self._window.offer.say(f"{path.name} was changed by another program: {error}")
            return
        if changed:
            mine = "Keep mine: saving replaces it, what it holds is kept as a .bak file"
            self._window.offer.say(
                f"{path.name} was changed by another program.",
                [("Take its changes over", self.take_over), ("Keep mine", self.keep_mine)],
            )
            self._window.offer.offers[1].setToolTip(mine)

    def take_over(self) -> None:
        """Let the window hold what the file holds, as a step that can be undone."""
        session = self._session
        if session is None:
            return
        try:
            session.take_over()
        except HarnessError as error:
            self._window.tell(f"The changed file cannot be taken over: {error}")

    def keep_mine(self) -> None:
        """Let the next save replace what the file holds."""
        if self._session is None:
            return
        try:
            self._session.project.overrule()
        except HarnessError as error:
            self._window.tell(str(error))

    def _ticked(self) -> None:
        """Take the file when the other window lets go of it."""
        session = self._session
        if session is None or session.project.held_by is None or session.project.hold() is not None:
            return
        self._window.offer.say(
            f"{session.path.name if session.path else ''} is open in no other window any more."
        )
        self._window.refresh_foot()
        self._touched()


def open_room(window: Window) -> Room:
    """Return the room of safety."""
    safety = Safety(window)
    return Room(follow=safety.follow, close=safety.close)
