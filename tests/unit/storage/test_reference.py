"""The reference page of the project file: its tables are those of the model, and its examples open."""

import re

import pytest

from harness_studio.base import resources
from harness_studio.model.forms import keys_of
from harness_studio.model.harness import SECTIONS
from harness_studio.model.kinds import KINDS
from harness_studio.storage.meanings import explained, meaning, records
from harness_studio.storage.project_file import parse, render
from harness_studio.storage.reference import PAGE, filled

page = resources.text(*PAGE)
EXAMPLES = re.findall(r"```yaml\n(.*?)```", page, re.S)


def test_the_tables_are_those_of_the_model() -> None:
    # If this fails: python -m harness_studio.storage.reference
    assert filled(page) == page
    assert filled(re.sub(r"(<!-- made: \w+ -->\n).*?(<!-- end -->)", r"\1\2", page, flags=re.S)) == page


def test_every_section_kind_and_key_is_on_the_page() -> None:
    assert [
        name for name in SECTIONS if name not in ("settings", "pages") and f"### `{name}`" not in page
    ] == []
    assert [name for name in KINDS if f"| `{name}` |" not in page] == []
    assert [
        key for cls in records() for key in keys_of(cls) if f"| `{key}` |" not in page and key != "ids"
    ] == []


def test_links_lead_to_headings() -> None:
    headings = {h.replace(" ", "-") for h in re.findall(r"^### ([a-z ]+)$", page, re.M)}
    assert set(re.findall(r"\]\(#([\w-]+)\)", page)) <= headings


def test_every_key_has_a_meaning_and_every_meaning_a_key() -> None:
    words = {cls.__name__: {key: meaning(cls, key) for key in keys_of(cls)} for cls in records()}
    assert all(text.strip() and not text.endswith(".") for keys in words.values() for text in keys.values())
    stale = {
        name: keys - set(words.get(name, {})) for name, keys in explained().items() if name != "everywhere"
    }
    assert {name: keys for name, keys in stale.items() if keys} == {}
    used = {key for cls in records() for key in keys_of(cls)}
    assert explained()["everywhere"] <= used


@pytest.mark.parametrize("number", range(2))
def test_the_examples_open(number: int) -> None:
    assert len(EXAMPLES) == 2
    text = EXAMPLES[number] if number == 0 else "harness_studio: 1\n" + EXAMPLES[number]
    opened = parse(text)
    assert parse(render(opened.harness)).harness.tables == opened.harness.tables
    if number:
        case = opened.harness.tables["cases"]["dim_left"]
        assert (len(case.sightings), len(case.readings), len(case.mends)) == (2, 3, 1)
        unused = {k for k in keys_of(type(case)) if getattr(case, k) in (None, (), False)}
        assert unused == {"note"}
