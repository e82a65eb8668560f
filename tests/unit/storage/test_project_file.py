"""Opening and saving: the example opens, bad files are told in one line each, and saving is safe."""

import os
from pathlib import Path

import pytest

from harness_studio.base.errors import HarnessError, InputError
from harness_studio.model.edits import change, put
from harness_studio.model.entities import Wire
from harness_studio.model.harness import Harness
from harness_studio.model.values import End, Spot
from harness_studio.storage.project_file import parse, read_project, render, write_project

EXAMPLE = Path(__file__).with_name("example.yaml")
HEAD = "harness_studio: 1\n"


def problems(text: str) -> list[str]:
    """Return the problems of a text as they are printed."""
    with pytest.raises(InputError) as caught:
        parse(text, "f.yaml")
    assert all("\n" not in str(p) for p in caught.value.problems)
    return [str(p) for p in caught.value.problems]


def test_the_example_opens_as_it_stands() -> None:
    harness = read_project(EXAMPLE).harness
    counts = {name: len(table) for name, table in harness.tables.items()}
    assert counts == {
        "settings": 1, "bodies": 2, "bonds": 1, "zones": 2, "breakouts": 2, "runs": 1, "parts": 11, "halves": 4,
        "splices": 1, "grounds": 1, "wires": 8, "multicores": 1, "modes": 2, "joints": 2, "origins": 2, "cases": 0,
        "accepted": 1, "annotations": 1, "photos": 1, "revisions": 1, "pages": 1,
    }  # fmt: skip
    assert harness.wires["W77"].ends == (End("point", "X7.7"), End("words", "behind the seat, into the tape"))
    assert harness.wires["W52"].ends[1] == End("cut")
    assert harness.splices["SP3"].at == Spot(run="bed_left", mm=1180.0)
    assert harness.halves["X7"].at == Spot(breakout="bk2")
    assert harness.halves["X7"].mates == {"X8": None}
    assert harness.parts["P1"].ratings.scale.marks == {0.0: "E", 0.5: "1/2", 1.0: "F"}
    assert harness.parts["S1"].ratings.positions == {"released": (), "pressed": (("30", "54"),)}
    assert harness.settings.limits.override["rise_sensor_ground_v"].value == 0.08
    assert harness.pages["rear"].items["X7"].turn == 90


def test_the_example_saves_byte_for_byte(tmp_path: Path) -> None:
    file = tmp_path / "p.yaml"
    file.write_bytes(EXAMPLE.read_bytes())
    opened = read_project(file)
    write_project(file, opened.harness, opened)
    assert file.read_bytes() == EXAMPLE.read_bytes()
    assert [p.name for p in tmp_path.iterdir()] == ["p.yaml"]


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "the file is empty; a harness file starts with 'harness_studio: 1'"),
        (b"a: 1\n", "not a harness file: it should start with 'harness_studio: 1'"),
        (b"- 1\n", "not a harness file"),
        (b"just words\n", "not a harness file"),
        (b"<?xml version='1.0'?>\n<kbl/>\n", "not"),
        (b"%PDF-1.7\n", "not YAML"),
        (b"harness_studio: 2\n", "the file is of version 2, this program reads up to version 1"),
        (b"harness_studio: 999999\nbogus: [\n", "not YAML"),
        (b"harness_studio: 0\n", "the file says version 0, which never was"),
        (b"harness_studio: one\n", "the version should be a whole number"),
        (b"harness_studio: [1]\n", "the version should be a whole number"),
        ("harness_studio: 1\n".encode("utf-16"), "the text is in UTF-16; save it as UTF-8"),
        (b"harness_studio: 1\ntitle: Gr\xfcn\n", "byte 0xfc is not UTF-8"),
        (b"\x89PNG\r\n\x1a\n\0\0", "byte 0x89 is not UTF-8"),
        (b"\0\0\0\0", "control character U+0000"),
    ],
)  # fmt: skip
def test_what_is_no_harness_file(tmp_path: Path, content: bytes, words: str) -> None:
    file = tmp_path / "p.yaml"
    file.write_bytes(content)
    with pytest.raises(InputError) as caught:
        read_project(file)
    (problem,) = caught.value.problems
    assert words in problem.what
    assert str(problem).startswith(str(file))
    assert file.read_bytes() == content


def test_not_utf_8_is_told_with_its_place(tmp_path: Path) -> None:
    file = tmp_path / "p.yaml"
    file.write_bytes("harness_studio: 1\ntitle: ä".encode() + b"\xff\n")
    with pytest.raises(InputError, match=r"p\.yaml:2:9: byte 0xff is not UTF-8"):
        read_project(file)


def test_every_mistake_is_told_at_once_with_its_place() -> None:
    text = """\
harness_studio: 1
titel: Pump
bodies: {shell: {places_mohm: {bed: 0.2}}}
parts:
  E1: {kind: lampe, rated_w: 5}
  E2: {kind: lamp, rated_w: -5}
  W1: {kind: fuse}
splices: {SP1: {}}
wires:
  W1: {ends: [E2.1, SP1], size: 1.5}
  W2: {ends: [E2.31, SP9], area_mm2: nan}
  W3: {ends: [SP2, SP1]}
  W4: {ends: [SP1, SP1], length_mm: 42 cm}
  W5: {ends: [SP1, SP1]}
  W5: {ends: [SP1, cut]}
"""
    assert problems(text) == [
        "f.yaml:2:1: unknown section or key 'titel'; nearest known: title",
        "f.yaml:5:14: parts E1: unknown kind 'lampe'; nearest known: lamp",
        "f.yaml:6:29: parts E2 rated_w: found '-5'; wanted a number above 0 (W)",
        "f.yaml:10:3: wires: the id W1 is already used in parts on line 7",
        "f.yaml:10:27: wires W1: unknown key 'size'; a size names its unit: write area_mm2 (mm²) or awg",
        "f.yaml:11:38: wires W2 area_mm2: found 'nan'; wanted a number above 0 (mm²); "
        "NaN and infinity are not numbers here",
        "f.yaml:12:15: wires W3 ends: 'SP2' is not in this harness; nearest is 'SP1'",
        "f.yaml:13:37: wires W4 length_mm: found '42 cm'; wanted a number, 0 or more (mm); "
        "write 42 alone, the unit is in the key",
        "f.yaml:14:20: wires W5 ends: both ends of W5 are on SP1",
        "f.yaml:15:3: 'W5' stands here a second time; the first is on line 14",
    ]


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        ("halves:\n  X1: {mates: [X2, X3]}\n  X2: {cavities: {1: {}}}\n  X3: {cavities: {1: {}}}\n",
         "f.yaml:3:20: halves X1 mates X3: cavity X1.1 mates X2.1 already and cannot mate X3.1 too"),
        ("bonds:\n  B1: {ends: [shell.bed, shell.bed], mohm: 1}\nbodies: {shell: {places_mohm: {bed: 1}}}\n",
         "both ends of B1 are on shell.bed"),
        ("modes:\n  a: {like: b}\n  b: {like: a}\n", "the mode is like itself: a like b like a"),
        ("photos:\n  p: {file: ../secret.png}\n", "found '../secret.png'; wanted a path inside the project's folder"),
        ("photos:\n  p: {file: /etc/passwd}\n", "found '/etc/passwd'; wanted a path inside"),
        ("photos:\n  p: {file: 'C:\\x.png'}\n", "wanted a path inside"),
        ("joints:\n  a b: {mohm: 1}\n", "'a b' is not a joint"),
        ("wires:\n  cut: {ends: [cut, cut]}\n", "'cut' cannot be an id"),
        ("wires:\n  Wü: {ends: [cut, cut]}\n", "'Wü' cannot be an id: letters, digits, _ and - only"),
        ("wires:\n  W1: {colour: RD}\n", "f.yaml:3:7: wires W1: the key 'ends' is missing"),
        ("wires:\n  W1: {ends: [cut]}\n", "found a list of 1; wanted a list of 2"),
        ("wires:\n  W1: {ends: [cut, {word: x}]}\n", "wires W1 ends: found a mapping; wanted a point"),
        ("wires: [a]\n", "wires: found a list; wanted entries by id"),
        ("parts:\n  E1: lamp\n", "parts E1: found 'lamp'; wanted keys and values: {kind: ..., ...}"),
        ("parts:\n  E1: {title: x}\n", "the key 'kind' is missing; one of: battery"),
        ("parts:\n  E1: {kind: lamp, elements: {a: {between: [1]}}}\n", "E1 elements a between: found a list of 1"),
        ("parts:\n  E1: {kind: motor, torque: fam}\n", "wanted one of: fan, centrifugal, constant; nearest known: fan"),
        ("parts:\n  K1: {kind: relay, mount: {terminal: 99, place: shell.x}}\nbodies: {shell: {places_mohm: {x: 1}}}\n",
         "parts K1 mount terminal: 'K1.99': K1 has no terminal '99'; it has 85, 86, 30, 87"),
        ("zones:\n  bay: {wet: yes}\n", "zones bay wet: found 'yes'; wanted true or false"),
        ("zones:\n  bay: {ambient_c: '1,5'}\n", "write 1.5"),
        ("grounds:\n  G: {cleaned: 2026-13-01}\n", "wanted a day as year-month-day"),
        ("grounds:\n  G: {stack: [[W1], [W1]]}\nwires: {W1: {ends: [G, cut]}}\n", "W1 stands twice in the stack of G"),
        ("grounds:\n  G: {place: body.x}\n", "'body' is not in this harness"),
        ("revisions:\n  - {id: A}\n  - {id: A}\n", "revision 'A' stands here a second time; the first is on line 3"),
        ("diagram: {page: {}}\n", "diagram: unknown key 'page'; nearest known: pages"),
        ("diagram: {pages: {a: {items: {Z9: [1, 2]}}}}\n", "f.yaml:2:31: pages a items Z9: 'Z9' is not in parts"),
        ("system_v: 1e999\n", "it is too large for a number"),
        ("joints:\n  SP1: {mohm: .inf}\n", "wanted a number, 0 or more, or the word open (mΩ)"),
        ("runs:\n  r: {ends: [b, c]}\nbreakouts: {b: {}}\n", "f.yaml:3:17: runs r ends: 'c' is not in breakouts"),
    ],
)  # fmt: skip
def test_one_mistake_is_told_in_one_line(lines: str, told: str) -> None:
    (line,) = problems(HEAD + lines)
    assert told in line


def test_a_mistake_in_an_entry_is_not_told_again_by_those_that_name_it() -> None:
    text = HEAD + "splices:\n  SP1: {method: glue}\nwires:\n  W1: {ends: [SP1, cut]}\n"
    (line,) = problems(text)
    assert "method" in line


@pytest.mark.parametrize(
    "lines",
    [
        "wires:\n  W1: {ends: [cut, unknown]}\n",
        "wires:\n  W1: {ends: [{words: 'tape, left'}, unknown], colour: pink}\n",
        "wires:\n",
        "wires: ~\n",
        "parts:\n  E1: {kind: lamp}\n  A1: {kind: device, title: }\n",
        "halves:\n  X1: {}\n  X2: ~\n",
        "bodies:\n  unknown: {places_mohm: {stud: 0}, assumed: true}\n",
        "joints:\n  SP1: {mohm: open}\n  nowhere.1: {note: the wire is gone}\n",
        "halves:\n  X1: {face: {rows: [[1, ~], [~, 2]]}}\n",
        "revisions: []\ncases: {}\ndiagram:\n",
    ],
)
def test_half_known_is_welcome(lines: str) -> None:
    opened = parse(HEAD + lines)
    assert parse(render(opened.harness)).harness.tables == opened.harness.tables


def test_a_saved_edit_keeps_the_version_before_beside_it(tmp_path: Path) -> None:
    file = tmp_path / "p.yaml"
    file.write_text(EXAMPLE.read_text(encoding="utf-8"), encoding="utf-8")
    opened = read_project(file)
    change(opened.harness, "wires", "W52", area_mm2=0.75).apply(opened.harness)
    again = write_project(file, opened.harness, opened)
    assert (tmp_path / "p.yaml.bak").read_bytes() == EXAMPLE.read_bytes()
    assert file.read_text(encoding="utf-8") == again.text
    assert again.harness is opened.harness
    changed = [
        (a, b) for a, b in zip(opened.text.splitlines(), again.text.splitlines(), strict=True) if a != b
    ]
    ((before, after),) = changed
    assert after == before.replace("0.5", "0.75")
    assert read_project(file).harness.tables == opened.harness.tables
    # The next save starts from what was written last.
    put("wires", Wire("W99", (End("cut"), End("unknown")))).apply(opened.harness)
    third = write_project(file, opened.harness, again)
    assert (tmp_path / "p.yaml.bak").read_text(encoding="utf-8") == again.text
    assert "  W99: {ends: [cut, unknown]}\n" in third.text
    assert "# a shield's drain" in third.text


def test_line_ends_and_byte_order_mark_stay(tmp_path: Path) -> None:
    file = tmp_path / "p.yaml"
    before = b"\xef\xbb\xbf# top\r\nharness_studio: 1\r\nzones:\r\n  bay: {}   # one\r\n"
    file.write_bytes(before)
    opened = read_project(file)
    write_project(file, opened.harness, opened)
    assert file.read_bytes() == before
    change(opened.harness, "zones", "bay", wet=True).apply(opened.harness)
    write_project(file, opened.harness, opened)
    assert file.read_bytes() == before.replace(b"{}", b"{wet: true}")


def test_a_text_that_does_not_end_its_last_line() -> None:
    opened = parse(HEAD + "zones:\n  bay: {wet: true}")
    put("zones", type(opened.harness.zones["bay"])("bed")).apply(opened.harness)
    assert render(opened.harness, opened) == HEAD + "zones:\n  bay: {wet: true}\n  bed: {}\n"


def test_a_harness_that_no_file_can_hold_is_not_saved(tmp_path: Path) -> None:
    file = tmp_path / "p.yaml"
    harness = Harness()
    harness.wires["W 1"] = Wire("W 1", (End("cut"), End("cut")))
    with pytest.raises(HarnessError, match="this harness cannot be written: wires: 'W 1' cannot be an id"):
        write_project(file, harness)
    harness = Harness()
    harness.wires["W1"] = Wire("W1", (End("point", "X1.1"), End("cut")))
    with pytest.raises(HarnessError, match="'X1' is not in this harness"):
        write_project(file, harness)
    harness.wires["W1"] = Wire("W1", (End("cut"), End("cut")), note="\ud800")
    with pytest.raises(HarnessError, match="half a character"):
        write_project(file, harness)
    assert list(tmp_path.iterdir()) == []


def test_an_older_file_is_migrated_in_memory_and_written_only_on_save(tmp_path: Path) -> None:
    from tests.unit.storage.test_migrate import FROM_ZERO

    text = "# mine\nharness_studio: 0\n# the wires\nleads:\n  # first\n  W1: {ends: [cut, cut]}   # behind\n"
    opened = parse(text, "old.yaml", migrations=FROM_ZERO)
    assert opened.migrated_from == 0
    assert opened.text == text
    assert list(opened.harness.wires) == ["W1"]
    written = write_project(tmp_path / "p.yaml", opened.harness, opened)
    assert written.migrated_from is None
    lines = written.text.splitlines()
    assert lines[:2] == ["# mine", "harness_studio: 1"]
    assert lines[-4:] == ["# the wires", "wires:", "  # first", "  W1: {ends: [cut, cut]}   # behind"]


def test_a_mistake_in_an_older_file_is_told_by_its_line() -> None:
    from tests.unit.storage.test_migrate import FROM_ZERO

    with pytest.raises(InputError, match=r"old\.yaml:3:28: wires W1: unknown key 'siz'"):
        parse("harness_studio: 0\nleads:\n  W1: {ends: [cut, cut], siz: 1}\n".replace(" siz", "   siz"), "old.yaml",
              migrations=FROM_ZERO)  # fmt: skip


def test_json_is_a_harness_file_too() -> None:
    text = '{"harness_studio": 1, "wires": {"W1": {"ends": ["cut", {"words": "a"}], "area_mm2": 1.5}}}\n'
    opened = parse(text)
    assert opened.harness.wires["W1"].area_mm2 == 1.5
    assert render(opened.harness, opened) == text
    change(opened.harness, "wires", "W1", note="x").apply(opened.harness)
    assert parse(render(opened.harness, opened)).harness.tables == opened.harness.tables


def test_reading_takes_a_path_as_text_too(tmp_path: Path) -> None:
    file = tmp_path / "é.yaml"
    file.write_text(HEAD, encoding="utf-8")
    assert read_project(os.fspath(file)).path == file
