"""Reference pictures of each kind of sheet, in the folder beside: `python -m tests.sheets.rasters` makes them anew."""

import os
from pathlib import Path

import numpy as np
import pypdfium2
from PySide6.QtGui import QGuiApplication, QImage

from harness_studio.base.errors import HarnessError
from harness_studio.sheets.catalogue import SHEETS

FOLDER = Path(__file__).with_name("rasters")
DPI = 36


def picture(content: bytes) -> np.ndarray:
    """Return the first page of a document, small and grey, (rows, columns) of 0 to 255."""
    page = pypdfium2.PdfDocument(content)[0]
    grey: np.ndarray = np.ascontiguousarray(page.render(scale=DPI / 72, grayscale=True).to_numpy())
    return grey.reshape(grey.shape[:2])


def reference(sheet: str) -> np.ndarray:
    """Return the picture that is kept of a sheet."""
    image = QImage(str(FOLDER / f"{sheet}.png")).convertToFormat(QImage.Format.Format_Grayscale8)
    assert not image.isNull(), f"no reference of {sheet}: run python -m tests.sheets.rasters"
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine())
    return rows[:, : image.width()].copy()  # the picture itself goes when this returns


def printed(sheet: str) -> bytes:
    """Return a sheet of the first sample; of a harness with long names where that has nothing for it."""
    from tests.sheets.conftest import printed_named

    try:
        return printed_named("first", "A4", False, (sheet,))
    except HarnessError:
        return printed_named("long_names", "A4", False, (sheet,))


def main() -> None:
    """Make every picture anew."""
    app = QGuiApplication([])
    FOLDER.mkdir(exist_ok=True)
    for sheet in SHEETS:
        made = picture(printed(sheet))
        content = made.tobytes()
        rows, columns = made.shape
        image = QImage(content, columns, rows, columns, QImage.Format.Format_Grayscale8)
        image.save(str(FOLDER / f"{sheet}.png"))
    app.quit()


if __name__ == "__main__":
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    main()
