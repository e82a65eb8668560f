"""The projects that come with the program: their titles, and what they say about themselves in their first lines."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from harness_studio.base import resources


@dataclass(frozen=True, slots=True)
class Sample:
    """One of them. `line` is the first sentence of the comment at its top, behind the title."""

    path: Path
    title: str
    line: str


def samples() -> list[Sample]:
    """Return all of them; the first one to look at comes first."""
    found = [_sample(path) for path in sorted(resources.sample_projects().glob("*.yaml"))]
    return sorted(found, key=lambda sample: (not sample.path.stem.startswith("first"), sample.path.stem))


def _sample(path: Path) -> Sample:
    said: list[str] = []
    with path.open(encoding="utf-8") as lines:
        for line in lines:
            if not line.startswith("#") or line.strip() == "#":
                break
            said.append(line.lstrip("# ").strip())
    title, _, rest = " ".join(said).partition(":")
    sentence = rest.strip().partition(". ")[0].rstrip(".")
    return Sample(path, title.strip() or path.stem, sentence[:1].upper() + sentence[1:])
