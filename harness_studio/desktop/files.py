"""Opening, importing, saving and leaving a project: what goes wrong is one line, and nothing is lost on the way."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from harness_studio.base import resources
from harness_studio.base.errors import HarnessError
from harness_studio.diagram.staging import AT_ONCE
from harness_studio.diagram.words import counted
from harness_studio.model.edits import Together, put
from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness
from harness_studio.session.session import Session

from .ask import KBL, PROJECTS, Ask
from .scheduler import QtScheduler

SAMPLE = "first_harness.yaml"
FIRST_PAGE = "all"


class Files:
    """Makes sessions out of files and files out of sessions.

    Parameters
    ----------
    take
        Gets each new session.
    tell
        Gets what went wrong, or what there is to say, as lines for the user.
    busy
        Gets what is being done beside the window, and None when it is done.
    """

    def __init__(
        self,
        ask: Ask,
        scheduler: QtScheduler,
        take: Callable[[Session], None],
        tell: Callable[[str], None],
        busy: Callable[[str | None], None],
    ) -> None:
        self.ask = ask
        self._scheduler = scheduler
        self._take = take
        self._tell = tell
        self._busy = busy

    def open(self, path: Path) -> bool:
        """Open a project file; a KBL file is imported."""
        if path.suffix.lower() == ".kbl":
            return self.import_kbl(path)
        return self._take_or_tell(lambda: Session.open(path, self._scheduler))

    def open_asking(self) -> bool:
        """Ask for a project file and open it."""
        path = self.ask.file_to_open("Open a harness project", PROJECTS)
        return path is not None and self.open(path)

    def open_sample(self, path: Path | None = None) -> bool:
        """Open a sample, the first by default, as a harness without a file: it is not overwritten by accident."""

        def read() -> Session:
            from harness_studio.storage.project_file import read_project

            opened = read_project(path or resources.sample_projects() / SAMPLE)
            return Session.of(opened.harness, self._scheduler)

        return self._take_or_tell(read)

    def import_asking(self) -> bool:
        """Ask for a KBL file and import it."""
        path = self.ask.file_to_open("Import a harness description list", KBL)
        return path is not None and self.import_kbl(path)

    def import_kbl(self, path: Path) -> bool:
        """Read a KBL file into a harness that has no project file yet."""
        warnings: list[str] = []

        def read() -> Session:
            from harness_studio.intake.kbl import read_kbl

            done = read_kbl(path, path.name, "all")
            warnings.extend(str(w) for w in done.warnings)
            return Session.of(done.harness, self._scheduler)

        if not self._take_or_tell(read):
            return False
        if warnings:
            self._tell("\n".join([f"Imported, with {counted(len(warnings), 'warning')}:", *warnings]))
        return True

    def new(self) -> bool:
        """Start a harness that is an empty page."""
        harness = Harness()
        harness.pages[FIRST_PAGE] = Page(FIRST_PAGE, "Whole harness")
        self._take(Session.of(harness, self._scheduler))
        return True

    def close(self) -> bool:
        """Have nothing open."""
        self._take(Session.new(self._scheduler))
        return True

    def save(self, session: Session) -> bool:
        """Save to the project's file, or ask for one."""
        if session.path is None or session.read_only:
            return self.save_as(session)
        return self._done_or_told(lambda: session.save())

    def save_as(self, session: Session) -> bool:
        """Ask for a file and save to it."""
        suggested = str(session.path) if session.path is not None else f"{_file_name(session.title)}.yaml"
        path = self.ask.file_to_save("Save the harness project", suggested, PROJECTS)
        return path is not None and self._done_or_told(lambda: session.save(path))

    def may_leave(self, session: Session | None) -> bool:
        """Return whether a session can be let go; ask once if there is something to lose."""
        if session is None or not session.unsaved:
            return True
        answer = self.ask.leave(session.title)
        return answer == "discard" or (answer == "save" and self.save(session))

    def _take_or_tell(self, make: Callable[[], Session]) -> bool:
        made: list[Session] = []
        if not self._done_or_told(lambda: made.append(make())):
            return False
        self._arrange(made[0])
        self._take(made[0])
        return True

    def _arrange(self, session: Session) -> None:
        """Give a harness that was never drawn an arrangement, as one step that can be undone.

        A large one is arranged on another thread and comes when that is done, unless it was drawn meanwhile.
        """
        harness = session.harness
        if any(page.items for page in harness.pages.values()):
            return
        if len(harness.wires) <= AT_ONCE:
            _apply(session, arrange_edit(harness))
            return
        self._busy(f"arranging {counted(len(harness.wires), 'wire')}")
        kept = harness.snapshot()

        def done(edit: Together | None) -> None:
            self._busy(None)
            if not any(page.items for page in session.harness.pages.values()):
                self._done_or_told(lambda: _apply(session, edit))

        self._scheduler.run(lambda: arrange_edit(kept), done)

    def _done_or_told(self, do: Callable[[], object]) -> bool:
        try:
            do()
        except HarnessError as error:
            self._tell(str(error))
        except OSError as error:
            name = f"{error.filename}: " if error.filename is not None else ""
            self._tell(f"{name}{error.strerror or error}")
        else:
            return True
        return False


def _apply(session: Session, edit: Together | None) -> None:
    if edit is not None:
        session.apply(edit)


def arrange_edit(harness: Harness, page_id: str | None = None) -> Together | None:
    """Return the step that arranges everything on a page (the first one by default); None for an empty harness."""
    from harness_studio.placing.arrange import arrange

    items = arrange(harness)
    if not items:
        return None
    pages = harness.pages
    key = page_id if page_id in pages else next(iter(pages), FIRST_PAGE)
    before = pages.get(key, Page(key, "Whole harness"))
    return put("pages", Page(key, before.title, items, {}, before.photo), words="arrange")


def _file_name(title: str) -> str:
    return "_".join("".join(c if c.isalnum() else " " for c in title).split()).lower() or "harness"
