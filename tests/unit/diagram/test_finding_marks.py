"""Findings on the diagram: a tag beside each thing, told apart by shape and number, the chosen one with its numbers."""

from itertools import combinations

import pytest
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QImage, QPainter

from harness_studio.diagram import finding_marks
from harness_studio.diagram.camera import fitted
from harness_studio.diagram.finding_marks import FindingMark, FindingMarks, place_of, sign
from harness_studio.diagram.picture import View, draw
from harness_studio.diagram.scene import Scene
from harness_studio.drawing.theme import dark, light

WIDTH, HEIGHT = 1200, 800


def frame(scene: Scene, marks: FindingMarks) -> QImage:
    at = fitted(scene.extent, WIDTH, HEIGHT).pixels(WIDTH, HEIGHT)
    image = QImage(WIDTH, HEIGHT, QImage.Format.Format_RGB32)
    image.fill(light().colour("paper"))
    painter = QPainter(image)
    draw(painter, scene, at, light(), View(marks=marks))
    painter.end()
    return image


def test_a_mark_stands_at_the_first_thing_that_is_on_the_page(scene: Scene) -> None:
    stud = place_of(scene, FindingMark("mend", 1, ("GP2",)))
    assert stud is not None
    assert place_of(scene, FindingMark("mend", 1, ("W99", "GP2"))) == stud
    assert place_of(scene, FindingMark("mend", 1, ("W99", "nothing here"))) is None
    for thing in ("M2", "W31", "X7.2", "W31@GP2", "GP2/W31"):
        assert place_of(scene, FindingMark("note", 1, (thing,))) is not None, thing


def test_grades_are_told_apart_by_shape() -> None:
    corners = {kind: len(sign(kind, QPointF(), 10.0)) for kind in ("stop", "mend", "note")}
    assert corners == {"stop": 8, "mend": 3, "note": 4}


def test_tags_do_not_lie_on_each_other() -> None:
    taken: list[QRectF] = []
    for _ in range(8):
        taken.append(finding_marks._free(QPointF(300, 300), (40.0, 18.0), taken, 1.0))
    assert not any(a.intersects(b) for a, b in combinations(taken, 2))


@pytest.mark.parametrize("theme", [light(), dark()], ids=["light", "dark"])
def test_every_grade_has_a_colour_in_both_themes(theme: object) -> None:
    names = [finding_marks.COLOURS[kind] for kind in ("stop", "mend", "note", "accepted")]
    assert all(theme.colour(name).isValid() for name in names)  # type: ignore[attr-defined]


def test_marks_change_the_picture_and_the_chosen_one_more(scene: Scene) -> None:
    plain = frame(scene, ())
    marked = frame(scene, (FindingMark("mend", 1, ("GP2",)),))
    chosen = frame(scene, (FindingMark("mend", 1, ("GP2",), "0.4 V, limit 0.1 V", chosen=True),))

    def changed(image: QImage) -> int:
        return sum(
            image.pixel(x, y) != plain.pixel(x, y) for x in range(0, WIDTH, 2) for y in range(0, HEIGHT, 2)
        )

    assert 20 < changed(marked) < changed(chosen)


def test_what_is_on_another_page_is_not_drawn(scene: Scene) -> None:
    assert frame(scene, (FindingMark("stop", 1, ("W99",)),)) == frame(scene, ())
