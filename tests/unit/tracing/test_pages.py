"""Pages of circuits, grounds and zones. What belongs on them was read off the sample by hand."""

from pathlib import Path

import pytest

from harness_studio.base.errors import EditError
from harness_studio.model.edits import put
from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness
from harness_studio.placing.homes import homes
from harness_studio.placing.onward import onward
from harness_studio.placing.outlines import symbols
from harness_studio.placing.routes import routes
from harness_studio.session.history import History
from harness_studio.storage.project_file import read_project
from harness_studio.tracing import pages


@pytest.fixture
def pickup(sample_projects_dir: Path) -> Harness:
    return read_project(sample_projects_dir / "first_harness.yaml").harness


def test_what_belongs_to_a_circuit_a_ground_and_a_zone(pickup: Harness) -> None:
    assert pages.of_circuit(pickup, "Fuel gauge") == {"F2", "P1", "X7", "X8", "B1", "GP2"}
    assert pages.of_ground(pickup, "GP2") == {"GP2", "SP3", "E5", "E6", "GP5", "M2", "B1"}
    assert pages.of_ground(pickup, "GP1") == {"GP1", "GB1"}
    assert pages.of_zone(pickup, "bed") == {"M2", "B1", "E5", "E6", "X7", "X8", "SP3", "GP2", "GP5"}
    with pytest.raises(EditError, match="E5 is no ground"):
        pages.of_ground(pickup, "E5")


def test_the_way_from_a_ground_goes_through_connectors(sample_projects_dir: Path) -> None:
    harness = read_project(sample_projects_dir / "trailer_wiring.yaml").harness
    for ground in harness.grounds:
        found = pages.of_ground(harness, ground)
        assert ground in found
        assert found & set(harness.parts) or found & set(harness.halves)


@pytest.mark.parametrize("sample", ["first_harness", "estuary_pickup", "track_buggy", "trailer_wiring"])
def test_every_circuit_ground_and_zone_of_the_samples_makes_a_page(
    sample_projects_dir: Path, sample: str
) -> None:
    harness = read_project(sample_projects_dir / f"{sample}.yaml").harness
    history = History(harness)
    wanted = [(name, pages.of_circuit(harness, name)) for name in pages.circuits(harness)]
    wanted += [(key, pages.of_ground(harness, key)) for key in harness.grounds]
    wanted += [(key, things) for key in harness.zones if (things := pages.of_zone(harness, key))]
    for title, things in wanted:
        page = pages.page_of(harness, things, title)
        history.apply(pages.add_page(page, f"page of {title}"))
        assert things <= homes(harness, page).keys()
    count = len(wanted)
    assert len(history.done) == count
    for _ in range(count):
        history.undo()
    assert harness == read_project(sample_projects_dir / f"{sample}.yaml").harness


def test_wires_that_leave_a_page_name_the_other_page_and_the_point(pickup: Harness) -> None:
    page = pages.page_of(pickup, pages.of_circuit(pickup, "Fuel gauge"), "Fuel gauge")
    put("pages", page).apply(pickup)
    drawn = symbols(pickup, page)
    found = {
        o.label.text: (o.page, o.thing) for o in onward(pickup, page, routes(pickup, page, drawn).values())
    }
    assert found["W40: M2.31, page Rear lamps and pump"] == ("rear", "M2")
    assert found["W31: SP3, page Rear lamps and pump"] == ("rear", "SP3")


def test_things_go_onto_a_page_and_off_it_again(pickup: Harness) -> None:
    history = History(pickup)
    history.apply(pages.add_page(Page("own", "Own"), "make an empty page"))
    history.apply(pages.put_on_page(pickup, "own", ["X8", "F4", "M2"]))
    assert set(pickup.pages["own"].items) == {"X7", "A9", "M2"}
    places = list(pickup.pages["own"].items.values())
    assert len({(at.x_mm, at.y_mm) for at in places}) == 3
    with pytest.raises(EditError, match="already"):
        pages.put_on_page(pickup, "own", ["X7"])
    with pytest.raises(EditError, match="W40 has no symbol"):
        pages.put_on_page(pickup, "own", ["W40"])
    history.apply(pages.take_off_page(pickup, "own", ["F4"]))
    assert set(pickup.pages["own"].items) == {"X7", "M2"}
    assert "F4" in pickup.parts
    with pytest.raises(EditError, match="nothing of this"):
        pages.take_off_page(pickup, "own", ["E5"])
    history.apply(pages.remove_page(pickup, "own"))
    with pytest.raises(EditError, match="last page"):
        pages.remove_page(pickup, "rear")


def test_ids_of_pages_are_plain_and_new(pickup: Harness) -> None:
    assert pages.new_page_id(pickup, "GP2 bed, left") == "gp2_bed_left"
    assert pages.new_page_id(pickup, "Rear") == "rear_2"
    assert pages.new_page_id(pickup, "—") == "page"
    assert pages.new_page_id(pickup, "Cut") == "cut_1"  # `cut` alone is kept for ends
