"""The log file, and the one line that is told of a defect."""

import logging
import sys
from pathlib import Path

import pytest

from harness_studio.app import log


def test_what_is_logged_goes_to_a_file_in_the_users_folder(expected_logs: list[logging.LogRecord]) -> None:
    with log.kept():
        try:
            raise ZeroDivisionError("a test")
        except ZeroDivisionError:
            logging.getLogger("harness_studio.x").exception("went wrong")
    assert Path.home() in log.path().parents
    text = log.path().read_text(encoding="utf-8")
    assert "ERROR harness_studio.x: went wrong" in text
    assert "Traceback" in text
    logging.getLogger("harness_studio.x").warning("after")
    assert "after" not in log.path().read_text(encoding="utf-8")
    assert len(expected_logs) == 2


def test_nothing_is_written_when_nothing_went_wrong() -> None:
    with log.kept():
        logging.getLogger("harness_studio.x").info("fine")
    assert not log.path().exists()


def test_a_log_that_cannot_be_written_stops_nothing(
    expected_logs: list[logging.LogRecord], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    blocked = tmp_path / "a file"
    blocked.write_text("")
    monkeypatch.setattr(log, "path", lambda: blocked / "harness-studio.log")
    with log.kept():
        logging.getLogger("harness_studio.x").error("lost")
    assert len(expected_logs) == 1


def test_a_full_log_starts_anew(expected_logs: list[logging.LogRecord]) -> None:
    log.path().parent.mkdir(parents=True)
    log.path().write_text("x" * (log.KEPT_BYTES + 1))
    with log.kept():
        logging.getLogger("harness_studio.x").error("new")
    assert log.path().stat().st_size < 1000
    assert len(expected_logs) == 1


def test_what_nobody_catches_is_logged_and_told_in_one_line(
    expected_logs: list[logging.LogRecord], capsys: pytest.CaptureFixture[str]
) -> None:
    with log.kept():
        error = ValueError("in a slot\nof the window")
        sys.excepthook(ValueError, error, None)
    assert capsys.readouterr().err == (
        "harness-studio: a defect of the program, not of the file: ValueError: in a slot of the window; "
        f"details stand in {log.path()}\n"
    )
    assert [r.getMessage() for r in expected_logs] == ["nobody caught this"]
