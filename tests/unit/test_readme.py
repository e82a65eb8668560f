"""README's short table of comparisons says what the long one in DEVELOPERS says, which a published check holds."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
ROW = re.compile(r"(?m)^\| (AC|VDE|33 CFR): ([^|]*) \|[^|]*\|[^|]*\| ([+−]\d+\.\d) % \|")


def offs(name: str, wanted: Callable[[str], bool]) -> list[float]:
    """Return by how many per cent the cases of a group are off."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    return [
        float(off.replace("−", "-"))
        for group, case, off in ROW.findall(text)
        if group == name and wanted(case)
    ]


def area_mm2(case: str) -> float:
    found = re.match(r"([\d.]+) mm²", case)
    assert found is not None
    return float(found[1])


@pytest.mark.parametrize(
    ("line", "name", "wanted"),
    [
        ("FAA AC 43.13-1B", "AC", lambda _: True),
        ("1 to 25 mm²", "VDE", lambda case: area_mm2(case) <= 25),
        ("35 to 120 mm²", "VDE", lambda case: area_mm2(case) >= 35),
        ("33 CFR 183.425", "33 CFR", lambda _: True),
    ],
)
def test_the_range_is_that_of_the_cases(line: str, name: str, wanted: Callable[[str], bool]) -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8").split("## How its methods compare")[1]
    (row,) = [r for r in readme.split("##")[0].splitlines() if r.startswith("|") and line in r]
    found = offs(name, wanted)
    assert len(found) >= 5
    said = f"{min(found):+.1f} to {max(found):+.1f} %".replace("-", "−")
    assert said in row


def test_it_has_what_a_reader_looks_for() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    headings = re.findall(r"(?m)^## (.*)$", readme)
    for wanted in ("Run it", "Test it", "What it is not", "How its methods compare", "Cautions", "Licence"):
        assert wanted in headings
    for picture in ("diagram", "ground_map", "casebook", "pinout"):
        assert f"pictures/{picture}.png" in readme.split("## Run it")[0]
