"""Values of an entity against the hints of the model."""

from dataclasses import replace
from typing import Any

import pytest

from harness_studio.model.cases import Case, Sighting
from harness_studio.model.entities import Body, Ground, Half, JointRecord, Page, Photo, Wire, Zone
from harness_studio.model.parts import make_part
from harness_studio.model.validate import value_problem
from harness_studio.model.values import At, Cavity, End, Face, Mount, Spot

WIRE = Wire("W1", (End("cut"), End("unknown")))


@pytest.mark.parametrize(
    "entity",
    [
        WIRE,
        replace(
            WIRE, ends=(End("point", "X1.3"), End("words", "")), awg="2/0", length_mm=0.0, tails_mm=(1.0, 0.0)
        ),
        replace(WIRE, area_mm2=2, note="two\nlines"),
        JointRecord("GP1/W1", mohm=float("inf")),
        Body("shell", places_mohm={"bed": 0}),
        Half(
            "X1", mates={"X2": None, "X3": {"1": "2"}}, face=Face(rows=(("1", None),)), at=Spot(breakout="b")
        ),
        make_part("K1", "relay", coil_ohm=90.0, common={"mount": Mount("31", "shell.bed")}),
        Page("p", items={"X1": At(1.0, -2.0, 270, True)}),
        Case("c", sightings=(Sighting("E5/tail", "down", times=(1, 2)),)),
    ],
)
def test_sound_values(entity: Any) -> None:
    assert value_problem(entity) is None


@pytest.mark.parametrize(
    ("entity", "told"),
    [
        (replace(WIRE, area_mm2=0.0), "area_mm2: found 0.0; wanted a number above 0 (mm²)"),
        (replace(WIRE, area_mm2="1.5"), "area_mm2: found '1.5'; wanted a number above 0 (mm²)"),
        (replace(WIRE, area_mm2=True), "area_mm2: found True"),
        (replace(WIRE, length_mm=float("inf")), "length_mm: found inf; wanted a number, 0 or more (mm)"),
        (replace(WIRE, length_mm=-1.0), "length_mm: found -1.0"),
        (replace(WIRE, awg="00"), "awg: found '00'; wanted an AWG number"),
        (replace(WIRE, colour=5), "colour: found 5"),
        (replace(WIRE, note="\ud800"), "note: found"),
        (replace(WIRE, plan="burn"), "plan: found 'burn'; wanted one of: keep, extend, move, remove, new"),
        (replace(WIRE, done=["cut"]), "done: found ['cut']; wanted a tuple"),
        (replace(WIRE, done=("boiled",)), "done: found 'boiled'"),
        (replace(WIRE, tails_mm=(1.0,)), "tails_mm: found (1.0,); wanted 2 values"),
        (replace(WIRE, ends=(End("cut"), "SP1")), "ends: found 'SP1'; wanted an end"),
        (replace(WIRE, ends=(End("cut"), End("point", "a b"))), "wanted an end"),
        (replace(WIRE, ends=(End("cut"), End("nowhere"))), "wanted an end"),
        (replace(WIRE, as_found="BN"), "as_found: found 'BN'; wanted AsFound"),
        (JointRecord("a", mohm=float("nan")), "mohm: found nan; wanted a number, 0 or more, or the word open (mΩ)"),
        (JointRecord("a", mohm=float("-inf")), "mohm: found -inf"),
        (Zone("z", wet="yes"), "wet: found 'yes'; wanted true or false"),
        (Body("b", places_mohm={"a b": 1.0}), "places_mohm: found 'a b'; wanted a name"),
        (Body("b", places_mohm={"a": -1.0}), "places_mohm a: found -1.0"),
        (Body("b", places_mohm=[("a", 1.0)]), "places_mohm: found [('a', 1.0)]; wanted values by key"),
        (Half("X", cavities={"1": Cavity(plug="lost")}), "cavities 1 plug: found 'lost'"),
        (Half("X", at=Spot()), "at: found Spot"),
        (Half("X", at=Spot(run="a b")), "at: found Spot"),
        (Half("X", mates={"a b": None}), "mates: found"),
        (Half("X", mates={"X2": {"1": "2.3"}}), "mates: found"),
        (Ground("G", cleaned="yesterday"), "cleaned: found 'yesterday'; wanted a day as year-month-day"),
        (Page("p", items={"X1": At(1.0, 2.0, 45)}), "items X1: found At"),
        (Page("p", items={"X1": At(float("nan"), 2.0)}), "items X1: found At"),
        (Photo("p", "../a.png"), "file: found '../a.png'; wanted a path inside the project's folder"),
        (make_part("E1", "lamp", rated_w=-5.0), "rated_w: found -5.0"),
        (Case("c", sightings=(Sighting("E5", "down", times=(1, 2.5)),)), "sightings times: found 2.5; wanted a whole"),  # type: ignore[arg-type]
    ],
)  # fmt: skip
def test_unsound_values(entity: Any, told: str) -> None:
    found = value_problem(entity)
    assert found is not None
    assert found.startswith(told) or told in found
