"""A small harness on a page, for everything that is drawn of one."""

from dataclasses import replace

import pytest
from PySide6.QtGui import QGuiApplication

from harness_studio.diagram.scene import Scene
from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness
from harness_studio.placing.arrange import arrange
from tests.support.layouts import small


@pytest.fixture(autouse=True)
def _app(qapp: QGuiApplication) -> None:
    """Have Qt running: texts are measured with its fonts."""


@pytest.fixture
def harness() -> Harness:
    """Return a pickup's rear end, arranged on one page."""
    made = small()
    box = made.parts["A9"]
    feed = ("A9.B", *box.ratings.buses[0])
    made.parts["A9"] = replace(box, ratings=replace(box.ratings, buses=(feed,)))
    made.pages["p1"] = Page("p1", items=arrange(made))
    return made


@pytest.fixture
def scene(harness: Harness) -> Scene:
    """Return its page."""
    return Scene(harness, harness.pages["p1"])
