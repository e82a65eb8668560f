"""The parts of the guide that are made from the program: its commands with their options, and its keys.

The pages commands.md and keys.md of resources/guide are written by hand; between ``<!-- made: NAME -->`` and
``<!-- end -->`` stands what this module makes, and behind ``<!-- key COMMAND -->`` the first key of a command of the
window. ``python -m harness_studio.app.reference`` makes it anew in a checkout.
"""

from __future__ import annotations

import argparse
import os
import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from harness_studio.base import resources

if TYPE_CHECKING:
    from harness_studio.desktop.commands import Command

_REGION = re.compile(r"(<!-- made: (\w+) -->\n).*?(<!-- end -->)", re.S)
_KEY = re.compile(r"(<!-- key (\w+) -->)`[^`]*`")
PAGES = ("commands.md", "keys.md", "ten-minutes.md")

_FIRST, _VAN = "sample_projects/first_harness.yaml", "sample_projects/tutorial"
EXAMPLES = {
    "open": f"harness-studio {_FIRST}",
    "new": 'harness-studio new my_van.yaml --title "My van"',
    "import": "harness-studio import loom.kbl -o loom.yaml",
    "shares": f"harness-studio shares {_FIRST} GP2",
    "check": f"harness-studio check {_VAN}/4_checked.yaml",
    "size": f"harness-studio size {_VAN}/4_checked.yaml",
    "ground": f"harness-studio ground {_FIRST} --ground GP2",
    "solve": f"harness-studio solve {_FIRST} --joint GP2=180",
    "meter": f"harness-studio meter {_FIRST} --plus W31@GP2 --minus GB1.31",
    "sweep": f"harness-studio sweep {_FIRST} --added 50",
    "suspects": f"harness-studio suspects {_VAN}/6_found.yaml --case dim_lamps",
    "guide": "harness-studio guide sample_projects/estuary_pickup.yaml cranking",
    "sheets": f"harness-studio sheets {_FIRST} -o pinouts.pdf --sheet pinout",
}
"""One line for each command, to be typed in the folder of a checkout."""


def commands() -> Iterator[str]:
    """Yield the lines that tell of every command."""
    from .main import parser

    top = parser()
    choices = next(a for a in top._actions if isinstance(a, argparse._SubParsersAction))
    about = {choice.dest: choice.help for choice in choices._choices_actions}
    for name, own in choices.choices.items():
        yield f"## {name}"
        yield ""
        yield f"{_sentence(about[name] or '')} {own.description or ''}".strip()
        yield ""
        yield "| option | does |"
        yield "| --- | --- |"
        for action in own._actions:
            if not isinstance(action, argparse._HelpAction):
                yield f"| {_words_of(action)} | {_cell(action.help or '')} |"
        yield from ("", "```bash", EXAMPLES[name], "```", "")


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:].rstrip(".") + "."


def _words_of(action: argparse.Action) -> str:
    value = action.metavar if isinstance(action.metavar, str) else action.dest.upper()
    if not action.option_strings:
        return f"`{value}`"
    takes = f" {value}" if action.nargs != 0 else ""
    return ", ".join(f"`{option}{takes}`" for option in action.option_strings)


def _cell(text: str) -> str:
    return " ".join(text.replace("%%", "%").replace("|", "\\|").split())


def window_commands() -> list[Command]:
    """Return all commands of the window; a QApplication is needed."""
    from harness_studio.desktop.window import Window

    window = Window()
    try:
        return list(window.commands.all)
    finally:
        window.take_down()
        window.deleteLater()


def key_words(command: Command) -> list[str]:
    """Return the keys of a command as they are written: `Ctrl+Shift+F`."""
    from PySide6.QtGui import QKeySequence

    return [QKeySequence(key).toString(QKeySequence.SequenceFormat.PortableText) for key in command.keys]


def keys() -> Iterator[str]:
    """Yield the lines of a table of all commands of the window that have keys."""
    yield "| keys | does | menu |"
    yield "| --- | --- | --- |"
    for command in window_commands():
        if command.keys:
            said = ", ".join(f"`{key}`" for key in key_words(command))
            menu = command.menu.partition("/")[0] or "list of commands only"
            yield f"| {said} | {_cell(command.title.replace('…', ''))} | {menu} |"


def made(text: str) -> str:
    """Return a page with its made parts made anew."""
    makers = {"commands": commands, "keys": keys}
    text = _REGION.sub(lambda m: m.group(1) + "\n".join(makers[m.group(2)]()) + "\n" + m.group(3), text)
    if not _KEY.search(text):
        return text
    first = {command.id: key_words(command)[0] for command in window_commands() if command.keys}
    return _KEY.sub(lambda m: f"{m.group(1)}`{first[m.group(2)]}`", text)


def main() -> None:
    """Write the pages of the checkout anew."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtCore import QStandardPaths
    from PySide6.QtWidgets import QApplication

    QStandardPaths.setTestModeEnabled(True)
    app = QApplication([])
    for name in PAGES:
        page = resources.path("guide", name)
        page.write_text(made(page.read_text(encoding="utf-8")), encoding="utf-8")
    app.quit()


if __name__ == "__main__":
    main()
