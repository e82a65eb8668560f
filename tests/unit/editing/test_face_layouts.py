"""Places of cavities while they are pulled."""

from harness_studio.editing.face_layouts import moved_to


def test_a_pulled_cavity_comes_into_line_or_onto_steps() -> None:
    places = {"1": (0.0, 6.3), "2": (6.0, 6.3), "3": (0.0, 0.0)}
    assert moved_to(places, "3", 5.4, 0.9)["3"] == (6.0, 1.0)
    assert moved_to(places, "3", 3.1, 5.6)["3"] == (3.0, 6.3)
    assert moved_to(places, "3", 3.1, 5.6)["1"] == places["1"]
    assert moved_to({"1": (0.0, 0.0)}, "1", -0.2, 7.24)["1"] == (0.0, 7.0)
