"""Migrations: steps are pure, taken in order, and a missing one is told."""

import pytest

from harness_studio.base.errors import InputError
from harness_studio.storage.migrate import MIGRATIONS, Migration, migrate, renamed
from harness_studio.storage.nodes import Table, compose, line_of
from harness_studio.storage.project_file import parse

# A version that never was, to try the machinery: it called the wires leads.
FROM_ZERO: dict[int, Migration] = {0: lambda root: renamed(root, "leads", "wires")}


def table(text: str) -> Table:
    root, _ = compose(text)
    assert isinstance(root, Table)
    return root


def test_no_migration_is_registered_before_there_is_a_second_version() -> None:
    assert dict(MIGRATIONS) == {}
    root = table("harness_studio: 1\n")
    assert migrate(root, 1, 1) is root


def test_steps_are_taken_in_order() -> None:
    steps = {
        1: lambda t: renamed(t, "a", "b"),
        2: lambda t: renamed(t, "b", "c"),
        3: lambda t: renamed(t, "c", "d"),
    }
    assert list(migrate(table("a: 1\nz: 2\n"), 1, 4, steps).pairs) == ["d", "z"]
    assert list(migrate(table("b: 1\n"), 2, 3, steps).pairs) == ["c"]


def test_a_step_leaves_the_tree_it_was_given_and_every_place_in_it() -> None:
    root = table("x: 1\nleads:\n  W1: {}\n")
    after = FROM_ZERO[0](root)
    assert list(root.pairs) == ["x", "leads"]
    assert list(after.pairs) == ["x", "wires"]
    assert line_of(after.pairs["wires"][0]) == 2


def test_a_missing_step_is_told() -> None:
    with pytest.raises(LookupError, match="from version 2 to 3"):
        migrate(table("a: 1\n"), 2, 4, {3: lambda t: t})
    with pytest.raises(
        InputError, match=r"f:1:17: the file says version 0, which never was; this program reads 1 to 1"
    ):
        parse("harness_studio: 0\n", "f")
