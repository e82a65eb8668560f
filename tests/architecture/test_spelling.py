"""Common misspellings stay out of what people read: pages, labels and messages (all texts of the code), samples.

The dictionary is codespell's own; it comes with the package and needs no network.
"""

import subprocess
import sys
from pathlib import Path

from tests.architecture.tree import ROOT

READ = (
    "README.md", "DEVELOPERS.md", "pyproject.toml", "harness_studio", "resources/guide", "resources/limits",
    "resources/sheets", "resources/schema/meanings.yaml", "resources/setup", "resources/standards", "sample_projects",
)  # fmt: skip
OURS = {
    "arange": "numpy's function", "deque": "Python's container", "tread": "of a stair", "oder": "German for or",
    "bu": "blue in IEC 60757", "ect": "a printed mark", "nd": "the end of a file's word", "were'": "a quoted sentence",
    "produktion": "a German word in files", "sxl": "an insulation of SAE J1128", "errorstring": "Qt's function",
}  # fmt: skip
"""Words that are right here though they look like others."""


def told(*words: str) -> list[str]:
    """Return what codespell has to say, a line for each word."""
    command = [
        sys.executable, "-m", "codespell_lib", "--builtin", "clear,rare", "--skip", "*.png,*.pyc,*.json",
        "--ignore-words-list", ",".join(OURS), *words,
    ]  # fmt: skip
    done = subprocess.run(command, cwd=ROOT, capture_output=True, encoding="utf-8", check=False)
    assert done.returncode in (0, 65), done.stderr  # 65: something was found
    return done.stdout.splitlines()


def test_what_people_read_is_spelt_right() -> None:
    assert told(*READ) == []


def test_a_misspelling_is_found(tmp_path: Path) -> None:
    page = tmp_path / "page.md"
    page.write_text("The wire is seperate from the ground.\n")
    (line,) = told(str(page))
    assert "seperate ==> separate" in line
