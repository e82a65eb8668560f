"""What holds for every sample vehicle: it is whole, solves in every mode, is saved as it stands, no load is idle."""

from collections import defaultdict
from collections.abc import Iterator
from itertools import combinations, pairwise
from pathlib import Path

import pytest

from harness_studio.base.ids import split_point
from harness_studio.electrics.heat.ampacity import free_air
from harness_studio.electrics.heat.cable import Cable
from harness_studio.electrics.solution import Solution
from harness_studio.electrics.solve import solve
from harness_studio.model.edits import Together
from harness_studio.model.harness import Harness
from harness_studio.model.parts import Part
from harness_studio.model.removal import removal_edits
from harness_studio.network.expand import expand
from harness_studio.placing.homes import homes
from harness_studio.placing.outlines import symbols
from harness_studio.placing.routes import routes
from harness_studio.standards.figures import Figure
from harness_studio.storage.project_file import read_project, render
from tests.support.physics import assert_physics
from tests.support.ways import on_each_other, overlapping

VEHICLES = ("estuary_pickup", "track_buggy", "trailer_wiring")
SOLD_MM2 = {0.35, 0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0}
"""Nominal cross-sections of ISO 6722-1."""
FLOATING = {
    ("estuary_pickup", "parked"): ["W277, W278, W279, W294"],
    ("estuary_pickup", "key_on"): ["W277, W278, W279, W294"],
    ("estuary_pickup", "cranking"): ["W277, W278, W279, W294"],
    ("estuary_pickup", "lamp_check"): ["W277, W278, W279, W294"],
    ("track_buggy", "stored"): ["W14, W15"],
}
"""Wires between two open contacts: the feed of an uncoupled trailer, the start signal with the key off."""
WEAK_FUSES = {("estuary_pickup", "F25")}
"""Deliberate weaknesses: fuses larger than their wires bear."""
SOURCES = {"battery", "alternator"}


@pytest.fixture(scope="module", params=VEHICLES)
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="module")
def file(name: str, sample_projects_dir: Path) -> Path:
    return sample_projects_dir / f"{name}.yaml"


@pytest.fixture(scope="module")
def harness(file: Path) -> Harness:
    return read_project(file).harness


@pytest.fixture(scope="module")
def solved(harness: Harness) -> dict[str, Solution]:
    return {mode: solve(expand(harness, mode)) for mode in harness.modes}


def test_the_file_says_first_that_everything_in_it_is_invented(file: Path) -> None:
    head = file.read_text(encoding="utf-8").partition("harness_studio:")[0]
    assert head.startswith("#")
    assert "our own invention" in head
    assert "no vehicle maker's data" in " ".join(head.replace("#", "").split())


def test_saving_it_unchanged_changes_nothing(file: Path) -> None:
    opened = read_project(file)
    assert render(opened.harness, opened) == file.read_text(encoding="utf-8")


def test_physics_holds_in_every_mode_and_only_what_is_meant_to_floats(
    name: str, solved: dict[str, Solution]
) -> None:
    for mode, solution in solved.items():
        assert_physics(solution)
        floating = [u.what.rpartition(": ")[2] for u in solution.unsolved]
        assert floating == FLOATING.get((name, mode), []), mode


def test_there_are_three_bodies_or_places_and_ways_between_them(harness: Harness) -> None:
    places = [(b.id, p) for b in harness.bodies.values() for p in b.places_mohm]
    assert len(places) >= 3
    used = {g.place for g in harness.grounds.values()}
    assert all(place is not None for place in used)
    assert len(used) == len(harness.grounds)


def test_no_wire_is_half_known(harness: Harness) -> None:
    drains = {m.shield for m in harness.multicores.values()}
    for wire in harness.wires.values():
        assert wire.area_mm2 in SOLD_MM2, wire.id
        assert wire.insulation, wire.id
        assert wire.circuit, wire.id
        assert wire.colour or wire.id in drains, wire.id
        assert wire.length_mm or (wire.runs and wire.tails_mm), wire.id
        assert all(end.point or (end.what == "cut" and wire.id in drains) for end in wire.ends), wire.id
        for here, there in pairwise([set(harness.runs[run].ends) for run in wire.runs]):
            assert here & there, f"the runs of {wire.id} do not meet"


def cavities_in_use(harness: Harness) -> dict[str, list[str]]:
    used: dict[str, list[str]] = defaultdict(list)
    for wire in harness.wires.values():
        for end in wire.ends:
            if end.point and split_point(end.point)[0] in harness.halves:
                used[end.point].append(wire.id)
    return used


def test_every_cavity_is_used_once_or_said_to_be_empty(harness: Harness) -> None:
    used = cavities_in_use(harness)
    for half in harness.halves.values():
        assert half.face is not None, half.id
        for cavity in half.cavity_names():
            known = half.cavities.get(cavity)
            empty = known is not None and (known.plug == "fitted" or known.needed == "unused")
            assert len(used.get(f"{half.id}.{cavity}", ())) == (0 if empty else 1), f"{half.id}.{cavity}"


def test_mated_faces_mirror_each_other(harness: Harness) -> None:
    # Two mating faces are seen from opposite sides: each row of one reads backwards on the other.
    for half in harness.halves.values():
        for other in half.mates:
            face, mate = half.face, harness.halves[other].face
            assert face is not None
            assert mate is not None
            assert mate.rows == tuple(row[::-1] for row in face.rows)
            assert dict(mate.at_mm) == {c: (-x, y) for c, (x, y) in face.at_mm.items()}
            assert {half.gender, harness.halves[other].gender} == {"pin", "socket"}


def test_every_ring_is_stacked(harness: Harness) -> None:
    for ground in harness.grounds.values():
        ends = [w.id for w in harness.wires.values() for e in w.ends if e.point == ground.id]
        assert sorted(w for ring in ground.stack for w in ring) == sorted(ends), ground.id
        assert len(ground.stack) <= 4, ground.id


def test_no_two_loads_are_alike_but_left_and_right(harness: Harness) -> None:
    def side(part: Part) -> str:
        return (part.title or "").replace("left", "right")

    loads = [p for p in harness.parts.values() if p.kind not in ("fuse", "switch", "box", "bus_bar")]
    for first, second in combinations(loads, 2):
        if first.kind == second.kind and first.ratings == second.ratings:
            assert side(first) == side(second), f"{first.id} and {second.id}"


def test_no_wire_nears_what_its_insulation_bears(solved: dict[str, Solution]) -> None:
    for mode, solution in solved.items():
        conductors = solution.network.conductors
        assert solution.wire_c is not None
        addresses = solution.network.branches.address
        for branch, celsius, limit in zip(
            conductors.branch.tolist(), solution.wire_c.tolist(), conductors.limit_c.tolist(), strict=True
        ):
            assert celsius < limit - 10.0, f"{addresses[branch]} in {mode}"


def test_fuses_carry_their_loads_with_a_fifth_to_spare(harness: Harness, solved: dict[str, Solution]) -> None:
    """At least 1.25 times the load (trade figure, seen on a supplier's page)."""
    for part in harness.parts.values():
        if part.kind == "fuse":
            most = max(abs(s.joint(part.id).amperes) for s in solved.values())
            assert most <= 0.8 * part.ratings.rated_a, part.id


def test_every_fuse_protects_its_wires(name: str, harness: Harness) -> None:
    """No fuse above what any wire behind it carries in free air where it lies; closed or open, all contacts count."""
    network = expand(harness, next(iter(harness.modes)))
    at = dict(zip(network.conductors.branch.tolist(), network.conductors.ambient_c.tolist(), strict=True))
    for fuse, wires in wires_behind_fuses(harness).items():
        rated_a = harness.parts[fuse].ratings.rated_a
        for wire in wires:
            known = harness.wires[wire]
            assert known.area_mm2 is not None
            ambient_c = at[network.branches.address.index(wire)]
            bears = free_air(Cable(known.area_mm2, known.insulation), ambient_c)
            assert isinstance(bears, Figure)
            assert (rated_a > bears.value) == ((name, fuse) in WEAK_FUSES), f"{fuse}, {wire}: {bears.value}"


def wires_behind_fuses(harness: Harness) -> dict[str, set[str]]:
    """Return for each fuse the wires that metal joins to its outer side, whatever any switch or relay does."""
    near: dict[str, set[str]] = defaultdict(set)

    def join(first: str, second: str) -> None:
        near[first].add(second)
        near[second].add(first)

    for wire in harness.wires.values():
        for end in wire.ends:
            if end.point and not end.point.startswith(tuple(f"{b}." for b in harness.bodies)):
                join(f"~{wire.id}", end.point)
    for half in harness.halves.values():
        for cavity in half.cavity_names():
            known = half.cavities.get(cavity)
            if half.part:
                join(f"{half.id}.{cavity}", f"{half.part}.{(known and known.terminal) or cavity}")
            for other, pairs in half.mates.items():
                join(f"{half.id}.{cavity}", f"{other}.{pairs[cavity] if pairs else cavity}")
    for part in harness.parts.values():
        for bus in getattr(part.ratings, "buses", ()):
            for member in bus[1:]:
                join(bus[0], member)
        for groups in getattr(part.ratings, "positions", {}).values():
            for group in groups:
                for first, second in pairwise(group):
                    join(f"{part.id}.{first}", f"{part.id}.{second}")
        if part.kind == "relay":
            join(f"{part.id}.30", f"{part.id}.87")
        if part.kind == "flasher":
            join(f"{part.id}.49", f"{part.id}.49a")
    fuses = [p.id for p in harness.parts.values() if p.kind == "fuse"]
    return {f: {n[1:] for n in reached(near, f"{f}.out", set(harness.grounds)) if n[0] == "~"} for f in fuses}


def reached(near: dict[str, set[str]], start: str, ends: set[str]) -> set[str]:
    seen, waiting = {start}, [start]
    while waiting:
        for other in near[waiting.pop()] - seen - ends:
            seen.add(other)
            waiting.append(other)
    return seen


def drawn(harness: Harness) -> Iterator[str]:
    for section in ("parts", "halves", "splices", "grounds", "bodies"):
        yield from harness.tables[section]


def test_everything_stands_on_some_page_and_nothing_on_anything_else(harness: Harness) -> None:
    seen: set[str] = set()
    for page in harness.pages.values():
        seen.update(homes(harness, page))
        symbols_here = symbols(harness, page)
        assert set(symbols_here) == set(page.items), page.id
        assert overlapping(page, symbols_here) == [], page.id
        assert on_each_other(routes(harness, page, symbols_here)) == [], page.id
        assert all(at.x_mm % 2 == 0 == at.y_mm % 2 for at in page.items.values()), page.id
        assert min(min(at.x_mm, at.y_mm) for at in page.items.values()) > 0, page.id
    assert set(drawn(harness)) - seen == set()


@pytest.mark.slow
def test_taking_any_load_away_changes_a_number(harness: Harness, solved: dict[str, Solution]) -> None:
    before = {mode: dict(s.points()) for mode, s in solved.items()}
    network = next(iter(solved.values())).network
    for part in dict.fromkeys(e.part for e in network.elements if e.kind not in SOURCES):
        put_back, _ = Together(tuple(removal_edits(harness, [("parts", part)]))).apply(harness)
        try:
            assert any(moved(harness, mode, points, part) for mode, points in before.items()), part
        finally:
            put_back.apply(harness)


def moved(harness: Harness, mode: str, before: dict[str, float | None], part: str) -> bool:
    """Tell whether some point of the rest of the harness moved by more than a millivolt."""
    now = dict(solve(expand(harness, mode)).points())
    rest = {k: v for k, v in before.items() if not k.startswith(f"{part}.")}
    return any(
        v is not None and (now.get(k) is None or abs((now[k] or 0.0) - v) > 1e-3) for k, v in rest.items()
    )
