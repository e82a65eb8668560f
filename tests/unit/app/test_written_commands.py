"""Every command line that README and the guide print runs as it stands, in a copy of the samples.

README writes FILE, JOINT and other words in capitals for what the reader has; `MEANT` says what they are here.
"""

import importlib.util
import os
import re
import shlex
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from harness_studio.app import reference
from harness_studio.app.main import COMMANDS
from tests.unit.app.conftest import Run
from tests.unit.intake.kbl_files import pump

ROOT = Path(__file__).resolve().parents[3]
PAGES = [ROOT / "README.md", *sorted((ROOT / "resources" / "guide").glob("*.md"))]
FIRST, VAN = "sample_projects/first_harness.yaml", "sample_projects/tutorial"
PICKUP = "sample_projects/estuary_pickup.yaml"
MEANT = {
    "import FILE.kbl -o FILE.yaml": "import loom.kbl -o loom2.yaml",
    "new FILE": "new mine.yaml",
    "check FILE": f"check {VAN}/4_checked.yaml",
    "size FILE": f"size {VAN}/4_checked.yaml",
    "suspects FILE --case ID": f"suspects {VAN}/6_found.yaml --case dim_lamps",
    "guide FILE cranking": f"guide {PICKUP} cranking",
}
"""Command lines for which the first sample is not the right file."""
WORDS = {"FILE": FIRST, "JOINT": "GP2", "MODE": "key_on", "A": "W31@GP2", "B": "GB1.31", "OUT.pdf": "out.pdf"}
"""What a word in capitals stands for in the others."""
NOT_RUN = {
    "bash resources/setup/run sample_projects/first_harness.yaml":
        "installs packages; test_setup_scripts.py tries its steps, and its last line is the first command here",
    "bash resources/setup/test": "installs packages and runs these very tests",
    "sudo apt-get install python3.11 python3.11-venv": "installs packages",
    "sudo dnf install ...": "installs packages; the program prints the rest of the line",
    "py -m venv .venv": "a line for Windows",
    ".venv\\Scripts\\pip install .": "a line for Windows",
    ".venv\\Scripts\\harness-studio sample_projects\\first_harness.yaml": "a line for Windows",
    ".venv\\Scripts\\pip install .[test]": "a line for Windows",
    ".venv\\Scripts\\python -m pytest": "a line for Windows",
}  # fmt: skip
"""Lines that are not run, each with its reason."""
STARTS = ("harness-studio ", "bash ", "python ", "sudo ", "py ", "pip ", ".venv", "source ", "export ")


def lines_of(text: str) -> Iterator[str]:
    """Yield the command lines of a page: those of its shell blocks, and the quoted ones that begin like a command."""
    blocks = re.findall(r"```(?:bash|sh|console)\n(.*?)```", text, re.S)
    for block in blocks:
        yield from (line.strip() for line in block.splitlines() if line.strip())
    rest = re.sub(r"```.*?```", "", text, flags=re.S)
    for quoted in re.findall(r"`([^`\n]+)`", rest):
        if quoted.startswith(STARTS) and " " in quoted.strip():
            yield quoted


WRITTEN = sorted({line for page in PAGES for line in lines_of(page.read_text(encoding="utf-8"))})
RUN = [line for line in WRITTEN if line not in NOT_RUN]


def meant(line: str) -> list[str]:
    """Return the words of a line, with samples in the place of what the reader has."""
    said = line.removeprefix("harness-studio ")
    words = shlex.split(MEANT.get(said, said))
    return [WORDS.get(word, word) for word in words]


@pytest.fixture
def copied(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Go to a folder with copies of the samples and a small KBL file."""
    shutil.copytree(ROOT / "sample_projects", tmp_path / "sample_projects")
    (tmp_path / "loom.kbl").write_bytes(pump())
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_what_is_not_run_is_still_written() -> None:
    assert set(NOT_RUN) <= set(WRITTEN)


def test_every_command_has_an_example_in_the_guide_and_stands_in_readme() -> None:
    names = {command.NAME for command in COMMANDS}
    assert set(reference.EXAMPLES) == names
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert [name for name in names - {"open"} if f"`harness-studio {name} FILE" not in readme] == []


@pytest.mark.parametrize("line", RUN)
def test_it_runs(line: str, copied: Path, run: Run, qapp: QApplication) -> None:
    assert line.startswith("harness-studio "), f"say how '{line}' is run, or why not"
    words = meant(line)
    assert not [word for word in words if re.fullmatch(r"[A-Z]{2,}(\.\w+)?", word)], (
        f"say what is meant in '{line}'"
    )
    if words[0] not in {command.NAME for command in COMMANDS}:
        _without_a_screen(words, copied)
        return
    done = run(*words)
    assert (done.code, done.complaints) == (0, []), done.err
    assert done.out


def _without_a_screen(words: list[str], home: Path) -> None:
    """Run what opens the window in a process of its own that has no screen: it prints a ground map."""
    env = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")}
    env["PYTHONPATH"] = str(ROOT)
    command = [sys.executable, "-m", "harness_studio", *words]
    done = subprocess.run(command, cwd=home, env=env, capture_output=True, encoding="utf-8", check=False)
    assert done.returncode == 0, done.stderr
    assert "share" in done.stdout


def test_the_modules_and_tests_that_developers_md_names_are_there() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    modules = set(re.findall(r"python -m ([\w.]+)", text))
    assert len(modules) >= 6
    assert [name for name in modules if importlib.util.find_spec(name) is None] == []
