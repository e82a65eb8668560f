"""The page of plots: which plot, the plot itself, its numbers as a table, and ways to take it along."""

from __future__ import annotations

import importlib
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QGuiApplication, QStandardItem, QStandardItemModel
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSplitter,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from harness_studio.desktop import look
from harness_studio.desktop.combo import Combo
from harness_studio.desktop.same import same
from harness_studio.drawing import fonts
from harness_studio.drawing.theme import Theme, light
from harness_studio.session.attempt import attempt

from .beside import Beside
from .kinds import KINDS, Kind
from .plot import Plot, cell_words, numbers
from .still import still_of

if TYPE_CHECKING:
    from harness_studio.electrics.against import Against
    from harness_studio.session.scheduler import Scheduler
    from harness_studio.session.session import Session

    from .chart import Chart

CHART = "harness_studio.desktop.plots.chart"
THING = Qt.ItemDataRole.UserRole
ROW_PX = 22


class PlotPage(QWidget):
    """The page.

    `picked` carries the thing of a place or row that was pressed; `printing` asks for a PDF of the plot, `larger` for a
    window of its own.
    """

    title = "Plots"
    keeps_open = True
    picked = Signal(str)
    printing = Signal(object)
    larger = Signal(object)
    themed = Signal(object)

    def __init__(self, scheduler: Scheduler, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session: Session | None = None
        self._theme: Theme = light()
        self._subjects: dict[str, str] = {}
        self._state: tuple[object, ...] = ()
        self._scheduler = scheduler
        self._generation, self._making = 0, False
        self._loading = False
        self._due: tuple[Callable[[Session, str], Plot | str], Session, str] | None = None
        self.plot: Plot | None = None
        self.chart: Chart | None = None
        self._others: list[Chart] = []
        self._beside = Beside(scheduler, self._against_found, self._against_goes_on)
        self.choice = Combo(self)
        self.choice.addItems([k.title for k in KINDS])
        self.choice.setAccessibleName("Which plot")
        self.choice.currentIndexChanged.connect(lambda _: self._refresh())
        self.about, self.source = QLabel(self), QLabel(self)
        self.about.setWordWrap(True)
        self.source.setWordWrap(True)
        self.source.setObjectName("quiet")
        self.source.setFont(look.small())
        self.stop = QPushButton("Stop", self)
        self.stop.clicked.connect(self._stopped)
        self._holder = QWidget(self)
        self._inside = QVBoxLayout(self._holder)
        self._inside.setContentsMargins(0, 0, 0, 0)
        self._model = QStandardItemModel(self)
        self.table = self._table()
        split = QSplitter(Qt.Orientation.Vertical, self)
        split.addWidget(self._holder)
        split.addWidget(self.table)
        split.setChildrenCollapsible(False)
        split.setSizes([430, 170])
        top = QHBoxLayout()
        top.addWidget(self.choice, 1)
        top.addWidget(self.stop)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(14, 14, 14, 12)
        layout.setSpacing(6)
        layout.addLayout(top)
        layout.addWidget(self.about)
        layout.addWidget(split, 1)
        layout.addWidget(self.source)
        layout.addLayout(self._ways())
        self.stop.hide()

    def _table(self) -> QTableView:
        table = QTableView(self)
        table.setModel(self._model)
        table.setAccessibleName("Numbers of the plot")
        table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        table.verticalHeader().hide()
        table.verticalHeader().setDefaultSectionSize(ROW_PX)
        table.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft)
        table.setFont(fonts.font(fonts.SMALL_PX + 1))
        table.horizontalHeader().setFont(fonts.font(fonts.SMALL_PX))
        table.setShowGrid(False)
        table.setTabKeyNavigation(False)
        table.clicked.connect(self._row_pressed)
        table.activated.connect(self._row_pressed)
        return table

    def _ways(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(4)
        self.buttons: dict[str, QPushButton] = {}
        row.addWidget(QLabel("Copy", self))
        for name, words, about, do in (
            ("picture", "picture", "Copy the plot as a picture", self.copy_picture),
            ("numbers", "numbers", "Copy the numbers, tabs between them", self.copy_numbers),
            ("pdf", "PDF…", "Print the plot to a PDF file", lambda: self.printing.emit(self.plot)),
            ("larger", "Larger", "Show the plot in a window of its own", lambda: self.larger.emit(self.plot)),
        ):
            button = QPushButton(words, self)
            button.setToolTip(about)
            button.setAccessibleName(about)
            button.clicked.connect(do)
            row.addWidget(button)
            self.buttons[name] = button
        row.addStretch(1)
        return row

    # What is shown ---------------------------------------------------------------------------------------------------

    @property
    def kind(self) -> Kind:
        """The kind of plot that is chosen."""
        return KINDS[self.choice.currentIndex()]

    def open_kind(self, kind_id: str) -> None:
        """Choose a kind of plot."""
        self.choice.setCurrentIndex([k.id for k in KINDS].index(kind_id))

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme."""
        self._theme = theme
        self.themed.emit(theme)
        for chart in self._charts():
            chart.show_plot(self.plot, theme)

    def show_session(self, session: Session) -> None:
        """Draw the chosen plot for the session as it is now; what it is about stays until something else is chosen."""
        if session is not self._session:
            self._session, self._subjects, self._state = session, {}, ()
        self._refresh()

    def show_in(self, chart: Chart) -> None:
        """Draw in another chart as well, from now on until it is gone."""
        self._others.append(chart)
        chart.destroyed.connect(lambda: self._others.remove(chart))
        chart.picked.connect(self.picked)
        chart.show_plot(self.plot, self._theme)

    def _charts(self) -> list[Chart]:
        return [c for c in (self.chart, *self._others) if c is not None]

    def _refresh(self) -> None:
        session = self._session
        if session is None:
            return
        kind = self.kind
        found = kind.subject(session)
        if found is not None:
            self._subjects[kind.id] = found
        subject = self._subjects.get(kind.id)
        state = (kind.id, subject, session.chosen, session.solution, session.computed.clean_solution)
        if same(self._state, state):
            return
        self._state = state
        self._beside.stop()
        self.stop.hide()
        self._load_chart()
        self._generation, self._due = self._generation + 1, None
        if subject is None:
            self._put(kind.hint)
        elif kind.make is not None and kind.beside:
            self._make_beside(kind.make, session, subject)
        elif kind.make is not None:
            self._put(kind.make(session, subject))
        else:
            self.stop.show()
            self._put(f"Solving {subject} at every resistance.")
            self._beside.want(session, subject)

    def _make_beside(
        self, make: Callable[[Session, str], Plot | str], session: Session, subject: str
    ) -> None:
        """Make a plot on another thread; what is shown stays until it is there, and one is made at a time."""
        generation, still = self._generation, still_of(session)
        if self._making:
            self._due = (make, session, subject)
            return

        def arrived(found: Plot | str | None, problem: str | None) -> None:
            self._making = False
            due, self._due = self._due, None
            if generation == self._generation:
                self._put(found if found is not None else f"Not solved: {problem}")
            elif due is not None:
                self._make_beside(*due)

        self._making = True
        self._scheduler.run(
            lambda: attempt("making a plot", lambda: make(still, subject)), lambda result: arrived(*result)
        )

    def _put(self, found: Plot | str) -> None:
        self.plot = None if isinstance(found, str) else found
        self.about.setText(found if isinstance(found, str) else found.about)
        self.source.setText(
            f"Source: {self.plot.source}" if self.plot is not None and self.plot.source else ""
        )
        self.source.setVisible(bool(self.source.text()))
        if not self._loading:
            self._draw()
        self._fill()
        for button in self.buttons.values():
            button.setEnabled(self.plot is not None)

    def _draw(self) -> None:
        if self.chart is None and self.plot is not None:
            from .chart import Chart

            self.chart = Chart(self._holder)
            self.chart.picked.connect(self.picked)
            self._inside.addWidget(self.chart)
        for chart in self._charts():
            chart.show_plot(self.plot, self._theme)

    def _load_chart(self) -> None:
        """Load what draws on another thread, the first time: it takes a fifth of a second."""
        if self._loading or hasattr(sys.modules.get(CHART), "Chart"):
            return

        def loaded(_: object, problem: str | None) -> None:
            self._loading = False
            if problem is None:
                self._draw()
            else:
                self.about.setText(f"Not drawn: {problem}")

        self._loading = True
        self._scheduler.run(
            lambda: attempt("loading what draws plots", lambda: importlib.import_module(CHART)),
            lambda result: loaded(*result),
        )

    def _fill(self) -> None:
        self._model.clear()
        if self.plot is None:
            return
        self._model.setHorizontalHeaderLabels(list(self.plot.head))
        for row, thing in zip(self.plot.rows, self.plot.things, strict=True):
            items = [
                QStandardItem(cell_words(c) if isinstance(c, str) or c is None else f"{c:.4g}") for c in row
            ]
            for item, cell in zip(items, row, strict=True):
                item.setData(thing, THING)
                if not isinstance(cell, str):
                    item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            self._model.appendRow(items)
        if len(self.plot.head) <= 12:
            self.table.resizeColumnsToContents()

    # Beside the window -----------------------------------------------------------------------------------------------

    def _against_found(self, found: Against | str) -> None:
        from .curves import against_plot

        self.stop.hide()
        if self._session is not None:
            self._put(found if isinstance(found, str) else against_plot(self._session.harness, found))

    def _against_goes_on(self, done: int, whole: int) -> None:
        self.about.setText(f"Solving: {done} of {whole} resistances")

    def _stopped(self) -> None:
        self._beside.stop()
        self.stop.hide()
        self.about.setText("Stopped.")

    # What a hand does ------------------------------------------------------------------------------------------------

    def _row_pressed(self, index: object) -> None:
        thing = index.data(THING)  # type: ignore[attr-defined]
        if thing:
            self.picked.emit(thing)

    def copy_picture(self) -> None:
        """Put the plot on the clipboard as a picture."""
        if self.chart is not None and self.plot is not None:
            QGuiApplication.clipboard().setImage(self.chart.picture())

    def copy_numbers(self) -> None:
        """Put the numbers on the clipboard, tabs between them."""
        if self.plot is not None:
            QGuiApplication.clipboard().setText(numbers(self.plot))
