"""Tables, filters, and cells that become one edit; what a filter must leave was counted by hand in the sample."""

from pathlib import Path

import pytest

from harness_studio.editing.cells import Cell, CellsRefused, cells_edit, fill_down, from_text, pasted, to_text
from harness_studio.editing.columns import TABLES, Column, columns_of
from harness_studio.editing.filters import parse
from harness_studio.editing.quantities import Refused
from harness_studio.editing.rows import Rows
from harness_studio.model.harness import Harness
from harness_studio.session.history import History
from harness_studio.storage.project_file import read_project


@pytest.fixture
def harness(sample_projects_dir: Path) -> Harness:
    return read_project(sample_projects_dir / "first_harness.yaml").harness


def left(harness: Harness, section: str, text: str) -> list[str]:
    rows = Rows(harness, section)
    found = parse(text, rows.columns)
    assert found.problem == ""
    return rows.found(found)


def column(section: str, name: str) -> Column:
    return next(c for c in columns_of(section) if c.name == name)


@pytest.mark.parametrize(
    ("section", "text", "wanted"),
    [
        ("wires", "brown with white", ["W40"]),
        ("wires", "BN/WH", ["W40"]),
        ("wires", "size < 0,8", ["W13", "W14", "W25", "W41"]),
        ("wires", "size >= 10 mm²", ["W1", "W2", "W3", "W4"]),
        ("wires", "size > 6 AWG", ["W1", "W2", "W3"]),
        ("wires", "size = 2.5, zone: bed", ["W12", "W24", "W40"]),
        ("wires", "circuit = pump", ["W12", "W24", "W40"]),
        ("wires", "circuit = pump and colour = brown with white", ["W40"]),
        ("wires", "violet", ["W14", "W25"]),
        ("wires", "length > 1 m", ["W4"]),
        ("wires", "no length, zone = cab, no tails", []),
        ("wires", "from: S1", ["W11"]),
        ("wires", "made by = previous owner, not fuel gauge", ["W40"]),
        ("wires", "colour as found = black", ["W40"]),
        ("wires", "id = w31", ["W31"]),
        ("wires", "open ends", []),
        ("parts", "kind = lamp", ["E5", "E6"]),
        ("parts", "fuse title: gauge", ["F2"]),
        ("grounds", "zone = below", ["GP2", "GP5"]),
        ("grounds", "cleaned > 2026-01-01", ["GP1", "GP5"]),
        ("runs", "length >= 1,5 m", ["cab_bed", "bed_across"]),
    ],
)
def test_a_filter_leaves_what_it_says(harness: Harness, section: str, text: str, wanted: list[str]) -> None:
    assert left(harness, section, text) == wanted


def test_open_ends_are_found(harness: Harness) -> None:
    cells = [Cell("W40", column("wires", "to"), "cut"), Cell("W41", column("wires", "from"), "")]
    cells_edit(harness, "wires", cells).apply(harness)
    assert left(harness, "wires", "open ends") == ["W40", "W41"]


def test_what_a_filter_does_not_understand_is_told(harness: Harness) -> None:
    rows = Rows(harness, "wires")
    assert "'weight' is no column" in parse("weight > 3", rows.columns).problem
    assert "is no colour" in parse("colour = mud", rows.columns).problem


def test_numbers_sort_as_numbers_and_what_is_empty_comes_last(harness: Harness) -> None:
    rows = Rows(harness, "wires")
    length = [c.name for c in rows.columns].index("length")
    ids = rows.sorted(rows.ids, length)
    assert ids[:6] == ["W31", "W2", "W26", "W3", "W1", "W40"]
    assert rows.texts(ids[-1])[length] == ""
    assert rows.sorted(rows.ids, length, descending=True)[0] == "W4"
    assert rows.sorted(["W10", "W2", "W1"], None) == ["W1", "W2", "W10"]


def test_cells_are_one_edit_that_undo_takes_back(harness: Harness) -> None:
    history = History(harness)
    before = dict(harness.wires)
    size, colour = column("wires", "size"), column("wires", "colour")
    cells = [Cell("W26", size, "1,5 mm²"), Cell("W27", size, "16 AWG"), Cell("W27", colour, "mud/gelb")]
    with pytest.raises(CellsRefused, match="W27 colour: 'mud/gelb' is no colour"):
        cells_edit(harness, "wires", cells)
    assert harness.wires == before
    history.apply(cells_edit(harness, "wires", [*cells[:2], Cell("W27", colour, "gn/ye")]))
    assert (harness.wires["W26"].area_mm2, harness.wires["W27"].awg) == (1.5, "16")
    assert len(history.done) == 1
    history.undo()
    assert harness.wires == before


def test_what_is_derived_cannot_be_typed(harness: Harness) -> None:
    with pytest.raises(Refused, match="cannot be typed"):
        cells_edit(harness, "wires", [Cell("W26", column("wires", "zone"), "bed")])


def test_fill_down_takes_the_topmost_cell_of_each_column() -> None:
    length, note = column("wires", "length"), column("wires", "note")
    filled = fill_down(
        [("A", length, "40"), ("A", note, "x"), ("B", length, ""), ("C", length, "9"), ("C", note, "")]
    )
    assert [(c.id, c.column.name, c.text) for c in filled] == [
        ("B", "length", "40 mm"), ("C", "length", "40 mm"), ("C", "note", "x"),
    ]  # fmt: skip


@pytest.mark.parametrize("section", TABLES)
def test_a_copied_table_pasted_again_changes_nothing(harness: Harness, section: str) -> None:
    rows = Rows(harness, section)
    text = to_text(rows.table(rows.ids))
    cells = pasted(from_text(text), rows.columns, rows.ids, (0, 0))
    assert len(cells) == len(rows.ids) * sum(c.field is not None for c in rows.columns)
    _, changes = cells_edit(harness, section, cells).apply(harness)
    assert not changes


def test_a_paste_with_ids_finds_its_rows_and_makes_new_ones(harness: Harness) -> None:
    text = "id\tcolour\tlength mm\tnote\r\nW41\tblau\t0,9 m\t„übers Eck“\r\nW90\tbrown with white\t1,5\t\r\n"
    rows = Rows(harness, "wires")
    cells = pasted(from_text(text), rows.columns, ["W1"], (0, 0))
    cells_edit(harness, "wires", cells).apply(harness)
    wire, new = harness.wires["W41"], harness.wires["W90"]
    assert (wire.colour, wire.length_mm, wire.note) == ("BU", 900, "„übers Eck“")
    assert (new.colour, new.length_mm, new.ends[0].what) == ("BN/WH", 1.5, "unknown")


def test_a_paste_without_head_goes_on_from_the_cell(harness: Harness) -> None:
    columns = columns_of("wires")
    at = [c.name for c in columns].index("colour")
    cells = pasted(from_text('bk\t1,5 mm²\n"wh"\t18 AWG'), columns, ["W26", "W27", "W31"], (1, at))
    assert [(c.id, c.column.name, c.text) for c in cells] == [
        ("W27", "colour", "bk"), ("W27", "size", "1,5 mm²"), ("W31", "colour", "wh"), ("W31", "size", "18 AWG"),
    ]  # fmt: skip
    with pytest.raises(Refused, match="3 rows do not fit: there are 2 from here on"):
        pasted(from_text("a\nb\nc"), columns, ["W26", "W27", "W31"], (1, at))


def test_an_id_that_is_used_elsewhere_makes_no_new_row(harness: Harness) -> None:
    with pytest.raises(CellsRefused, match="already used in parts"):
        cells_edit(harness, "wires", [Cell("M2", column("wires", "colour"), "bk")])


@pytest.mark.parametrize("section", TABLES)
def test_texts_of_many_rows_are_those_of_single_cells(harness: Harness, section: str) -> None:
    rows = Rows(harness, section)
    for row_id in rows.ids:
        assert rows.texts(row_id) == tuple(c.text(harness, rows.entity(row_id)) for c in rows.columns)
