"""The one door to the files that ship with the program, installed or in a checkout."""

from __future__ import annotations

from pathlib import Path

from harness_studio.base.errors import HarnessError

_PACKAGE = Path(__file__).resolve().parents[1]


class ResourceMissing(HarnessError, FileNotFoundError):
    """A file that belongs to the program is not there: the installation is incomplete."""

    def __str__(self) -> str:
        # FileNotFoundError would print an errno pair.
        return str(self.args[0])


def _root() -> Path:
    """Return the folder of the resources: the wheel's copy, else the checkout's."""
    installed = _PACKAGE / "_resources"
    return installed if installed.is_dir() else _PACKAGE.parent / "resources"


def path(*parts: str) -> Path:
    """Return the path of a resource, such as ``path("standards", "colours.yaml")``.

    Raises
    ------
    ResourceMissing
        If there is no such file or folder.
    """
    return _existing(_root().joinpath(*parts))


def text(*parts: str) -> str:
    """Return the text of a resource (UTF-8).

    Raises
    ------
    ResourceMissing
        If there is no such file.
    """
    found = path(*parts)
    if not found.is_file():
        raise ResourceMissing(f"'{found}' belongs to the program and should be a file; install it again")
    return found.read_text(encoding="utf-8")


def sample_projects() -> Path:
    """Return the folder of the sample projects: in the wheel's copy, else beside the checkout's resources.

    Raises
    ------
    ResourceMissing
        If there is no such folder.
    """
    root = _root()
    return _existing(
        root / "sample_projects" if root.name == "_resources" else root.parent / "sample_projects"
    )


def _existing(found: Path) -> Path:
    if not found.exists():
        raise ResourceMissing(f"'{found}' belongs to the program and is missing; install it again")
    return found
