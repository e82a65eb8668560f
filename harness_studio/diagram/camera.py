"""Which part of the page the diagram shows, and how large."""

from __future__ import annotations

from dataclasses import dataclass, replace

from harness_studio.base.geometry import Box, Point
from harness_studio.drawing.pixels import NATURAL_PX_PER_MM, Pixels

LEAST_ZOOM, MOST_ZOOM = 0.005, 8.0
READABLE_ZOOM, EDGE_PX = 0.7, 24.0
STEP = 1.25
"""One step of zooming in."""


@dataclass(frozen=True, slots=True)
class Camera:
    """The page's place in the upper left corner of the view, in mm, and the zoom (1: natural size)."""

    left_mm: float = 0.0
    top_mm: float = 0.0
    zoom: float = 1.0

    @property
    def px_per_mm(self) -> float:
        """Pixels of the view to the millimetre."""
        return self.zoom * NATURAL_PX_PER_MM

    def at(self, x: float, y: float) -> Point:
        """Return the place on the page at a pixel of the view."""
        return Point(self.left_mm + x / self.px_per_mm, self.top_mm + y / self.px_per_mm)

    def on(self, point: Point) -> tuple[float, float]:
        """Return the pixel of the view at a place on the page."""
        return (point.x_mm - self.left_mm) * self.px_per_mm, (point.y_mm - self.top_mm) * self.px_per_mm

    def showing(self, box: Box, width_px: float, height_px: float) -> Camera:
        """Return the camera with a box in view, near enough to read it.

        What can be read where it is stays there, so that the rest of the picture does not go away.
        """
        left, top = self.on(Point(box.left_mm, box.top_mm))
        right, bottom = self.on(Point(box.right_mm, box.bottom_mm))
        within = min(left, top, width_px - right, height_px - bottom) >= EDGE_PX
        if self.zoom >= READABLE_ZOOM and within:
            return self
        near = (
            self if self.zoom >= READABLE_ZOOM else fitted(box.grown(60), width_px, height_px, most_zoom=1.2)
        )
        return near.centred(box.centre, width_px, height_px)

    def panned(self, dx: float, dy: float) -> Camera:
        """Return the camera after the page moved by some pixels."""
        return replace(
            self, left_mm=self.left_mm - dx / self.px_per_mm, top_mm=self.top_mm - dy / self.px_per_mm
        )

    def zoomed(self, factor: float, x: float, y: float) -> Camera:
        """Return the camera after zooming; the place under the pixel (x, y) stays where it is."""
        zoom = min(MOST_ZOOM, max(LEAST_ZOOM, self.zoom * factor))
        here = self.at(x, y)
        scale = zoom * NATURAL_PX_PER_MM
        return Camera(here.x_mm - x / scale, here.y_mm - y / scale, zoom)

    def centred(self, point: Point, width: float, height: float) -> Camera:
        """Return the camera with a place in the middle of a view of this size."""
        return replace(
            self,
            left_mm=point.x_mm - width / 2 / self.px_per_mm,
            top_mm=point.y_mm - height / 2 / self.px_per_mm,
        )

    def pixels(self, width: float, height: float, ratio: float = 1.0) -> Pixels:
        """Return how the page lies on a device with `ratio` pixels to the pixel of the view."""
        scale = self.px_per_mm * ratio
        return Pixels(
            scale, float(round(-self.left_mm * scale)), float(round(-self.top_mm * scale)),
            width * ratio, height * ratio, ratio,
        )  # fmt: skip


def fitted(box: Box, width: float, height: float, *, margin: float = 28.0, most_zoom: float = 1.6) -> Camera:
    """Return the camera that shows a whole box in the middle of a view of this size, with a margin in pixels."""
    across, down = max(1.0, width - 2 * margin), max(1.0, height - 2 * margin)
    scale = min(across / max(box.width_mm, 1.0), down / max(box.height_mm, 1.0))
    zoom = min(most_zoom, max(LEAST_ZOOM, scale / NATURAL_PX_PER_MM))
    return Camera(0.0, 0.0, zoom).centred(box.centre, width, height)
