"""Work on another thread lets nothing out: what goes wrong comes back as one line, and a defect goes to the log."""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import TypeVar

from harness_studio.base.errors import HarnessError

_log = logging.getLogger(__name__)
T = TypeVar("T")


def attempt(what: str, work: Callable[[], T]) -> tuple[T | None, str | None]:
    """Return (what the work returns, None), or (None, why there is nothing) in one line.

    Parameters
    ----------
    what
        What the work is, for the log.
    """
    try:
        return work(), None
    except (HarnessError, ValueError, ArithmeticError) as error:
        return None, " ".join(str(error).split())
    except OSError as error:
        said = error.strerror or str(error)
        return None, f"{error.filename}: {said}" if error.filename is not None else said
    except Exception as error:
        _log.exception("%s failed", what)
        return None, f"a defect of the program, see the log: {type(error).__name__}: {error}"
