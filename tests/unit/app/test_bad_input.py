"""Bad input: one clear line for each thing that is wrong, exit code 2, and what is on disk stays as it is."""

import os
import shutil
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from tests.unit.app.conftest import Run
from tests.unit.app.test_import import KBL

HEAD = "harness_studio: 1\n"
BOMB = HEAD + "title: &a [x, x]\nwires: " + "".join(f"&{n} [*{p}, *{p}]\n" for n, p in ("ba", "cb", "dc"))

BAD_PROJECTS = {
    "not YAML": ("harness_studio: 1\nparts: {E1: {kind: lamp\nwires: [", ""),
    "not text": ("\x00\x01", ""),
    "not a harness": ("name: something else\nversion: 3\n", "not a harness file"),
    "a list": ("- 1\n- 2\n", "not a harness file"),
    "empty": ("", "the file is empty"),
    "newer version": ("harness_studio: 999\n", "version 999"),
    "unknown key": (HEAD + "wires: {W1: {ends: [cut, cut], colur: BN}}\n", "colour"),
    "unknown section": (HEAD + "wirse: {}\n", "wires"),
    "duplicate id": (HEAD + "splices:\n  SP1: {}\n  SP1: {}\n", "SP1"),
    "one id in two sections": (HEAD + "splices: {A1: {}}\nwires: {A1: {ends: [cut, cut]}}\n", "A1"),
    "missing id": (HEAD + "splices: {SP1: {}}\nwires: {W1: {ends: [SP2, cut]}}\n", "SP2"),
    "cavity mated twice": (
        HEAD + "halves:\n  X1: {mates: {X2: {1: 1}, X3: {1: 1}}, cavities: {1: {}}}\n"
        "  X2: {cavities: {1: {}}}\n  X3: {cavities: {1: {}}}\n", "X1.1",
    ),
    "both ends on one point": (HEAD + "splices: {SP1: {}}\nwires: {W1: {ends: [SP1, SP1]}}\n", "SP1"),
    "NaN": (HEAD + "wires: {W1: {ends: [cut, cut], area_mm2: .nan}}\n", "area_mm2"),
    "infinity": (HEAD + "wires: {W1: {ends: [cut, cut], length_mm: .inf}}\n", "length_mm"),
    "size of what": (HEAD + "wires: {W1: {ends: [cut, cut], size: 18}}\n", "size"),
    "alias": (HEAD + "splices: {SP1: &a {}, SP2: *a}\n", ""),
    "alias bomb": (BOMB, ""),
    "nesting": (HEAD + "title: " + "[" * 5000 + "]" * 5000 + "\n", ""),
    "tag": (HEAD + "title: !!python/object:os.system {}\n", ""),
}  # fmt: skip
BAD_IMPORTS = {
    "DOCTYPE": (KBL.replace("<kbl:KBL_c", '<!DOCTYPE x [<!ENTITY a "b">]>\n<kbl:KBL_c', 1), "DOCTYPE"),
    "truncated": (KBL[: len(KBL) // 2], ""),
    "no KBL": ("<html/>", "html"),
    "no XML": ("harness_studio: 1\n", ""),
    "empty": ("", ""),
}


@pytest.mark.parametrize("name", BAD_PROJECTS)
@pytest.mark.parametrize("words", [["solve"], ["shares"], ["open"]])
def test_a_bad_project_is_told_and_left_alone(
    run: Run, no_screen: None, tmp_path: Path, name: str, words: list[str]
) -> None:
    text, expected = BAD_PROJECTS[name]
    file = tmp_path / "bad.yaml"
    file.write_text(text, encoding="utf-8")
    before = file.stat()
    done = run(*words, file, *(["GP1"] if words == ["shares"] else []))
    assert (done.code, done.out) == (2, "")
    assert len(done.complaints) == 1
    assert done.complaints[0].startswith(f"harness-studio: {file}")
    assert expected in done.complaints[0]
    assert len(done.complaints[0]) < 400
    assert file.read_text(encoding="utf-8") == text
    assert file.stat().st_mtime_ns == before.st_mtime_ns
    assert sorted(tmp_path.iterdir()) == [file]


@pytest.mark.parametrize("name", BAD_IMPORTS)
def test_a_bad_import_is_told_and_the_project_that_is_there_is_left_alone(
    run: Run, tmp_path: Path, name: str
) -> None:
    text, expected = BAD_IMPORTS[name]
    source, target = tmp_path / "bad.kbl", tmp_path / "mine.yaml"
    source.write_text(text, encoding="utf-8")
    target.write_text("mine\n")
    done = run("import", source, "-o", target, "--json")
    assert (done.code, done.out) == (2, "")
    assert len(done.complaints) == 1
    assert done.complaints[0].startswith(f"harness-studio: {source}")
    assert expected in done.complaints[0]
    assert target.read_text() == "mine\n"
    assert sorted(tmp_path.iterdir()) == [source, target]


def test_fifty_megabytes_of_nesting_are_refused_in_no_time(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "deep.yaml"
    with file.open("w", encoding="utf-8") as stream:
        stream.write(HEAD + "title: ")
        stream.write("[" * (25 * 1024 * 1024))
        stream.write("]" * (25 * 1024 * 1024))
    done = run("solve", file)
    assert (done.code, len(done.complaints)) == (2, 1)
    assert "MB" in done.err


@pytest.mark.parametrize("words", [["new"], ["import"]])
def test_a_folder_that_may_not_be_written_is_told(
    run: Run, tmp_path: Path, words: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "closed"
    folder.mkdir()
    folder.chmod(stat.S_IRUSR | stat.S_IXUSR)
    if os.access(
        folder, os.W_OK
    ):  # a superuser may write anywhere: the refusal comes from the system call instead
        import tempfile

        def refused(*_: object, **__: object) -> None:
            raise PermissionError(13, "Permission denied", str(folder))

        monkeypatch.setattr(tempfile, "mkstemp", refused)
    source = tmp_path / "loom.kbl"
    source.write_text(KBL, encoding="utf-8")
    target = folder / "x.yaml"
    done = run("new", target) if words == ["new"] else run("import", source, "-o", target)
    assert (done.code, done.out, len(done.complaints)) == (2, "", 1)
    assert str(target) in done.err
    assert "access is not allowed" in done.err
    assert list(folder.iterdir()) == []
    folder.chmod(stat.S_IRWXU)


@pytest.fixture
def tiny_disk(tmp_path: Path) -> Path:
    """Return a folder that is a disk of 16 KB."""
    folder = tmp_path / "tiny"
    folder.mkdir()
    if sys.platform != "linux" or os.geteuid() != 0 or not shutil.which("mount"):
        pytest.skip("only a superuser of Linux can make a tiny disk")
    options = ["-t", "tmpfs", "-o", "size=16k", "tmpfs", str(folder)]
    if subprocess.run(["mount", *options], capture_output=True, check=False).returncode:
        pytest.skip("no disk can be mounted here")
    return folder


def test_a_full_disk_is_told_and_the_file_on_it_stays(run: Run, tiny_disk: Path, tmp_path: Path) -> None:
    try:
        target = tiny_disk / "x.yaml"
        target.write_text("mine\n")
        (tiny_disk / "filler").write_bytes(b"x" * 4096 * 2)
        source = tmp_path / "loom.kbl"
        many = "".join(
            f'<Connector_occurrence id="n{i}"><Id>Y{i}</Id><Part>ch</Part></Connector_occurrence>'
            for i in range(400)
        )
        source.write_text(KBL.replace("<Module id", many + "<Module id", 1), encoding="utf-8")
        done = run("import", source, "-o", target)
        assert (done.code, done.out, len(done.complaints)) == (2, "", 1)
        assert "the disk is full" in done.err
        assert target.read_text() == "mine\n"
        assert sorted(p.name for p in tiny_disk.iterdir()) == ["filler", "x.yaml"]
    finally:
        subprocess.run(["umount", str(tiny_disk)], check=True)
