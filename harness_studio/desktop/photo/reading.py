"""Reads a picture or a page of a PDF, and keeps it as PNG inside the project's folder."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, Qt
from PySide6.QtGui import QImage, QImageReader, QImageWriter

from harness_studio.base.errors import HarnessError
from harness_studio.storage.disk import replace_file

MOST_PX = 4000
"""Longest side that is kept: finer than any screen shows, and a phone's photo stays below 20 MB."""
PDF_PX_PER_POINT = 200 / 72
FOLDER = "photos"


def pages_of_pdf(path: Path) -> int:
    """Return how many pages a PDF has.

    Raises
    ------
    HarnessError
        With one line, if it cannot be read.
    """
    document = _document(path)
    try:
        return len(document)
    finally:
        document.close()


def read_picture(path: Path, page: int = 0) -> QImage:
    """Return a picture, the right way up, or a page of a PDF (counted from 0), no larger than is kept.

    Raises
    ------
    HarnessError
        With one line, if it cannot be read.
    """
    image = _pdf_page(path, page) if path.suffix.lower() == ".pdf" else _picture(path)
    if max(image.width(), image.height()) > MOST_PX:
        image = image.scaled(
            MOST_PX,
            MOST_PX,
            Qt.AspectRatioMode.KeepAspectRatio,
            Qt.TransformationMode.SmoothTransformation,
        )
    return image


def _picture(path: Path) -> QImage:
    if not path.is_file():
        raise HarnessError(f"{path.name}: there is no such file")
    reader = QImageReader(str(path))
    reader.setDecideFormatFromContent(True)
    reader.setAutoTransform(True)
    image = reader.read()
    if image.isNull():
        raise HarnessError(f"{path.name} is no picture that can be read: PNG, JPEG or a page of a PDF")
    return image


def _pdf_page(path: Path, number: int) -> QImage:
    document = _document(path)
    try:
        if not 0 <= number < len(document):
            raise HarnessError(f"{path.name} has {len(document)} pages; there is no page {number + 1}")
        page = document[number]
        scale = min(PDF_PX_PER_POINT, MOST_PX / max(page.get_size()))
        drawn = page.render(scale=scale, rev_byteorder=True).to_numpy()
        height, width, depth = drawn.shape
        formats = {3: QImage.Format.Format_RGB888, 4: QImage.Format.Format_RGBA8888}
        return QImage(drawn.tobytes(), width, height, width * depth, formats[depth]).copy()
    finally:
        document.close()


def _document(path: Path):  # type: ignore[no-untyped-def]
    import pypdfium2

    try:
        return pypdfium2.PdfDocument(path)
    except (pypdfium2.PdfiumError, OSError) as error:
        raise HarnessError(f"{path.name} is no PDF that can be read: {error}") from None


def png_of(image: QImage) -> bytes:
    """Return a picture as PNG."""
    data = QByteArray()
    buffer = QBuffer(data)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    QImageWriter(buffer, QByteArray(b"png")).write(image)
    buffer.close()
    return bytes(data.data())


def keep(folder: Path, stem: str, png: bytes) -> str:
    """Write a picture into a project's folder; return its path there. The same picture is kept once.

    Raises
    ------
    HarnessError
        With one line, if it cannot be written.
    """
    base = "_".join("".join(c if c.isalnum() else " " for c in stem).split()).lower() or "photo"
    name, number = f"{FOLDER}/{base}.png", 1
    while (folder / name).exists() and (folder / name).read_bytes() != png:
        number += 1
        name = f"{FOLDER}/{base}_{number}.png"
    try:
        (folder / FOLDER).mkdir(exist_ok=True)
    except OSError as error:
        raise HarnessError(f"{folder / FOLDER}: {error.strerror or error}") from None
    replace_file(folder / name, png, keep=False)
    return name


def carry(before: Path, after: Path, names: list[str]) -> list[str]:
    """Copy pictures from one project's folder to another's where they are missing; return those that are not there.

    Raises
    ------
    HarnessError
        With one line, if one cannot be written.
    """
    lost = []
    for name in names:
        target = after / name
        if target.exists():
            continue
        try:
            content = (before / name).read_bytes()
            target.parent.mkdir(parents=True, exist_ok=True)
        except OSError:
            lost.append(name)
            continue
        replace_file(target, content, keep=False)
    return lost
