"""Each kind of sheet looks as it did when somebody looked at it: small grey pictures, compared with tolerance."""

import numpy as np
import pytest
from PySide6.QtGui import QGuiApplication

from harness_studio.sheets.catalogue import SHEETS
from tests.sheets import rasters

MEAN, FAR, SHARE = 2.0, 60, 0.01
"""How much grey may differ on average, and by how much how many pixels: fonts are rendered a little differently."""


def apart(made: np.ndarray, kept: np.ndarray) -> bool:
    if made.shape != kept.shape:
        return True
    off = np.abs(made.astype(int) - kept.astype(int))
    return bool(off.mean() > MEAN or (off > FAR).mean() > SHARE)


@pytest.mark.parametrize("sheet", SHEETS)
def test_a_sheet_looks_as_it_did(qapp: QGuiApplication, sheet: str) -> None:
    made, kept = rasters.picture(rasters.printed(sheet)), rasters.reference(sheet)
    assert not apart(made, kept), (
        f"{sheet} looks different: look at it, then run python -m tests.sheets.rasters"
    )


def test_a_sheet_that_is_moved_or_another_one_is_told_apart() -> None:
    kept = rasters.reference("grounds")
    assert apart(np.roll(kept, 4, axis=0), kept)
    assert apart(rasters.reference("wires"), kept)
    assert not apart(np.clip(kept.astype(int) + 1, 0, 255), kept)
