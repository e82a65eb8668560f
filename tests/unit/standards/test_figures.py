"""Notes beside a figure."""

from harness_studio.standards.figures import notes


def test_only_what_was_said_is_noted() -> None:
    assert notes("", "a", "", "b") == "a; b"
    assert notes() == notes("", "") == ""
