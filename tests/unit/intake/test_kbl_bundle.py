"""Nodes, segments and routings as breakouts, runs, and the runs a wire takes."""

import pytest

from harness_studio.intake.kbl import Imported, read_kbl
from harness_studio.intake.kbl_bundle import in_order
from harness_studio.model.entities import Breakout, Run
from tests.unit.intake.kbl_files import (
    connection,
    connector,
    harness,
    housing,
    kbl,
    node,
    occurrence,
    part,
    routing,
    segment,
    tag,
    text,
    wire,
    wire_part,
)  # fmt: skip


def read(*bundle: str, things: str = "", parts: str = "") -> Imported:
    """Return the harness of a wire from X1 to X2 and a bundle."""
    return read_kbl(
        kbl(
            housing("h", "1"), wire_part("w", "1", "sw") + parts,
            harness(
                connector("x", "X1", "h", 1) + connector("y", "X2", "h", 1), wire("wi", "1", "w"),
                connection("c", "wi", "x_p1", "y_p1"), things,
            ),
            *bundle,
        ),
        "f",
    )  # fmt: skip


def said(result: Imported) -> list[str]:
    return [w.what for w in result.warnings]


NODES = node("n1", "N.1", "x") + node("n2", "N2") + node("n3", "N3", "y")
SEGMENTS = segment("s1", "trunk", "n1", "n2", "100") + segment("s2", "tail", "n3", "n2", "50")


@pytest.mark.parametrize("listed", [("s1", "s2"), ("s2", "s1")])
def test_a_wire_takes_its_runs_in_order_from_its_first_end(listed: tuple[str, ...]) -> None:
    result = read(NODES, SEGMENTS, routing("r", "c", *listed))
    assert result.harness.wires["W1"].runs == ("trunk", "tail")
    assert result.harness.breakouts == {
        "N_1": Breakout("N_1", known_as="N.1"), "N2": Breakout("N2"), "N3": Breakout("N3"),
    }  # fmt: skip
    assert result.harness.runs["tail"] == Run("tail", ("N3", "N2"), length_mm=50.0)


def test_segments_that_are_no_way_are_kept_as_listed() -> None:
    result = read(NODES, SEGMENTS, routing("r", "c", "s2"))
    assert result.harness.wires["W1"].runs == ("tail",)
    assert "the segments of wire 1 are no way between its ends; kept as listed" in said(result)


def test_a_physical_length_comes_before_a_virtual_one() -> None:
    result = read(NODES, segment("s", "run", "n1", "n2", "100", physical="110"))
    assert result.harness.runs["run"].length_mm == 110.0


def test_a_missing_node_is_put_there() -> None:
    result = read(node("n1", "N1"), segment("s", "run", "n1", "ghost", "9"))
    ends = result.harness.runs["run"].ends
    assert ends == ("N1", "run_end1")
    assert "run_end1" in result.harness.breakouts
    assert any("<Segment 's'> has no End_node; a breakout is put there" in what for what in said(result))


def test_long_names_are_numbered_and_kept() -> None:
    name = "CAD/geometry of the left side/Flexible Curve.12"
    result = read(NODES, segment("s", name, "n1", "n2"))
    assert result.harness.runs["R1"].known_as == name


def covering(start: str, end: str) -> str | None:
    area = tag(
        "Protection_area", "pa", text("Start_location", start), text("End_location", end),
        text("Associated_protection", "po"),
    )  # fmt: skip
    result = read(
        NODES,
        segment("s", "run", "n1", "n2", "100", covered=area),
        part("Wire_protection", "wp", text("Protection_type", "TUBE"), about="corrugated"),
        things=occurrence("Wire_protection_occurrence", "po", "wp", label="P1"),
    )
    return result.harness.runs["run"].covering


@pytest.mark.parametrize(
    ("start", "end", "words"),
    [
        ("0", "1", "tube: corrugated"),
        ("0.05", "0.95", "tube: corrugated"),
        ("0.1", "0.5", "tube: corrugated (partial)"),
        ("?", "1", "tube: corrugated"),
    ],
)
def test_coverings(start: str, end: str, words: str) -> None:
    assert covering(start, end) == words


def test_a_connection_that_is_routed_twice() -> None:
    result = read(NODES, SEGMENTS, routing("r", "c", "s1", "s2") + routing("q", "c", "s1"))
    assert result.harness.wires["W1"].runs == ("trunk", "tail")
    assert "<Connection 'c'> is routed twice; the first routing is taken" in said(result)


#: A trunk a-b-c-d with a branch c-e, and a run apart from it.
TABLE = {
    name: Run(name, (ends[0], ends[1]))
    for name, ends in {"ab": "ab", "cb": "cb", "cd": "cd", "ce": "ce", "yz": "yz"}.items()
}


@pytest.mark.parametrize(
    ("runs", "start", "end", "way"),
    [
        ("cb cd ab", "a", "d", "ab cb cd"),
        ("cb cd ab", "d", "a", "cd cb ab"),
        ("cb cd ab", None, "a", "cd cb ab"),
        ("ab cb ce", "a", None, "ab cb ce"),
        ("cb ab", None, None, "cb ab"),
        ("cd ab cb", None, None, "cd cb ab"),
        ("", "a", "d", ""),
    ],
)
def test_in_order(runs: str, start: str | None, end: str | None, way: str) -> None:
    assert in_order(tuple(runs.split()), TABLE, start, end) == tuple(way.split())


@pytest.mark.parametrize(
    ("runs", "start", "end"), [("ab yz", "a", "z"), ("ab cb", "a", "d"), ("ab", "y", None)]
)
def test_runs_that_are_no_way(runs: str, start: str | None, end: str | None) -> None:
    assert in_order(tuple(runs.split()), TABLE, start, end) is None
