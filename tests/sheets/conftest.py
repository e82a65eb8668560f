"""Documents that several tests read, each printed once."""

from collections.abc import Callable
from functools import cache

import pytest
from PySide6.QtGui import QGuiApplication

from harness_studio.model.harness import Harness
from harness_studio.sheets import binding
from harness_studio.sheets.job import Job
from harness_studio.sheets.paper import paper
from harness_studio.storage.project_file import read_project
from tests.conftest import ROOT
from tests.sheets import harnesses

DAY = "2026-03-02"


@cache
def harness_named(name: str) -> Harness:
    if name == "first":
        return read_project(ROOT / "sample_projects" / "first_harness.yaml").harness
    return getattr(harnesses, name)()


@cache
def job_named(name: str, size: str, landscape: bool) -> Job:
    return binding.job_of(harness_named(name), paper(size, landscape=landscape), day=DAY)


@cache
def printed_named(name: str, size: str, landscape: bool, sheets: tuple[str, ...]) -> bytes:
    return binding.document(job_named(name, size, landscape), sheets)


@pytest.fixture
def job_for(qapp: QGuiApplication) -> Callable[..., Job]:
    return lambda name="first", size="A4", landscape=False: job_named(name, size, landscape)


@pytest.fixture
def printed(qapp: QGuiApplication) -> Callable[..., bytes]:
    """Return a function that prints sheets of a harness known by its name, once for all tests."""
    return lambda *sheets, name="first", size="A4", landscape=False: printed_named(
        name, size, landscape, sheets
    )
