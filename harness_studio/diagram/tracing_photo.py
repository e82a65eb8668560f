"""What is done to the photo under a page: scaled about a point of it, moved by a distance."""

from __future__ import annotations

from dataclasses import replace
from math import hypot

from harness_studio.base.errors import EditError
from harness_studio.base.geometry import Point
from harness_studio.model.values import TracedPhoto


def scaled(photo: TracedPhoto, first: Point, second: Point, length_mm: float) -> TracedPhoto:
    """Return the photo so large that two points of it lie `length_mm` apart; the first one stays where it is.

    Raises
    ------
    EditError
        If there is no distance to scale by.
    """
    apart = hypot(second.x_mm - first.x_mm, second.y_mm - first.y_mm)
    if apart <= 0 or length_mm <= 0:
        raise EditError("a scale needs two points apart from each other, and a length above zero")
    k = length_mm / apart
    x, y = (at - (at - photo_at) * k for at, photo_at in zip((first.x_mm, first.y_mm), photo.at, strict=True))
    return replace(photo, at=(round(x, 3), round(y, 3)), mm_per_px=float(f"{photo.mm_per_px * k:.6g}"))


def moved(photo: TracedPhoto, first: Point, second: Point) -> TracedPhoto:
    """Return the photo moved so that what lay at the first point lies at the second."""
    x, y = photo.at[0] + second.x_mm - first.x_mm, photo.at[1] + second.y_mm - first.y_mm
    return replace(photo, at=(round(x, 3), round(y, 3)))
