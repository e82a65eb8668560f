"""What holds for every test: no screen, a home of its own, and no error that nobody looked at."""

import logging
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

pytest_plugins = ["pytester"]

os.environ["QT_QPA_PLATFORM"] = "offscreen"  # before anything imports Qt

ROOT = Path(__file__).resolve().parents[1]
IN_CI = os.environ.get("CI") == "true"

settings.register_profile("here", deadline=None)
settings.register_profile(
    "ci",
    deadline=None,
    derandomize=True,
    print_blob=True,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("ci" if IN_CI else "here")


@pytest.fixture(scope="session")
def samples_dir() -> Path:
    """Return the folder of harness files made elsewhere, which are no part of the project."""
    named = os.environ.get("HARNESS_SAMPLES")
    if not named:
        pytest.skip("HARNESS_SAMPLES names no folder of sample files")
    folder = Path(named)
    if not folder.is_dir():
        pytest.fail(f"HARNESS_SAMPLES names a folder that is not there: {folder}")
    return folder


@pytest.fixture(scope="session")
def sample_projects_dir() -> Path:
    """Return the folder of the projects that the program comes with."""
    return ROOT / "sample_projects"


@pytest.fixture(autouse=True)
def _physics_after_every_solve(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Hold Kirchhoff's law at every point, Ohm's law and the balance of power after every solve in every test.

    Benchmarks are left alone: their times are the program's own.
    """
    if request.node.get_closest_marker("bench"):
        return
    from harness_studio.electrics import solve as solving
    from tests.support.physics import assert_physics, floor_of

    finish = solving.finish

    def checked(*given: Any) -> Any:
        solution = finish(*given)
        assert_physics(solution, floor_of(solution))
        return solution

    monkeypatch.setattr(solving, "finish", checked)


@pytest.fixture(autouse=True)
def _home_of_its_own(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep settings, recovery files and caches of a test away from the user's and from other tests'."""
    home = tmp_path_factory.mktemp("home")
    for name in ("HOME", "USERPROFILE"):
        monkeypatch.setenv(name, str(home))
    for name, folder in {
        "XDG_CONFIG_HOME": "config",
        "XDG_DATA_HOME": "data",
        "XDG_STATE_HOME": "state",
        "XDG_CACHE_HOME": "cache",
        "APPDATA": "roaming",
        "LOCALAPPDATA": "local",
    }.items():
        monkeypatch.setenv(name, str(home / folder))


class _Records(logging.Handler):
    """Keeps what was logged as a warning or worse."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.seen: list[logging.LogRecord] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.seen.append(record)


@pytest.fixture
def expected_logs(_no_unlooked_logs: list[logging.LogRecord]) -> list[logging.LogRecord]:
    """Return the warnings and errors logged so far; a test that asks for them judges them itself."""
    return _no_unlooked_logs


@pytest.fixture(autouse=True)
def _no_unlooked_logs(request: pytest.FixtureRequest) -> Iterator[list[logging.LogRecord]]:
    """Fail a test during which a warning or an error was logged that it did not ask for."""
    records = _Records()
    root = logging.getLogger()
    root.addHandler(records)
    yield records.seen
    root.removeHandler(records)
    if records.seen and "expected_logs" not in request.fixturenames:
        lines = "\n".join(f"  {r.levelname} {r.name}: {r.getMessage()}" for r in records.seen)
        pytest.fail(f"logged and not expected (ask for 'expected_logs' if it is):\n{lines}")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item, call: pytest.CallInfo[None]) -> Iterator[None]:
    """In .ci/run a test that is skipped for want of ngspice has failed."""
    report = yield
    _refuse_skip(report)
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(collector: pytest.Collector) -> Iterator[None]:
    """The same for a module that is skipped as a whole."""
    report = yield
    _refuse_skip(report)
    return report


def _refuse_skip(report: pytest.TestReport | pytest.CollectReport) -> None:
    if IN_CI and report.skipped and "ngspice" in str(report.longrepr).lower():
        report.outcome = "failed"
        report.longrepr = f"skipped, which .ci/run does not accept: {report.longrepr}"
