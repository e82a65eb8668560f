"""Scenes made beforehand or with what is there are those that are made from nothing."""

from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtGui import QImage, QPainter

from harness_studio.diagram.camera import fitted
from harness_studio.diagram.layout import lay_out, meanwhile
from harness_studio.diagram.moving import move_edit
from harness_studio.diagram.picture import View, draw
from harness_studio.diagram.ready import Scenes
from harness_studio.diagram.scene import Scene
from harness_studio.drawing.theme import light
from harness_studio.model.edits import Remove, put
from harness_studio.storage.project_file import read_project


@pytest.fixture
def harness(qapp, sample_projects_dir):
    return read_project(sample_projects_dir / "track_buggy.yaml").harness


def same(first: Scene, second: Scene) -> None:
    """Two scenes draw and find the same."""
    assert first.ids == second.ids
    for name in ("outlines", "kinds", "_boxes"):
        assert np.array_equal(getattr(first, name), getattr(second, name))
    assert first.readings == second.readings
    assert first.room.texts == second.room.texts
    assert first.room.owners == second.room.owners
    assert np.array_equal(first.room.listed.obstacles, second.room.listed.obstacles)
    assert first.wires.ids == second.wires.ids
    assert all(np.array_equal(a, b) for a, b in zip(first.wires._sides, second.wires._sides, strict=True))
    assert np.array_equal(first.wires.width_mm, second.wires.width_mm)
    assert first.wires._bases == second.wires._bases


def test_what_is_taken_over_after_edits(harness):
    page = next(iter(harness.pages.values()))
    scenes, layout = Scenes(), lay_out(harness, page)
    same(scenes.of(harness, layout), Scene(harness, page, layout))
    part, wire = next(iter(harness.parts)), next(iter(harness.wires.values()))
    for edit in (
        move_edit(harness, page, [part], 25, 10),
        put("wires", replace(wire, colour="VT")),
        put("parts", replace(harness.parts[part], title="Another name")),
    ):
        edit.apply(harness)
        page = harness.pages[page.id]
        for found in (meanwhile(harness, page, layout), lay_out(harness, page, layout)):
            same(scenes.of(harness, found), Scene(harness, page, found))
        layout = scenes.shown.layout


def test_one_that_was_made_beforehand_is_shown(harness):
    page = next(iter(harness.pages.values()))
    scenes, kept = Scenes(), harness.snapshot()
    layout = lay_out(kept, page)
    scenes.get_ready(kept, page, layout)
    made = scenes._ready
    assert scenes.of(harness, layout) is made
    assert made.harness is harness
    other = lay_out(harness, page)
    scenes.get_ready(kept, page, layout)
    assert scenes.of(harness, other).layout is other


def test_symbols_and_places_that_nothing_changed_are_taken_over(harness):
    page = next(iter(harness.pages.values()))
    before = lay_out(harness, page)
    move_edit(harness, page, [next(iter(harness.parts))], 25, 10).apply(harness)
    now = lay_out(harness, harness.pages[page.id], before)
    assert now.own == lay_out(harness, harness.pages[page.id]).own
    taken = [key for key in now.symbols if now.symbols[key] is before.symbols.get(key)]
    assert len(taken) > len(now.symbols) / 2
    assert now.symbols == lay_out(harness, harness.pages[page.id]).symbols


def picture(scene):
    """The whole page with every symbol in full."""
    image = QImage(1600, 1000, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    painter.fillRect(image.rect(), light().colour("paper"))
    draw(painter, scene, fitted(scene.extent, 1600, 1000).pixels(1600, 1000), light(), View())
    painter.end()
    return image


def first(table, is_so):
    return next(one for one in table.values() if is_so(one))


def test_strokes_that_are_taken_over_look_like_those_drawn_anew(harness):
    page = next(iter(harness.pages.values()))
    scenes, layout = Scenes(), lay_out(harness, page)
    picture(scenes.of(harness, layout))
    grounded = first(harness.wires, lambda w: any(e.point in harness.grounds for e in w.ends))
    plugged = first(
        harness.wires, lambda w: any("." in (e.point or "") and e.point[0] == "X" for e in w.ends)
    )
    half = first(harness.halves, lambda one: one.cavities)
    name, cavity = next(iter(half.cavities.items()))
    edits = [
        put("wires", replace(grounded, colour="VT")),
        put("wires", replace(plugged, colour="PK-BK")),
        put("halves", replace(half, cavities={**half.cavities, name: replace(cavity, plug="fitted")})),
        Remove("wires", plugged.id),
    ]
    seen = 0
    for edit in edits:
        before = picture(scenes.shown)
        edit.apply(harness)
        layout = lay_out(harness, page, layout)
        scene = scenes.of(harness, layout)
        now = picture(scene)
        assert now == picture(Scene(harness, page, layout))
        seen += now != before
    assert seen >= 3
    kept = [one for one in scene._strokes.values() if one in scene._kept_strokes.values()]
    assert len(kept) > len(scene.ids) / 2
