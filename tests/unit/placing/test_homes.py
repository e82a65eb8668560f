"""Which symbol draws a thing."""

from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness
from harness_studio.model.values import At
from harness_studio.placing.homes import homes, mated_groups
from tests.support.sketch import Sketch


def made() -> Harness:
    s = Sketch()
    for part, kind in (("F1", "fuse"), ("K1", "relay"), ("M1", "motor")):
        s.part(part, kind)
    s.part("A1", "box", holds=("F1", "K1"))
    s.half("X7", "123", mates="X8")
    s.half("X8", "123")
    s.half("X9", "12", part="M1", terminals={"1": "15", "2": "31"})
    s.half("X10", "12", mates="X9")
    s.half("X20", "85", part="K1")
    s.splice("SP1")
    return s.done()


def test_without_a_page_the_outermost_draws() -> None:
    assert homes(made()) == {
        "F1": "A1", "K1": "A1", "M1": "M1", "A1": "A1", "X7": "X7", "X8": "X7", "X9": "M1", "X10": "M1",
        "X20": "A1", "SP1": "SP1",
    }  # fmt: skip


def test_on_a_page_only_what_is_placed_draws() -> None:
    page = Page("p", items={key: At(0, 0) for key in ("F1", "X8", "X10")})
    assert homes(made(), page) == {"F1": "F1", "X7": "X8", "X8": "X8", "X9": "X10", "X10": "X10"}


def test_what_holds_a_thing_draws_it_though_both_are_placed() -> None:
    page = Page("p", items={key: At(0, 0) for key in ("F1", "A1", "X7", "X8")})
    found = homes(made(), page)
    assert (found["F1"], found["X8"]) == ("A1", "X7")


def test_mated_halves_are_found_from_either_side() -> None:
    groups = mated_groups(made())
    assert groups["X7"] == groups["X8"] == ("X7", "X8")
    assert groups["X9"] == groups["X10"] == ("X10", "X9")
    assert groups["X20"] == ("X20",)
