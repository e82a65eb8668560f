"""Terminal numbers in words."""

import pytest

from harness_studio.standards import terminals


def test_case_as_written_comes_first() -> None:
    assert terminals.entry("58d") != terminals.entry("58")
    assert terminals.meaning("87A") == terminals.meaning("87a")
    assert terminals.meaning(" b+ ") == terminals.meaning("B+")


def test_no_two_numbers_differ_by_case_alone() -> None:
    assert len({number.lower() for number in terminals.numbers()}) == len(terminals.numbers())


@pytest.mark.parametrize("number", ["", "out", "999", "A"])
def test_names_outside_the_list_mean_nothing(number: str) -> None:
    assert terminals.meaning(number) is None


def test_an_entry_tells_how_sure_it_is() -> None:
    sure, recalled = terminals.entry("31"), terminals.entry("87a")
    assert sure is not None
    assert recalled is not None
    assert sure.sureness == "seen2"
    assert recalled.sureness == "memory"
    assert "from memory" in recalled.source
