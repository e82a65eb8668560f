"""Content that runs down a page and on to the next."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QImage

from harness_studio.base.geometry import Box
from harness_studio.drawing.fonts import BOLD, REGULAR, STRONG
from harness_studio.drawing.strokes import Stroke, Strokes, Text, line

from . import table as tables
from .job import Job
from .leaf import Leaf, Picture
from .lettering import HEAD_MM, LEADING, TEXT_MM, TITLE_MM, plain, shrunk, width_mm, wrapped
from .paper import Paper


class Flow:
    """The pages of one sheet as they fill."""

    def __init__(self, job: Job, sheet: str, paper: Paper | None = None) -> None:
        self.job = job
        self.sheet = sheet
        self.paper = paper or job.paper
        self.leaves: list[Leaf] = []
        self.subject = ""
        self.y = 0.0
        self._mark: list[tuple[int, str]] = [(0, sheet)]
        self._heading: tuple[Leaf, int, float, float, str] | None = None

    @property
    def body(self) -> Box:
        """Where content lies."""
        return self.paper.body

    @property
    def leaf(self) -> Leaf:
        """The page that is being filled."""
        if not self.leaves:
            self.page()
        return self.leaves[-1]

    def _begun(self) -> None:
        if not self.leaves:
            self.page()

    @property
    def room_mm(self) -> float:
        """Height that is left on the page."""
        self._begun()
        return self.body.bottom_mm - self.y

    def page(self, subject: str | None = None) -> Leaf:
        """Start a new page; a new subject has a bookmark of its own."""
        if subject is not None:
            self.subject = subject
            self._mark.append((1, plain(subject)))
        again = bool(self.leaves) and subject is None and bool(self.subject)
        said = f"{self.subject} (continued)" if again else self.subject
        self.leaves.append(Leaf(self.paper, self.sheet, said, self._mark))
        self._mark = []
        self.y = self.body.top_mm
        return self.leaves[-1]

    def mark(self, title: str) -> None:
        """Set a bookmark to what comes next on this page."""
        self.leaf.marks.append((1, plain(title)))

    def need(self, height_mm: float) -> None:
        """Go to a new page unless so much height is left; a page that is still empty is kept."""
        if self.room_mm < height_mm and self.y > self.body.top_mm + 0.01:
            self.page()

    def gap(self, height_mm: float) -> None:
        """Leave some height free."""
        self._begun()
        self.y += height_mm

    def put(self, ink: Strokes, height_mm: float) -> None:
        """Add a drawing whose upper left corner is the origin."""
        self.need(height_mm)
        self.leaf.add(ink.moved(self.body.left_mm, self.y))
        self.y += height_mm

    def title(self, text: str) -> None:
        """Add a title in large type, on one line or two."""
        size, lines = TITLE_MM, wrapped(text, TITLE_MM, self.body.width_mm, BOLD)
        if len(lines) > 2:
            size = HEAD_MM
            lines = wrapped(text, size, self.body.width_mm, BOLD)[:4]
        self._lines(lines, size, BOLD, "ink")
        self.gap(0.8)

    def heading(self, text: str, *, keep_mm: float = 18.0) -> None:
        """Add a heading that stays with what follows it."""
        self._begun()
        self.need(keep_mm)
        leaf, before, above = self.leaf, len(self.leaf.texts), self.y
        if self.y > self.body.top_mm + 0.01:
            self.gap(2.5)
        self._lines(wrapped(text, HEAD_MM, self.body.width_mm, STRONG), HEAD_MM, STRONG, "ink")
        self.gap(0.8)
        self._heading = (leaf, before, above, self.y, text)

    def paragraph(
        self, text: str, *, size_mm: float = TEXT_MM, weight: int = REGULAR, colour: str = "ink"
    ) -> None:
        """Add a text that wraps and may go on over pages."""
        self._lines(wrapped(text, size_mm, self.body.width_mm, weight), size_mm, weight, colour)

    def item(self, text: str, *, sign: str = "•", size_mm: float = TEXT_MM) -> None:
        """Add one item of a list."""
        self._lines(
            wrapped(text, size_mm, self.body.width_mm - 4.5, REGULAR), size_mm, REGULAR, "ink", 4.5, sign
        )
        self.gap(0.5)

    def _lines(
        self, lines: Sequence[str], size: float, weight: int, colour: str, indent: float = 0.0, sign: str = ""
    ) -> None:
        step = size * LEADING
        for number, one in enumerate(lines):
            self.need(step)
            at = self.y + step / 2
            if number == 0 and sign:
                self.leaf.add(Text(self.body.left_mm + 0.5, at, sign, size, weight, "accent"))
            if one:
                self.leaf.add(Text(self.body.left_mm + indent, at, one, size, weight, colour))
            self.y += step

    def facts(self, pairs: Sequence[tuple[str, str]]) -> None:
        """Add 'name: value' pairs as one paragraph; empty ones are left out."""
        said = " · ".join(f"{name}: {value}" if name else value for name, value in pairs if value)
        if said:
            self.paragraph(said, colour="muted")

    def table(self, columns: Sequence[tables.Column], rows: Sequence[tables.Row | tables.Band]) -> None:
        """Add a table; it breaks between rows and repeats its heads."""
        most = self.body.height_mm - 25.0
        made = tables.table(columns, rows, self.body.width_mm, most)
        follow = [r.height_mm for r in made.rows]
        first = (
            follow[0] + (follow[1] if len(follow) > 1 and made.rows[0].keeps_next else 0.0) if follow else 0.0
        )
        self._begun()
        self._need_with_heading(made.head.height_mm + first)
        self._row(made.head)
        for number, row in enumerate(made.rows):
            behind = follow[number + 1] if row.keeps_next and number + 1 < len(follow) else 0.0
            if self.room_mm < row.height_mm + behind:
                self.page()
                self._row(made.head)
            self._row(row)
        self.gap(1.5)

    def _need_with_heading(self, height_mm: float) -> None:
        """Go to a new page unless so much height is left; a heading that was put last goes along."""
        if self._heading is not None and self.room_mm < height_mm:
            leaf, before, above, below, title = self._heading
            if leaf is self.leaf and self.y == below and above > self.body.top_mm + 0.01:
                del leaf.texts[before:]
                self.page()
                self.heading(title)
        self.need(height_mm)

    def _row(self, row: tables.Laid) -> None:
        self.leaf.add(tables.moved(row, self.body.left_mm, self.y))
        self.y += row.height_mm

    def line_to_fill(self, *labels: tuple[str, float]) -> None:
        """Add labels with a line behind each to write on; each with its share of the width."""
        self.need(8.5)
        x, whole = self.body.left_mm, sum(share for _, share in labels)
        y = self.y + 5.5
        for label, share in labels:
            wide = self.body.width_mm * share / whole
            text, size = shrunk(label, TEXT_MM, wide * 0.6)
            self.leaf.add(Text(x, y, text, size, REGULAR, "muted"))
            start = x + width_mm(text, size) + 1.2
            self.leaf.add(Stroke(line((start, y + 1.3), (x + wide - 2.5, y + 1.3)), "muted", 0.2))
            x += wide
        self.y += 8.5

    def picture(self, image: QImage, most_wide_mm: float, most_high_mm: float) -> None:
        """Add a photo, as large as its room and no finer than 300 dots per inch."""
        scale = min(most_wide_mm / image.width(), most_high_mm / image.height())
        wide, high = image.width() * scale, image.height() * scale
        self.need(high)
        dots = round(wide / 25.4 * 300)
        fine = (
            image.scaledToWidth(dots, Qt.TransformationMode.SmoothTransformation)
            if image.width() > dots
            else image
        )
        self.leaf.pictures.append(Picture(fine, Box(self.body.left_mm, self.y, wide, high)))
        self.y += high
