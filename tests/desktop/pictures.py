"""Reference pictures of the diagram, in the folder beside: `python -m tests.desktop.pictures` makes them anew.

They are small and soft: each pixel is the mean of a square of the window's, so that how a machine's fonts are rendered
hardly shows, and what is drawn where does.
"""

import math
import os
from collections.abc import Callable
from functools import partial
from pathlib import Path

import numpy as np
from PySide6.QtCore import QPoint
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

from harness_studio.diagram.view import Diagram
from harness_studio.drawing.theme import Theme, dark, light
from harness_studio.session.scheduler import Synchronous
from harness_studio.session.session import Session
from harness_studio.storage.project_file import read_project

FOLDER = Path(__file__).with_name("pictures")
SAMPLES = Path(__file__).parents[2] / "sample_projects"
WIDTH, HEIGHT, SOFT = 1080, 720, 4
"""Size of the diagram in pixels, and side of the squares whose mean is kept."""
MEAN, FAR, SHARE = 0.6, 24, 0.003
"""How much colour may differ on average (of 255), and by how much how many pixels."""
BLOCK, NEAR = 9, 14.0
"""Side of a block of pixels, and how much it may differ on average: without any smoothing of letters it is 9."""


def chosen(diagram: Diagram, ground: str) -> None:
    """Choose a ground, as a click does."""
    diagram.session.choose(ground)
    diagram.session.select({ground})


def dialled(diagram: Diagram, ground: str, ohm: float) -> None:
    """Choose a ground and turn its dial."""
    chosen(diagram, ground)
    diagram.dial.turn(ohm)


def overlaid(diagram: Diagram, kind: str, ground: str | None = None) -> None:
    """Lay an overlay over the page."""
    if ground is not None:
        chosen(diagram, ground)
    diagram.show_overlay(kind)  # type: ignore[arg-type]


CASES: dict[str, tuple[Callable[[Diagram], None], Callable[[], Theme]]] = {
    "plain": (lambda diagram: None, light),
    "ground": (partial(chosen, ground="GP2"), light),
    "ground_dark": (partial(chosen, ground="GP2"), dark),
    "current": (partial(overlaid, kind="current"), light),
    "lost_dark": (partial(overlaid, kind="lost", ground="GP2"), dark),
    "dial_150": (partial(dialled, ground="GP2", ohm=0.15), light),
    "dial_500": (partial(dialled, ground="GP2", ohm=0.5), light),
    "dial_open": (partial(dialled, ground="GP2", ohm=math.inf), light),
}
"""What is done before the picture is taken, and the theme."""


def picture(do: Callable[[Diagram], None], theme: Theme) -> np.ndarray:
    """Return the diagram of the first sample after something was done: (rows, columns, 3) of 0 to 255, soft."""
    session = Session.of(read_project(SAMPLES / "first_harness.yaml").harness, Synchronous())
    session.set_mode("braking")
    diagram = Diagram(session)
    diagram.set_theme(theme)
    diagram.resize(WIDTH, HEIGHT)
    image = QImage(WIDTH, HEIGHT, QImage.Format.Format_RGB888)
    diagram.render(image, QPoint())  # a widget that is not shown takes its size when it is first drawn
    do(diagram)
    diagram.render(image, QPoint())
    diagram.close_session()
    diagram.deleteLater()
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(HEIGHT, image.bytesPerLine())[:, : 3 * WIDTH]
    squares = rows.reshape(HEIGHT // SOFT, SOFT, WIDTH // SOFT, SOFT, 3).astype(float)
    soft: np.ndarray = squares.mean(axis=(1, 3))
    return soft


def reference(name: str) -> np.ndarray:
    """Return the picture that is kept."""
    image = QImage(str(FOLDER / f"{name}.png")).convertToFormat(QImage.Format.Format_RGB888)
    assert not image.isNull(), f"no reference of {name}: run python -m tests.desktop.pictures"
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine())
    return rows[:, : 3 * image.width()].reshape(image.height(), image.width(), 3).astype(float)


def apart(made: np.ndarray, kept: np.ndarray) -> bool:
    """Return whether two pictures show different things."""
    if made.shape != kept.shape:
        return True
    off = np.abs(made - kept).max(axis=2)
    rows, columns = (side // BLOCK for side in off.shape)
    blocks = off[: rows * BLOCK, : columns * BLOCK].reshape(rows, BLOCK, columns, BLOCK).mean(axis=(1, 3))
    return bool(off.mean() > MEAN or (off > FAR).mean() > SHARE or blocks.max() > NEAR)


def main() -> None:
    """Make every picture anew."""
    app = QApplication([])
    FOLDER.mkdir(exist_ok=True)
    for name, (do, theme) in CASES.items():
        made = np.ascontiguousarray(np.rint(picture(do, theme())).astype(np.uint8))
        rows, columns, _ = made.shape
        QImage(made.tobytes(), columns, rows, 3 * columns, QImage.Format.Format_RGB888).save(
            str(FOLDER / f"{name}.png")
        )
    app.quit()


if __name__ == "__main__":
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    main()
