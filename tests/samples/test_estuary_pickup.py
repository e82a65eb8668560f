"""The Estuary pickup as a vehicle electrician would read it: volts, amperes, needles, shares, and three weaknesses.

Ranges were written before the first run. Amperes: typical 12 V loads, trade figures seen on a supplier's page. Volts
and limits: workshop practice (trade articles). What no source gives is marked.
"""

import pytest

from harness_studio.checks.finding import Finding
from harness_studio.checks.runner import check
from harness_studio.checks.scope import scope_of
from harness_studio.electrics.readings import Reading, readings
from harness_studio.electrics.shares import shares
from harness_studio.electrics.sneak import sneak_paths
from harness_studio.electrics.solution import Solution
from harness_studio.electrics.solve import solve
from harness_studio.model.edits import Together
from harness_studio.model.harness import Harness
from harness_studio.model.removal import removal_edits
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from tests.support.told import amperes, value, volts

SAMPLE = "estuary_pickup"

RUNNING = ("cruise", "rain_idle", "night", "towing", "reversing", "winching")


def test_it_holds_what_a_whole_vehicle_holds(harness: Harness) -> None:
    kinds = [p.kind for p in harness.parts.values()]
    assert 200 <= len(harness.wires) <= 260
    assert len(harness.halves) >= 60
    assert 20 <= len(harness.splices) <= 27
    assert len(harness.grounds) == 10
    assert (kinds.count("fuse"), kinds.count("relay")) == (25, 12)
    assert set(harness.bodies) == {"shell", "engine", "frame"}
    assert {g.place.partition(".")[0] for g in harness.grounds.values() if g.place} == set(harness.bodies)
    assert len(harness.bonds) >= 4
    assert len(harness.modes) >= 6
    assert {p.ratings.movement for p in harness.parts.values() if p.kind == "gauge"} == {
        "two_coil",
        "bimetal",
    }
    assert len(harness.pages) >= 6
    assert sorted(c.closed for c in harness.tables["cases"].values()) == [False, False, True]


LOADS_A = [
    ("cruise", ("M2",), 4.0, 8.0),  # in-tank injection pump
    ("cruise", ("T1",), 1.5, 3.5),  # ignition
    ("rain_idle", ("E1", "E2"), 8.0, 9.0),  # low beams, the pair
    ("rain_idle", ("M4",), 6.0, 10.0),  # blower
    ("rain_idle", ("M5",), 3.0, 6.0),  # wiper
    ("night", ("E15",), 0.45, 0.55),  # plate lamp
    ("night", ("E30", "E31"), 1.5, 3.0),  # dash lights
    ("cruise", ("A6",), 2.0, 5.0),  # radio
    ("reversing", ("E13", "E14"), 3.5, 4.0),  # reversing lamps
    ("cranking", ("M1",), 75.0, 300.0),  # starter
    ("cruise", ("K1",), 0.1, 0.2),  # a relay's coil (from memory)
]


@pytest.mark.parametrize(("mode", "parts", "low", "high"), LOADS_A)
def test_loads_draw_what_such_loads_draw(
    solved: dict[str, Solution], mode: str, parts: tuple[str, ...], low: float, high: float
) -> None:
    assert low <= amperes(solved[mode], *parts) <= high


@pytest.mark.parametrize("mode", [m for m in RUNNING if m not in ("rain_idle", "winching")])
def test_it_charges_while_it_runs(solved: dict[str, Solution], mode: str) -> None:
    solution = solved[mode]
    assert 13.5 <= volts(solution, "G1.B+", "G1.B-") <= 14.5
    assert volts(solution, "GB1.30", "GB1.31") >= 13.6
    assert (
        1.0 <= dict(solution.parts())["GB1"].terminals["GB1.30"] <= 7.0
    )  # 5 % of its Ah and less (from memory)
    assert amperes(solution, "G1") <= 0.8 * 90.0  # 20 % headroom
    assert volts(solution, "G1.B+", "GB1.30") <= 0.2
    assert abs(volts(solution, "GB1.31", "G1.B-")) <= 0.2


def test_at_idle_with_everything_on_the_alternator_just_keeps_up(solved: dict[str, Solution]) -> None:
    solution = solved["rain_idle"]
    assert 45.0 <= amperes(solution, "G1") <= 55.0  # half of what it gives at speed, and a little more
    assert volts(solution, "GB1.30", "GB1.31") >= 13.2


def test_the_winch_lives_on_the_battery(solved: dict[str, Solution]) -> None:
    solution = solved["winching"]
    assert solution.states["K12"] == "pulled in"
    assert dict(solution.parts())["GB1"].terminals["GB1.30"] < -30.0
    assert volts(solution, "M7.15", "M7.31") >= 10.8


def test_it_cranks(solved: dict[str, Solution]) -> None:
    """Feed 0.5 V, ground 0.2 V at most, battery 9.5 to 10.5 V while cranking."""
    solution = solved["cranking"]
    assert solution.states["M1"] == "pulled in"
    assert 9.5 <= volts(solution, "GB1.30", "GB1.31") <= 10.5
    assert volts(solution, "GB1.30", "M1.30") <= 0.5
    assert volts(solution, "M1.31", "GB1.31") <= 0.2
    assert solution.states["A1/FP"] == "on"
    assert solution.states["K8"] == "released"  # accessories drop out in 'start'


def test_parked_it_draws_no_more_than_such_vehicles_do(solved: dict[str, Solution]) -> None:
    """20 to 50 mA (trade articles)."""
    assert 0.02 <= -dict(solved["parked"].parts())["GB1"].terminals["GB1.30"] <= 0.05


def test_lamps_are_bright_when_it_runs(read: dict[str, dict[str, Reading]]) -> None:
    lit = {k: r.value for k, r in read["night"].items() if r.what == "light" and (r.value or 0.0) > 1.0}
    assert {"E1/high light", "E5 light", "E11/tail light", "E30 light", "P12 light"} <= set(lit)
    assert all(95.0 <= (v or 0.0) <= 110.0 for v in lit.values())


def test_needles_stand_where_their_senders_are(read: dict[str, dict[str, Reading]]) -> None:
    assert value(read["cruise"], "P1 needle") == pytest.approx(0.5, abs=0.03)
    assert value(read["night"], "P1 needle") == pytest.approx(0.25, abs=0.03)
    assert value(read["cruise"], "P2 needle") == pytest.approx(0.5, abs=0.02)
    assert value(read["key_on"], "P2 needle") == pytest.approx(0.0, abs=0.02)
    assert value(read["cruise"], "P4 needle") == pytest.approx((14.2 - 8.0) / 8.0, abs=0.03)


def test_warning_lamps_glow_when_the_engine_rests(read: dict[str, dict[str, Reading]]) -> None:
    for lamp in ("P10", "P11", "P15"):
        assert value(read["key_on"], f"{lamp} light") > 40.0
        assert value(read["cruise"], f"{lamp} light") < 1.0


def test_the_trailer_is_charged_only_while_the_alternator_turns(solved: dict[str, Solution]) -> None:
    assert solved["towing"].states["K11"] == "pulled in"
    assert solved["key_on"].states["K11"] == "released"


def test_nothing_sneaks(solved: dict[str, Solution]) -> None:
    for solution in solved.values():
        assert sneak_paths(solution.network, solution) == []


@pytest.mark.parametrize(
    ("joint", "elements"),
    [
        ("GP9", ("M2", "E11/stop", "E12/stop", "E21/stop", "B10")),
        ("GP10", ("M2", "E11/stop", "E21/stop", "B10")),
        ("GP1", ("M4", "M2", "E1/low", "E12/stop")),
        ("W8", ("M4", "M2", "E1/low", "E25")),
        ("W9", ("M4", "M2", "E1/low", "E25")),
        ("GP5", ("M4", "M5", "A1/INJ1")),
    ],
)
def test_returns_part_between_several_ways(
    solved: dict[str, Solution], joint: str, elements: tuple[str, ...]
) -> None:
    solution = solved["towing"]
    found = {row.element: row for row in shares(solution.network, solution, joint).rows}
    for element in elements:
        assert 0.05 < abs(found[element].share) < 0.95, element
        assert found[element].way in ("main", "some")


def test_the_rear_stud_rises_with_pump_lamps_and_trailer(
    harness: Harness, solved: dict[str, Solution], read: dict[str, dict[str, Reading]]
) -> None:
    """Weakness 1. A ground may rise 0.1 V."""
    rise = {mode: volts(solved[mode], "GP9", "GB1.31") for mode in ("cruise", "towing")}
    assert rise["cruise"] > 0.1
    assert rise["towing"] > 0.3
    assert volts(solved["towing"], "GP10", "GB1.31") < 0.06
    assert value(read["cruise"], "P1 needle") - value(read["towing"], "P1 needle") > 0.025
    cleaned = solve(expand(harness, "towing", Overrides().with_joint("GP9", 0.0002)))
    assert volts(cleaned, "GP9", "GB1.31") < 0.06
    mended = readings(harness, cleaned)
    assert value(mended, "P1 needle") > 0.49
    assert value(mended, "M2 speed") - value(read["towing"], "M2 speed") > 2.0


def test_the_blower_raises_the_sensor_ground(
    harness: Harness, solved: dict[str, Solution], read: dict[str, dict[str, Reading]]
) -> None:
    """Weakness 2. A sensor's ground may lie 50 mV above its unit's (from memory)."""
    assert volts(solved["rain_idle"], "X49.2", "X57.10") > 0.05
    assert abs(volts(solved["cruise"], "X49.2", "X57.10")) < 0.02
    assert value(read["rain_idle"], "A1/ECT measured") < 88.0 - 5.0  # sender at 88 °C
    assert value(read["cruise"], "A1/ECT measured") == pytest.approx(88.0, abs=2.0)
    cut, _ = Together(tuple(removal_edits(harness, [("wires", "W71")]))).apply(harness)
    try:
        mended = readings(harness, solve(expand(harness, "rain_idle")))
    finally:
        cut.apply(harness)
    assert value(mended, "A1/ECT measured") == pytest.approx(88.0, abs=0.6)


def test_the_readings_of_the_cases_are_those_of_the_vehicle(
    harness: Harness, solved: dict[str, Solution]
) -> None:
    """As found now, or after the mend; within 5 % and 5 mV of what such a vehicle shows."""
    for case in harness.tables["cases"].values():
        for reading in case.readings:
            if (case.closed and not reading.after_mend) or reading.kind != "volts":
                continue
            assert reading.mode is not None
            assert reading.plus is not None
            assert reading.minus is not None
            expected = volts(solved[reading.mode], reading.plus, reading.minus)
            assert reading.value == pytest.approx(expected, rel=0.05, abs=0.005), f"{case.id}: {reading}"


def test_the_closed_case_comes_back_with_its_lug(harness: Harness) -> None:
    found = solve(expand(harness, "night", Overrides().with_joint("F3.out/W5", 0.017)))
    for reading in harness.tables["cases"]["night_charge"].readings:
        if reading.kind == "volts" and not reading.after_mend:
            assert reading.plus is not None
            assert reading.minus is not None
            expected = volts(found, reading.plus, reading.minus)
            assert reading.value == pytest.approx(expected, rel=0.05, abs=0.005)


@pytest.mark.slow
def test_check_stops_it_for_the_work_lamp_and_names_both_grounds(harness: Harness) -> None:
    findings = check(scope_of(harness))
    assert {i for f in findings if f.grade == "stop" for i in f.ids} == {"F25", "W340", "W341", "W342"}
    assert subjects(findings, "ground_rise") == {"GP9", "GP5"}
    assert {"B10", "B1"} <= subjects(findings, "sensor_rise")


def subjects(findings: tuple[Finding, ...], rule: str) -> set[str]:
    return {f.ids[0] for f in findings if f.rule == rule}
