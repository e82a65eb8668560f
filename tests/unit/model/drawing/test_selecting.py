"""What belongs to things that are selected."""

from harness_studio.model.drawing.selecting import halves_with_mates
from tests.support.sketch import Sketch


def test_halves_come_with_what_they_plug_into_whichever_of_the_two_says_so() -> None:
    made = Sketch()
    made.half("X1", "12")
    made.half("X2", "12", mates="X1")
    made.half("X3", "12", mates="X2")
    made.half("X4", "12")
    assert set(halves_with_mates(made.harness, {"X1"})) == {"X1", "X2"}
    assert halves_with_mates(made.harness, {"X3"}) == ("X3", "X2")
    assert set(halves_with_mates(made.harness, {"X2"})) == {"X1", "X2", "X3"}
    assert halves_with_mates(made.harness, {"E5"}) == ()
