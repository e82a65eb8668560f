"""Six circuits drawn from nothing in a real window of an X server; what was saved is solved, checked and sound."""

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from harness_studio.app.main import main
from tests.support.real_session import NEEDED

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(
        any(shutil.which(name) is None for name in NEEDED), reason=f"needs {', '.join(NEEDED)}"
    ),
]


@pytest.mark.parametrize(("size", "appearance"), [("1280x800", "light"), ("2560x1440", "dark")])
def test_a_hand_draws_six_circuits(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], size: str, appearance: str
) -> None:
    command = [sys.executable, "-m", "tests.support.real_session", str(tmp_path)]
    done = subprocess.run(
        [*command, "--size", size, "--appearance", appearance], capture_output=True, text=True, timeout=400
    )
    assert done.returncode == 0, done.stderr
    assert len(list(tmp_path.glob("*.png"))) == 13
    path = str(tmp_path / "six.yaml")
    assert main(["solve", path, "--json"]) == 0
    assert len(json.loads(capsys.readouterr().out)) > 0
    assert main(["check", path, "--json"]) == 0
    findings = json.loads(capsys.readouterr().out)["findings"]
    assert {finding["grade"] for finding in findings} == {"note"}
