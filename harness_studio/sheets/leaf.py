"""One printed page before it is written: strokes, texts and pictures in millimetres from its upper left corner."""

from __future__ import annotations

from dataclasses import dataclass, field

from PySide6.QtGui import QImage

from harness_studio.base.geometry import Box
from harness_studio.drawing.strokes import Stroke, Strokes, Text

from .paper import Paper


@dataclass(frozen=True, slots=True)
class Picture:
    """A photo and the box it fills."""

    image: QImage
    box: Box


@dataclass(frozen=True, slots=True)
class Window:
    """A part of a larger drawing: only what lies in the box is seen."""

    box: Box
    ink: Strokes


@dataclass(slots=True)
class Leaf:
    """A page that is being laid out.

    Parameters
    ----------
    sheet, subject
        What the head says: the kind of sheet, and what this page is about.
    marks
        Bookmarks that lead here, the sheet's own (level 0) or of something on it (level 1).
    windows
        Drawings that are cut at their edges; they lie below all else.
    upwards
        Texts that read upwards, about their anchor.
    framed
        Whether head and foot are drawn; a page of labels has none.
    """

    paper: Paper
    sheet: str
    subject: str = ""
    marks: list[tuple[int, str]] = field(default_factory=list)
    strokes: list[Stroke] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    pictures: list[Picture] = field(default_factory=list)
    windows: list[Window] = field(default_factory=list)
    upwards: list[Text] = field(default_factory=list)
    framed: bool = True

    def add(self, *parts: Strokes | Stroke | Text) -> None:
        """Add to the page, above what is there."""
        for part in parts:
            if isinstance(part, Strokes):
                self.strokes.extend(part.strokes)
                self.texts.extend(part.texts)
            elif isinstance(part, Stroke):
                self.strokes.append(part)
            else:
                self.texts.append(part)
