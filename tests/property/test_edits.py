"""Edits of random harnesses: what is allowed leaves a sound harness, and its inverse brings back the very same one."""

from dataclasses import replace

import pytest
from hypothesis import assume, event, given, settings
from hypothesis import strategies as st

from harness_studio.base.changes import Changes
from harness_studio.base.errors import EditError
from harness_studio.model.conflicts import conflicts
from harness_studio.model.edits import Edit, Put, Remove, Together, put, remove_with_wires
from harness_studio.model.harness import Harness
from harness_studio.model.references import problem_with, references
from harness_studio.model.validate import value_problem
from harness_studio.storage.project_file import parse, render
from tests.support.random_harness import entity, harnesses

few = settings(max_examples=20)


def faults(harness: Harness) -> list[str]:
    """Return everything that is wrong with a harness."""
    found = [value_problem(e) for t in harness.tables.values() for e in t.values()]
    found += [
        problem_with(harness, r)
        for s, t in harness.tables.items()
        for e in t.values()
        for r in references(s, e)
    ]
    return [f for f in found if f] + [c.text for c in conflicts(harness)]


def as_text(harness: Harness) -> str:
    """Return everything with its order."""
    return repr(harness.tables)


def difference(before: Harness, after: Harness) -> Changes:
    """Return what changed, found by comparing."""
    was, now = set(before.refs()), set(after.refs())
    updated = {(s, k) for s, k in was & now if before.tables[s][k] != after.tables[s][k]}
    return Changes(frozenset(now - was), frozenset(was - now), frozenset(updated))


def there_and_back(harness: Harness, edit: Edit) -> Changes:
    """Apply an edit, take it back and make it again; check each state, and return what changed."""
    first = harness.snapshot()
    inverse, changes = edit.apply(harness)
    assert changes == difference(first, harness)
    then = as_text(harness)
    redo, back = inverse.apply(harness)
    assert as_text(harness) == as_text(first)
    assert back == Changes(changes.removed, changes.added, changes.updated)
    assert redo.apply(harness)[1] == changes
    assert as_text(harness) == then
    return changes


@few
@given(harnesses(), st.data())
def test_taking_things_out_leaves_nothing_that_names_them(harness: Harness, data: st.DataObject) -> None:
    refs = [ref for ref in harness.refs() if ref[0] != "settings"]
    chosen = data.draw(st.lists(st.sampled_from(refs), min_size=1, max_size=4, unique=True))
    changes = there_and_back(harness, remove_with_wires(harness, chosen))
    assert changes.removed >= set(chosen)
    assert faults(harness) == []


@few
@given(harnesses(), st.data())
def test_an_edit_is_refused_whole_or_leaves_a_harness_that_can_be_saved(
    harness: Harness, data: st.DataObject
) -> None:
    # Entities at random: most name things that are not there, or are named by things that miss a terminal then.
    section = data.draw(st.sampled_from([s for s in harness.tables if harness.tables[s] and s != "settings"]))
    key = data.draw(st.sampled_from(list(harness.tables[section])))
    edit = put(section, data.draw(entity(section, key)))
    before = as_text(harness)
    try:
        there_and_back(harness, edit)
    except EditError:
        event("refused")
        assert as_text(harness) == before
    else:
        event("allowed")
        assert faults(harness) == []
        assert parse(render(harness)).harness.tables == harness.tables


@few
@given(harnesses(), st.data())
def test_an_edit_that_breaks_a_reference_is_refused(harness: Harness, data: st.DataObject) -> None:
    named = [
        (section, reference.target)
        for table, entities in harness.tables.items()
        for one in entities.values()
        for reference in references(table, one)
        for section in reference.sections or ("bodies", "parts", "halves", "splices", "grounds", "wires")
        if reference.target in harness.tables[section] and (table, one.id) != (section, reference.target)
    ]
    assume(named)
    section, key = data.draw(st.sampled_from(sorted(named)))
    before = as_text(harness)
    with pytest.raises(EditError):
        Together((Remove(section, key),)).apply(harness)
    assert as_text(harness) == before


@few
@given(harnesses(), st.data())
def test_a_chain_of_edits_undone_from_its_end_is_as_if_nothing_was(
    harness: Harness, data: st.DataObject
) -> None:
    before = as_text(harness)
    inverses: list[Edit] = []
    for number in range(data.draw(st.integers(1, 6))):
        section = data.draw(st.sampled_from(["splices", "grounds", "wires", "parts", "modes", "pages"]))
        table = harness.tables[section]
        if not table:
            continue
        key = data.draw(st.sampled_from(list(table)))
        one = table[key]
        what = data.draw(st.sampled_from(["out", "more", "title"]))
        edit: Edit
        if what == "out":
            edit = remove_with_wires(harness, [(section, key)])
        elif what == "more":
            edit = Put(section, replace(one, id=f"new_{number}"), position=data.draw(st.integers(0, 5)))
        else:
            name = "known_as" if section == "wires" else "title"
            edit = put(section, replace(one, **{name: f"t{number}"}))
        inverses.append(edit.apply(harness)[0])
    for inverse in reversed(inverses):
        inverse.apply(harness)
    assert as_text(harness) == before
