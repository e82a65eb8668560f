"""Things are found by what a person knows of them."""

from dataclasses import replace

import pytest

from harness_studio.diagram.search import Index
from harness_studio.model.entities import Zone
from harness_studio.model.harness import Harness
from harness_studio.model.values import Cavity


@pytest.fixture
def index(harness: Harness) -> Index:
    harness.zones["bed"] = Zone("bed", "Bed, rear corners")
    harness.grounds["GP2"] = replace(harness.grounds["GP2"], zone="bed", known_as="18.1")
    harness.wires["W40"] = replace(harness.wires["W40"], marked="31-7", circuit="Pump")
    half = harness.halves["X7"]
    harness.halves["X7"] = replace(half, cavities={"1": Cavity(function="stop lamps")})
    return Index(harness)


@pytest.mark.parametrize(
    ("text", "thing"),
    [
        ("GP2", "GP2"),
        ("left rear corner", "GP2"),
        ("18.1", "GP2"),
        ("rear corners", "GP2"),
        ("brown with white", "W40"),
        ("31-7", "W40"),
        ("pump", "M2"),
        ("stop lamps", "X7"),
        ("8 cavities", "X7"),
        ("FUSE BOX", "A9"),
        ("splice", "SP1"),
    ],
)
def test_found(index: Index, text: str, thing: str) -> None:
    assert thing in [found.id for found in index.find(text)]


def test_every_word_counts(index: Index) -> None:
    assert {found.id for found in index.find("lamp left")} == {"E1", "E5"}
    assert index.find("lamp nowhere") == []
    assert index.find("   ") == []


def test_an_id_comes_first(index: Index) -> None:
    assert index.find("W4")[0].id.startswith("W4")
    assert index.find("x7")[0].id == "X7"


def test_the_list_ends(index: Index) -> None:
    assert len(index.find("w", most=5)) == 5
