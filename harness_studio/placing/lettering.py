"""How wide a text is, roughly, and how titles are broken into lines: enough to keep room, without a font engine."""

from __future__ import annotations

from functools import cache

TITLE_MM = 4.2
NOTE_MM = 3.8
LABEL_MM = 3.4
LINE = 1.25
"""Height of a line over the size of its font."""

# Advance widths of Source Sans 3 SemiBold (SIL Open Font License) in thousandths of its size, as its `hmtx` table
# gives them, in groups of about equal width. Text in the regular weight is a little narrower.
_GROUPS = {
    200: " ",
    262: ".,:;'ijlI|·",
    322: "-()[]{}!/f\\t",
    373: "r²",
    431: '?"sz*°',
    472: "cJvxy",
    513: "0123456789+=<>~#$_aeghknuFLSTYEZ−≥≤^",
    556: "bdopqBPRXµß",
    600: "ACKVU&G",
    660: "DHNOQ",
    748: "wMΩ",
    843: "mW%",
    960: "@…",
}
_WIDTHS = {sign: width for width, signs in _GROUPS.items() for sign in signs}
_OTHER = 560  # letters with marks and other scripts of the same kind
_WIDE = 1000  # scripts whose signs fill a square
_FIRST_WIDE = 0x1100


def width_mm(text: str, size_mm: float) -> float:
    """Return the width of one line of text in mm, a little on the wide side.

    Parameters
    ----------
    text
        One line.
    size_mm
        Size of the font (its em).
    """
    return _thousandths(text) * size_mm / 1000


@cache
def _thousandths(text: str) -> int:
    return sum(_WIDTHS.get(sign, _WIDE if ord(sign) >= _FIRST_WIDE else _OTHER) for sign in text)


def fitted(text: str, size_mm: float, room_mm: float) -> str:
    """Return the text, or as much of it as fits with an ellipsis."""
    if width_mm(text, size_mm) <= room_mm:
        return text
    kept = text
    while kept and width_mm(kept + "…", size_mm) > room_mm:
        kept = kept[:-1]
    return kept.rstrip() + "…"


def lines(text: str, size_mm: float, room_mm: float, most: int = 2) -> tuple[str, ...]:
    """Break a text at spaces into at most `most` lines that fit; the last one is cut short if it must be."""
    found: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if line and width_mm(longer, size_mm) > room_mm:
            found.append(line)
            line = word
        else:
            line = longer
    found.append(line)
    if len(found) > most:
        found = [*found[: most - 1], " ".join(found[most - 1 :])]
    return tuple(fitted(line, size_mm, room_mm) for line in found if line)
