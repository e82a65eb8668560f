"""A changed line: what stays the same stays as typed."""

from harness_studio.storage.layout import flow
from harness_studio.storage.nodes import Table, compose
from harness_studio.storage.reuse import reused, source_order
from harness_studio.storage.trees import Fields, Tree


def again(line: str, old: Tree, new: Tree) -> str:
    root, _ = compose(line)
    assert isinstance(root, Table)
    return flow(reused(line, root, old, new))


def test_values_that_stay_keep_their_form() -> None:
    old, new = Fields(a="1", b="x", c={"k": "2", "m": "3"}), Fields(a="1", b="y", c={"k": "2", "m": "4"})
    assert again("{b: 'x', a: 1.0, c: {k: 2.00, m: 3.0}}", old, new) == "{b: y, a: 1.0, c: {k: 2.00, m: 4}}"


def test_what_was_said_although_it_holds_anyway_stays() -> None:
    assert again("{wet: false, a: 1}", Fields(a="1"), Fields(a="2")) == "{wet: false, a: 2}"
    assert again("{wet: false, a: 1}", Fields(a="1"), Fields(wet="true", a="1")) == "{wet: true, a: 1}"
    assert again("{wet: true, a: 1}", Fields(wet="true", a="1"), Fields(a="1")) == "{a: 1}"


def test_what_was_left_out_because_it_holds_anyway_is_not_added() -> None:
    assert again("{a: 1}", Fields(view="mating", a="1"), Fields(view="mating", a="2")) == "{a: 2}"
    assert (
        again("{a: 1}", Fields(view="mating", a="1"), Fields(view="wire entry", a="1"))
        == "{view: wire entry, a: 1}"
    )


def test_a_table_takes_the_new_order_a_record_that_of_the_source() -> None:
    assert again("{b: 1, a: 2}", {"b": "1", "a": "2"}, {"a": "2", "b": "1", "c": "3"}) == "{a: 2, b: 1, c: 3}"
    assert source_order(["c", "a"], Fields(a="1", c="3"), Fields(a="1", b="2", c="3", d="4")) == [
        "c",
        "a",
        "b",
        "d",
    ]


def test_a_value_on_two_lines_is_written_anew() -> None:
    assert again('{a: "x\n  y", b: 1}', Fields(a="x y", b="1"), Fields(a="x y", b="2")) == "{a: x y, b: 2}"
