"""Harnesses that are hard to print."""

from dataclasses import replace

from harness_studio.model.cases import Case, Mend, Provocation, Reading, Sighting
from harness_studio.model.entities import Annotation, Origin, Photo
from harness_studio.model.harness import Harness
from harness_studio.model.values import Cavity, Face
from tests.support.sketch import Sketch
from tests.support.vehicle import vehicle

LONG = "Left rear bulkhead connector behind the second cover, spare"
assert len(LONG) == 59
LONGEST_ID = "X" + "1234567890" * 6


def empty() -> Harness:
    return Sketch("Nothing yet").done()


def one_connector() -> Harness:
    s = Sketch("One connector")
    s.half("X1", ("1", "2"))
    s.wire("X1.1", "cut", colour="BN/WH")
    return s.done()


def many_connectors() -> Harness:
    s = Sketch("Many connectors")
    for number in range(1, 142):
        s.half(f"X{number}", ("1", "2", "3"))
    for number in range(1, 141):
        s.wire(f"X{number}.1", f"X{number + 1}.2", colour="GN/BK")
    return s.done()


def large_connector() -> Harness:
    """Return a connector of 128 cavities in four rows, every one with a wire, and one that has no face data."""
    s = Sketch("A large connector")
    names = tuple(str(n) for n in range(1, 129))
    s.half("X1", names)
    rows = tuple(names[i : i + 32] for i in range(0, 128, 32))
    s.harness.halves["X1"] = replace(s.harness.halves["X1"], face=Face("wire entry", rows, {}, "slab", "top"))
    s.half("X2", names, face=False)
    codes = ("RD", "BU", "GN", "VT", "BK", "YE", "WH", "BN", "OG", "GY", "PK", "TQ")
    for number, name in enumerate(names):
        colour = codes[number % 12] + (f"/{codes[(number + 5) % 12]}" if number % 3 else "")
        s.wire(f"X1.{name}", f"X2.{name}", colour=colour)
    return s.done()


def long_names() -> Harness:
    """Return a harness in which every text is about 60 characters long, or one long word."""
    s = Sketch(f"{LONG} {LONG} مرحبا 日本の車")
    s.body("shell", front=0.2)
    s.zone("z", title=LONG)
    word = "Supercalifragilisticexpialidociousnessandsomemorelettersstill"
    s.half("X1", ("1", "2", "3"), title=LONG, zone="z", part_number=word, note=f"{LONG}. " * 9)
    s.half("X2", ("1", "2", "3"), title="سلك التأريض", mates="X1")
    s.ground("GP1", "shell.front", title=LONG, zone="z", note=LONG)
    s.battery()
    s.splice("SP1", title=word)
    cavities = {
        "1": Cavity(function=LONG, note=word),
        "2": Cavity(function=word),
        "3": Cavity(function="日本の車の線"),
    }
    s.harness.halves["X1"] = replace(s.harness.halves["X1"], cavities=cavities)
    s.wire("X1.1", "GP1", colour="WH/BK/RD", circuit=LONG, note=LONG, name="W" + "9" * 40)
    s.wire("X1.2", "SP1", colour="GNYE", circuit=word)
    s.wire("GB1.30", "SP1", colour="RD")
    s.wire("GB1.31", "GP1", colour="BK")
    for n, on in enumerate(("X1.1", "X1.2", "X1.3", "X1", "GP1")):
        s.harness.tables["annotations"][f"n{n}"] = Annotation(f"n{n}", on, f"{LONG} {LONG}")
    reading = Reading("volts", None, "GP1", "GB1.31", value=0.31, least=0.1, greatest=0.4, note=LONG)
    again = Reading(
        "amperes", at="W" + "9" * 40, value=2.5, current_confirmed=True, after_mend=True, note=word
    )
    case = Case(
        "C1", LONG, "running", sightings=(Sighting("GB1", "flickers", times=(3, 5), note=LONG),),
        provocations=(Provocation("wiggle", "GP1", 4.0, LONG),), readings=(reading, again), disturbed=("X1", "GP1"),
        mends=(Mend(LONG, ("GP1",), made_by=word),), note=LONG,
    )  # fmt: skip
    s.harness.tables["cases"]["C1"] = case
    s.harness.tables["origins"]["donor"] = Origin("donor", ("X2", "SP1"))
    s.harness.wires["W2"] = replace(s.harness.wires["W2"], plan="extend", note=LONG)
    s.harness.tables["photos"]["p1"] = Photo("p1", "photos/none.jpg", ("X1",), LONG)
    return s.done()


def medium() -> Harness:
    """Return an invented vehicle of about 250 wires."""
    return vehicle(1, 60)
