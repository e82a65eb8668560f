"""Folders are the layers, and the linter that holds them apart knows each of them."""

import subprocess
import sys
import tomllib

from tests.architecture.tree import ABOVE_THE_QT_LINE, PACKAGE, ROOT, read, rooms

CONTRACTS = tomllib.loads(read(ROOT / "pyproject.toml"))["tool"]["importlinter"]["contracts"]
LAYERS = next(c["layers"] for c in CONTRACTS if c["type"] == "layers")
WALL = next(c for c in CONTRACTS if c["type"] == "forbidden")


def layer_names() -> set[str]:
    return {name.strip(" ()") for line in LAYERS for name in line.split("|")}


def test_import_linter_finds_no_broken_contract() -> None:
    lint = "from importlinter.cli import lint_imports_command as c; c(['--no-logo', '--no-cache'])"
    done = subprocess.run([sys.executable, "-c", lint], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_every_room_is_a_layer() -> None:
    assert set(rooms()) <= layer_names()


def test_every_room_is_a_regular_package() -> None:
    # Without __init__.py the linter and the type checker pass by a folder without a word.
    folders = {path.parent for path in PACKAGE.rglob("*.py")}
    assert [str(f.relative_to(ROOT)) for f in sorted(folders) if not (f / "__init__.py").exists()] == []


def test_the_wall_against_qt_has_gates_only_above_the_qt_line() -> None:
    gates = {gate.split(".")[1] for gate in WALL["ignore_imports"]}
    assert gates == ABOVE_THE_QT_LINE


def test_the_contributors_guide_explains_every_layer() -> None:
    guide = read(ROOT / "DEVELOPERS.md")
    assert [name for name in sorted(layer_names()) if f"`{name}`" not in guide] == []
