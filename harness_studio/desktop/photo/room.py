"""Putting a photo under a page, scaling, moving, fading and locking it; each is one step."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from harness_studio.base.errors import EditError, HarnessError
from harness_studio.base.units import length_mm
from harness_studio.desktop.commands import Command
from harness_studio.desktop.files import FIRST_PAGE
from harness_studio.desktop.finder import Finder, Row
from harness_studio.desktop.rooms import Room
from harness_studio.diagram.gestures.two_points import TwoPoints
from harness_studio.diagram.tracing_photo import moved, scaled
from harness_studio.model.edits import change, put
from harness_studio.model.entities import Page
from harness_studio.model.values import TracedPhoto

from . import reading
from .page import PhotoPage

if TYPE_CHECKING:
    from harness_studio.base.geometry import Point
    from harness_studio.desktop.window import Window
    from harness_studio.session.session import Session

PAGE = "photo"
PICTURES = "Pictures (*.png *.jpg *.jpeg *.pdf);;All files (*)"
DEFAULT_WIDTH_MM = 300.0
"""How wide a photo lies before its scale is set."""
Read = tuple[bytes, int] | str


_BY_KEYS = "Or go by the arrow keys (with Shift in fine steps) and press Enter. Escape ends it."


class Photo:
    """Does what the page and the commands ask for."""

    def __init__(self, window: Window) -> None:
        self._window = window
        self.page = PhotoPage(window)
        page = self.page
        page.wanted.connect(self._do)
        page.needed.connect(self._show)
        page.faded.connect(self.fade)
        page.locked.connect(self.lock)
        page.length.connect(self.set_length)
        page.placed.connect(self.place)
        window.diagram.laid_out.connect(self._show)
        self.finder = Finder(window.stack, "Which page of the document?", "number …", self._found)
        self.finder.picked.connect(self._page_picked)
        self._document: tuple[Path, int] | None = None
        self._points: tuple[Point, Point] | None = None
        self._folder: Path | None = None
        self._end: Callable[[], None] = _nothing

    # The session -----------------------------------------------------------------------------------------------------

    def follow(self, session: Session) -> None:
        """See to it that pictures go with the project when it is saved elsewhere."""
        self._end()
        self._folder = session.path.resolve().parent if session.path is not None else None
        self._end = session.subscribe("saved", self._saved)

    def close(self, _left: bool) -> None:
        """Listen no more."""
        self._end()

    def _saved(self, path: Path | None) -> None:
        folder = path.resolve().parent if path is not None else None
        before, self._folder = self._folder, folder
        if before is None or folder is None or before == folder:
            return
        harness = self._window.session.harness
        names = [p.photo.file for p in harness.pages.values() if p.photo is not None]
        names += [photo.file for photo in harness.tables["photos"].values()]
        try:
            lost = reading.carry(before, folder, list(dict.fromkeys(names)))
        except HarnessError as error:
            self._window.tell(f"Saved, but not all photos came along: {error}")
            return
        if lost:
            self._window.tell(f"Saved, but these photos are not there: {', '.join(lost)}")

    @property
    def traced(self) -> TracedPhoto | None:
        """The photo under the page that is shown."""
        page = self._window.session.harness.pages.get(self._window.diagram.page_id or "")
        return page.photo if page is not None else None

    def _show(self) -> None:
        photo, problem = self.traced, ""
        if photo is not None and self._window.diagram.under.load(photo, self._window.session.path) is None:
            problem = f"{photo.file} is not there, or is no picture. Put the photo under the page again."
        self.page.show_photo(photo, problem)

    def open(self) -> None:
        """Open the page."""
        self._window.drawer.call_up(PAGE)

    def _do(self, command: str) -> None:
        self._window.commands.actions[command].trigger()

    # A photo comes ---------------------------------------------------------------------------------------------------

    def choose(self) -> None:
        """Ask for a picture, and for the project's file if it has none: the picture is kept beside it."""
        path = self._window.files.ask.file_to_open("Put a photo under this page", PICTURES)
        if path is not None:
            self._take(path)

    def new(self) -> None:
        """Begin a harness with a photo."""
        path = self._window.files.ask.file_to_open("Begin with a photo", PICTURES)
        if path is None:
            return
        self._window.files.new()
        self._take(path)

    def _take(self, path: Path) -> None:
        session = self._window.session
        if session.path is None and not self._window.files.save_as(session):
            return
        self.open()
        if path.suffix.lower() == ".pdf":
            try:
                count = reading.pages_of_pdf(path)
            except HarnessError as error:
                self._window.tell(str(error))
                return
            if count > 1:
                self._document = (path, count)
                self.finder.open()
                return
        self._read(path, 0)

    def _found(self, text: str) -> list[Row]:
        if self._document is None:
            return []
        path, count = self._document
        return [Row(str(n), f"Page {n + 1}", path.name) for n in range(count) if text.strip() in str(n + 1)]

    def _page_picked(self, number: str) -> None:
        if self._document is not None:
            self._read(self._document[0], int(number))

    def _read(self, path: Path, page: int) -> None:
        """Read the picture on another thread; the session must still be the one that asked."""
        session, shown = self._window.session, self._window.diagram.page_id
        self.page.say(f"Reading {path.name} …")

        def work() -> Read:
            try:
                image = reading.read_picture(path, page)
                return reading.png_of(image), image.width()
            except HarnessError as error:
                return str(error)

        def done(read: Read) -> None:
            self.page.say("")
            if session is self._window.session:
                self._arrived(session, shown, path, read)

        self._window.scheduler.run(work, done)

    def _arrived(self, session: Session, shown: str | None, path: Path, read: Read) -> None:
        if isinstance(read, str) or session.path is None:
            self._window.tell(read if isinstance(read, str) else "The project has no file any more.")
            return
        png, width = read
        try:
            file = reading.keep(session.path.resolve().parent, path.stem, png)
        except HarnessError as error:
            self._window.tell(str(error))
            return
        photo = TracedPhoto(file, mm_per_px=float(f"{DEFAULT_WIDTH_MM / width:.6g}"), locked=False)
        page = session.harness.pages.get(shown or "") or Page(shown or FIRST_PAGE, "Whole harness")
        session.apply(put("pages", replace(page, photo=photo), words=f"put photo {path.name} under the page"))
        self._window.diagram.fit()
        self.page.say("Set its scale next: two points, and how far apart they are on the real thing.")

    # What is done to it ----------------------------------------------------------------------------------------------

    def _set(self, photo: TracedPhoto | None, words: str) -> None:
        session, page = self._window.session, self._window.diagram.page_id
        try:
            session.apply(change(session.harness, "pages", page or "", words, photo=photo))
        except EditError as error:
            self._window.tell(str(error))
        self._show()

    def scale(self) -> None:
        """Wait for two points on the photo."""
        self._wait(f"Click two points of the photo whose distance you know. {_BY_KEYS}", self._scale_by)

    def _scale_by(self, first: Point, second: Point) -> None:
        self._points = (first, second)
        self.open()
        self.page.ask_length()

    def set_length(self, text: str) -> None:
        """Scale the photo by what was typed."""
        photo = self.traced
        if photo is None or self._points is None:
            return
        try:
            photo = scaled(photo, *self._points, length_mm(text))
        except (ValueError, EditError) as error:
            self.page.say(str(error))
            return
        self._points = None
        self.page.between.hide()
        self.page.say("")
        self._set(photo, f"scale the photo by {text.strip()}")
        self._window.diagram.fit()
        self._window.diagram.setFocus()

    def move(self) -> None:
        """Wait for a point of the photo, and where it belongs."""
        self._wait(f"Click a point of the photo, then where it belongs. {_BY_KEYS}", self._move_by)

    def _move_by(self, first: Point, second: Point) -> None:
        self.page.say("")
        if self.traced is not None:
            self._set(moved(self.traced, first, second), "move the photo")

    def _wait(self, what: str, then: Callable[[Point, Point], None]) -> None:
        if self.traced is None or self.traced.locked:
            self._window.tell("There is no photo under this page, or it is locked.")
            return
        self.open()
        self.page.say(what)
        diagram = self._window.diagram
        diagram.setFocus()
        middle = diagram.camera.at(diagram.width() / 2, diagram.height() / 2)
        diagram.begin(TwoPoints(diagram, then, self._waited, middle))

    def _waited(self) -> None:
        self.page.say("")

    def place(self, left: str, top: str, scale: str) -> None:
        """Place the photo by numbers."""
        photo = self.traced
        if photo is None:
            return
        try:
            at, k = (length_mm(left), length_mm(top)), float(scale)
        except ValueError as error:
            self.page.say(str(error))
            return
        if (*at, k) != (*photo.at, photo.mm_per_px):
            self._set(replace(photo, at=at, mm_per_px=k), "place the photo")

    def fade(self, fade: float) -> None:
        """Let the photo be seen less or more."""
        if self.traced is not None and round(self.traced.fade, 2) != round(fade, 2):
            self._set(replace(self.traced, fade=round(fade, 2)), f"fade the photo to {fade:.0%}")

    def lock(self, locked: bool) -> None:
        """Lock the photo, or unlock it."""
        if self.traced is not None and self.traced.locked != locked:
            self._set(replace(self.traced, locked=locked), "lock the photo" if locked else "unlock the photo")

    def toggle_lock(self) -> None:
        """Lock the photo if it is not, else unlock it."""
        if self.traced is not None:
            self.lock(not self.traced.locked)

    def remove(self) -> None:
        """Take the photo away; the file stays."""
        self._set(None, "take the photo away")


def _nothing() -> None:
    """Listen to nothing yet."""


def open_room(window: Window) -> Room:
    """Return the room of the photo."""
    photo = Photo(window)

    def there() -> bool:
        return photo.traced is not None

    def free() -> bool:
        return photo.traced is not None and not photo.traced.locked

    commands = [
        Command("new_from_photo", "New from a photo…", "Harness/a", lambda: window.leaving(photo.new), ("Ctrl+Alt+F",),
                always=True),
        Command("photo_page", "Photo under the page…", "Pages/e", photo.open, ("Alt+Shift+H",)),
        Command("photo", "Put a photo under this page…", "Pages/e", photo.choose, ("Alt+Shift+F",)),
        Command("photo_scale", "Scale the photo by two points…", "Pages/e", photo.scale, ("Alt+Shift+S",), able=free),
        Command("photo_move", "Move the photo…", "Pages/e", photo.move, ("Alt+Shift+M",), able=free),
        Command("photo_lock", "Lock the photo", "Pages/e", photo.toggle_lock, ("Alt+Shift+L",), able=there,
                ticked=lambda: photo.traced is not None and photo.traced.locked),
        Command("photo_remove", "Take the photo away", "Pages/e", photo.remove, ("Alt+Shift+K",), able=there),
    ]  # fmt: skip
    return Room({PAGE: photo.page}, commands, photo.follow, photo.close)
