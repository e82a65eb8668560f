"""In each sample: what a clicked ground brings to the front, lists and writes is what `shares` and `solve` print."""

import json

import pytest
from PySide6.QtCore import Qt

from harness_studio.app.main import main
from harness_studio.desktop.share_rows import SHARE
from harness_studio.diagram.focus import FOLDED
from harness_studio.diagram.overlays import overlay_of
from harness_studio.diagram.search import pages_with
from harness_studio.diagram.words import amperes, per_cent
from harness_studio.electrics.common import common_joints
from harness_studio.electrics.shares import shares
from harness_studio.electrics.solve import solve
from harness_studio.network.expand import expand
from tests.support.pointing import click

SAMPLES = ("first_harness", "estuary_pickup", "track_buggy", "trailer_wiring")


def run(capsys, *words):
    capsys.readouterr()
    assert main([*map(str, words), "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def opened(qtbot, window, path):
    assert window.files.open(path)
    qtbot.waitUntil(lambda: window.session.solution is not None and not window.diagram.busy, timeout=30_000)
    window.activateWindow()
    return window


@pytest.mark.parametrize("sample", SAMPLES)
def test_a_clicked_ground_of_each_sample(qtbot, window, copied, capsys, sample):
    path = copied(sample)
    opened(qtbot, window, path)
    session, diagram = window.session, window.diagram
    network = expand(session.harness, session.mode)
    alone = solve(network)
    busiest = sorted(session.harness.grounds, key=lambda g: -abs(alone.joint(g).amperes))
    for ground in [g for g in busiest if pages_with(session.harness, g)][:3]:
        window.show_thing(ground)
        qtbot.waitUntil(
            lambda g=ground: not diagram.busy and diagram.scene.place_of(g) is not None, timeout=30_000
        )
        click(window, ground)
        assert session.chosen == ground
        qtbot.waitUntil(lambda: diagram.state.progress == 1.0)
        focus, scene = diagram.state.focus, diagram.scene
        said = run(capsys, "shares", path, ground)
        sharing = [r for r in said["shares"] if r["way"] not in FOLDED]
        # Symbols: every sharing load that stands on the page is in front and says its share and amperes.
        homes = {scene.symbol_of(r["part"]) for r in sharing} - {None}
        assert homes == set(focus.notes)
        assert homes <= focus.symbols
        for home, note in focus.notes.items():
            mine = [r for r in sharing if scene.symbol_of(r["part"]) == home]
            share, amps = max(abs(r["share"]) for r in mine), sum(r["amperes"] for r in mine)
            assert note == f"{per_cent(share)} · {amperes(amps)}"
        # Wires: exactly those on a way of a sharing circuit, by a solution of its own.
        assert set(focus.wires) == set(shares(network, alone, ground).sharing_wires)
        # The page: a line for each of them, with the same share.
        model = window.drawer.ground_map.list.model()
        listed = [model.index(i, 0).data(SHARE) for i in range(model.rowCount())]
        assert sorted(s for s in listed if s is not None) == pytest.approx(
            sorted(r["share"] for r in sharing)
        )
        session.choose(None)


@pytest.mark.parametrize("sample", SAMPLES)
def test_the_numbers_of_the_overlays_are_those_of_solve(qtbot, window, copied, capsys, sample):
    path = copied(sample)
    opened(qtbot, window, path)
    scene, solution = window.diagram.scene, window.session.solution
    wires = run(capsys, "solve", path)["wires"]
    current = overlay_of("current", scene, solution)
    warmth = overlay_of("warmth", scene, solution)
    for number, wire in enumerate(scene.wires.ids):
        assert current.values[number] == pytest.approx(wires[wire]["amperes"], rel=1e-9, abs=1e-12)
        if current.words[number]:
            assert current.words[number] == amperes(abs(wires[wire]["amperes"]))
        if wires[wire]["temperature_c"] is not None:
            assert warmth.words[number].startswith(f"{wires[wire]['temperature_c']:.0f} of ")


def test_the_flasher_of_a_sample_follows_the_dial(qtbot, window, copied):
    """An electronic flasher doubles its rate when a lamp's current is lost: here by its ground."""
    window.resize(1280, 800)
    opened(qtbot, window, copied("estuary_pickup"))
    session = window.session
    session.set_mode("rain_idle")
    qtbot.mouseClick(window.strip.folds["switch"], Qt.MouseButton.LeftButton)
    qtbot.mouseClick(window.strip.button("switch", "S4", "left"), Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not session.computed.stale, timeout=30_000)
    whole = session.computed.readings["K13 rate"].value
    assert whole > 0
    network, solution = session.computed.network, session.solution
    found = common_joints(network, solution, ["E11/indicator", "E3/indicator"])
    lamp = next(j for j in found.ruled_out if j.side == "feed" and j.shares[0] > 0.99 and j.shares[1] < 0.01)
    session.choose(lamp.joint)
    window.diagram.dial.turn(float("inf"))
    qtbot.waitUntil(
        lambda: not session.computed.stale and window.diagram.dial._wanted is None, timeout=30_000
    )
    fast = session.computed.readings["K13 rate"].value
    assert fast == pytest.approx(2 * whole)
