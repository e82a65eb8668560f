"""Whether there is a screen, and what to install for a window."""

import ctypes
import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from harness_studio.app import screen

ROOT = Path(__file__).resolve().parents[3]
NAMES = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")


@pytest.fixture(autouse=True)
def _on_linux_without_a_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    for name in NAMES:
        monkeypatch.delenv(name, raising=False)


def missing(monkeypatch: pytest.MonkeyPatch, *gone: str) -> None:
    real = ctypes.CDLL

    def load(name: str, *args: Any) -> Any:
        if name in gone:
            raise OSError(f"{name}: cannot open shared object file: No such file or directory")
        return real(None)  # the others are taken to be there, whatever this machine has

    monkeypatch.setattr(ctypes, "CDLL", load)


def test_without_a_display_the_reason_is_said() -> None:
    assert screen.why_no_screen() == "neither DISPLAY nor WAYLAND_DISPLAY is set"


def test_a_display_that_does_not_answer_is_no_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("DISPLAY", ":9876")
    assert screen.why_no_screen() == "the screen that DISPLAY names, :9876, does not answer"


@pytest.mark.skipif(shutil.which("Xvfb") is None, reason="Xvfb is not here")
def test_a_display_that_answers_is_a_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    with subprocess.Popen(
        ["Xvfb", "-displayfd", "1", "-nolisten", "tcp"],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    ) as server:
        assert server.stdout is not None
        monkeypatch.setenv("DISPLAY", f":{server.stdout.readline().strip()}")
        try:
            assert screen.why_no_screen() is None
        finally:
            server.terminate()


@pytest.mark.parametrize(
    ("names", "is_screen"),
    [
        ({"WAYLAND_DISPLAY": "wayland-0"}, True),
        ({"WAYLAND_DISPLAY": "wayland-0", "QT_QPA_PLATFORM": "xcb"}, False),
        ({"QT_QPA_PLATFORM": "offscreen"}, True),
        ({"QT_QPA_PLATFORM": "vnc:size=800x600"}, True),
        ({"QT_QPA_PLATFORM": "wayland;xcb"}, False),
    ],
)
def test_wayland_and_a_platform_of_the_users(
    monkeypatch: pytest.MonkeyPatch, names: dict[str, str], is_screen: bool
) -> None:
    for name, value in names.items():
        monkeypatch.setenv(name, value)
    assert (screen.why_no_screen() is None) is is_screen


@pytest.mark.parametrize("platform", ["win32", "darwin"])
def test_other_systems_have_a_screen_and_their_own_libraries(
    monkeypatch: pytest.MonkeyPatch, platform: str
) -> None:
    monkeypatch.setattr(sys, "platform", platform)
    missing(monkeypatch, *screen.PACKAGES)
    assert screen.why_no_screen() is None
    screen.check_libraries()


def test_missing_libraries_of_x11_are_named_before_qt_ends_the_program(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("DISPLAY", ":0")
    missing(monkeypatch, "libxcb-cursor.so.0", "libGL.so.1")
    with pytest.raises(screen.NoWindow) as caught:
        screen.check_libraries()
    assert str(caught.value) == (
        "no window can be opened, the system libraries are missing: libGL.so.1, libxcb-cursor.so.0; "
        "on Debian and Ubuntu: sudo apt-get install libgl1 libxcb-cursor0"
    )


def test_libraries_of_x11_do_not_matter_elsewhere(monkeypatch: pytest.MonkeyPatch) -> None:
    missing(monkeypatch, "libxcb-cursor.so.0")
    monkeypatch.setenv("QT_QPA_PLATFORM", "offscreen")
    screen.check_libraries()
    monkeypatch.setenv("QT_QPA_PLATFORM", "xcb")
    with pytest.raises(screen.NoWindow, match="libxcb-cursor0"):
        screen.check_libraries()


@pytest.mark.parametrize(
    ("message", "shown"),
    [
        (
            "libEGL.so.1: cannot open shared object file: No such file or directory",
            "the system library is missing: libEGL.so.1; on Debian and Ubuntu: sudo apt-get install libegl1",
        ),
        (
            "libstrange-3.so.7: cannot open shared object file: No such file or directory",
            "the system library is missing: libstrange-3.so.7; install the package that holds libstrange-3.so.7",
        ),
        (
            "No module named 'PySide6'",
            "the Python packages of this installation are incomplete, install it again",
        ),
    ],
)
def test_a_failed_import_of_qt_is_explained(message: str, shown: str) -> None:
    text = str(screen.explained(ImportError(message)))
    assert text.startswith("no window can be opened")
    assert shown in text
    assert "\n" not in text


def test_the_set_up_script_installs_the_libraries_that_are_checked() -> None:
    script = (ROOT / "resources" / "setup" / "common.sh").read_text(encoding="utf-8")
    listed = dict(re.findall(r"^(lib\S+\.so\.\d+)\s+(\S+)\s+\S+$", script.partition("test_tools=")[0], re.M))
    assert set(listed) == {*screen.ALWAYS, *screen.ON_X11}
    assert {name: screen.PACKAGES[name] for name in listed} == listed
