"""Locks of files: one holder, released with the program, and never in the way where locks cannot be had."""

import os
import signal
import subprocess
import sys
from pathlib import Path

from harness_studio.storage.lock import Holder, Lock, lock_path, take


def test_a_file_is_held_by_one_at_a_time(tmp_path: Path) -> None:
    path = lock_path(tmp_path / "tender.yaml")
    first = take(path)
    assert isinstance(first, Lock)
    second = take(path)
    assert second == Holder(os.getpid(), second.host)
    assert "this program" in str(second)
    first.release()
    first.release()
    assert not path.exists()
    third = take(path)
    assert isinstance(third, Lock)
    third.release()


def test_a_lock_whose_program_was_killed_holds_nobody_out(tmp_path: Path) -> None:
    path = tmp_path / ".tender.yaml.lock"
    code = (
        "import sys, time; from pathlib import Path; from harness_studio.storage.lock import take;"
        "kept = take(Path(sys.argv[1])); print('held', flush=True); time.sleep(60)"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code, str(path)], stdout=subprocess.PIPE, text=True
    ) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == "held\n"
        holder = take(path)
        assert isinstance(holder, Holder)
        assert holder.pid == other.pid
        assert str(holder) == f"another window (process {other.pid})"
        os.kill(other.pid, signal.SIGKILL)
        other.wait()
    assert path.exists()
    mine = take(path)
    assert isinstance(mine, Lock)
    mine.release()


def test_two_names_of_one_file_have_one_lock(tmp_path: Path) -> None:
    (tmp_path / "real.yaml").write_text("")
    (tmp_path / "link.yaml").symlink_to(tmp_path / "real.yaml")
    assert lock_path(tmp_path / "link.yaml") == lock_path(tmp_path / "real.yaml")


def test_a_folder_that_is_not_there_keeps_nobody_out(tmp_path: Path) -> None:
    taken = take(tmp_path / "nowhere" / ".x.lock")
    assert isinstance(taken, Lock)
    taken.release()


def test_a_lock_without_words_is_somebodys_still(tmp_path: Path) -> None:
    path = tmp_path / ".x.lock"
    held = take(path)
    path.write_text("")
    assert take(path) == Holder()
    assert isinstance(held, Lock)
    held.release()
