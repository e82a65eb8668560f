"""The command ``harness-studio``: reads the words, runs the command, and turns every error into one line."""

from __future__ import annotations

import argparse
import contextlib
import logging
import os
import sys
from collections.abc import Sequence
from typing import NoReturn

from harness_studio import __version__
from harness_studio.base.errors import HarnessError, InputError, nearest

from . import log
from .commands import COMMANDS
from .output import complain

FINE, BAD_INPUT, DEFECT, INTERRUPTED, PIPE_CLOSED = 0, 2, 70, 130, 141
"""Exit codes. The last three are customary: sysexits.h, and 128 plus the number of the signal."""

_log = logging.getLogger("harness_studio")


class UsageError(HarnessError):
    """Words that make no command."""


class _Parser(argparse.ArgumentParser):
    """Reports wrong words as an error like any other instead of printing its usage and leaving."""

    def error(self, message: str) -> NoReturn:
        raise UsageError(f"{message} (see {self.prog} --help)")


def parser() -> argparse.ArgumentParser:
    """Return the parser of the whole command line."""
    top = _Parser(
        prog="harness-studio",
        description="Documents a vehicle harness, shows which circuits share a ground, and predicts what a poor joint "
        "there does. 'harness-studio FILE' opens a window; the other commands print tables.",
        epilog="Planning aid: measured values, the vehicle maker's data, local codes and licensed practice come first.",
        allow_abbrev=False,
    )
    top.add_argument("--version", action="version", version=f"Harness Studio {__version__}")
    commands = top.add_subparsers(title="commands", dest="command", metavar="COMMAND", parser_class=_Parser)
    for command in COMMANDS:
        own = commands.add_parser(
            command.NAME, help=command.HELP, description=command.ABOUT, allow_abbrev=False
        )
        command.add_arguments(own)
        own.set_defaults(run=command.run)
    return top


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code: 0 fine, 2 bad input or usage, 70 a defect of the program."""
    words = list(sys.argv[1:] if argv is None else argv)
    with log.kept():
        try:
            code = _run(words)
            sys.stdout.flush()
        except BrokenPipeError:
            return _pipe_closed()
        except KeyboardInterrupt:
            return INTERRUPTED
        except InputError as error:
            for problem in error.problems:
                complain(str(problem))
            return BAD_INPUT
        except HarnessError as error:
            complain(str(error))
            return BAD_INPUT
        except OSError as error:
            complain(_about_file(error))
            return BAD_INPUT
        except Exception as error:
            _log.exception("%s failed", " ".join(words) or "start")
            complain(log.told(error))
            return DEFECT
    return code


def _run(words: list[str]) -> int:
    names = [command.NAME for command in COMMANDS]
    if not words or (words[0] not in names and not words[0].startswith("-")):
        if words and not os.path.exists(words[0]) and (near := nearest(words[0], names)):
            raise UsageError(f"there is no command or file '{words[0]}'; nearest command is '{near}'")
        words = ["open", *words]
    try:
        arguments = parser().parse_args(words)
    except SystemExit as done:  # after --help and --version
        return int(done.code or FINE)
    code: int = arguments.run(arguments)
    return code


def _about_file(error: OSError) -> str:
    what = error.strerror or str(error)
    return f"{error.filename}: {what}" if error.filename is not None else what


def _pipe_closed() -> int:
    """Leave quietly: whoever read the output has enough of it."""
    with contextlib.suppress(OSError, ValueError):
        # What is still in the buffer would be complained of when the interpreter ends.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return PIPE_CLOSED
