"""What the architecture tests look at: the files of the project, and which rooms there are."""

import subprocess
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "harness_studio"
ABOVE_THE_QT_LINE = {"app", "desktop", "diagram", "sheets", "drawing"}
TEXT_SUFFIXES = {
    "", ".cfg", ".cir", ".css", ".csv", ".html", ".in", ".ini", ".js", ".json", ".md", ".py", ".pyi", ".rst",
    ".sh", ".svg", ".toml", ".txt", ".typed", ".xml", ".yaml", ".yml",
}  # fmt: skip


@cache
def project_files() -> tuple[Path, ...]:
    """Return the files that are, or would be, in the repository; relative to its top."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT, capture_output=True, check=True, encoding="utf-8",
    )  # fmt: skip
    paths = (Path(name) for name in listed.stdout.split("\0") if name)
    return tuple(sorted(path for path in paths if (ROOT / path).is_file()))


def text_files(*tops: str) -> list[Path]:
    """Return the text files below the given top-level names, or all of them."""
    return [
        path
        for path in project_files()
        if path.suffix in TEXT_SUFFIXES and (not tops or path.parts[0] in tops)
    ]


def python_files(*tops: str) -> list[Path]:
    """Return the Python files below the given top-level names."""
    return [path for path in text_files(*tops) if path.suffix == ".py"]


def rooms() -> list[str]:
    """Return the layers that hold code by now."""
    return sorted({path.parts[1] for path in python_files("harness_studio") if len(path.parts) > 2})


def core_rooms() -> list[str]:
    """Return the layers below the Qt line that hold code by now."""
    return [room for room in rooms() if room not in ABOVE_THE_QT_LINE]


def read(path: Path) -> str:
    """Return the text of a file of the project."""
    return (ROOT / path).read_text(encoding="utf-8")
