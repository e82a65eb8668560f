"""Harness files made elsewhere, against an independent reading of them: every wire, every total, every group of points.

The files are samples that the publisher of the format offers (prostep ivip, CC BY-SA 4.0); they are no part of the
project. `expected.json` beside them was read from them by other means than this program.
"""

import json
from collections import Counter
from pathlib import Path
from typing import Any

import networkx as nx
import pytest

from harness_studio.base.changes import Changes
from harness_studio.intake.kbl import Imported, read_kbl
from harness_studio.model.conflicts import conflicts
from harness_studio.model.edits import check_references
from harness_studio.storage.project_file import parse, render

FILES = (
    "battery_minus_cable.kbl", "battery_plus_cable.kbl", "engine_harness.kbl", "gearbox_strap.kbl",
    "generator_harness.kbl",
)  # fmt: skip
#: Rings whose signals are terminal 30 (battery positive) in the files; the others are on signals of terminal 31.
FED_RINGS = {"battery_plus_cable.kbl": 2, "generator_harness.kbl": 1}
#: DIN 47002 codes that the files use, in IEC 60757.
CODES = {
    "sw": "BK", "br": "BN", "rt": "RD", "ge": "YE", "gn": "GN", "bl": "BU", "vi": "VT", "gr": "GY", "ws": "WH",
}  # fmt: skip


@pytest.fixture(params=FILES)
def sample(request: pytest.FixtureRequest, samples_dir: Path) -> tuple[Imported, dict[str, Any]]:
    folder = samples_dir / "kbl"
    expected = json.loads((folder / "expected.json").read_text(encoding="utf-8"))
    assert set(expected) == set(FILES)
    return read_kbl(folder / request.param), expected[request.param] | {"name": request.param}


def test_every_wire_is_as_it_was_read_elsewhere(sample: tuple[Imported, dict[str, Any]]) -> None:
    imported, expected = sample
    rows = [
        {
            "number": row.number, "kind": row.kind, "csa": row.csa, "colour": row.colour, "length_mm": row.length_mm,
            "a": list(row.a or ()), "b": list(row.b or ()), "signal": row.signal,
        }
        for row in imported.rows
    ]  # fmt: skip
    assert rows == expected["wires"]


def test_every_wire_of_the_harness_says_the_same(sample: tuple[Imported, dict[str, Any]]) -> None:
    imported, expected = sample
    harness = imported.harness
    original = {
        key: entity.known_as or key
        for section in ("halves", "splices", "grounds")
        for key, entity in harness.tables[section].items()
    }
    for wire, row in zip(harness.wires.values(), expected["wires"], strict=True):
        assert wire.known_as == row["number"]
        assert wire.area_mm2 == float(row["csa"])
        assert wire.colour == "/".join(CODES[code] for code in row["colour"].split("/"))
        assert wire.length_mm == row["length_mm"]
        assert wire.circuit == row["signal"]
        for end, (connector, cavity) in zip(wire.ends, (row["a"], row["b"]), strict=True):
            owner, _, name = (end.point or "").partition(".")
            assert original[owner] == connector
            assert name == (cavity if owner in harness.halves else "")


def test_every_total_is_as_it_was_counted_elsewhere(sample: tuple[Imported, dict[str, Any]]) -> None:
    imported, expected = sample
    totals, harness = imported.totals, imported.harness
    assert totals.halves + totals.splices + totals.grounds == expected["connectors"]
    assert (
        totals.halves - totals.rings_kept + totals.splices + expected["ring_terminals"]
        == expected["connectors"]
    )
    assert totals.grounds + totals.rings_kept == expected["ring_terminals"]
    assert totals.rings_kept == FED_RINGS.get(expected["name"], 0)
    assert totals.box_halves == expected["component_boxes"]
    assert totals.cavities == expected["cavities"]
    assert totals.splices == expected["splices"]
    assert totals.wires == expected["connections"] == len(harness.wires)
    assert totals.runs == expected["segments"] == len(harness.runs)
    assert len(harness.breakouts) == expected["nodes"]
    assert len(imported.modules_in_file) == expected["modules"]
    assert totals.wire_length_m == pytest.approx(expected["total_wire_length_m"], abs=1e-9)
    assert imported.version == expected["version"]
    assert Counter(row.csa for row in imported.rows) == expected["by_csa"]
    assert Counter(row.colour for row in imported.rows) == expected["by_colour"]


def test_wires_and_splices_join_the_points_they_should(sample: tuple[Imported, dict[str, Any]]) -> None:
    imported, expected = sample
    graph = nx.Graph()
    for wire in imported.harness.wires.values():
        graph.add_edge(wire.ends[0].point, wire.ends[1].point)
    assert sorted(map(len, nx.connected_components(graph)), reverse=True) == expected["net_sizes"]


def test_runs_are_ways_between_the_ends_of_their_wires(sample: tuple[Imported, dict[str, Any]]) -> None:
    harness = sample[0].harness
    spots = {
        key: entity.at.breakout
        for section in ("halves", "splices", "grounds")
        for key, entity in harness.tables[section].items()
    }
    for wire in harness.wires.values():
        at, end = (spots[(e.point or "").partition(".")[0]] for e in wire.ends)
        assert wire.runs
        for run in wire.runs:
            a, b = harness.runs[run].ends
            assert at in (a, b)
            at = b if at == a else a
        assert at == end


def test_the_harness_is_sound_and_can_be_saved(sample: tuple[Imported, dict[str, Any]]) -> None:
    harness = sample[0].harness
    check_references(harness, Changes(added=frozenset(harness.refs())))
    assert list(conflicts(harness)) == []
    assert parse(render(harness)).harness.tables == harness.tables


def test_each_ring_is_one_entry_of_its_grounds_stack(sample: tuple[Imported, dict[str, Any]]) -> None:
    harness = sample[0].harness
    for ground in harness.grounds.values():
        on_it = {w.id for w in harness.wires.values() if ground.id in (w.ends[0].point, w.ends[1].point)}
        assert {wire for ring in ground.stack for wire in ring} == on_it
        assert ground.assumed
        assert ground.place == f"unknown.{ground.id}"
        assert harness.bodies["unknown"].assumed


def test_a_file_of_every_field_with_made_up_values_is_read(samples_dir: Path) -> None:
    imported = read_kbl(samples_dir / "kbl" / "every_field_synthetic.kbl")
    assert (imported.totals.halves, imported.totals.cavities, imported.totals.wires) == (1, 1, 0)
    assert any("version_id0" in warning.what for warning in imported.warnings)
    check_references(imported.harness, Changes(added=frozenset(imported.harness.refs())))
