"""What goes wrong beside the window comes back as one line."""

import logging

import pytest

from harness_studio.base.errors import HarnessError
from harness_studio.session.attempt import attempt


def failing(error: Exception):
    def work() -> int:
        raise error

    return work


def test_what_is_returned_comes_through() -> None:
    assert attempt("a sum", lambda: 1 + 1) == (2, None)


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (HarnessError("no mode\n'night'"), "no mode 'night'"),
        (OSError(28, "No space left on device", "out.pdf"), "out.pdf: No space left on device"),
        (OSError("gone"), "gone"),
    ],
)
def test_what_a_person_can_mend_is_said(error: Exception, said: str) -> None:
    assert attempt("printing", failing(error)) == (None, said)


def test_a_defect_is_said_and_logged(expected_logs: list[logging.LogRecord]) -> None:
    found, said = attempt("printing", failing(KeyError("x")))
    assert found is None
    assert said is not None
    assert said.startswith("a defect of the program, see the log: KeyError")
    assert [(r.levelno, r.getMessage()) for r in expected_logs] == [(logging.ERROR, "printing failed")]
