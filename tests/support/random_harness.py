"""Random harnesses for hypothesis: every key of the model with every value it may hold, and references that hold."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from hypothesis import strategies as st

from harness_studio.model.conflicts import conflicts
from harness_studio.model.entities import Settings
from harness_studio.model.forms import (
    Choice,
    Fixed,
    Flag,
    Form,
    ListOf,
    Maybe,
    Number,
    Record,
    TableOf,
    Text,
    keys_of,
)
from harness_studio.model.harness import SECTIONS, Harness
from harness_studio.model.kinds import KINDS
from harness_studio.model.parts import Part
from harness_studio.model.references import problem_with, references
from harness_studio.model.values import At, End, Mount, Spot

NASTY = [
    "", " ", "~", "null", "NO", "010", "12:30", "1e3", "true", "- a", "-", "--", "? a", ": a", "a:", "a: b", "a #b",
    "#", "a#b", "[x", "x, y", "{", "'", '"', "it's", "\\", "%", "@x", "`", "&a", "*a", "!t", "|", ">", "a\nb", "\n",
    "\t", "a\r\nb", " lead", "trail ", "---", "...", "\x00", "\x07", "\x85", "\u2028", "\ufeff", "é µ Ω ²", "😀", "=",
    "<<", "a" * 200, "\xa0",
]  # fmt: skip
# NASTY texts make most of the trouble; the other half of the texts are any Unicode.
texts = st.sampled_from(NASTY) | st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
ids = st.from_regex(r"[A-Za-z0-9_-]{1,8}", fullmatch=True).filter(lambda t: t not in ("cut", "unknown"))
names = st.from_regex(r"[A-Za-z0-9+#*&!'\"%=<~-]{1,4}", fullmatch=True) | st.sampled_from(
    ["010", "10", "B+", "null"]
)
days = st.dates().map(str)
points = st.builds(lambda o, n: f"{o}.{n}" if n else o, ids, st.none() | names)
TEXT: dict[str, st.SearchStrategy[str]] = {
    "": texts,
    "colour": texts,
    "id": ids,
    "name": names,
    "point": points,
    "joint": st.builds("{}/{}".format, ids, ids) | points,
    "element": st.builds(lambda p, e: f"{p}/{e}" if e else p, ids, st.none() | names),
    "awg": st.sampled_from(["0", "2/0", "4/0", "14", "8"]),
    "date": days,
    "file": st.sampled_from(["photos/rear.png", "a b.jpg", "ä/ö.png"]),
}
finite = st.floats(allow_nan=False, allow_infinity=False, width=64)
NUMBER: dict[str, st.SearchStrategy[float]] = {
    "": finite,
    "positive": st.floats(min_value=0, exclude_min=True, allow_infinity=False),
    "not_negative": finite.map(abs),
    "mohm": finite.map(abs) | st.just(float("inf")),
}
at = st.builds(At, finite, finite, st.sampled_from([0, 90, 180, 270]), st.booleans())
SPECIAL: dict[str, st.SearchStrategy[Any]] = {
    "end": st.builds(End, st.just("point"), points)
    | st.sampled_from([End("cut"), End("unknown")])
    | st.builds(End, st.just("words"), texts),
    "spot": st.builds(Spot, breakout=ids) | st.builds(Spot, run=ids, mm=st.none() | finite),
    "at": at,
    "mates": st.dictionaries(ids, st.none() | st.dictionaries(names, names, max_size=2), max_size=3),
}

Overrides = Mapping[tuple[str, str], st.SearchStrategy[Any]]


def of_form(form: Form, overrides: Overrides) -> st.SearchStrategy[Any]:
    """Return values of a form."""
    if isinstance(form, Maybe):
        return st.none() | of_form(form.form, overrides)
    if isinstance(form, Text):
        return TEXT[form.marker]
    if isinstance(form, Number):
        return st.integers(-(10**9), 10**9) if form.whole else NUMBER[form.marker]
    if isinstance(form, Choice):
        return st.sampled_from(form.options)
    if isinstance(form, Flag):
        return st.booleans()
    if isinstance(form, ListOf):
        return st.lists(of_form(form.item, overrides), max_size=3).map(tuple)
    if isinstance(form, Fixed):
        return st.tuples(*(of_form(f, overrides) for f in form.items))
    if isinstance(form, TableOf):
        return st.dictionaries(of_form(form.key, overrides), of_form(form.value, overrides), max_size=3)
    if isinstance(form, Record):
        return record(form.cls, overrides)
    return SPECIAL[form.name]


def record(cls: type[Any], overrides: Overrides, **given: Any) -> st.SearchStrategy[Any]:
    """Return records of a class: some keys at their defaults, the others with any value."""
    keys = keys_of(cls)
    required = {
        n: overrides.get((cls.__name__, n), of_form(k.form, overrides)) for n, k in keys.items() if k.required
    }
    optional = {
        n: overrides.get((cls.__name__, n), of_form(k.form, overrides))
        for n, k in keys.items()
        if not k.required and n not in given
    }
    fixed = {name: st.just(value) for name, value in given.items()}
    chosen = st.fixed_dictionaries({**required, **fixed}, optional=optional)
    return chosen.map(lambda values: cls(**values))


def part(part_id: str, kind: str, overrides: Overrides) -> st.SearchStrategy[Part]:
    """Return parts of a kind."""
    ratings = record(KINDS[kind].ratings, overrides)
    return ratings.flatmap(
        lambda r: record(
            Part, {**overrides, ("Part", "mount"): _mount(kind, r)}, id=part_id, kind=kind, ratings=r
        )
    )


def _mount(kind: str, ratings: Any) -> st.SearchStrategy[Mount | None]:
    terminals = KINDS[kind].terminals(ratings) or ("31",)
    return st.none() | st.builds(Mount, st.sampled_from(terminals), st.sampled_from(["shell.a", "shell.b"]))


def entity(section: str, key: str = "X") -> st.SearchStrategy[Any]:
    """Return entities of a section whose references name anything."""
    if section == "parts":
        return st.sampled_from(list(KINDS)).flatmap(lambda kind: part(key, kind, {}))
    return record(SECTIONS[section], {}, id="" if section == "settings" else key)


def _pick(*values: Any) -> st.SearchStrategy[Any]:
    return st.sampled_from(values)


def _some(*values: str) -> st.SearchStrategy[tuple[str, ...]]:
    return st.lists(st.sampled_from(values), max_size=2, unique=True).map(tuple)


def _table(keys: tuple[str, ...], values: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    return st.dictionaries(st.sampled_from(keys), values, max_size=2)


ZONES, BREAKOUTS, RUNS = ("bay", "bed"), ("bk1", "bk2"), ("r1", "r2")
PARTS = ("P1", "P2", "P3", "P4")
HALVES, WIRES, STUDS, SPLICES = ("X1", "X2", "X3"), ("W1", "W2", "W3", "W4"), ("GP1", "GP2"), ("SP1", "SP2")
MODES, PLACES = ("idle", "brake"), ("shell.a", "shell.b")
spot = st.builds(Spot, breakout=_pick(*BREAKOUTS)) | st.builds(Spot, run=_pick(*RUNS), mm=st.none() | finite)
zone = st.none() | _pick(*ZONES)
HOLDING: dict[tuple[str, str], st.SearchStrategy[Any]] = {
    **{(c, "zone"): zone for c in ("Breakout", "Run", "Part", "Half", "Splice", "Ground")},
    **{(c, "at"): st.none() | spot for c in ("Part", "Half", "Splice", "Ground")},
    ("Bond", "ends"): st.just(PLACES),
    ("Run", "ends"): st.just(BREAKOUTS),
    ("Half", "part"): st.none(),
    ("Half", "mates"): st.just({}),
    ("Box", "holds"): st.just(()),
    ("Box", "buses"): st.just(()) | st.just((("SP1", "GP1"), ("shell.a",))),
    ("Ground", "place"): st.none() | _pick(*PLACES),
    ("Ground", "stack"): st.permutations(WIRES).map(lambda w: ((w[0],), (w[1], w[2]))) | st.just(()),
    ("Wire", "runs"): _some(*RUNS),
    ("Ring", "point"): _pick(*SPLICES, *STUDS, *PLACES),
    ("AsFound", "ends"): st.none() | st.just((End("point", "SP1"), End("words", "behind: the, seat"))),
    ("Multicore", "wires"): _some(*WIRES),
    ("Multicore", "shield"): st.none() | _pick(*WIRES),
    ("Mode", "like"): st.none(),
    ("Mode", "set"): _table(PARTS, texts),
    ("Mode", "loads"): _table(PARTS, _pick("off", "on", "turning")),
    ("Mode", "senders"): _table(PARTS, texts),
    ("Mode", "ambient_c"): _table(ZONES, finite),
    ("Annotation", "on"): _pick(*SPLICES, *STUDS, *PLACES),
    ("Photo", "on"): _some(*PARTS, *HALVES, *WIRES),
    ("Page", "items"): _table((*PARTS, *HALVES, *STUDS), at),
    ("Page", "wires"): _table(WIRES, st.lists(st.tuples(finite, finite), max_size=3).map(tuple)),
}
_KEYS: dict[str, tuple[str, ...]] = {
    "bodies": ("shell",), "bonds": ("cable",), "zones": ZONES, "breakouts": BREAKOUTS, "runs": RUNS, "halves": HALVES,
    "splices": SPLICES, "grounds": STUDS, "wires": WIRES, "multicores": ("C1",), "modes": MODES,
    "joints": ("GP1/W1", "W1@GP1", "S1.30:54"), "origins": ("host", "donor"), "cases": ("dim",),
    "accepted": ("fuse_missing/W1", "any rule"), "annotations": ("n1",), "photos": ("p1",),
    "revisions": ("A", "B", "1.1"), "pages": ("one", "two"),
}  # fmt: skip


@st.composite
def harnesses(draw: Callable[[st.SearchStrategy[Any]], Any]) -> Harness:
    """Return harnesses in which every reference holds and nothing contradicts itself."""
    harness = Harness()
    harness.tables["settings"][""] = draw(record(Settings, {}, id=""))
    for section, table in harness.tables.items():
        if section == "parts":
            kinds = draw(st.lists(st.sampled_from(list(KINDS)), min_size=4, max_size=4, unique=True))
            table.update(
                {key: draw(part(key, kind, HOLDING)) for key, kind in zip(PARTS, kinds, strict=True)}
            )
        for key in draw(st.permutations(_KEYS.get(section, ()))):
            if section != "wires":
                places = {"places_mohm": {"a": 0.2, "b": 1.5}} if section == "bodies" else {}
                table[key] = draw(record(SECTIONS[section], HOLDING, id=key, **places))
    _join(draw, harness)
    assert [
        p
        for s, t in harness.tables.items()
        for e in t.values()
        for r in references(s, e)
        if (p := problem_with(harness, r))
    ] == []
    assert list(conflicts(harness)) == []
    return harness


def _join(draw: Callable[[st.SearchStrategy[Any]], Any], harness: Harness) -> None:
    """Add the wires, and mate the halves."""
    reachable = [*SPLICES, *STUDS, *PLACES]
    for half in harness.halves.values():
        reachable += [f"{half.id}.{name}" for name in (half.cavity_names() if half.face else ("1", "2"))]
    for part_ in harness.parts.values():
        reachable += [f"{part_.id}.{name}" for name in part_.terminals() or ("1",)]
    open_end = st.sampled_from([End("cut"), End("unknown")]) | st.builds(End, st.just("words"), texts)
    for key in WIRES:
        pair = draw(st.lists(st.sampled_from(reachable), min_size=2, max_size=2, unique=True))
        ends = (End("point", pair[0]), draw(st.just(End("point", pair[1])) | open_end))
        harness.wires[key] = draw(
            record(SECTIONS["wires"], {**HOLDING, ("Wire", "ends"): st.just(ends)}, id=key)
        )
    mated = draw(st.sampled_from([{}, {"X2": None}, {"X2": {}, "X3": None}]))
    if not any(harness.halves[h].face for h in HALVES):
        harness.halves["X1"] = replace(
            harness.halves["X1"], mates={k: v for k, v in mated.items() if k == "X2" or v}
        )
    if draw(st.booleans()):
        harness.modes["brake"] = replace(harness.modes["brake"], like="idle")
