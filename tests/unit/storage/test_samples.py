"""The samples' own first lines tell what they are."""

from harness_studio.storage.project_file import read_project
from harness_studio.storage.samples import samples


def test_every_sample_has_its_title_and_a_line() -> None:
    found = samples()
    assert [s.path.name for s in found][:2] == ["first_harness.yaml", "estuary_pickup.yaml"]
    assert found[1].line == "An old pickup that has been given throttle-body injection"
    for sample in found:
        assert sample.title == read_project(sample.path).harness.settings.title
        assert sample.line
