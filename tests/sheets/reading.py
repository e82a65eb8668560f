"""Reading a printed document back with libraries that know nothing of how it was made."""

import io
import re
from dataclasses import dataclass
from functools import cache

import pdfplumber
import pypdf

PT_PER_MM = 72 / 25.4


@dataclass(frozen=True)
class Run:
    """Characters on one line that belong together, with their box in mm from the upper left corner."""

    text: str
    left: float
    top: float
    right: float
    bottom: float
    size_pt: float


@dataclass(frozen=True)
class Page:
    width: float
    height: float
    text: str
    runs: tuple[Run, ...]


@cache
def pages(content: bytes) -> list[Page]:
    found = []
    with pdfplumber.open(io.BytesIO(content)) as document:
        for page in document.pages:
            origin = page.bbox[:2]
            words = page.extract_words(
                x_tolerance=1.0,
                y_tolerance=0.5,
                keep_blank_chars=True,
                use_text_flow=True,
                extra_attrs=["size", "upright"],
            )
            runs = tuple(_run(w, origin) for w in words if w["text"].strip())
            text = re.sub(r"\s+", " ", " ".join(r.text for r in runs))
            found.append(Page(page.width / PT_PER_MM, page.height / PT_PER_MM, text, runs))
            page.close()  # what it keeps of a page of thousands of strokes is large
    return found


def _run(word: dict, origin: tuple[float, float]) -> Run:
    left, right = ((word[k] - origin[0]) / PT_PER_MM for k in ("x0", "x1"))
    top, bottom = ((word[k] - origin[1]) / PT_PER_MM for k in ("top", "bottom"))
    if not word["upright"]:  # letters that lie on their side: their height is across
        return Run(word["text"], left + 0.2, top, right - 0.2, bottom, word["x1"] - word["x0"])
    # A font's box is higher than its letters; what is drawn lies in about the middle 0.7 of it.
    spare = (bottom - top) * 0.17
    return Run(
        re.sub(r"\s+", " ", word["text"]).strip(), left, top + spare, right, bottom - spare, word["size"]
    )


def outside(page: Page) -> list[str]:
    """Return the texts that do not lie wholly on the page, with 3 mm to its edge."""
    return [
        r.text
        for r in page.runs
        if r.left < 3 or r.top < 3 or r.right > page.width - 3 or r.bottom > page.height - 3
    ]


def overlapping(page: Page) -> list[tuple[str, str]]:
    """Return pairs of texts that lie on one another."""
    found = []
    runs = sorted(page.runs, key=lambda r: r.top)
    for i, a in enumerate(runs):
        for b in runs[i + 1 :]:
            if b.top >= a.bottom - 0.05:
                break
            if min(a.right, b.right) - max(a.left, b.left) > 0.15 and min(a.bottom, b.bottom) - b.top > 0.15:
                found.append((a.text, b.text))
    return found


def texts(content: bytes) -> list[str]:
    """Return the text of each page, quickly and without places."""
    return [re.sub(r"\s+", " ", p.extract_text()) for p in pypdf.PdfReader(io.BytesIO(content)).pages]


def fonts(content: bytes) -> dict[str, bool]:
    """Return the name of each font and whether its outlines are in the file."""
    found = {}
    for page in pypdf.PdfReader(io.BytesIO(content)).pages:
        for font in page["/Resources"].get("/Font", {}).values():
            inner = font.get_object().get("/DescendantFonts", [font])[0].get_object()
            about = inner["/FontDescriptor"].get_object()
            found[str(about["/FontName"])] = any(f"/FontFile{n}" in about for n in ("", "2", "3"))
    return found
