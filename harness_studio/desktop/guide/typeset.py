"""How a chapter is set: room between paragraphs, quiet tables, and keys and typed words in the text's own letters."""

from __future__ import annotations

from PySide6.QtGui import (
    QColor,
    QFontDatabase,
    QPalette,
    QTextBlock,
    QTextBlockFormat,
    QTextCharFormat,
    QTextCursor,
    QTextDocument,
    QTextFormat,
    QTextFrameFormat,
    QTextLength,
    QTextTable,
)

from harness_studio.drawing import fonts

PROPORTIONAL = QTextBlockFormat.LineHeightTypes.ProportionalHeight.value
LINE_PER_CENT, PARAGRAPH_PX, LIST_PX, HEADING_PX = 118.0, 9.0, 3.0, 16.0
_OBJECT = "\ufffc"


def typeset(document: QTextDocument, palette: QPalette) -> None:
    """Give what Markdown became its room and its letters."""
    wash, hairline = palette.color(QPalette.ColorRole.Window), palette.color(QPalette.ColorRole.Mid)
    block = document.begin()
    while block.isValid():
        if _is_code(block):
            _code(block, wash)
        else:
            if QTextCursor(block).currentTable() is None:
                _space(block)
            _letters(block, wash)
        block = block.next()
    for frame in document.rootFrame().childFrames():
        if isinstance(frame, QTextTable):
            _table(frame, hairline)


def _space(block: QTextBlock) -> None:
    shape = block.blockFormat()
    level = shape.headingLevel()
    listed = block.textList()
    last = listed is not None and block.next().textList() is None
    shape.setTopMargin(HEADING_PX if level > 1 else 0.0)
    below = 6.0 if level else LIST_PX if listed is not None and not last else PARAGRAPH_PX
    shape.setBottomMargin(below)
    picture = _OBJECT in block.text()  # a line of a picture is as high as the picture, and no more
    shape.setLineHeight(100.0 if picture else LINE_PER_CENT, PROPORTIONAL)
    QTextCursor(block).setBlockFormat(shape)


def _is_code(block: QTextBlock) -> bool:
    return block.isValid() and block.blockFormat().hasProperty(QTextFormat.Property.BlockCodeFence)


def _code(block: QTextBlock, wash: QColor) -> None:
    """Set a line of a file or a command line in letters of one width, close to the line above."""
    shape = block.blockFormat()
    shape.setTopMargin(0.0)
    shape.setBottomMargin(0.0 if _is_code(block.next()) else PARAGRAPH_PX)
    shape.setLineHeight(100.0, PROPORTIONAL)  # else the wash shows stripes
    shape.setBackground(wash)
    cursor = QTextCursor(block)
    cursor.setBlockFormat(shape)
    cursor.movePosition(QTextCursor.MoveOperation.EndOfBlock, QTextCursor.MoveMode.KeepAnchor)
    font = QFontDatabase.systemFont(QFontDatabase.SystemFont.FixedFont)
    font.setPixelSize(fonts.TEXT_PX)
    look = QTextCharFormat()
    look.setFont(font)
    cursor.mergeCharFormat(look)


def _letters(block: QTextBlock, wash: QColor) -> None:
    """Set keys, commands and typed words in the font of the text, on a wash."""
    found: list[tuple[int, int]] = []
    pieces = block.begin()
    while not pieces.atEnd():
        fragment = pieces.fragment()
        if fragment.charFormat().fontFixedPitch():
            found.append((fragment.position(), fragment.length()))
        pieces += 1
    for start, length in found:
        cursor = QTextCursor(block)
        cursor.setPosition(start)
        cursor.setPosition(start + length, QTextCursor.MoveMode.KeepAnchor)
        look = QTextCharFormat()
        look.setFont(fonts.font(fonts.TEXT_PX + 1, fonts.STRONG))
        look.setFontFixedPitch(False)
        look.setBackground(wash)
        cursor.mergeCharFormat(look)


def _table(table: QTextTable, hairline: QColor) -> None:
    shape = table.format()
    shape.setTopMargin(2.0)
    shape.setBottomMargin(PARAGRAPH_PX)
    shape.setBorderCollapse(True)
    shape.setBorder(1.0)
    shape.setBorderStyle(QTextFrameFormat.BorderStyle.BorderStyle_Solid)
    shape.setBorderBrush(hairline)
    shape.setCellPadding(4.0)
    shape.setWidth(QTextLength())
    table.setFormat(shape)
