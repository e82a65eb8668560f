"""What the commands print: tables with aligned numbers and units, or one JSON document."""

from __future__ import annotations

import json
import math
import sys
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, TextIO

PLAIN = {
    "Ω": "Ohm", "µ": "u", "μ": "u", "²": "2", "³": "3", "°": "deg ", "−": "-", "–": "-", "—": "-", "·": "-", "•": "-",
    "→": "->", "←": "<-", "↔": "<->", "×": "x", "±": "+-", "≤": "<=", "≥": ">=", "≈": "about ", "…": "...",
    "‘": "'", "’": "'", "“": '"', "”": '"', "„": '"', "ß": "ss", "½": "1/2",
}  # fmt: skip
"""What stands for a sign on a terminal that does not have it."""


def fit(text: str, encoding: str | None) -> str:
    """Return the text in signs that the encoding has: a plain word for a special sign, '?' as the last resort."""
    encoding = encoding or "ascii"
    try:
        text.encode(encoding)
    except UnicodeEncodeError:
        pass
    else:
        return text
    known = "".join(c if _has(encoding, c) else PLAIN.get(c, c) for c in text)
    return known.encode(encoding, "replace").decode(encoding)


def _has(encoding: str, sign: str) -> bool:
    try:
        sign.encode(encoding)
    except UnicodeEncodeError:
        return False
    return True


def say(text: str = "", stream: TextIO | None = None) -> None:
    """Print a line (or several) in signs that the terminal has."""
    stream = sys.stdout if stream is None else stream
    print(fit(text, getattr(stream, "encoding", None)), file=stream)


def complain(text: str) -> None:
    """Print one line on the error stream, whatever the text holds."""
    say("harness-studio: " + " ".join(text.split()), sys.stderr)


def say_json(document: Mapping[str, Any]) -> None:
    """Print one JSON document. Numbers that JSON does not have are null; `open_or` gives open resistances."""
    plain = _finite(document)
    text = json.dumps(plain, ensure_ascii=False, allow_nan=False, indent=1)
    encoding = getattr(sys.stdout, "encoding", None) or "ascii"
    if fit(text, encoding) != text:
        text = json.dumps(plain, ensure_ascii=True, allow_nan=False, indent=1)
    print(text)


def open_or(value: float) -> float | str:
    """Return a resistance for JSON: 'open' where it is infinite, as in the project file."""
    return "open" if math.isinf(value) else value


def _finite(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {str(key): _finite(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_finite(item) for item in value]
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if value is None or isinstance(value, str | int):
        return value
    if hasattr(value, "item"):  # a number of numpy's
        return _finite(value.item())
    raise TypeError(f"{type(value).__name__} has no place in the output")


def table(head: Sequence[str], rows: Iterable[Sequence[str]], right: Iterable[int] = ()) -> list[str]:
    """Return the lines of a table: a line of heads, then the rows; the columns in `right` are set to the right.

    Signs that the terminal lacks are replaced before the columns are measured.
    """
    encoding = getattr(sys.stdout, "encoding", None)
    lines = [[fit(cell, encoding) for cell in line] for line in (head, *rows)]
    widths = [max(len(line[column]) for line in lines) for column in range(len(head))]
    to_right = set(right)

    def one(line: list[str]) -> str:
        cells = (
            cell.rjust(width) if column in to_right else cell.ljust(width)
            for column, (cell, width) in enumerate(zip(line, widths, strict=True))
        )
        return "  ".join(cells).rstrip()

    return [one(line) for line in lines]


def amperes(value: float | None) -> str:
    """Return a current, finer the smaller it is: '12.3 A', '6.50 A', '40 mA', '0'."""
    return _scaled(value, "A", "mA")


def volts(value: float | None) -> str:
    """Return a voltage in volts: '13.42 V', or in mV below one volt."""
    return _scaled(value, "V", "mV")


def millivolts(value_mv: float | None) -> str:
    """Return a voltage in millivolts, whatever its size, so that a column can be compared: '0.42 mV', '1 310 mV'."""
    if value_mv is None or math.isnan(value_mv):
        return "-"
    return f"{_digits(value_mv)} mV"


def watts(value: float | None) -> str:
    """Return a power: '88.1 W', '250 mW'."""
    return _scaled(value, "W", "mW")


def per_cent(share: float) -> str:
    """Return a share: '100 %', '7.4 %', '<0.1 %' for what would be rounded to nothing."""
    size = abs(share) * 100
    if size == 0:
        return "0 %"
    if size < 0.05:
        return "<0.1 %"
    return f"{share * 100:.0f} %" if size >= 9.95 else f"{share * 100:.1f} %"


def _scaled(value: float | None, unit: str, thousandth: str) -> str:
    if value is None or math.isnan(value):
        return "-"
    if abs(value) >= 1:
        return f"{_digits(value)} {unit}"
    return f"{_digits(value * 1e3)} {thousandth}"


def _digits(value: float) -> str:
    size = abs(value)
    if size < 0.005:
        return "0"
    return f"{value:.2f}" if size < 9.995 else f"{value:.1f}" if size < 99.95 else f"{value:.0f}"
