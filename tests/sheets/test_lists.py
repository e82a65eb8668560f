"""Lists: every wire, fuse and splice once, and the numbers of the solver."""

import re
from collections import Counter
from dataclasses import replace

import pytest

from harness_studio.checks.runner import check
from harness_studio.checks.scope import scope_of
from harness_studio.electrics.shares import shares
from harness_studio.electrics.solve import solve
from harness_studio.network.expand import expand
from harness_studio.sheets import binding
from harness_studio.sheets.fuse_card import fuse_colour
from tests.sheets import reading
from tests.sheets.conftest import harness_named


def runs(content: bytes) -> list[reading.Run]:
    return [r for page in reading.pages(content) for r in page.runs]


def first_column(content: bytes, pattern: str) -> Counter[str]:
    """Return how often each id stands at the left edge of a table."""
    return Counter(
        r.text for r in runs(content) if abs(r.left - 16.0) < 0.25 and re.fullmatch(pattern, r.text)
    )


@pytest.mark.parametrize("sheet", ["wires", "cutting", "ringing"])
@pytest.mark.parametrize("name", ["first", "medium"])
def test_every_wire_is_listed_once(printed, sheet: str, name: str) -> None:
    harness = harness_named(name)
    found = first_column(printed(sheet, name=name), r"W\w+")
    assert {w: found[w] for w in harness.wires} == dict.fromkeys(harness.wires, 1)


def test_the_cut_list_sums_lengths_by_size_and_colour(printed) -> None:
    lines = runs(printed("cutting"))
    start = next(r.top for r in lines if r.text == "Length by size and colour")
    row = [r for r in lines if r.top > start and r.text == "yellow (YE)"]
    assert len(row) == 1
    # 2270 + 1700 + 1920 mm: W11, W21 and W22 with their runs, tails and slack, added by hand from the file.
    assert "5.89 m" in [r.text for r in lines if abs(r.top - row[0].top) < 0.6]


def test_every_fuse_and_relay_stands_on_the_card_once(printed) -> None:
    parts = harness_named("medium").parts.values()
    wanted = [p.id for p in parts if p.kind in ("fuse", "breaker", "link", "relay", "flasher")]
    assert wanted
    found = first_column(printed("fuses", name="medium"), r"[A-Z]+\w*")
    assert {p: found[p] for p in wanted} == dict.fromkeys(wanted, 1)


def test_a_fuse_says_what_flows_and_which_colour_to_look_for(printed) -> None:
    harness = harness_named("first")
    lines = runs(printed("fuses"))
    row = next(r for r in lines if r.text == "F4")
    said = " ".join(r.text for r in lines if abs(r.top - row.top) < 0.6)
    flow = abs(solve(expand(harness, "braking")).joint("F4").amperes)
    assert f"{flow:.2f} A" in said
    assert "15 A" in said
    assert "light blue" in said


def test_fuse_colours() -> None:
    # ISO 8820-3, colour code of blade fuses (from memory).
    assert fuse_colour("blade_medium", 10)[0] == "red"
    assert fuse_colour("blade_medium", 20.0)[0] == "yellow"
    assert fuse_colour("blade_miniature", 7.5)[0] == "brown"
    assert fuse_colour("blade_medium", 11) == ("", None)
    assert fuse_colour(None, 10) == ("", None)


def test_shares_of_a_ground_are_those_of_the_solver(printed) -> None:
    harness = harness_named("first")
    network = expand(harness, "braking")
    found = shares(network, solve(network), "GP2")
    lines = [r.text for r in runs(printed("grounds"))]
    rise = found.rise_v
    assert rise is not None
    flow = f"{abs(found.joint_amperes):.2f}"
    assert any(f"Braking: {rise:.2f} V rise, {flow} A through the stud" in t for t in lines)
    pump = next(r for r in found.rows if r.part == "M2")
    assert any(t == f"{pump.share * 100:.0f} % · {pump.share * pump.amperes:.2f} A" for t in lines)


def test_the_stack_is_told_from_the_metal_upwards(printed) -> None:
    page = next(p for p in reading.pages(printed("grounds")) if "GP2" in p.text)
    level = {w: next(r.top for r in page.runs if r.text.startswith(f"{w}:")) for w in ("W31", "W40", "W41")}
    # As in the file: [[W31], [W40], [W41]], the one next to the metal first.
    assert level["W41"] < level["W40"] < level["W31"]


def test_a_splice_names_all_its_wires(printed) -> None:
    text = " ".join(r.text for r in runs(printed("splices")))
    for wire in ("W26", "W27", "W31", "W33"):
        assert text.count(f"{wire} ") == 1
    assert "1180 mm along bed_left" in text


def test_readings_of_the_test_sheet_are_those_of_the_solver(printed) -> None:
    harness = harness_named("first")
    lines = runs(printed("testing"))
    row = next(r for r in lines if r.text.startswith("volts at M2"))
    said = [r.text for r in lines if abs(r.top - row.top) < 4.0]
    now = solve(expand(harness, "braking"))
    clean = solve(expand(harness, "braking", clean=True))
    for solution in (now, clean):
        high, low = solution.volt("M2.15"), solution.volt("M2.31")
        assert high is not None
        assert low is not None
        assert f"{high - low:.2f} V" in said


def test_power_in_the_budget_is_what_the_loads_take(printed) -> None:
    solution = solve(expand(harness_named("first"), "braking"))
    used = sum(found.watts for part, found in solution.parts() if part not in ("GB1", "G1"))
    assert f"{used:.0f} W" in [r.text for r in runs(printed("budget"))]


def test_contacts_and_plugs_are_counted(printed) -> None:
    lines = runs(printed("parts"))
    # From the file by hand: X7 and X8 have three wired cavities and three plugs each.
    row = next(r for r in lines if r.text == "cavity plug")
    assert next(r.text for r in lines if abs(r.top - row.top) < 0.6) == "6"


def test_findings_are_those_of_the_checks(printed) -> None:
    found = check(scope_of(harness_named("first")))
    text = " ".join(reading.texts(printed("findings")))
    assert found
    for grade in ("stop", "mend", "note"):
        count = sum(f.grade == grade and f.accepted is None for f in found)
        assert f"{count} {grade}" in text
    listed = first_column(printed("findings"), r"\d+")
    assert sum(listed.values()) == sum(f.accepted is None for f in found)


def test_a_way_to_find_ampacity_of_the_projects_own_is_printed(job_for) -> None:
    job = job_for("first")
    limits = replace(job.harness.settings.limits, ampacity="iso_6722")
    harness = job.harness.snapshot()
    harness.tables["settings"][""] = replace(harness.settings, limits=limits)
    content = binding.document(replace(job, harness=harness), ("cover", "findings"))
    said = " ".join(reading.texts(content))
    assert "Ampacity by handbook table iso 6722, this project's own choice" in said
    assert "ampacity by handbook table iso_6722." in said
