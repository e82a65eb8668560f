"""The setup scripts on machines that lack something: one readable line that names what to install."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]

pytestmark = pytest.mark.skipif(
    not sys.platform.startswith("linux") or shutil.which("bash") is None,
    reason="the scripts are for bash on Linux",
)


class Machine:
    """A checkout's setup scripts, and commands that answer as the test says."""

    def __init__(self, folder: Path) -> None:
        self.top = folder / "checkout"
        self.commands = folder / "commands"
        self.commands.mkdir()
        shutil.copytree(ROOT / "resources" / "setup", self.top / "resources" / "setup")
        self.has("ldconfig", "")
        self.has("id", "echo 1000")
        self.has("sudo", "exit 1")
        self.has("apt-get", "echo 'E: no rights' >&2; exit 100")

    def has(self, command: str, script: str) -> None:
        """Put a command first in the search path."""
        file = self.commands / command
        file.write_text(f"#!/bin/sh\n{script}\n", encoding="utf-8")
        file.chmod(0o755)

    def run(self, script: str, **env: str) -> subprocess.CompletedProcess[str]:
        unset = {"DISPLAY", "WAYLAND_DISPLAY"}
        env = {name: value for name, value in os.environ.items() if name not in unset} | env
        env["PATH"] = f"{self.commands}:{env['PATH']}"
        return subprocess.run(
            ["bash", self.top / "resources" / "setup" / script, "x.yaml"],
            env=env, stdin=subprocess.DEVNULL, capture_output=True, encoding="utf-8", check=False,
        )  # fmt: skip


@pytest.fixture
def machine(tmp_path: Path) -> Machine:
    return Machine(tmp_path)


def test_missing_libraries_are_named_in_one_line(machine: Machine) -> None:
    done = machine.run("run", DISPLAY=":0")
    assert done.returncode == 1
    (line,) = done.stderr.splitlines()
    command, _, packages = line.partition("sudo apt-get install ")
    assert command.startswith("Missing")
    assert {"libgl1", "libegl1", "libglib2.0-0", "libxcb-cursor0"} <= set(packages.split())
    assert not (machine.top / ".venv").exists()


def test_a_library_that_is_there_is_not_asked_for(machine: Machine) -> None:
    machine.has("ldconfig", r"printf '\tlibGL.so.1 (libc6,x86-64) => /lib/libGL.so.1\n'")
    (line,) = machine.run("run", DISPLAY=":0").stderr.splitlines()
    assert "libgl1" not in line.split()
    assert "libegl1" in line.split()


def test_without_apt_the_other_family_of_packages_is_named(machine: Machine) -> None:
    # A machine without apt-get: a search path of its own with what the scripts call and no more.
    for name in ("bash", "cat", "dirname", "echo", "grep", "sort", "uname", "xargs"):
        (machine.commands / name).symlink_to(str(shutil.which(name)))
    (machine.commands / "apt-get").unlink()
    done = subprocess.run(
        [str(shutil.which("bash")), machine.top / "resources" / "setup" / "run", "x.yaml"],
        env={"PATH": str(machine.commands), "DISPLAY": ":0"}, capture_output=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert done.returncode == 1
    (line,) = done.stderr.splitlines()
    command, _, packages = line.partition("sudo dnf install ")
    assert command.startswith("Missing")
    assert {"libglvnd-glx", "libglvnd-egl", "glib2", "xcb-util-cursor"} <= set(packages.split())


def test_an_old_python_is_named(machine: Machine) -> None:
    machine.has("ldconfig", "exit 0")
    for name in ("python3", "python3.11", "python3.12", "python3.13"):
        machine.has(name, 'case "$1" in --version) echo Python 3.9.2;; *) exit 1;; esac')
    done = machine.run("run")  # without a screen the missing libraries are a remark
    assert done.returncode == 1
    assert done.stderr.splitlines()[-1].startswith("Python 3.11 or newer is needed, and Python 3.9.2 is here")


def test_a_folder_that_is_no_environment_is_left_alone(machine: Machine) -> None:
    kept = machine.top / ".venv" / "mine.txt"
    kept.parent.mkdir()
    kept.write_text("mine", encoding="utf-8")
    done = machine.run("run")
    assert done.returncode == 1
    assert "has no working pip" in done.stderr.splitlines()[-1]
    assert kept.read_text(encoding="utf-8") == "mine"
