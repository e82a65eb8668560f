"""The command line as a whole: help, wrong words, errors in one line, a closed pipe, a defect."""

import logging
import os
import subprocess
import sys
from pathlib import Path

import pytest

from harness_studio import __version__
from harness_studio.app import log
from harness_studio.app.commands import COMMANDS, new
from tests.unit.app.conftest import Run

NAMES = [command.NAME for command in COMMANDS]


def test_the_version(run: Run) -> None:
    done = run("--version")
    assert (done.code, done.out) == (0, f"Harness Studio {__version__}\n")


@pytest.mark.parametrize("name", NAMES)
def test_every_command_has_a_help_and_stands_in_the_help_of_all(run: Run, name: str) -> None:
    assert f"    {name} " in run("--help").out
    done = run(name, "--help")
    assert done.code == 0
    assert done.out.startswith(f"usage: harness-studio {name} ")


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        (["shres", "x.yaml", "GP2"], "there is no command or file 'shres'; nearest command is 'shares'"),
        (
            ["shares", "x.yaml"],
            "shares: name one joint, or several loads with --common E5,M2,P1, or --move W40=GP5",
        ),
        (["solve", "x.yaml", "--jsn"], "unrecognized arguments: --jsn (see harness-studio --help)"),
        (
            ["solve", "x.yaml", "--mode"],
            "argument --mode: expected one argument (see harness-studio solve --help)",
        ),
        (["--frobnicate"], "unrecognized arguments: --frobnicate (see harness-studio --help)"),
    ],
)
def test_wrong_words_are_told_in_one_line(run: Run, words: list[str], complaint: str) -> None:
    done = run(*words)
    assert (done.code, done.out) == (2, "")
    assert done.complaints == [f"harness-studio: {complaint}"]


def test_a_missing_file_is_told_in_one_line(run: Run, tmp_path: Path) -> None:
    done = run("solve", tmp_path / "no.yaml")
    assert (done.code, done.out) == (2, "")
    assert done.complaints == [f"harness-studio: {tmp_path / 'no.yaml'}: there is no such file"]


def test_every_problem_of_a_file_has_a_line_of_its_own(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "bad.yaml"
    file.write_text(
        "harness_studio: 1\nwires:\n  W1: {ends: [cut, cut], area_mm2: nan, colur: BN}\n  W2: {colour: BN}\n"
    )
    done = run("solve", file)
    assert done.code == 2
    assert len(done.complaints) == 3
    assert all(line.startswith(f"harness-studio: {file}:") for line in done.complaints)


def test_a_defect_is_told_in_one_line_and_the_rest_is_in_the_log(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, expected_logs: list[logging.LogRecord]
) -> None:
    def broken(_: object) -> int:
        raise RuntimeError("something\nimpossible")

    monkeypatch.setattr(new, "run", broken)
    done = run("new", tmp_path / "x.yaml")
    assert done.code == 70
    assert done.complaints == [
        "harness-studio: a defect of the program, not of the file: RuntimeError: something impossible; "
        f"details stand in {log.path()}"
    ]
    assert "in broken" in log.path().read_text(encoding="utf-8")
    assert len(expected_logs) == 1


def test_an_interrupted_command_says_nothing(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupted(_: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr(new, "run", interrupted)
    done = run("new", tmp_path / "x.yaml")
    assert (done.code, done.out, done.err) == (130, "", "")


def command(*words: str | Path, **more: object) -> subprocess.CompletedProcess[bytes]:
    env = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")}
    env |= {"PYTHONWARNINGS": "error", **more}  # type: ignore[dict-item]
    return subprocess.run(
        [sys.executable, "-m", "harness_studio", *map(str, words)], env=env, capture_output=True, check=False
    )


def test_the_package_runs_as_a_program(first: Path) -> None:
    done = command("shares", first, "GP2")
    assert (done.returncode, done.stderr) == (0, b"")
    assert b"GP2 bed left rear corner" in done.stdout


def test_a_terminal_without_our_signs_gets_words(first: Path) -> None:
    done = command("solve", first, PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert (done.returncode, done.stderr) == (0, b"")
    assert b" mOhm" in done.stdout
    assert done.stdout.isascii()


@pytest.mark.skipif(os.name == "nt", reason="a closed pipe is another matter there")
def test_a_reader_that_has_enough_stops_the_program_quietly(first: Path) -> None:
    # The reading end is closed before the program writes.
    reading, writing = os.pipe()
    os.close(reading)
    with subprocess.Popen(
        [sys.executable, "-m", "harness_studio", "solve", str(first), "--json"],
        stdout=writing,
        stderr=subprocess.PIPE,
    ) as process:
        os.close(writing)
        assert process.stderr is not None
        assert process.stderr.read() == b""
    assert process.returncode == 141


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="/dev/full is not here")
def test_an_output_that_cannot_be_written_is_told(first: Path) -> None:
    words = [sys.executable, "-m", "harness_studio", "shares", str(first), "GP2"]
    with open("/dev/full", "wb") as full:
        done = subprocess.run(words, stdout=full, stderr=subprocess.PIPE, check=False)
    assert done.returncode == 2
    assert done.stderr == b"harness-studio: No space left on device\n"
