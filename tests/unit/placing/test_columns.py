"""Columns, their order, their levels and the room between them."""

import random
from itertools import pairwise, permutations

import pytest

from harness_studio.base.geometry import Box
from harness_studio.placing.columns import (
    ASPECT,
    Columns,
    Folded,
    Node,
    Strand,
    in_columns,
    with_passing_places,
)
from harness_studio.placing.levels import distance, levels
from harness_studio.placing.order import crossings, order_columns
from harness_studio.placing.spacing import most_beside

BOX = Box(-10, -8, 20, 16)


def tree(fan: int, deep: int) -> tuple[dict[str, int], dict[str, str | None], dict[str, dict[str, int]]]:
    """Return a feed that parts `fan` ways and then runs through `deep` symbols each."""
    depth: dict[str, int] = {"root": 0}
    before: dict[str, str | None] = {"root": None}
    for branch in range(fan):
        last = "root"
        for step in range(1, deep + 1):
            name = f"b{branch}_{step}"
            depth[name], before[name] = step, last
            last = name
    near: dict[str, dict[str, int]] = {name: {} for name in depth}
    for name, parent in before.items():
        if parent:
            near[name][parent] = near[parent][name] = 1
    return depth, before, near


def test_a_small_harness_has_a_column_for_each_distance_from_the_feed() -> None:
    depth, before, near = tree(2, 3)
    folded, order = in_columns(depth, before, dict.fromkeys(depth, BOX), near)
    assert folded.column == depth
    assert set(folded.sheaf) == {0}
    assert order[0] == "root"


def test_a_tall_harness_is_folded_and_branches_stay_whole() -> None:
    depth, before, near = tree(60, 2)
    folded, _ = in_columns(depth, before, dict.fromkeys(depth, BOX), near)
    sheaves = max(folded.sheaf) + 1
    assert sheaves > 1
    for branch in range(60):
        first, second = folded.column[f"b{branch}_1"], folded.column[f"b{branch}_2"]
        assert second == first + 1
        assert folded.sheaf[first] == folded.sheaf[second]
    heights: dict[int, int] = {}
    for column in folded.column.values():
        heights[column] = heights.get(column, 0) + 1
    width, height = 44 * len(heights), 22 * max(heights.values())
    assert ASPECT / 2 < width / height < ASPECT * 2


def test_a_second_source_stands_before_what_it_feeds_and_unwired_things_stand_somewhere() -> None:
    depth, before, near = tree(3, 3)
    for name in ("G1", "X99"):
        depth[name], before[name], near[name] = 0, None, {}
    near["G1"] = {"b1_1": 1}
    near["b1_1"]["G1"] = 1
    folded, _ = in_columns(depth, before, dict.fromkeys(depth, BOX), near)
    assert folded.column["G1"] == folded.column["b1_1"] - 1
    assert folded.column["X99"] in range(len(folded.sheaf))


def test_a_wire_over_columns_gets_a_passing_place_in_each() -> None:
    folded = Folded({"a": 0, "b": 3, "c": 1}, [0, 0, 0, 0])
    found = with_passing_places(
        folded, ["a", "b", "c"], dict.fromkeys("abc", BOX), [("b", "a", [(1.0, -4.0), (2.0, 4.0)])]
    )
    passing = [n for n in found.nodes if n.symbol is None]
    assert [n.column for n in passing] == [1, 2]
    assert all(n.above_mm + n.below_mm >= 8 for n in passing)
    chain = [(found.nodes[s.first].column, found.nodes[s.second].column) for s in found.strands]
    assert chain == [(0, 1), (1, 2), (2, 3)]
    assert [y for y, _ in found.strands[0].offsets_mm] == [-4.0, 4.0]
    assert [y for _, y in found.strands[-1].offsets_mm] == [1.0, 2.0]


def made(counts: list[int], strands: list[tuple[int, int]], half: float = 8.0) -> Columns:
    nodes, columns = [], []
    for column, count in enumerate(counts):
        columns.append(list(range(len(nodes), len(nodes) + count)))
        nodes += [Node(f"{column}.{n}", column, half, half, float(len(nodes) + n)) for n in range(count)]
    return Columns(nodes, columns, [Strand(a, b, [(0.0, 0.0)]) for a, b in strands], [0] * len(counts))


def brute_crossings(columns: Columns) -> int:
    place = {n: i for column in columns.columns for i, n in enumerate(column)}
    total = 0
    for i, s in enumerate(columns.strands):
        for t in columns.strands[i + 1 :]:
            if columns.nodes[s.first].column == columns.nodes[t.first].column:
                total += (place[s.first] - place[t.first]) * (place[s.second] - place[t.second]) < 0
    return total


@pytest.mark.parametrize("seed", range(10))
def test_crossings_are_counted_like_by_hand(seed: int) -> None:
    rng = random.Random(seed)
    strands = [(rng.randrange(6), 6 + rng.randrange(6)) for _ in range(12)]
    strands += [(6 + rng.randrange(6), 12 + rng.randrange(4)) for _ in range(8)]
    columns = made([6, 6, 4], strands)
    assert crossings(columns, [False] * 16) == brute_crossings(columns)


@pytest.mark.parametrize("seed", range(20))
def test_the_order_is_near_the_best_of_all(seed: int) -> None:
    rng = random.Random(seed)
    strands = sorted({(rng.randrange(5), 5 + rng.randrange(5)) for _ in range(8)})
    columns = made([5, 5], strands)
    before = brute_crossings(columns)
    best = min(
        sum((a - c) * (list(order).index(b) - list(order).index(d)) < 0
            for i, (a, b) in enumerate(strands) for c, d in strands[i + 1 :])
        for order in permutations(range(5, 10))
    )  # fmt: skip
    order_columns(columns, [False] * 10)
    found = brute_crossings(columns)
    assert found <= before
    # `best` is the best order of the right side alone; both sides may be sorted.
    assert found <= best + 1


def test_nothing_crosses_where_nothing_must() -> None:
    columns = made([4, 4], [(0, 7), (1, 6), (2, 5), (3, 4)])
    order_columns(columns, [False] * 8)
    assert brute_crossings(columns) == 0


@pytest.mark.parametrize("seed", range(15))
def test_levels_keep_the_order_and_the_distances(seed: int) -> None:
    rng = random.Random(seed)
    counts = [rng.randint(1, 5) for _ in range(4)]
    starts = [sum(counts[:i]) for i in range(5)]
    strands = [
        (starts[c] + rng.randrange(counts[c]), starts[c + 1] + rng.randrange(counts[c + 1]))
        for c in (rng.randrange(3) for _ in range(10))
    ]
    columns = made(counts, strands, half=rng.choice((4.0, 8.0, 20.0)))
    y = levels(columns)
    for column in columns.columns:
        for upper, lower in pairwise(column):
            assert y[lower] - y[upper] >= distance(columns.nodes[upper], columns.nodes[lower]) - 1e-9
    assert all(value % 2 == 0 for value in y)


def test_a_lone_wire_runs_straight() -> None:
    columns = made([1, 1, 1], [(0, 1), (1, 2)])
    columns.strands[0].offsets_mm = [(4.0, -6.0)]
    y = levels(columns)
    assert y[0] + 4.0 == y[1] - 6.0
    assert y[1] == y[2]


def test_of_two_wires_one_runs_straight_where_both_cannot() -> None:
    columns = made([1, 1], [(0, 1)])
    columns.strands[0].offsets_mm = [(-4.0, -2.0), (4.0, 2.0)]
    y = levels(columns)
    assert any(y[0] + a == y[1] + b for a, b in columns.strands[0].offsets_mm)


def test_sheaves_stand_at_one_height() -> None:
    columns = made([3, 3], [(0, 5)])
    columns.sheaf = [0, 1]
    y = levels(columns)
    middles = [sum(y[n] for n in column) / 3 for column in columns.columns]
    assert middles[0] == middles[1] == 0.0


@pytest.mark.parametrize("seed", range(10))
def test_most_beside_is_the_most_that_share_a_place(seed: int) -> None:
    rng = random.Random(seed)
    some = [tuple(sorted((rng.random(), rng.random()))) for _ in range(20)]
    middles = [(a + b) / 2 for a, b in pairwise(sorted(v for s in some for v in s))]
    naive = max(sum(a < m < b for a, b in some) for m in middles)
    assert most_beside(some) == naive  # type: ignore[arg-type]
    assert most_beside([]) == 0
