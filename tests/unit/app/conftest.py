"""Running a command in this process, and a machine without a screen."""

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from harness_studio.app.main import main


@dataclass(frozen=True)
class Done:
    """What a command left behind."""

    code: int
    out: str
    err: str

    @property
    def complaints(self) -> list[str]:
        return self.err.splitlines()


Run = Callable[..., Done]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    """Return what runs a command: run("shares", file, "GP2")."""

    def command(*words: str | Path) -> Done:
        capsys.readouterr()
        code = main([str(word) for word in words])
        return Done(code, *capsys.readouterr())

    return command


@pytest.fixture
def no_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    """Take the screen away, whatever this machine has."""
    monkeypatch.setattr("sys.platform", "linux")
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)


@pytest.fixture
def first(sample_projects_dir: Path, tmp_path: Path) -> Path:
    """Return a copy of the first sample project."""
    return Path(shutil.copy(sample_projects_dir / "first_harness.yaml", tmp_path / "first.yaml"))
