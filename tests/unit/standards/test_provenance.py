"""Every figure of the data files says where it is from and how sure it is."""

from collections.abc import Iterator
from typing import Any

import pytest

from harness_studio.base import resources
from harness_studio.standards import provenance, tables

#: Keys that hold no figure: they only say which entry is meant.
STRUCTURE = {"default", "usual", "size", "like"}


def leaves(
    node: Any, at: str = "", source: str | None = None, sureness: str | None = None
) -> Iterator[tuple[str, str | None, str | None]]:
    """Yield (place, source, sureness) of each leaf, with what the tables around it state."""
    if isinstance(node, dict):
        source = node.get("source", node.get("why", source))
        sureness = node.get("sureness", sureness)
        for key, value in node.items():
            if key not in {"source", "sureness", "why"} | STRUCTURE:
                yield from leaves(value, f"{at}/{key}", source, sureness)
    elif isinstance(node, list):
        for index, value in enumerate(node):
            yield from leaves(value, f"{at}/{index}", source, sureness)
    else:
        yield at, source, sureness


@pytest.mark.parametrize("name", tables.FILES)
def test_every_figure_has_source_and_sureness(name: str) -> None:
    found = list(leaves(tables.load(name)))
    assert len(found) > 5
    bare = [at for at, source, sureness in found if not source or sureness not in provenance.SURENESS]
    assert bare == []


def test_all_data_files_are_known() -> None:
    assert sorted(path.name for path in resources.path("standards").iterdir()) == sorted(tables.FILES)


@pytest.mark.parametrize("name", tables.FILES)
def test_a_figure_from_memory_says_so_in_its_source(name: str) -> None:
    silent = [
        (at, source)
        for at, source, sureness in leaves(tables.load(name))
        if sureness == "memory" and "from memory" not in str(source)
    ]
    assert silent == []


@pytest.mark.parametrize("name", tables.FILES)
def test_no_source_is_an_address(name: str) -> None:
    assert not [
        at for at, source, _ in leaves(tables.load(name)) if "http" in str(source) or "www." in str(source)
    ]


def test_the_nearest_statement_wins() -> None:
    table = {"source": "handbook", "sureness": "seen2"}
    assert provenance.of({}, table) == provenance.Provenance("handbook", "seen2")
    assert provenance.of({"sureness": "memory"}, table) == provenance.Provenance("handbook", "memory")


@pytest.mark.parametrize("row", [{}, {"source": "handbook"}, {"source": "handbook", "sureness": "certain"}])
def test_a_figure_without_provenance_is_refused(row: dict[str, str]) -> None:
    with pytest.raises(ValueError, match="no source or sureness"):
        provenance.of(row)


def test_an_answer_is_as_sure_as_its_weakest_figure() -> None:
    assert provenance.lower("seen2", "memory") == "memory"
    assert provenance.lower("common practice, no source", "seen1") == "common practice, no source"
