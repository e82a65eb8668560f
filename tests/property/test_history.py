"""Random walks of edits: undo all gives the very first harness, redo all the last, and every number is true."""

from collections.abc import Callable

from hypothesis import given
from hypothesis import strategies as st

from harness_studio.base.errors import EditError
from harness_studio.model.edits import Edit, Put, Remove, change, put, remove_with_wires, together
from harness_studio.model.entities import Body, Ground, Mode, Page, Splice, Wire
from harness_studio.model.harness import Harness
from harness_studio.model.parts import make_part
from harness_studio.model.values import At, End
from harness_studio.session.history import History

numbers = st.integers(0, 4)
POINTS = ("SP0", "SP1", "SP2", "GP0", "GP1", "GP2", "E1.1", "E1.31", "shell.bed")


def ends() -> st.SearchStrategy[End]:
    return st.sampled_from(
        [End("point", p) for p in POINTS] + [End("cut"), End("unknown"), End("words", "tape")]
    )


def wire() -> st.SearchStrategy[Wire]:
    return st.builds(
        lambda n, pair, colour: Wire(f"W{n}", pair, colour=colour),
        numbers, st.tuples(ends(), ends()), st.sampled_from(["BN", "BK/WH", None]),
    )  # fmt: skip


def ground() -> st.SearchStrategy[Ground]:
    rings = st.lists(st.tuples(numbers.map("W{}".format)), max_size=3, unique=True).map(tuple)
    return st.builds(lambda n, stack: Ground(f"GP{n}", place="shell.bed", stack=stack), numbers, rings)


def page() -> st.SearchStrategy[Page]:
    items = st.dictionaries(
        st.sampled_from(["SP0", "GP0", "E1"]), st.builds(At, st.just(10.0), st.just(20.0))
    )
    return st.builds(lambda n, items: Page(f"page{n}", items=items), numbers, items)


MAKE: dict[str, st.SearchStrategy[Callable[[Harness], Edit]]] = {
    # Many of these are refused (an id that is not there, one that is taken): a walk goes on after a refusal.
    "put": st.one_of(
        st.tuples(st.just("wires"), wire()),
        st.tuples(st.just("grounds"), ground()),
        st.tuples(st.just("splices"), numbers.map(lambda n: Splice(f"SP{n}"))),
        st.tuples(st.just("splices"), numbers.map(lambda n: Splice(f"W{n}"))),
        st.tuples(st.just("modes"), numbers.map(lambda n: Mode(f"m{n}", like=f"m{n - 1}" if n else None))),
        st.tuples(st.just("pages"), page()),
        st.tuples(st.just("parts"), st.just(make_part("E1", "lamp", rated_w=5.0))),
        st.tuples(st.just("bodies"), st.just(Body("shell", places_mohm={"bed": 0.4}))),
    ).map(lambda both: lambda _: put(*both, words=f"put {both[1].id}")),
    "insert": st.tuples(numbers, st.integers(0, 6)).map(
        lambda pair: lambda _: Put("splices", Splice(f"SP{pair[0]}"), "insert", pair[1])
    ),
    "remove": st.sampled_from([("splices", "SP0"), ("grounds", "GP1"), ("bodies", "shell"), ("modes", "m0")]).map(
        lambda ref: lambda _: Remove(*ref, "remove")
    ),
    "take out": st.lists(
        st.sampled_from([("splices", "SP1"), ("wires", "W0"), ("parts", "E1"), ("grounds", "GP0"), ("modes", "m1")]),
        min_size=1, max_size=3, unique=True,
    ).map(lambda refs: lambda h: remove_with_wires(h, [r for r in refs if r[1] in h.tables[r[0]]], "take out")),
    "colour": numbers.map(lambda n: lambda h: change(h, "wires", f"W{n}", colour="RD")),
    "title": st.sampled_from(["a", "b"]).map(lambda t: lambda h: change(h, "settings", "", "name it", title=t)),
}  # fmt: skip
single = st.one_of(*MAKE.values())
several = st.lists(single, min_size=2, max_size=4).map(
    lambda all_: lambda h: together([e(h) for e in all_], "several")
)
steps = st.lists(st.one_of(single, single, several, st.sampled_from(["undo", "redo"])), max_size=40)


def start() -> Harness:
    harness = Harness()
    harness.bodies["shell"] = Body("shell", places_mohm={"bed": 0.5})
    harness.splices["SP0"] = Splice("SP0")
    harness.grounds["GP0"] = Ground("GP0", place="shell.bed", stack=(("W0",),))
    harness.wires["W0"] = Wire("W0", (End("point", "SP0"), End("point", "GP0")))
    return harness


def as_text(harness: Harness) -> str:
    """Return everything with its order: equal dicts of another order differ here."""
    return repr(harness.tables)


@given(steps)
def test_every_walk_can_be_gone_back_and_forth(walk: list[Callable[[Harness], Edit] | str]) -> None:
    harness = start()
    history = History(harness)
    seen = {history.revision: as_text(harness)}
    for step in walk:
        before = as_text(harness)
        try:
            if isinstance(step, str):
                getattr(history, step)()
            else:
                history.apply(step(harness))
        except EditError:
            assert as_text(harness) == before
        # One number is one state, however it was come by.
        assert seen.setdefault(history.revision, as_text(harness)) == as_text(harness)

    last, done = as_text(harness), history.done
    while history.can_undo:
        history.undo()
        assert seen[history.revision] == as_text(harness)
    assert as_text(harness) == seen[0]
    for _ in done:
        history.redo()
    assert as_text(harness) == last
    assert history.done == done


@given(steps)
def test_what_an_edit_tells_is_what_changed(walk: list[Callable[[Harness], Edit] | str]) -> None:
    harness = start()
    history = History(harness)
    for step in walk:
        before = harness.snapshot()
        try:
            changes = getattr(history, step)() if isinstance(step, str) else history.apply(step(harness))
        except EditError:
            continue
        was, now = set(before.refs()), set(harness.refs())
        assert changes.added == now - was
        assert changes.removed == was - now
        differ = {(s, k) for s, k in was & now if before.tables[s][k] != harness.tables[s][k]}
        assert differ <= changes.updated <= was & now
