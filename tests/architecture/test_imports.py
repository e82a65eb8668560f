"""What is loaded when: no Qt below the Qt line, nothing heavy before the first window."""

import json
import subprocess
import sys

import pytest

from tests.architecture.tree import PACKAGE, ROOT, core_rooms, python_files

QT = ("PySide6", "shiboken6", "pyqtgraph")
HEAVY = ("scipy", "ht", "fluids", "matplotlib", "pyqtgraph")


def loaded_after(*modules: str) -> set[str]:
    """Import the modules in a fresh interpreter and return the top-level names that are loaded by then."""
    code = (
        "import importlib, json, sys\n"
        f"for name in {modules!r}: importlib.import_module(name)\n"
        "print(json.dumps(sorted({name.partition('.')[0] for name in sys.modules})))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return set(json.loads(done.stdout))


def modules_of(room: str) -> list[str]:
    names = (".".join(path.with_suffix("").parts) for path in python_files("harness_studio"))
    return [n.removesuffix(".__init__") for n in names if n.startswith(f"harness_studio.{room}.")]


@pytest.mark.parametrize("room", core_rooms())
def test_a_core_room_loads_without_qt(room: str) -> None:
    assert loaded_after(*modules_of(room)).isdisjoint(QT)


@pytest.mark.skipif(not (PACKAGE / "app" / "main.py").exists(), reason="there is no program to start yet")
def test_start_up_loads_nothing_heavy() -> None:
    loaded = loaded_after("harness_studio.app.main")
    assert "harness_studio" in loaded
    assert loaded.isdisjoint(HEAVY)
