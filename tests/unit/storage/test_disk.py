"""Replacing a file: whole or not at all, the version before kept, and nothing left behind when it cannot be done."""

import errno
import os
import stat
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from harness_studio.base.errors import HarnessError, InputError
from harness_studio.model.harness import Harness
from harness_studio.storage.disk import MOST_BYTES, bytes_of, read_bytes, replace_file, text_of
from harness_studio.storage.project_file import parse, write_project


def names(folder: Path) -> list[str]:
    return sorted(p.name for p in folder.iterdir())


def mount(folder: Path, *options: str) -> None:
    """Mount a file system on the folder, or skip: only an administrator on Linux may."""
    try:
        done = subprocess.run(["mount", *options, str(folder)], capture_output=True, text=True, check=False)
    except FileNotFoundError:
        pytest.skip("there is no mount command here")
    if done.returncode:
        pytest.skip(f"mounting is not allowed here: {done.stderr.strip()}")


@pytest.fixture
def tiny_disk(tmp_path: Path) -> Iterator[Path]:
    """Return a folder on a disk of 64 kB."""
    folder = tmp_path / "disk"
    folder.mkdir()
    mount(folder, "-t", "tmpfs", "-o", "size=64k", "tmpfs")
    yield folder
    subprocess.run(["umount", str(folder)], check=True)


@pytest.fixture
def read_only_folder(tmp_path: Path) -> Iterator[Path]:
    """Return a folder that nobody can write to, not even an administrator, with a file in it."""
    folder = tmp_path / "fixed"
    folder.mkdir()
    mount(folder, "-t", "tmpfs", "-o", "size=64k", "tmpfs")
    (folder / "p.yaml").write_text("old")
    subprocess.run(["mount", "-o", "remount,ro", str(folder)], check=True)
    yield folder
    subprocess.run(["umount", str(folder)], check=True)


def test_the_version_before_is_kept(tmp_path: Path) -> None:
    file = tmp_path / "p.yaml"
    replace_file(file, b"one")
    assert names(tmp_path) == ["p.yaml"]
    replace_file(file, b"two")
    replace_file(file, b"three")
    assert (file.read_bytes(), (tmp_path / "p.yaml.bak").read_bytes()) == (b"three", b"two")
    assert names(tmp_path) == ["p.yaml", "p.yaml.bak"]


def test_the_same_content_is_not_written_again(tmp_path: Path) -> None:
    file = tmp_path / "p.yaml"
    replace_file(file, b"one")
    replace_file(file, b"two")
    before = file.stat()
    replace_file(file, b"two")
    assert file.stat() == before
    assert (tmp_path / "p.yaml.bak").read_bytes() == b"one"


def test_going_back_to_the_version_before(tmp_path: Path) -> None:
    # The new content is that of the .bak: afterwards the two have changed places.
    file = tmp_path / "p.yaml"
    for content in (b"one", b"two", b"one", b"two"):
        replace_file(file, content)
    assert (file.read_bytes(), (tmp_path / "p.yaml.bak").read_bytes()) == (b"two", b"one")


def test_a_link_stays_a_link_and_the_mode_stays(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    real, link = tmp_path / "real" / "p.yaml", tmp_path / "p.yaml"
    real.write_bytes(b"one")
    real.chmod(0o640)
    link.symlink_to(real)
    replace_file(link, b"two")
    assert link.is_symlink()
    assert real.read_bytes() == b"two"
    assert stat.S_IMODE(real.stat().st_mode) == 0o640
    assert names(tmp_path / "real") == ["p.yaml", "p.yaml.bak"]


def test_a_new_file_has_the_mode_that_new_files_have(tmp_path: Path) -> None:
    replace_file(tmp_path / "p.yaml", b"one")
    (tmp_path / "other").touch()
    assert (tmp_path / "p.yaml").stat().st_mode == (tmp_path / "other").stat().st_mode


def test_where_hard_links_cannot_be_made_a_copy_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_links(*_: object) -> None:
        raise OSError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_links)
    replace_file(tmp_path / "p.yaml", b"one")
    replace_file(tmp_path / "p.yaml", b"two")
    assert (tmp_path / "p.yaml.bak").read_bytes() == b"one"
    assert names(tmp_path) == ["p.yaml", "p.yaml.bak"]


def test_a_full_disk_changes_nothing(tiny_disk: Path) -> None:
    file = tiny_disk / "p.yaml"
    replace_file(file, b"a" * 30_000)
    with pytest.raises(
        HarnessError, match=r"p\.yaml cannot be saved: the disk is full; the file on disk is as it was"
    ):
        replace_file(file, b"b" * 60_000)
    assert file.read_bytes() == b"a" * 30_000
    assert names(tiny_disk) == ["p.yaml"]


def test_a_full_disk_leaves_no_new_file(tiny_disk: Path) -> None:
    with pytest.raises(HarnessError, match="the disk is full; nothing was written"):
        replace_file(tiny_disk / "p.yaml", b"b" * 100_000)
    assert names(tiny_disk) == []


def test_a_full_disk_while_a_project_is_saved(tiny_disk: Path) -> None:
    file = tiny_disk / "p.yaml"
    opened = write_project(file, Harness())
    before = file.read_bytes()
    (tiny_disk / "filler").write_bytes(
        b"x" * (os.statvfs(tiny_disk).f_bavail * os.statvfs(tiny_disk).f_frsize)
    )
    changed = parse("harness_studio: 1\ntitle: " + "t" * 10_000 + "\n").harness
    with pytest.raises(HarnessError, match="the disk is full"):
        write_project(file, changed, opened)
    assert file.read_bytes() == before
    assert names(tiny_disk) == ["filler", "p.yaml"]


def test_a_read_only_folder_changes_nothing(read_only_folder: Path) -> None:
    with pytest.raises(
        HarnessError, match=r"p\.yaml cannot be saved: .*read-only; the file on disk is as it was"
    ):
        replace_file(read_only_folder / "p.yaml", b"new")
    with pytest.raises(HarnessError, match=r"read-only; nothing was written"):
        replace_file(read_only_folder / "new.yaml", b"new")
    assert (read_only_folder / "p.yaml").read_text() == "old"
    assert names(read_only_folder) == ["p.yaml"]


def test_a_file_that_may_not_be_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "p.yaml"
    file.write_bytes(b"old")
    file.chmod(0o444)
    # The answer that anybody but an administrator gets.
    monkeypatch.setattr(os, "access", lambda *_: False)
    with pytest.raises(HarnessError, match="the file is read-only; the file on disk is as it was"):
        replace_file(file, b"new")
    assert file.read_bytes() == b"old"
    assert names(tmp_path) == ["p.yaml"]


def test_a_folder_that_is_gone(tmp_path: Path) -> None:
    with pytest.raises(HarnessError, match="the folder is not there; nothing was written"):
        replace_file(tmp_path / "gone" / "p.yaml", b"new")
    (tmp_path / "file").touch()
    with pytest.raises(HarnessError, match="a folder of its path is a file"):
        replace_file(tmp_path / "file" / "p.yaml", b"new")


def test_a_folder_in_the_place_of_the_file_or_of_its_backup(tmp_path: Path) -> None:
    (tmp_path / "p.yaml").mkdir()
    with pytest.raises(HarnessError, match="this is a folder"):
        replace_file(tmp_path / "p.yaml", b"new")
    file = tmp_path / "q.yaml"
    replace_file(file, b"old")
    (tmp_path / "q.yaml.bak").mkdir()
    with pytest.raises(HarnessError, match="as it was"):
        replace_file(file, b"new")
    assert file.read_bytes() == b"old"
    assert names(tmp_path) == ["p.yaml", "q.yaml", "q.yaml.bak"]


@pytest.mark.parametrize("step", ["fsync", "replace", "link"])
@pytest.mark.parametrize("error", [OSError(errno.EIO, "Input/output error"), KeyboardInterrupt()])
def test_whatever_breaks_off_leaves_the_file_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str, error: BaseException
) -> None:
    file = tmp_path / "p.yaml"
    replace_file(file, b"one")
    replace_file(file, b"two")

    def broken(*_: object) -> None:
        raise error

    monkeypatch.setattr(os, step, broken)
    if step == "link" and isinstance(error, OSError):
        replace_file(file, b"three")  # a copy is made instead
        assert file.read_bytes() == b"three"
    else:
        with pytest.raises((HarnessError, KeyboardInterrupt)):
            replace_file(file, b"three")
        assert file.read_bytes() == b"two"
    assert names(tmp_path) == ["p.yaml", "p.yaml.bak"]


def test_reading_what_is_not_there_or_no_file(tmp_path: Path) -> None:
    for path, words in (
        (tmp_path / "none.yaml", "there is no such file"),
        (tmp_path, "this is a folder"),
        (Path("/dev/null"), "this is no ordinary file"),
        (tmp_path / ("x" * 300), "cannot be read: the name is too long"),
    ):
        with pytest.raises(InputError, match=words) as caught:
            read_bytes(path, "p.yaml")
        assert str(caught.value).startswith("p.yaml: ")
        assert "\n" not in str(caught.value)


def test_a_file_that_is_too_large_is_not_read(tmp_path: Path) -> None:
    file = tmp_path / "p.yaml"
    with file.open("wb") as opened:
        opened.truncate(50 * 1024 * 1024)
    with pytest.raises(InputError, match="50 MB is too large for a project file; 20 MB are read at most"):
        read_bytes(file, "p.yaml")
    with file.open("wb") as opened:
        opened.truncate(MOST_BYTES)
    assert len(read_bytes(file, "p.yaml")) == MOST_BYTES


def test_texts_and_bytes() -> None:
    assert text_of(b"\xef\xbb\xbfa\r\n", "") == "a\r\n"
    assert bytes_of("a\r\n", b"\xef\xbb\xbf") == b"\xef\xbb\xbfa\r\n"
    assert bytes_of("ä") == "ä".encode()
