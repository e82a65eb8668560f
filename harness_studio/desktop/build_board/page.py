"""The page of the build board: the drawing, what the pointer is over in words, and how it is looked at."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from harness_studio.desktop import look
from harness_studio.drawing import fonts
from harness_studio.placing.build_board.flags import Key
from harness_studio.placing.build_board.plan import known_as
from harness_studio.session.attempt import attempt

from .laying import Bundle, Flagged, bundle_of, flagged, marked, words_of
from .view import STEP, BuildBoardView

if TYPE_CHECKING:
    from harness_studio.drawing.theme import Theme
    from harness_studio.session.scheduler import Cancel, Scheduler
    from harness_studio.session.session import Session

REST_MS = 120
NOTHING = "No run is recorded: a run is the bundle between two breakouts, with its length."
HINT = "Drag to move, wheel to zoom, press a run or an end to choose it on the diagram."


class BuildBoardPage(QWidget):
    """The page. `picked` carries kind and id of what was pressed."""

    title = "Build board"
    keeps_open = True
    picked = Signal(str, str)

    def __init__(self, scheduler: Scheduler, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._scheduler = scheduler
        self._session: Session | None = None
        self._state: tuple[int, int] | None = None
        self._generation, self._busy, self._run = 0, False, ""
        self._cancel: Cancel | None = None
        head = QLabel("Build board, every run in its true length", self)
        head.setFont(fonts.font(fonts.HEAD_PX, fonts.BOLD))
        head.setWordWrap(True)
        self.view, self.said, self.scale = BuildBoardView(self), QLabel(HINT, self), QLabel(self)
        for label in (self.said, self.scale):
            label.setWordWrap(True)
            label.setFont(look.small())
            label.setObjectName("quiet")
        self.said.setMinimumHeight(34)
        self.said.setAlignment(Qt.AlignmentFlag.AlignTop)
        row = QHBoxLayout()
        for text, do in (
            ("Nearer", lambda: self.view.zoom(STEP)),
            ("Farther", lambda: self.view.zoom(1 / STEP)),
            ("All of it", self.view.fit),
        ):
            button = QPushButton(text, self)
            button.clicked.connect(lambda _=False, f=do: f())
            row.addWidget(button)
        row.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(18, 16, 18, 16)
        layout.setSpacing(8)
        layout.addWidget(head)
        layout.addWidget(self.view, 1)
        layout.addWidget(self.said)
        layout.addWidget(self.scale)
        layout.addLayout(row)
        self.view.picked.connect(self._pick)
        self.view.hovered.connect(self._say)
        self.view.rescaled.connect(self._rescaled)

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme."""
        self.view.theme = theme
        self.view.update()

    def show_session(self, session: Session) -> None:
        """Lay the bundle out anew where the harness is another one; mark what is selected."""
        self._session = session
        state = (id(session), session.project.history.revision)
        if state != self._state:
            self._state = state
            self._generation += 1
            number, harness = self._generation, session.harness.snapshot()
            self._scheduler.run(
                lambda: attempt("laying the build board out", lambda: bundle_of(harness)),
                lambda found: self._arrived(number, *found),
            )
        self._mark()

    def _arrived(self, number: int, bundle: Bundle | None, problem: str | None) -> None:
        if number != self._generation:
            return
        self.view.show_bundle(bundle)
        self.said.setText(problem or (HINT if bundle else NOTHING))
        self.scale.setText("")
        if bundle:
            self._rescaled()
        self._mark()

    # Flags want new places a moment after the scale is another one ----------------------------------------------------

    def _rescaled(self) -> None:
        if self.view.bundle is None:
            return
        if self._cancel is not None:
            self._cancel()
        self._cancel = self._scheduler.later(REST_MS, self._flag)

    def _flag(self) -> None:
        self._cancel = None
        bundle, scale, seen = self.view.bundle, self.view.scale, self.view.seen()
        if bundle is None or self._busy:
            return
        self._busy = True
        self._scheduler.run(
            lambda: attempt("placing flags", lambda: flagged(bundle, scale, seen)),
            lambda found: self._flagged(bundle, *found),
        )

    def _flagged(self, bundle: Bundle, flags: Flagged | None, problem: str | None) -> None:
        self._busy = False
        if bundle is not self.view.bundle:
            self._rescaled()
            return
        if flags is None:
            self.said.setText(problem or "")
            return
        self.view.show_flags(flags)
        whole = bundle.plan.extent
        more = f"; {flags.missed} more names from nearer" if flags.missed else ""
        self.scale.setText(f"{whole.width_mm / 1000:.2f} m × {whole.height_mm / 1000:.2f} m at 1:1{more}")
        if flags.scale != self.view.scale:
            self._rescaled()

    # What is pointed at and chosen ------------------------------------------------------------------------------------

    def _say(self, key: Key | None) -> None:
        if self.view.bundle is None:
            return
        key = key or self.view.current
        self.said.setText(words_of(self.view.bundle.tags[key]) if key else HINT)

    def _pick(self, kind: str, thing: str) -> None:
        self._say((kind, thing))
        self._run = thing if kind == "run" else ""
        self.picked.emit(kind, known_as(thing))
        self._mark()

    def _mark(self) -> None:
        """Mark the things that are selected, and the runs that selected wires lie in."""
        if self._session is None or self.view.bundle is None:
            return
        session, bundle = self._session, self.view.bundle
        self.view.mark(marked(bundle, session.harness, session.selection, self._run))
