"""The data files are read once."""

import pytest

from harness_studio.base.resources import ResourceMissing
from harness_studio.standards import tables


def test_a_file_is_read_once() -> None:
    assert tables.load("colours.yaml") is tables.load("colours.yaml")


def test_a_missing_file_is_named() -> None:
    with pytest.raises(ResourceMissing, match=r"none\.yaml"):
        tables.load("none.yaml")
