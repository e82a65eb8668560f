"""A wire that is parted keeps its fields, shares out its length, and what named its far end names the second piece."""

from dataclasses import replace

import pytest

from harness_studio.model.drawing.ids import free_ids
from harness_studio.model.drawing.parting import Ports, part_edits, ports_of
from harness_studio.model.drawing.pieces import fitted, put_down
from harness_studio.model.drawing.stock import item_of
from harness_studio.model.edits import put
from harness_studio.model.entities import Annotation, JointRecord, Multicore, Wire
from harness_studio.model.harness import Harness
from harness_studio.model.values import End
from harness_studio.network.wires import length_mm
from harness_studio.session.history import History
from harness_studio.storage.project_file import read_project, render

WIRES = ("W1", "W10", "W12", "W21", "W24", "W31", "W33", "W40")


@pytest.fixture
def harness(sample_projects_dir: object) -> Harness:
    return read_project(f"{sample_projects_dir}/first_harness.yaml").harness


def part(harness: Harness, history: History, wire: str, share: float, key: str = "splice") -> str:
    item = item_of(key)
    assert item is not None
    fit = fitted(harness, item.make(harness))
    ports = ports_of(fit.piece)
    assert ports is not None
    edits, second = part_edits(harness, wire, ports, share, free_ids(harness), "rear")
    history.apply(put_down(harness, "rear", fit, (0.0, 0.0), "part", edits))
    return second


@pytest.mark.parametrize("share", [0.0, 0.02, 0.3, 0.5, 0.77, 0.99, 1.0])
@pytest.mark.parametrize("wire", WIRES)
def test_the_lengths_add_up(harness: Harness, wire: str, share: float) -> None:
    whole = length_mm(harness, harness.wires[wire])
    second = part(harness, History(harness), wire, share)
    pieces = [length_mm(harness, harness.wires[w]) for w in (wire, second)]
    assert None not in pieces
    assert sum(p for p in pieces if p is not None) == pytest.approx(whole)
    assert all(p is not None and p >= 0 for p in pieces)


def test_fields_are_kept_and_the_stack_follows(harness: Harness) -> None:
    before = harness.wires["W40"]
    history = History(harness)
    text = render(harness)
    second = part(harness, history, "W40", 0.25)
    a, b = harness.wires["W40"], harness.wires[second]
    assert (a.length_mm, b.length_mm) == (200, 600)
    for name in ("area_mm2", "colour", "insulation", "circuit", "made_by", "as_found", "material"):
        assert getattr(a, name) == getattr(b, name) == getattr(before, name)
    assert [str(e) for e in (*a.ends, *b.ends)] == ["M2.31", "SP4", "SP4", "GP2"]
    assert harness.grounds["GP2"].stack == (("W31",), (second,), ("W41",))
    assert list(harness.wires).index(second) == list(harness.wires).index("W40") + 1
    history.undo()
    assert render(harness) == text


def test_what_names_the_far_end_follows(harness: Harness) -> None:
    history = History(harness)
    history.apply(put("joints", JointRecord("W40@GP2", made="twisted"), JointRecord("GP2/W40", mohm=9.0)))
    history.apply(put("joints", JointRecord("W40@M2.31", mohm=1.0)))
    history.apply(put("annotations", Annotation("n2", "W40@GP2", "green")))
    history.apply(put("multicores", Multicore("C1", ("W40", "W41"))))
    history.apply(put("wires", Wire("W60", (End("point", "W40@GP2"), End("cut")))))
    second = part(harness, history, "W40", 0.5)
    assert {f"{second}@GP2", f"GP2/{second}", "W40@M2.31"} <= set(harness.joints)
    assert not {"W40@GP2", "GP2/W40"} & set(harness.joints)
    assert harness.tables["annotations"]["n2"].on == f"{second}@GP2"
    assert harness.multicores["C1"].wires == ("W40", second, "W41")
    assert harness.wires["W60"].ends[0].point == f"{second}@GP2"


def test_a_wire_without_length_stays_without(harness: Harness) -> None:
    history = History(harness)
    history.apply(put("wires", replace(harness.wires["W40"], length_mm=None)))
    second = part(harness, history, "W40", 0.5)
    assert harness.wires["W40"].length_mm is None
    assert harness.wires[second].length_mm is None


@pytest.mark.parametrize(
    ("key", "ports"),
    [
        ("splice", Ports("SP1", "SP1")), ("fuse_10a", Ports("F1.in", "F1.out")), ("diode", Ports("R1.A", "R1.K")),
        ("switch", Ports("S1.1", "S1.2")), ("pair_1x2", Ports("X1.1", "X2.1")), ("lamp_21w", None),
        ("rows_1x2", None), ("ground_m6", None), ("box_6", None), ("body_shell", None),
    ],
)  # fmt: skip
def test_what_goes_into_a_wire(key: str, ports: Ports | None) -> None:
    item = item_of(key)
    assert item is not None
    assert ports_of(item.make(Harness())) == ports
