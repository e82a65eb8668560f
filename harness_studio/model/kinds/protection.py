"""Fuses, breakers and fusible links."""

from __future__ import annotations

from dataclasses import dataclass

from harness_studio.model.values import Mohm, Positive


@dataclass(frozen=True, slots=True)
class Fuse:
    """A fuse or breaker by style and rating."""

    style: str | None = None
    rated_a: Positive | None = None
    cold_mohm: Mohm | None = None
    blown: bool = False


@dataclass(frozen=True, slots=True)
class Link:
    """A fusible link: a short wire that is meant to melt."""

    area_mm2: Positive | None = None
    length_mm: Positive | None = None
    rated_a: Positive | None = None
    cold_mohm: Mohm | None = None
    blown: bool = False


def fuse_terminals(_: object) -> tuple[str, ...]:
    """Return in (towards the source) and out."""
    return ("in", "out")
