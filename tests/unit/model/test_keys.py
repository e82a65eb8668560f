"""What may be the key of an entry."""

import pytest

from harness_studio.model.harness import SECTIONS
from harness_studio.model.keys import FREE_KEYS, key_problem


@pytest.mark.parametrize("section", [s for s in SECTIONS if s not in FREE_KEYS])
def test_ids(section: str) -> None:
    assert key_problem(section, "W31") is None
    assert key_problem(section, "a b") == (
        "'a b' cannot be an id: letters, digits, _ and - only; 'cut' and 'unknown' are reserved"
    )
    assert key_problem(section, "cut")
    assert (key_problem(section, "unknown") is None) == (section == "bodies")


@pytest.mark.parametrize("section", sorted(FREE_KEYS))
def test_keys_that_are_no_ids(section: str) -> None:
    assert section in SECTIONS
    assert key_problem(section, "GP2/W40") is None
