"""A photo under the page: read from PNG, JPEG and PDF, kept beside the project, scaled by two clicks and a length."""

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QImage, QPageSize, QPainter, QPdfWriter
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from harness_studio.base.geometry import Point
from harness_studio.desktop.photo.page import PhotoPage
from harness_studio.desktop.window import Window
from harness_studio.model.values import TracedPhoto
from harness_studio.storage.project_file import read_project
from tests.desktop.conftest import Answers
from tests.support.pointing import pixel, press

ALT = Qt.KeyboardModifier.AltModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier
NONE, CONTROL = Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ControlModifier
LEFT = Qt.MouseButton.LeftButton
RED = QColor(200, 20, 20)


def picture(path: Path, width: int = 600, height: int = 400) -> Path:
    image = QImage(width, height, QImage.Format.Format_RGB32)
    image.fill(RED)
    assert image.save(str(path))
    return path


def document(path: Path, pages: int) -> Path:
    writer = QPdfWriter(str(path))
    writer.setPageSize(QPageSize(QPageSize.PageSizeId.A5))
    painter = QPainter(writer)
    for number in range(pages):
        if number:
            writer.newPage()
        painter.fillRect(0, 0, 20_000, 20_000, [RED, QColor(20, 20, 200)][number])
    painter.end()
    return path


def put_under(qtbot: QtBot, window: Window, answers: Answers, path: Path) -> None:
    answers.open = path
    press(window, Qt.Key.Key_F, ALT | SHIFT)
    qtbot.waitUntil(lambda: traced(window) is not None, timeout=10_000)


def traced(window: Window) -> TracedPhoto | None:
    return window.session.harness.pages[window.diagram.page_id or ""].photo


@pytest.mark.parametrize("name", ["rear view.png", "rear.jpg", "rear.jpeg"])
def test_a_picture_is_kept_as_png_beside_the_project(
    qtbot: QtBot, pickup: Window, answers: Answers, tmp_path: Path, project: Path, name: str
) -> None:
    (tmp_path / "camera").mkdir()
    put_under(qtbot, pickup, answers, picture(tmp_path / "camera" / name))
    photo = traced(pickup)
    assert photo is not None
    assert photo.file == f"photos/{Path(name).stem.replace(' ', '_')}.png"
    assert QImage(str(project.parent / photo.file)).size().toTuple() == (600, 400)
    assert photo.mm_per_px == pytest.approx(0.5)
    press(pickup, Qt.Key.Key_S, CONTROL)
    assert read_project(project).harness.pages["rear"].photo == photo
    press(pickup, Qt.Key.Key_Z, CONTROL)
    assert traced(pickup) is None


def test_it_is_seen_faded_below_the_drawing(
    qtbot: QtBot, pickup: Window, answers: Answers, tmp_path: Path
) -> None:
    paper = pickup.diagram.theme.colour("paper")
    put_under(qtbot, pickup, answers, picture(tmp_path / "a.png", 1200, 900))
    seen = pickup.diagram.grab().toImage().pixelColor(pixel(pickup.diagram, Point(2, 2)))
    share = 1 - 0.6
    for channel in ("red", "green", "blue"):
        ours, theirs = getattr(RED, channel)(), getattr(paper, channel)()
        assert getattr(seen, channel)() == pytest.approx(theirs + share * (ours - theirs), abs=3)


@pytest.fixture
def page(qtbot: QtBot, pickup: Window, answers: Answers, tmp_path: Path) -> PhotoPage:
    put_under(qtbot, pickup, answers, picture(tmp_path / "a.png"))
    found = pickup.drawer.current
    assert isinstance(found, PhotoPage)
    pickup.diagram.setFocus()
    return found


def test_two_clicks_and_a_length_set_the_scale(qtbot: QtBot, pickup: Window, page: PhotoPage) -> None:
    diagram = pickup.diagram
    press(pickup, Qt.Key.Key_S, ALT | SHIFT)
    first, second = pixel(diagram, Point(40, 60)), pixel(diagram, Point(240, 60))
    kept = diagram.camera.at(first.x(), first.y())
    apart = diagram.camera.at(second.x(), second.y()).x_mm - kept.x_mm
    for spot in (first, second):
        QTest.mouseClick(diagram, LEFT, NONE, spot)
    qtbot.keyClicks(page.between, "0.6 m")
    qtbot.keyClick(page.between, Qt.Key.Key_Return)
    photo = traced(pickup)
    assert photo is not None
    k = 600 / apart
    assert photo.mm_per_px == pytest.approx(0.5 * k, rel=1e-4)
    # The first point stays where it is: (first - at) grew by k.
    assert photo.at[0] == pytest.approx(kept.x_mm - kept.x_mm * k, abs=0.01)
    assert pickup.session.history[-1] == "scale the photo by 0.6 m"


def test_the_same_by_keys_alone(qtbot: QtBot, pickup: Window, page: PhotoPage) -> None:
    diagram = pickup.diagram
    press(pickup, Qt.Key.Key_S, ALT | SHIFT)
    assert "arrow keys" in page.says.text()
    for key in (Qt.Key.Key_Left, Qt.Key.Key_Left, Qt.Key.Key_Return, Qt.Key.Key_Return):
        QTest.keyClick(diagram, key)
    for _ in range(12):
        QTest.keyClick(diagram, Qt.Key.Key_Right)
    QTest.keyClick(diagram, Qt.Key.Key_Down, SHIFT)
    QTest.keyClick(diagram, Qt.Key.Key_Up, SHIFT)
    apart = 120 / diagram.camera.px_per_mm
    QTest.keyClick(diagram, Qt.Key.Key_Return)
    assert page.between.hasFocus()
    qtbot.keyClicks(page.between, "0.6 m")
    qtbot.keyClick(page.between, Qt.Key.Key_Return)
    photo = traced(pickup)
    assert photo is not None
    assert photo.mm_per_px == pytest.approx(0.5 * 600 / apart, rel=1e-4)
    assert pickup.session.selection == frozenset()


def test_a_length_that_is_none_is_said_and_asked_again(qtbot: QtBot, pickup: Window, page: PhotoPage) -> None:
    press(pickup, Qt.Key.Key_S, ALT | SHIFT)
    for spot in (QPoint(100, 100), QPoint(300, 100)):
        QTest.mouseClick(pickup.diagram, LEFT, NONE, spot)
    qtbot.keyClicks(page.between, "long")
    qtbot.keyClick(page.between, Qt.Key.Key_Return)
    assert "not a length" in page.says.text()
    assert not page.between.isHidden()


def test_escape_ends_the_waiting(pickup: Window, page: PhotoPage) -> None:
    before = traced(pickup)
    press(pickup, Qt.Key.Key_S, ALT | SHIFT)
    QTest.mouseClick(pickup.diagram, LEFT, NONE, QPoint(100, 100))
    press(pickup, Qt.Key.Key_Escape)
    assert pickup.diagram.gesture is None
    assert traced(pickup) == before


def test_it_is_moved_by_two_clicks_faded_locked_and_taken_away(
    qtbot: QtBot, pickup: Window, page: PhotoPage
) -> None:
    press(pickup, Qt.Key.Key_M, ALT | SHIFT)
    for spot in (pixel(pickup.diagram, Point(20, 20)), pixel(pickup.diagram, Point(60, 50))):
        QTest.mouseClick(pickup.diagram, LEFT, NONE, spot)
    photo = traced(pickup)
    assert photo is not None
    assert photo.at == pytest.approx((40, 30), abs=1)
    page.fade.setValue(30)
    qtbot.mouseClick(page.lock, LEFT, pos=QPoint(8, page.lock.height() // 2))
    photo = traced(pickup)
    assert photo is not None
    assert (photo.fade, photo.locked) == (0.3, True)
    assert not page.buttons["photo_scale"].isEnabled()
    assert not pickup.commands.actions["photo_scale"].isEnabled()
    qtbot.mouseClick(page.buttons["photo_remove"], LEFT)
    assert traced(pickup) is None
    for _ in range(4):
        press(pickup, Qt.Key.Key_Z, CONTROL)
    photo = traced(pickup)
    assert photo is not None
    assert photo.at == (0.0, 0.0)


def test_a_page_of_a_document_is_chosen(
    qtbot: QtBot, pickup: Window, answers: Answers, tmp_path: Path, project: Path
) -> None:
    answers.open = document(tmp_path / "scan.pdf", 2)
    press(pickup, Qt.Key.Key_F, ALT | SHIFT)
    line = pickup.focusWidget()
    qtbot.keyClicks(line, "2")
    qtbot.keyClick(line, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: traced(pickup) is not None, timeout=10_000)
    photo = traced(pickup)
    assert photo is not None
    image = QImage(str(project.parent / photo.file))
    # A5 is 148 mm by 210 mm; at 200 dots per inch that is 1165 by 1654.
    assert image.size().toTuple() == pytest.approx((1165, 1654), abs=3)
    assert image.pixelColor(500, 800).blue() > 150


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("x.png", b"no picture", "no picture that can be read"),
        ("x.pdf", b"no document", "no PDF that can be read"),
    ],
)
def test_what_cannot_be_read_is_one_line(
    qtbot: QtBot, pickup: Window, answers: Answers, tmp_path: Path, name: str, content: bytes, said: str
) -> None:
    (tmp_path / name).write_bytes(content)
    answers.open = tmp_path / name
    press(pickup, Qt.Key.Key_F, ALT | SHIFT)
    qtbot.waitUntil(lambda: said in pickup.bar.text, timeout=10_000)
    assert "\n" not in pickup.bar.text
    assert traced(pickup) is None
    assert not pickup.session.unsaved


def test_a_new_harness_begins_with_a_photo(
    qtbot: QtBot, window: Window, answers: Answers, tmp_path: Path
) -> None:
    answers.open = picture(tmp_path / "loom.png")
    answers.save = tmp_path / "own" / "loom.yaml"
    answers.save.parent.mkdir()
    qtbot.mouseClick(window.start_page.buttons["new_from_photo"], LEFT)
    qtbot.waitUntil(lambda: window.session.path is not None and traced(window) is not None, timeout=10_000)
    assert (tmp_path / "own" / "photos" / "loom.png").is_file()


def test_photos_go_along_when_the_project_is_saved_elsewhere(
    qtbot: QtBot, pickup: Window, answers: Answers, page: PhotoPage, tmp_path: Path
) -> None:
    answers.save = tmp_path / "elsewhere" / "copy.yaml"
    answers.save.parent.mkdir()
    press(pickup, Qt.Key.Key_S, CONTROL | SHIFT)
    assert (tmp_path / "elsewhere" / "photos" / "a.png").is_file()
    assert pickup.bar.text == ""


def test_a_photo_that_is_gone_is_said(pickup: Window, page: PhotoPage, project: Path) -> None:
    (project.parent / "photos" / "a.png").unlink()
    pickup.diagram.grab()
    page.show_session(pickup.session)
    assert "is not there" in page.says.text()
