"""Placing: whatever the harness and wherever its symbols stand, wires are square, apart, and run through nothing."""

import random
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness
from harness_studio.model.values import At
from harness_studio.placing.arrange import arrange
from harness_studio.placing.labels import labels
from harness_studio.placing.outlines import symbols
from harness_studio.placing.placed import on_page
from harness_studio.placing.routes import reroute, routes
from harness_studio.placing.symbols import Route, Symbol
from tests.support.layouts import vehicle_of
from tests.support.random_harness import harnesses
from tests.support.vehicle import vehicle
from tests.support.ways import on_each_other, overlapping, slanted, through_symbols

seeds = st.integers(0, 10_000)
made = st.one_of(
    st.builds(vehicle_of, st.integers(3, 60), seeds),
    st.builds(vehicle, seeds, st.integers(1, 8)),
)


def check(page: Page, drawn: dict[str, Symbol], ways: dict[str, Route]) -> None:
    assert slanted(ways) == []
    assert through_symbols(page, drawn, ways) == []
    assert on_each_other(ways) == []


def scattered(harness: Harness, rng: random.Random, room_mm: float) -> Page:
    """Return a page with all symbols in rows at random distances, turned and mirrored at random, bars below."""
    drawn = symbols(harness)
    keys = [key for key, s in drawn.items() if s.kind != "body"]
    rng.shuffle(keys)
    items: dict[str, At] = {}
    x = y = row = 0.0
    for key in keys:
        is_ground = drawn[key].kind == "ground"
        at = At(
            0, 0, 0 if is_ground else rng.choice((0, 0, 90, 180, 270)), not is_ground and rng.random() < 0.2
        )
        clear = on_page(drawn[key], at).clear
        gap = rng.uniform(room_mm, 3 * room_mm)
        if x + clear.width_mm + gap > 420:
            x, y, row = 0.0, y + row + rng.uniform(room_mm, 2 * room_mm), 0.0
        items[key] = At(round(x + gap - clear.left_mm), round(y + room_mm - clear.top_mm), at.turn, at.mirror)
        x, row = x + gap + clear.width_mm, max(row, clear.height_mm)
    bars = [key for key, s in drawn.items() if s.kind == "body"]
    items.update({key: At(100 + 260 * i, y + row + 70) for i, key in enumerate(bars)})
    return Page("p", items=items)


@settings(max_examples=40)
@given(made)
def test_an_arranged_page_is_clear(harness: Harness) -> None:
    page = Page("p", items=arrange(harness))
    drawn = symbols(harness, page)
    assert overlapping(page, drawn) == []
    check(page, drawn, routes(harness, page, drawn))


@settings(max_examples=40)
@given(st.builds(vehicle_of, st.integers(3, 40), seeds), seeds)
def test_a_page_placed_by_hand_is_clear(harness: Harness, seed: int) -> None:
    page = scattered(harness, random.Random(seed), 14.0)
    drawn = symbols(harness, page)
    check(page, drawn, routes(harness, page, drawn))


@settings(max_examples=25)
@given(made, seeds)
def test_moving_things_about_keeps_a_page_clear(harness: Harness, seed: int) -> None:
    rng = random.Random(seed)
    page = Page("p", items=arrange(harness))
    drawn = symbols(harness, page)
    ways = routes(harness, page, drawn)
    moved: set[str] = set()
    for _ in range(3):
        movable = sorted(k for k, s in drawn.items() if s.kind not in ("ground", "body"))
        key = rng.choice(movable)
        at = page.items[key]
        there = replace(at, x_mm=at.x_mm + rng.choice((-4, 2, 6)), y_mm=at.y_mm + rng.choice((-4, 2, 6)))
        after_page = replace(page, items={**page.items, key: there})
        after = symbols(harness, after_page)
        changed = {k for k in after if after[k] != drawn[k]} | {key}
        ways = reroute(harness, after_page, after, changed, ways)
        page, drawn = after_page, after
        moved.add(key)
        if not any(_close(page, drawn, m, other) for m in moved for other in drawn if other != m):
            check(page, drawn, ways)


def _close(page: Page, drawn: dict[str, Symbol], key: str, other: str) -> bool:
    """Tell whether two symbols have come so near that no wire fits between them."""
    a, b = (on_page(drawn[k], page.items[k]).clear for k in (key, other))
    return a.grown(5.0).meets(b)


@settings(max_examples=60)
@given(harnesses())
def test_any_harness_can_be_arranged_laid_and_labelled(harness: Harness) -> None:
    page = Page("p", items=arrange(harness))
    assert arrange(harness) == page.items
    drawn = symbols(harness, page)
    assert set(drawn) == set(page.items)
    ways = routes(harness, page, drawn)
    assert slanted(ways) == []
    labels(harness, page, drawn, ways)


@settings(max_examples=60)
@given(harnesses(), seeds)
def test_any_page_can_be_laid_even_with_everything_in_one_place(harness: Harness, seed: int) -> None:
    rng = random.Random(seed)
    keys = [k for s in ("parts", "halves", "splices", "grounds", "bodies") for k in harness.tables[s]]
    items = {
        k: At(rng.uniform(0, 60), rng.uniform(0, 60), rng.choice((0, 90)), rng.random() < 0.5) for k in keys
    }
    page = Page("p", items=items)
    drawn = symbols(harness, page)
    ways = routes(harness, page, drawn)
    assert slanted(ways) == []
    labels(harness, page, drawn, ways)
