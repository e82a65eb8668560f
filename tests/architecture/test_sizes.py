"""Files and functions that can be read at one sitting."""

import ast
import statistics
from pathlib import Path

import pytest

from tests.architecture.tree import python_files, read

FILE_LINES = 400
MEDIAN_LINES = 200
FUNCTION_LINES = 60  # must stay under


def lines(path: Path) -> int:
    return len(read(path).splitlines())


def test_no_file_is_longer_than_the_ceiling() -> None:
    too_long = {str(p): lines(p) for p in python_files() if lines(p) > FILE_LINES}
    assert too_long == {}


def test_the_median_file_is_short() -> None:
    sizes = [lines(path) for path in python_files("harness_studio") if path.name != "__init__.py"]
    assert statistics.median(sizes) <= MEDIAN_LINES


@pytest.mark.parametrize("top", ["harness_studio", "tests"])
def test_no_function_is_longer_than_the_ceiling(top: str) -> None:
    too_long = {
        f"{path}:{node.lineno} {node.name}": node.end_lineno - node.lineno + 1
        for path in python_files(top)
        for node in ast.walk(ast.parse(read(path)))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        if node.end_lineno is not None and node.end_lineno - node.lineno + 1 >= FUNCTION_LINES
    }
    assert too_long == {}
