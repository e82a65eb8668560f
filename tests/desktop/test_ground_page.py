"""The ground map page says of each load what solve, shares and sweep say."""

import math

import pytest
from PySide6.QtCore import Qt

from harness_studio.desktop.load_readings import other_grounds, short_words
from harness_studio.desktop.proof import lines_of, proof_of
from harness_studio.desktop.share_rows import ASIDE, CLEAN, NOTICED
from harness_studio.electrics.readings import readings
from harness_studio.electrics.solve import solve
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from tests.support.pointing import click


def row_of(page, start):
    model = page.list.model()
    return next(
        model.index(i, 0) for i in range(model.rowCount()) if model.index(i, 0).data().startswith(start)
    )


@pytest.fixture
def ground(qtbot, pickup):
    click(pickup, "GP2")
    qtbot.waitUntil(lambda: bool(pickup.session.forecast.shown))
    return pickup


def test_readings_now_and_clean_are_those_of_solve(ground):
    harness, page = ground.session.harness, ground.drawer.ground_map
    now = readings(harness, solve(expand(harness, "braking")))
    clean = readings(harness, solve(expand(harness, "braking", clean=True)))
    pump = row_of(page, "M2 ")
    assert pump.data(ASIDE) == f"{now['M2 volts'].value:.1f} V"
    assert pump.data(CLEAN) == f"{clean['M2 volts'].value:.1f} V"
    assert pump.data(NOTICED) == (clean["M2 volts"].value - now["M2 volts"].value >= 0.1)
    lamp = row_of(page, "E5 ")
    assert lamp.data(ASIDE) == f"{now['E5/stop light'].value:.0f} % light"
    assert lamp.data(CLEAN) == f"{clean['E5/stop light'].value:.0f} % light"
    sender = row_of(page, "B1 ")
    assert sender.data(ASIDE) == f"{now['P1 needle'].value:.2f} of scale"
    assert "read by P1" in dict(page.listed)["B1 tank sender"]


def test_loads_with_another_way_back_say_which(ground):
    listed = dict(ground.drawer.ground_map.listed)
    assert "also by GP5" in listed["M2 fuel pump"]
    assert "also by GP5" in listed["E5 rear lamp left"]
    assert not any("GP1" in sub for sub in listed.values())  # in series with all of them, no other way


def test_with_the_other_ground_open_the_joint_is_the_only_way(qtbot, ground):
    session = ground.session
    session.set_overrides(Overrides().with_joint("GP5", math.inf))
    qtbot.waitUntil(lambda: not session.computed.stale)
    found = session.ground_map()
    pump = next(row for row in found.rows if row.part == "M2" and row.side == "return")
    assert pump.way == "only"
    assert pump.point not in other_grounds(session, found)


def test_if_it_were_is_what_solve_says_of_each_resistance(qtbot, ground):
    page, harness = ground.drawer.ground_map.if_it_were, ground.session.harness
    assert page.isVisible()
    assert page.title.text() == "If it were · M2 fuel pump, volts"
    assert [head.text() for head, _ in page.cells] == ["5 mΩ", "20 mΩ", "50 mΩ", "200 mΩ", "open"]
    for (_, value), ohm in zip(page.cells, (0.005, 0.02, 0.05, 0.2, math.inf), strict=True):
        whole = solve(expand(harness, "braking", Overrides().with_joint("GP2", ohm)))
        assert float(value.text().removesuffix(" V")) == pytest.approx(
            readings(harness, whole)["M2 volts"].value, abs=0.03  # its wires stay as warm as they are
        )  # fmt: skip


def test_if_it_were_tells_of_the_selected_load(qtbot, ground):
    page = ground.drawer.ground_map
    spot = page.list.visualRect(row_of(page, "E6 ")).center()
    qtbot.mouseClick(page.list.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert page.if_it_were.title.text() == "If it were · E6 rear lamp right, light"
    assert all(value.text().endswith(" %") for _, value in page.if_it_were.cells)


def test_the_proof_is_what_the_meter_shows(ground):
    session = ground.session
    found = proof_of(session, session.ground_map())
    now = solve(expand(session.harness, "braking"))
    clean = solve(expand(session.harness, "braking", clean=True))
    assert (found.plus, found.minus, found.mode) == ("GP2", "GB1.31", "Braking")
    assert found.now_v == pytest.approx(now.volt("GP2"))
    assert found.clean_v == pytest.approx(clean.volt("GP2"))
    assert found.limit_v == 0.1
    said = "\n".join(lines_of(found))
    assert "0.18 V as it stands, 4.1 mV if every joint is clean" in said
    assert said.endswith("over it")
    assert ground.drawer.ground_map.proof.isVisible()


def test_the_proof_of_a_fuse_is_across_it(qtbot, pickup):
    click(pickup, "F4")
    session = pickup.session
    found = proof_of(session, session.ground_map())
    solution = session.solution
    assert (found.plus, found.minus) == ("F4.in", "F4.out")
    assert found.now_v == pytest.approx(solution.volt("F4.in") - solution.volt("F4.out"))
    assert found.now_v >= solution.joint("F4").drop_v > 0.0  # the blades' clips lie between the tips too
    assert found.limit_v is None


def test_without_current_it_says_that_nothing_would_be_said(qtbot, pickup):
    click(pickup, "GP2")
    session = pickup.session
    off = Overrides().with_load("M2", "off").with_position("S1", "released").with_engine("off")
    session.set_overrides(off.with_pulled("F2", True))
    qtbot.waitUntil(lambda: not session.computed.stale)
    found = proof_of(session, session.ground_map())
    assert "would say nothing" in lines_of(found)[-1]


def test_nothing_chosen_shows_neither(pickup):
    page = pickup.drawer.ground_map
    assert page.if_it_were.isHidden()
    assert page.proof.isHidden()


def test_values_in_a_narrow_column():
    assert short_words(11.24, "volts", "V") == "11.2 V"
    assert short_words(0.2, "light", "%") == "dark"
    assert short_words(None, "measured", "°C") == "none"
    assert short_words(0.753, "needle", "of scale") == "0.75 of scale"


def test_where_little_is_left_it_says_so(qtbot, ground):
    session = ground.session
    session.set_overrides(Overrides().with_joint("GP2", 5.0))
    qtbot.waitUntil(lambda: not session.computed.stale)
    said = ground.drawer.ground_map.sentence.text()
    assert said == "No load sends as much as 5 % of its current through here as it stands."
    assert all(abs(row.share) < 0.05 for row in session.ground_map().rows)
