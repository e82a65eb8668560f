"""The pictures of the guide are those that the present program makes, but for times and the rendering of fonts."""

import os
import re
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QImage

from harness_studio.base import resources
from harness_studio.desktop.guide import chapters

ROOT = Path(__file__).resolve().parents[2]
WIDTH_PX = 320
MEAN, FAR, SHARE = 2.5, 60, 0.015
"""How much grey may differ on average, and by how much how many pixels, in a picture of a quarter of its size."""


def named() -> set[str]:
    """Return the pictures that the chapters and README show."""
    texts = [chapters.markdown(chapter) for chapter in chapters.CHAPTERS]
    texts.append((ROOT / "README.md").read_text(encoding="utf-8"))
    return {name for text in texts for name in re.findall(r"pictures/([\w-]+\.png)\)", text)}


def kept() -> Path:
    return Path(str(resources.path("guide"))) / "pictures"


def small(path: Path) -> np.ndarray:
    """Return a picture in grey, (rows, columns) of 0 to 255, `WIDTH_PX` wide."""
    image = QImage(str(path)).convertToFormat(QImage.Format.Format_RGB32)
    assert not image.isNull(), path
    image = image.scaledToWidth(WIDTH_PX, Qt.TransformationMode.SmoothTransformation)
    image = image.convertToFormat(QImage.Format.Format_Grayscale8)
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine())
    return rows[:, : image.width()].astype(int)


def apart(made: np.ndarray, there: np.ndarray) -> bool:
    if made.shape != there.shape:
        return True
    off = np.abs(made - there)
    return bool(off.mean() > MEAN or (off > FAR).mean() > SHARE)


def test_every_picture_that_is_named_is_there_and_every_one_there_is_shown() -> None:
    assert named() == {path.name for path in kept().glob("*.png")}


def test_other_pictures_are_told_apart(qapp: QGuiApplication) -> None:
    pictures = {name: small(kept() / name) for name in sorted(named())}
    for name, picture in pictures.items():
        assert not apart(picture, picture)
        assert all(apart(picture, other) for key, other in pictures.items() if key != name), name


@pytest.mark.slow
def test_they_are_made_by_the_present_program(qapp: QGuiApplication, tmp_path: Path) -> None:
    env = {**os.environ, "PYTHONPATH": str(ROOT), "QT_QPA_PLATFORM": "offscreen"}
    command = [sys.executable, "-m", "tests.support.guide_pictures", str(tmp_path)]
    done = subprocess.run(command, cwd=ROOT, env=env, capture_output=True, encoding="utf-8", check=False)
    assert done.returncode == 0, done.stderr
    assert {path.name for path in tmp_path.glob("*.png")} == named()
    old = [name for name in sorted(named()) if apart(small(tmp_path / name), small(kept() / name))]
    assert old == [], "look at them, then run: python -m tests.support.guide_pictures"
