"""Two modes side by side in the window say what `solve --against` says."""

import json

import pytest
from PySide6.QtCore import Qt

from harness_studio.app.main import main
from tests.support.pointing import press


@pytest.fixture
def page(qtbot, pickup):
    press(pickup, Qt.Key.Key_M, Qt.KeyboardModifier.AltModifier)
    found = next(p for p in pickup.drawer._rooms if p.title == "Two modes")
    qtbot.waitUntil(lambda: found.found is not None, timeout=10_000)
    return found


def said(capsys, project, mode, against):
    capsys.readouterr()
    assert main(["solve", str(project), "--mode", mode, "--against", against, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def compare(page, document):
    rows = [(r.what, r.thing, r.name, r.first, r.second, r.unit) for r in page.found.rows]
    assert (page.found.first, page.found.second) == (document["mode"], document["against"])
    assert len(rows) == len(document["differs"])
    for row, other in zip(rows, document["differs"], strict=True):
        assert row[:3] == (other["what"], other["thing"], other["name"])
        for mine, theirs in ((row[3], other["first"]), (row[4], other["second"])):
            assert mine == (
                pytest.approx(theirs, rel=1e-6, abs=1e-9) if isinstance(theirs, float) else theirs
            )


def test_the_page_and_the_command_agree_for_every_pair(qtbot, pickup, page, project, capsys):
    for mode in list(pickup.session.harness.modes):
        pickup.session.set_mode(mode)
        qtbot.waitUntil(lambda: not pickup.session.computed.stale)
        for at in range(page.choice.count()):
            page.choice.setCurrentIndex(at)
            other = page.other
            qtbot.waitUntil(lambda m=mode, o=other: page.found is not None
                            and (page.found.first, page.found.second) == (m, o))  # fmt: skip
            compare(page, said(capsys, project, mode, other))


def test_pressing_a_row_selects_its_thing(qtbot, pickup, page):
    model = page.table.model()
    page.choice.setCurrentIndex(page.choice.findData("key_on"))
    qtbot.waitUntil(lambda: page.found is not None and page.found.second == "key_on")
    row = next(i for i in range(model.rowCount()) if model.index(i, 0).data().startswith("S1 "))
    spot = page.table.visualRect(model.index(row, 0)).center()
    qtbot.mouseClick(page.table.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert pickup.session.selection == {"S1"}
    assert page.isVisible()


def test_the_other_mode_is_gone_to(qtbot, pickup, page):
    other = page.other
    qtbot.mouseClick(page.swap, Qt.MouseButton.LeftButton)
    assert pickup.session.mode == other
    assert pickup.strip.buttons[other].isChecked()
    qtbot.waitUntil(lambda: not pickup.session.computed.stale)
