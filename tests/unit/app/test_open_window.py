"""``harness-studio FILE``: the window, or what is said where none can be opened."""

import builtins
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from harness_studio.app import screen
from harness_studio.app.commands.open_window import most_shared
from harness_studio.app.solving import solved
from tests.unit.app.conftest import Run


def test_without_a_screen_the_ground_map_of_the_most_shared_ground_is_printed(
    run: Run, no_screen: None, first: Path
) -> None:
    for words in (["open", first], [first]):
        done = run(*words)
        assert (done.code, done.err) == (0, "")
        assert done.out.splitlines()[0] == (
            "No window was opened: neither DISPLAY nor WAYLAND_DISPLAY is set. "
            "Here is the ground that most circuits share in first.yaml."
        )
        assert "GP2 bed left rear corner" in done.out
        for load in ("fuel pump", "rear lamp left", "tank sender"):
            assert load in done.out


def test_the_most_shared_ground_has_no_better_one(first: Path) -> None:
    from harness_studio.electrics.shares import shares

    done = solved(first, None)
    best = most_shared(done)
    assert best is not None

    def circuits(ground: str) -> int:
        rows = shares(done.network, done.solution, ground).rows
        return len({row.circuit for row in rows if row.side == "return" and abs(row.share) >= 0.05})

    assert circuits(best.joint) == max(circuits(ground) for ground in done.harness.grounds) >= 3


def test_without_a_screen_a_harness_without_grounds_says_so(
    run: Run, no_screen: None, tmp_path: Path
) -> None:
    file = tmp_path / "empty.yaml"
    file.write_text("harness_studio: 1\ntitle: Nothing yet\n")
    done = run(file)
    assert (done.code, done.err) == (0, "")
    assert done.out.splitlines()[-1] == (
        "Nothing yet, no mode: switches in their first position, engine off: it has no ground points."
    )


def test_without_a_screen_a_file_is_wanted(run: Run, no_screen: None) -> None:
    done = run()
    assert (done.code, done.out) == (2, "")
    assert done.complaints == [
        "harness-studio: no window can be opened, neither DISPLAY nor WAYLAND_DISPLAY is set; "
        "name a project file to see its ground map"
    ]


def test_a_broken_file_is_told_without_a_screen_too(run: Run, no_screen: None, tmp_path: Path) -> None:
    file = tmp_path / "x.yaml"
    file.write_text("[1, 2")
    done = run(file)
    assert (done.code, done.out, len(done.complaints)) == (2, "", 1)


def test_a_kbl_file_is_not_opened_but_imported(run: Run) -> None:
    done = run("some/loom.kbl")
    assert done.code == 2
    assert done.complaints == [
        "harness-studio: some/loom.kbl is no project file; make one of it: "
        "harness-studio import some/loom.kbl -o PROJECT.yaml"
    ]


@pytest.fixture
def failing_import(monkeypatch: pytest.MonkeyPatch) -> Callable[[ImportError], None]:
    """Return what makes the import of the window fail, as it does when the binding cannot be loaded."""

    def fail(error: ImportError) -> None:
        real = builtins.__import__

        def load(name: str, *more: Any, **named: Any) -> Any:
            if name == "harness_studio.desktop.start":
                raise error
            return real(name, *more, **named)

        for name in [n for n in sys.modules if n.startswith("harness_studio.desktop")]:
            monkeypatch.delitem(sys.modules, name)
        monkeypatch.setattr(screen, "check_libraries", lambda: None)
        monkeypatch.setattr(builtins, "__import__", load)

    return fail


def test_a_missing_system_library_is_one_line_with_its_package(
    run: Run, first: Path, failing_import: Callable[[ImportError], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("QT_QPA_PLATFORM", "offscreen")
    failing_import(ImportError("libGL.so.1: cannot open shared object file: No such file or directory"))
    done = run(first)
    assert (done.code, done.out) == (2, "")
    assert done.complaints == [
        "harness-studio: no window can be opened, the system library is missing: libGL.so.1; "
        "on Debian and Ubuntu: sudo apt-get install libgl1"
    ]


def test_a_module_of_our_own_that_is_missing_is_a_defect(
    run: Run, first: Path, failing_import: Callable[[ImportError], None], monkeypatch: pytest.MonkeyPatch,
    expected_logs: list[Any],
) -> None:  # fmt: skip
    monkeypatch.setenv("QT_QPA_PLATFORM", "offscreen")
    failing_import(ImportError("cannot import name 'x'", name="harness_studio.desktop.x"))
    assert run(first).code == 70
    assert len(expected_logs) == 1


def test_missing_libraries_are_looked_for_before_qt_is(
    run: Run, first: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def lacking() -> None:
        raise screen.NoWindow(screen.wanted_packages(["libxcb-cursor.so.0"]))

    monkeypatch.setattr(screen, "why_no_screen", lambda: None)
    monkeypatch.setattr(screen, "check_libraries", lacking)
    done = run(first)
    assert done.code == 2
    assert "sudo apt-get install libxcb-cursor0" in done.complaints[0]


@pytest.mark.parametrize("words", [["open", "x.yaml"], ["x.yaml"], ["open"], []])
def test_with_a_screen_the_window_gets_the_file_and_its_exit_code_is_the_programs(
    run: Run, monkeypatch: pytest.MonkeyPatch, words: list[str]
) -> None:
    opened: list[Path | None] = []
    window = ModuleType("harness_studio.desktop.start")
    window.run = lambda file: opened.append(file) or 3  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "harness_studio.desktop.start", window)
    monkeypatch.setattr(screen, "why_no_screen", lambda: None)
    monkeypatch.setattr(screen, "check_libraries", lambda: None)
    assert run(*words).code == 3
    assert opened == [Path("x.yaml") if "x.yaml" in words else None]
