"""The keyboard walks to the symbol that lies in its direction."""

from harness_studio.diagram.neighbours import next_symbol
from harness_studio.diagram.scene import NO_PAGE, Scene
from harness_studio.model.harness import Harness


def test_in_a_direction(scene: Scene) -> None:
    for key, symbol in scene.symbols.items():
        for way in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            found = next_symbol(scene, key, way)
            if found is not None:
                there = scene.symbols[found].box.centre
                here = symbol.box.centre
                ahead = (there.x_mm - here.x_mm) * way[0] + (there.y_mm - here.y_mm) * way[1]
                assert ahead > 0


def test_every_symbol_is_reached(scene: Scene) -> None:
    start = next_symbol(scene, None, (1, 0))
    assert start is not None
    seen, waiting = {start}, [start]
    while waiting:
        here = waiting.pop()
        for way in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            found = next_symbol(scene, here, way)
            if found is not None and found not in seen:
                seen.add(found)
                waiting.append(found)
    assert seen == set(scene.symbols)


def test_on_an_empty_page(harness: Harness) -> None:
    assert next_symbol(Scene(harness, NO_PAGE), None, (1, 0)) is None
