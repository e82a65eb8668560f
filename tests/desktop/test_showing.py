"""A thing on another page comes into view, also where that page is laid out on another thread."""


def test_a_thing_of_another_page_comes_into_view(qtbot, window, copied):
    window.files.open(copied("estuary_pickup"))
    qtbot.waitUntil(lambda: not window.diagram.busy, timeout=20_000)
    assert window.diagram.scene.place_of("M2") is None
    window.show_thing("M2")
    qtbot.waitUntil(lambda: window.diagram.scene.place_of("M2") is not None, timeout=20_000)
    x, y = window.diagram.camera.on(window.diagram.scene.place_of("M2").centre)
    assert 0 < x < window.diagram.width()
    assert 0 < y < window.diagram.height()
    assert not window.bar.isVisible()  # nothing is complained of
    qtbot.waitUntil(lambda: not window.diagram.busy, timeout=20_000)


def test_what_stands_on_no_page_is_told(pickup):
    pickup.showing.show("W1_nowhere")
    assert pickup.bar.isVisible()
