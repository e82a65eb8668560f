"""The page of the sweep: begun, watched, stopped; its numbers are those of the `sweep` command."""

import json

import pytest
from PySide6.QtCore import Qt

from harness_studio.app.main import main
from harness_studio.desktop.rows import ABOUT, ASIDE
from harness_studio.desktop.sweep.page import JOINT
from harness_studio.electrics.sweep_rows import row_words
from tests.support.pointing import press


@pytest.fixture
def page(pickup):
    press(pickup, Qt.Key.Key_J, Qt.KeyboardModifier.ShiftModifier)
    found = next(p for p in pickup.drawer._rooms if p.title == "Sweep")
    assert found.isVisible()
    return found


def swept(qtbot, page, added):
    page.field.selectAll()
    qtbot.keyClicks(page.field, added)
    qtbot.mouseClick(page.start_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: page.sweeping.progress is None, timeout=20_000)
    return page.sweeping.found


@pytest.mark.parametrize("added", ["50", "5, open"])
def test_the_numbers_of_the_command(qtbot, pickup, page, project, capsys, added):
    found = swept(qtbot, page, added)
    words = [w for a in added.split(",") for w in ("--added", a.strip())]
    capsys.readouterr()
    assert main(["sweep", str(project), "--mode", pickup.session.mode, *words, "--json"]) == 0
    told = [r for r in json.loads(capsys.readouterr().out)["rows"] if r["changes"] or r.get("failed")]
    by_joint = {(r["joint"], r["added_mohm"]): r for r in told}
    assert found.rows
    listed = set()
    for number, row in enumerate(found.rows):
        index = page.rows.index(number, 0)
        added_mohm = "open" if row.added_ohm == float("inf") else row.added_ohm * 1e3
        same = by_joint[row.joint, added_mohm]
        assert [(c.reading, c.clean, c.bad) for c in row.changes] == [
            (c["reading"], pytest.approx(c["clean"]), pytest.approx(c["bad"])) for c in same["changes"]
        ]
        assert index.data(JOINT) == row.joint
        assert index.data(ABOUT) == row_words(row)
        assert index.data(ASIDE) == ("open" if added_mohm == "open" else f"+{added_mohm:g} mΩ")
        listed |= {(j, added_mohm) for j in (row.joint, *row.in_series)}
    assert listed == set(by_joint)  # each joint of the command stands in one row
    assert f"{len(found.rows)} joints would be noticed" in page.said.text()


def test_ranked_by_what_one_would_notice(qtbot, page):
    found = swept(qtbot, page, "200")
    weights = [round(row.weight, 6) for row in found.rows if not row.failed]
    assert weights == sorted(weights, reverse=True)
    assert weights[0] > weights[-1]


def test_a_row_leads_to_its_joint(qtbot, pickup, page):
    found = swept(qtbot, page, "200")
    number = next(n for n, row in enumerate(found.rows) if row.joint.startswith("GP2"))
    index = page.rows.index(number, 0)
    page.list.scrollTo(index)
    spot = page.list.visualRect(index).center()
    qtbot.mouseClick(page.list.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert "GP2" in pickup.session.selection or pickup.diagram.scene.place_of("GP2") is not None
    assert page.isVisible()
    qtbot.keyClick(page.list, Qt.Key.Key_Return)
    assert pickup.session.chosen == found.rows[number].joint
    assert pickup.drawer.page_id == "ground_map"
    pickup.drawer.open("sweep")
    qtbot.keyClick(page.list, Qt.Key.Key_Return)  # a joint that is chosen already leads there, too
    assert pickup.drawer.page_id == "ground_map"


def test_stopped_it_shows_nothing(qtbot, pickup, page):
    page.field.setText("1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, open")
    qtbot.mouseClick(page.start_button, Qt.MouseButton.LeftButton)
    assert page.bar.isVisible()
    assert not page.start_button.isEnabled()
    assert "one at a time" in page.said.text()
    qtbot.mouseClick(page.stop_button, Qt.MouseButton.LeftButton)
    assert page.sweeping.progress is None
    assert not page.bar.isVisible()
    qtbot.wait(300)
    assert page.sweeping.found is None
    assert page.rows.rowCount() == 0
    assert page.start_button.isEnabled()


@pytest.mark.parametrize("wrong", ["", "-5", "much", "50, x"])
def test_what_is_no_resistance_is_told(qtbot, page, wrong):
    page.field.setText(wrong)
    qtbot.keyClick(page.field, Qt.Key.Key_Return)
    assert "write milliohms above 0, or open" in page.said.text()
    assert page.sweeping.progress is None


def test_it_says_when_the_state_is_another(qtbot, pickup, page):
    swept(qtbot, page, "50")
    assert "start again" not in page.said.text()
    before = pickup.session.solution
    qtbot.mouseClick(pickup.strip.buttons["key_on"], Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: pickup.session.solution is not before)
    assert "start again" in page.said.text()
