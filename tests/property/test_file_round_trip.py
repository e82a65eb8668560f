"""Any harness → text → the same harness; any edit leaves the rest of a text as it was typed."""

import re
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from harness_studio.model.edits import Together, remove_with_wires
from harness_studio.model.harness import SECTIONS, Harness
from harness_studio.model.validate import value_problem
from harness_studio.storage.encode import tree_of
from harness_studio.storage.layout import flow, scalar, section
from harness_studio.storage.nodes import Listing, Scalar, Table, compose, line_of
from harness_studio.storage.patch import patched
from harness_studio.storage.project_file import Opened, parse, render
from harness_studio.storage.reading import Reader
from harness_studio.storage.sections import read_sections
from harness_studio.storage.trees import same
from tests.support.random_harness import entity, harnesses, texts

few = settings(max_examples=25)


@given(texts, st.booleans())
def test_any_text_survives_as_a_value_and_as_a_key(text: str, in_flow: bool) -> None:
    line = (
        f"[{{{scalar(text)}: {scalar(text)}}}]"
        if in_flow
        else f"{scalar(text)}: {scalar(text, in_flow=False)}"
    )
    root, problems = compose(line)
    table = root.items[0] if in_flow else root  # type: ignore[union-attr]
    assert problems == []
    assert isinstance(table, Table)
    ((key, (_, value)),) = table.pairs.items()
    assert key == text
    assert isinstance(value, Scalar)
    assert value.text == text
    assert not value.is_nothing


@pytest.mark.parametrize("name", SECTIONS)
@given(data=st.data())
@settings(max_examples=60)
def test_any_entity_reads_back_from_its_text(name: str, data: st.DataObject) -> None:
    key = "" if name == "settings" else "GP1/W1" if name == "joints" else "K1"
    one = data.draw(entity(name, key))
    assert value_problem(one) is None
    harness = Harness()
    harness.tables[name][key] = one
    text = patched("", None, None, tree_of(harness))
    root, _ = compose(text)
    assert isinstance(root, Table)
    reader = Reader("")
    again = read_sections(root, reader).harness
    assert reader.problems == []
    assert again.tables[name] == {key: one}
    assert again.tables == harness.tables


@few
@given(harnesses())
def test_a_harness_reads_back_from_its_text_in_the_same_order(harness: Harness) -> None:
    text = render(harness)
    again = parse(text)
    assert again.harness.tables == harness.tables
    assert [list(t) for t in again.harness.tables.values()] == [list(t) for t in harness.tables.values()]
    assert render(again.harness) == text
    assert render(again.harness, again) == text


def commented(text: str) -> tuple[str, dict[str, str]]:
    """Return the text with a comment above and behind every entry, and which comment belongs to which line."""
    lines: list[str] = []
    whose: dict[str, str] = {}
    for number, line in enumerate(text.splitlines()):
        if re.match(r" *[\w-]", line) and not line.startswith("harness_studio"):
            whose[line] = f"# about {number}"
            indent = re.match(r" *", line)[0]  # type: ignore[index]
            lines += [f"{indent}# about {number}", f"{line}   # behind {number}"]
        else:
            lines.append(line)
    return "# The top of the file.\n\n" + "\n".join(lines) + "\n# The end of it.\n", whose


def edited(harness: Harness, data: st.DataObject) -> tuple[Harness, tuple[str, str]]:
    """Return the harness with one entity changed, added or taken out, and which."""
    changed = harness.snapshot()
    titled = [(s, k) for s, t in changed.tables.items() for k, e in t.items() if hasattr(e, "note")]
    name, key = data.draw(st.sampled_from(titled))
    what = data.draw(st.sampled_from(["change", "add", "take out"]))
    old = changed.tables[name][key]
    if what == "change" or name in ("settings", "revisions", "joints", "cases", "accepted"):
        changed.tables[name][key] = replace(old, note=data.draw(texts.filter(lambda t: t != old.note)))
    elif what == "add":
        changed.tables[name]["added"] = entity_without_references(old)
    else:
        done, _ = Together(remove_with_wires(changed, [(name, key)]).edits).apply(changed)
        assert done
    return changed, (name, key)


def entity_without_references(old: Any) -> Any:
    required = {"Wire": {"ends": old.ends} if hasattr(old, "ends") else {}}.get(type(old).__name__, {})
    kept = {f: getattr(old, f) for f in ("kind", "ratings", "ends", "mohm", "file", "on") if hasattr(old, f)}
    return type(old)(id="added", **{**kept, **required})


@few
@given(harnesses(), st.data())
def test_an_edit_leaves_every_other_line_and_comment_as_it_was(harness: Harness, data: st.DataObject) -> None:
    text, whose = commented(render(harness))
    opened = parse(text)
    assert render(opened.harness, opened) == text
    changed, (name, key) = edited(opened.harness, data)
    after = render(changed, opened)
    assert same(tree_of(parse(after).harness), tree_of(changed))
    assert after.startswith("# The top of the file.\n")
    assert after.endswith("# The end of it.\n")
    kept = set(after.splitlines())
    may_go = lines_of_changed(opened, changed)
    lost = {n for n, line in enumerate(text.splitlines(), 1) if line not in kept}
    assert lost <= may_go, [line for n, line in enumerate(text.splitlines(), 1) if n in lost - may_go]
    if key in changed.tables[name]:
        # Nothing was taken out: every comment above an entry is still there.
        comments = {line.strip() for line in kept}
        assert set(whose.values()) <= comments


def lines_of_changed(opened: Opened, changed: Harness) -> set[int]:
    """Return the numbers of the lines of all entries that are not what they were, with the comment above each."""
    numbers: set[int] = set()
    for name, table in opened.harness.tables.items():
        node = opened.root.get("diagram") if name == "pages" else opened.root.get(name)
        gone = {key for key in table if changed.tables[name].get(key) != table[key]}
        if gone and name == "settings":
            first = min(line_of(key) for key, _ in opened.root.pairs.values() if key.text in SECTIONS)
            numbers |= set(range(1, first - 1))
        elif gone and (name == "pages" or isinstance(node, Listing)):
            numbers |= set(range(line_of(node), 10**6))  # type: ignore[arg-type]
        elif gone:
            assert isinstance(node, Table)
            starts = [line_of(key) - 1 for key, _ in node.pairs.values()] + [10**6]
            for (key, _), start, end in zip(node.pairs.values(), starts, starts[1:], strict=False):
                if key.text in gone:
                    # The last entry of a section ends where the next section begins; so does a section left empty.
                    numbers |= set(range(start, min(end, start + 60)))
            if gone == set(table) and not changed.tables[name]:
                numbers |= {line_of(node) - 1, line_of(node) - 2, line_of(node) - 3}
    return numbers


@given(harnesses())
@settings(max_examples=15)
def test_undone_edits_leave_the_text_byte_for_byte(harness: Harness) -> None:
    text, _ = commented(render(harness))
    opened = parse(text)
    edit = remove_with_wires(opened.harness, [("splices", "SP1"), ("grounds", "GP2")])
    inverse, _ = edit.apply(opened.harness)
    assert render(opened.harness, opened) != text
    inverse.apply(opened.harness)
    assert render(opened.harness, opened) == text


@given(harnesses())
@settings(max_examples=10)
def test_wires_stand_on_one_line_each(harness: Harness) -> None:
    lines = section("wires", tree_of(harness)["wires"])
    assert len(lines) == 1 + len(harness.wires)
    assert lines[1:] == [f"  {key}: {flow(tree)}" for key, tree in tree_of(harness)["wires"].items()]  # type: ignore[union-attr]
