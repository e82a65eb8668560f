"""At 100, 150 and 200 %: nothing is cut off in a window of a small screen, no type is too small, lines are sharp."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

LOOK = """
import json, sys
from pathlib import Path
from PySide6.QtWidgets import QApplication, QLabel, QPushButton
app = QApplication(sys.argv[:1])
from harness_studio.desktop.window import Window
from harness_studio.drawing import fonts
fonts.family()
window = Window()
window.resize(1280, 760)
window.show()
assert window.files.open(Path(sys.argv[1]))
window.session.select({"M2"})
for _ in range(30):
    app.processEvents()
cut, small = [], []
for kind in (QPushButton, QLabel):
    for one in window.findChildren(kind):
        if one.isVisible() and one.text() and not (kind is QLabel and one.wordWrap()):
            wanted = max(one.fontMetrics().horizontalAdvance(line) for line in one.text().splitlines())
            if wanted > one.width() + 1:
                cut.append(one.text())
            if 0 < one.font().pixelSize() < 11:
                small.append(one.text())
whole = window.grab().toImage()
drawn = window.diagram.grab().toImage()
near = [drawn.pixelColor(x, drawn.height() // 2).name() for x in range(drawn.width())]
print(json.dumps({
    "ratio": window.devicePixelRatioF(), "whole": whole.size().toTuple(), "size": window.size().toTuple(),
    "least": window.minimumSizeHint().toTuple(), "cut": cut, "small": small, "colours": len(set(near)),
}))
window.take_down()
"""


@pytest.mark.parametrize("scale", [1.0, 1.5, 2.0])
def test_a_window_at_a_scale(tmp_path: Path, sample_projects_dir: Path, scale: float) -> None:
    project = shutil.copy(sample_projects_dir / "first_harness.yaml", tmp_path)
    script = tmp_path / "look.py"
    script.write_text(LOOK, encoding="utf-8")
    around = {
        **os.environ, "QT_SCALE_FACTOR": str(scale), "QT_QPA_PLATFORM": "offscreen", "HOME": str(tmp_path),
        "XDG_CONFIG_HOME": str(tmp_path), "XDG_STATE_HOME": str(tmp_path), "XDG_DATA_HOME": str(tmp_path),
        "PYTHONPATH": str(Path(__file__).parents[2]),
    }  # fmt: skip
    done = subprocess.run(
        [sys.executable, str(script), str(project)], env=around, capture_output=True, text=True, timeout=120
    )
    assert done.returncode == 0, done.stderr
    seen: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    assert seen["ratio"] == scale
    assert seen["size"] == [1280, 760]
    assert seen["whole"] == [round(1280 * scale), round(760 * scale)]
    assert seen["least"][0] <= 1280
    assert seen["least"][1] <= 760
    assert seen["cut"] == []
    assert seen["small"] == []
    assert seen["colours"] > 3
