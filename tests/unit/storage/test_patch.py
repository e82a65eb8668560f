"""A saved edit changes the line it is about: comments, blank lines, order and form of everything else stay."""

import difflib
from dataclasses import replace

import pytest

from harness_studio.model.cases import Case, Sighting
from harness_studio.model.edits import change, put, remove_with_wires, together
from harness_studio.model.entities import Bond, Ground, Mode, Page, Revision, Wire, Zone
from harness_studio.model.harness import Harness
from harness_studio.model.parts import make_part
from harness_studio.model.values import At, End
from harness_studio.storage.encode import tree_of
from harness_studio.storage.patch import patched
from harness_studio.storage.project_file import parse, render

TEXT = """\
# Estuary pickup, seen on the lift
# by two of us.

harness_studio: 1   # the form of the file
title: Estuary pickup   # as on the job sheet

# Metal.
bodies:
  shell: {places_mohm: {bed: 0.20, cab: 0.6}}   # measured cold
zones: {bay: {title: "Engine bay"}, bed: {wet: true}}

wires:   # all of them
  # --- rear ---

  # The long one.
  W31: {ends: [SP1, GP1], colour: BN, area_mm2: 1.0}
  W32:   {ends: [SP1, cut],  note: 'as "found"'}  # short
  # spare wires follow

splices:
  SP1:
    title: Rear returns   # in the tape
    # how it is done
    method: crimp
  SP2: {}
grounds: {GP1: {stack: [[W31]]}}
parts:
  A1:
    {kind: device,  # nobody knows
     # not even the seller
     terminals: [1, 2]}   # bought
modes:
  on: {}
  off: {like: on}
revisions:
  # the first
  - {id: A, note: begun}
  - id: B   # block
    note: went on
# the end
"""


def after(*edits: object) -> str:
    """Return what the text differs in after the edits, as lines with - and +."""
    opened = parse(TEXT)
    together(edits, "").apply(opened.harness)  # type: ignore[arg-type]
    text = render(opened.harness, opened)
    assert parse(text).harness.tables == opened.harness.tables
    lines = difflib.unified_diff(TEXT.splitlines(), text.splitlines(), n=0, lineterm="")
    return "\n".join(line for line in lines if not line.startswith(("---", "+++", "@@")))


def harness() -> Harness:
    return parse(TEXT).harness


def test_nothing_changed() -> None:
    opened = parse(TEXT)
    assert render(opened.harness, opened) == TEXT


CASES = {
    "a setting": (
        [change(harness(), "settings", "", title="Other: pickup")],
        "-title: Estuary pickup   # as on the job sheet\n"
        '+title: "Other: pickup"   # as on the job sheet',
    ),
    "a setting that was not said": (
        [change(harness(), "settings", "", system_v=24.0)],
        "+system_v: 24",
    ),
    "one value on a line": (
        [change(harness(), "wires", "W31", colour="BN/WH")],
        "-  W31: {ends: [SP1, GP1], colour: BN, area_mm2: 1.0}\n"
        "+  W31: {ends: [SP1, GP1], colour: BN/WH, area_mm2: 1.0}",
    ),
    "a value more": (
        [change(harness(), "wires", "W31", awg="14", length_mm=900.0)],
        "-  W31: {ends: [SP1, GP1], colour: BN, area_mm2: 1.0}\n"
        "+  W31: {ends: [SP1, GP1], colour: BN, area_mm2: 1.0, awg: 14, length_mm: 900}",
    ),
    "a value less": (
        [change(harness(), "wires", "W31", colour=None)],
        "-  W31: {ends: [SP1, GP1], colour: BN, area_mm2: 1.0}\n"
        "+  W31: {ends: [SP1, GP1], area_mm2: 1.0}",
    ),
    "quotes and comment behind": (
        [change(harness(), "wires", "W32", ends=(End("point", "SP1"), End("unknown")))],
        "-  W32:   {ends: [SP1, cut],  note: 'as \"found\"'}  # short\n"
        "+  W32: {ends: [SP1, unknown], note: 'as \"found\"'}  # short",
    ),
    "deep inside a line": (
        [change(harness(), "bodies", "shell", places_mohm={"bed": 0.2, "cab": 0.7})],
        "-  shell: {places_mohm: {bed: 0.20, cab: 0.6}}   # measured cold\n"
        "+  shell: {places_mohm: {bed: 0.20, cab: 0.7}}   # measured cold",
    ),
    "a new wire": (
        [put("wires", Wire("W9", (End("cut"), End("cut"))))],
        "+  W9: {ends: [cut, cut]}",
    ),
    "a section on one line": (
        [put("zones", Zone("cab"))],
        '-zones: {bay: {title: "Engine bay"}, bed: {wet: true}}\n'
        '+zones:\n+  bay: {title: "Engine bay"}\n+  bed: {wet: true}\n+  cab: {}',
    ),
    "a key in a block": (
        [change(harness(), "splices", "SP1", method="weld")],
        "-    method: crimp\n+    method: weld",
    ),
    "a key more in a block": (
        [change(harness(), "splices", "SP1", made_by="us")],
        "+    made_by: us",
    ),
    "a key less in a block": (
        [change(harness(), "splices", "SP1", title=None)],
        "-    title: Rear returns   # in the tape",
    ),
    "comments between brackets": (
        [change(harness(), "parts", "A1", title="Box")],
        "+  # nobody knows\n+  # not even the seller\n"
        "-  A1:\n-    {kind: device,  # nobody knows\n-     # not even the seller\n"
        "-     terminals: [1, 2]}   # bought\n"
        "+  A1: {kind: device, title: Box, terminals: [1, 2]}   # bought",
    ),
    "a new revision": (
        [put("revisions", Revision("C"))],
        "+  - {id: C}",
    ),
    "a changed revision": (
        [change(harness(), "revisions", "B", note="done")],
        "-  - id: B   # block\n-    note: went on\n+  # block\n+  - {id: B, note: done}",
    ),
    "a new section": (
        [put("bonds", Bond("cable", ("shell.bed", "shell.cab"), 3.0))],
        "+bonds:\n+  cable: {ends: [shell.bed, shell.cab], mohm: 3}\n+",
    ),
    "a page": (
        [put("pages", Page("rear", items={"SP1": At(1.5, 2.0)}))],
        "+\n+diagram:\n+  pages:\n+    rear:\n+      items: {SP1: [1.5, 2]}",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_a_change_touches_its_own_line(case: str) -> None:
    edits, expected = CASES[case]
    # Which of equal lines a diff calls new is its own affair: compare what goes and what comes.
    found, wanted = after(*edits).split("\n"), expected.split("\n")
    assert [line for line in found if line[0] == "-"] == [line for line in wanted if line[0] == "-"]
    assert [line for line in found if line[0] == "+" and line != "+"] == [
        line for line in wanted if line[0] == "+" and line != "+"
    ]


def test_what_is_taken_out_takes_its_own_comment_along_and_no_other() -> None:
    found = after(remove_with_wires(harness(), [("wires", "W31")]))
    assert found.split("\n") == [
        "-  # The long one.",
        "-  W31: {ends: [SP1, GP1], colour: BN, area_mm2: 1.0}",
        "-grounds: {GP1: {stack: [[W31]]}}",
        "+grounds:",
        "+  GP1: {}",
    ]


def test_an_emptied_section_goes_with_its_comment() -> None:
    found = after(remove_with_wires(harness(), [("bodies", "shell")]))
    assert found == "-# Metal.\n-bodies:\n-  shell: {places_mohm: {bed: 0.20, cab: 0.6}}   # measured cold"


def test_a_new_order_moves_entries_with_their_comments() -> None:
    opened = parse(TEXT)
    wires = opened.harness.tables["wires"]
    opened.harness.tables["wires"] = {"W32": wires["W32"], "W31": wires["W31"]}
    text = render(opened.harness, opened)
    assert list(parse(text).harness.wires) == ["W32", "W31"]
    assert (
        text.index("# short")
        < text.index("# --- rear ---")
        < text.index("# The long one.")
        < text.index("W31: {")
    )
    assert sorted(text.splitlines()) == sorted(TEXT.splitlines())


def test_an_entry_put_back_in_its_place_is_as_it_was() -> None:
    opened = parse(TEXT)
    inverse, _ = remove_with_wires(opened.harness, [("wires", "W31"), ("modes", "on")]).apply(opened.harness)
    assert render(opened.harness, opened) != TEXT
    inverse.apply(opened.harness)
    assert render(opened.harness, opened) == TEXT


def test_a_part_of_another_kind_keeps_nothing_of_the_old_kind() -> None:
    text = "harness_studio: 1\nparts:\n  E1:\n    # what it is\n    kind: lamp\n    hot_to_cold: 10   # said anyway\n"
    opened = parse(text)
    opened.harness.parts["E1"] = make_part("E1", "motor", rated_a=2.0)
    after_it = render(opened.harness, opened)
    assert parse(after_it).harness.tables == opened.harness.tables
    assert "# what it is" in after_it
    assert "hot_to_cold" not in after_it


def test_items_of_a_block_list_are_found_again() -> None:
    text = (
        "harness_studio: 1\ncases:\n  dim:\n    sightings:\n      # first\n      - {on: P1, seen: up}\n"
        "      # second\n      - {on: E1, seen: down}   # often\n"
    )
    opened = parse(text)
    case = opened.harness.tables["cases"]["dim"]
    assert isinstance(case, Case)
    first, second = case.sightings
    opened.harness.tables["cases"]["dim"] = replace(case, sightings=(Sighting("E9", "dead"), second, first))
    assert render(opened.harness, opened) == (
        "harness_studio: 1\ncases:\n  dim:\n    sightings:\n      - {on: E9, seen: dead}\n"
        "      # second\n      - {on: E1, seen: down}   # often\n      # first\n      - {on: P1, seen: up}\n"
    )


@pytest.mark.parametrize(
    "text",
    [
        "? harness_studio\n: 1\nwires:\n  ? W1\n  : {ends: [cut, cut]}\n",
        "{harness_studio: 1, wires: {W1: {ends: [cut, cut]}}}",
        "harness_studio: 1\rwires:\r  W1: {ends: [cut, cut]}\r",
        "%YAML 1.1\n---\nharness_studio: 1\nwires:\n  W1:\n    ends:\n    - cut\n    - cut\n...\n",
        "harness_studio: 1\nwires:\n  W1:\n    ends: [cut,\n      cut]\n    note: |\n      two\n      lines\n\n",
        "harness_studio: 1\nwires:\n  W1: {ends: [cut, cut], note: \"a\n   folded\n\n   text\"}\n",
        "\"harness_studio\": 1\n'wires':\n  \"W1\": {ends: [cut, cut]}\n",
        "harness_studio: 1\nzones:\nwires:\n  W1: {ends: [cut, cut]}\nruns:\n",
    ],
)  # fmt: skip
def test_unusual_forms_of_yaml_are_saved_right_too(text: str) -> None:
    opened = parse(text)
    assert render(opened.harness, opened) == text
    put("wires", Wire("W2", (End("cut"), End("unknown")), note="x: y")).apply(opened.harness)
    put("zones", Zone("bay")).apply(opened.harness)
    change(opened.harness, "wires", "W1", colour="BN").apply(opened.harness)
    again = parse(render(opened.harness, opened))
    assert again.harness.tables == opened.harness.tables


def test_comments_only_are_kept_when_every_entry_is_written_anew() -> None:
    opened = parse(TEXT)
    text = patched(opened.text, opened.root, None, tree_of(opened.harness))
    assert parse(text).harness.tables == opened.harness.tables
    comments = ["# by two of us.", "# Metal.", "# --- rear ---", "# The long one.", "# short", "# bought", "# the end",
                "# spare wires follow", "# how it is done", "# the first", "# not even the seller"]  # fmt: skip
    assert [c for c in comments if c not in text] == []


def test_a_new_text_has_its_sections_in_order() -> None:
    fresh = Harness()
    fresh.grounds["GP1"] = Ground("GP1")
    fresh.modes["on"] = Mode("on")
    fresh.wires["W1"] = Wire("W1", (End("cut"), End("words", "a, b")), note="n" * 200)
    assert render(fresh) == (
        "harness_studio: 1\nsystem_v: 12\ngrounded: negative\n\ngrounds:\n  GP1: {}\n\nwires:\n"
        f'  W1: {{ends: [cut, {{words: "a, b"}}], note: {"n" * 200}}}\n\nmodes:\n  on: {{}}\n'
    )
