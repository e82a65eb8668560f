"""The commands, one file each, in the order in which the help lists them."""

from __future__ import annotations

import argparse
from typing import Protocol

from . import (
    check,
    ground,
    guide,
    import_kbl,
    meter,
    new,
    open_window,
    shares,
    sheets,
    size,
    solve,
    suspects,
    sweep,
)


class Command(Protocol):
    """What each file of this folder offers."""

    NAME: str
    HELP: str
    ABOUT: str

    def add_arguments(self, parser: argparse.ArgumentParser) -> None: ...

    def run(self, arguments: argparse.Namespace) -> int:
        """Do it and return the exit code; errors are raised."""
        ...


COMMANDS: tuple[Command, ...] = (
    open_window,
    new,
    import_kbl,
    shares,
    check,
    size,
    ground,
    solve,
    meter,
    sweep,
    suspects,
    guide,
    sheets,
)
