"""Recovery copies: unsaved work in a folder of the user's, so that it outlives the program.

A copy is a project file like any other behind one line of comment, which says what it is a copy of. Whoever writes it
holds its lock; a copy whose lock can be had belongs to a program that ended without leaving properly.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import threading
import uuid
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from harness_studio.base.errors import HarnessError, InputError
from harness_studio.model.harness import Harness

from .disk import read_bytes, replace_file, text_of
from .encode import tree_of
from .lock import Holder, Lock, take
from .patch import patched

_MARK = "# recovery copy: "


@dataclass(frozen=True, slots=True)
class About:
    """What a copy is of.

    Parameters
    ----------
    file
        The project's file; empty if it has none yet.
    base
        Digest of the text that file held when it was opened or last saved; empty without one.
    since, until
        Times of the first and the latest edit that is not in the file, ISO 8601.
    edits
        How many edits those are.
    """

    file: str = ""
    base: str = ""
    since: str = ""
    until: str = ""
    edits: int = 0


@dataclass(frozen=True, slots=True)
class Copy:
    """A copy that was found."""

    path: Path
    about: About
    text: str


def folder() -> Path:
    """Return where recovery copies are."""
    from platformdirs import user_state_path

    return user_state_path("harness-studio", appauthor=False) / "recovery"


def digest(text: str) -> str:
    """Return what two texts of a file are told apart by."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


class Record:
    """One project's recovery copy. `write` may be called on another thread than the rest."""

    def __init__(self, path: Path | None = None, lock: Lock | None = None) -> None:
        self._path = path
        self._lock = lock
        self._guard = threading.Lock()
        self._state = 0
        self._held = 0

    @property
    def path(self) -> Path | None:
        """Where the copy is; None before there was one."""
        return self._path

    @property
    def state(self) -> int:
        """What `write` is to be given; it changes when the copy is dropped."""
        return self._state

    def write(self, harness: Harness, about: About, state: int) -> None:
        """Write the copy as one step, unless it was dropped since `state` was asked for, or holds more edits.

        Raises
        ------
        HarnessError
            If it cannot be written; the copy before is then still there.
        """
        head = _MARK + json.dumps(asdict(about), ensure_ascii=True)
        text = f"{head}\n{patched('', None, None, tree_of(harness))}"
        with self._guard:
            if state != self._state or about.edits < self._held:
                return
            if self._path is None or self._lock is None:
                self._begin()
            assert self._path is not None
            replace_file(self._path, text.encode("utf-8"), keep=False)
            self._held = about.edits

    def _begin(self) -> None:
        path = folder() / f"{uuid.uuid4().hex}.yaml"
        try:
            path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        except OSError as error:
            raise HarnessError(f"{path.parent}: {error.strerror or error}") from None
        taken = take(_lock_of(path))
        self._lock = taken if isinstance(taken, Lock) else None
        self._path = path

    def drop(self) -> None:
        """Remove the copy: there is nothing to recover. A write under way comes to nothing."""
        with self._guard:
            self._state += 1
            self._held = 0
            if self._path is not None:
                with contextlib.suppress(OSError):
                    self._path.unlink(missing_ok=True)

    def let_go(self) -> None:
        """Hold the copy no longer; it stays for others to find. A write under way comes to nothing."""
        with self._guard:
            self._state += 1
            lock, self._lock, self._path = self._lock, None, None
        if lock is not None:
            lock.release()


def abandoned() -> list[Copy]:
    """Return the copies of programs that ended without leaving properly, the latest first."""
    found = []
    with contextlib.suppress(OSError):
        for path in folder().glob("*.yaml"):
            taken = take(_lock_of(path))
            if isinstance(taken, Holder):
                continue
            taken.release()
            copy = read(path)
            if copy is not None:
                found.append(copy)
    return sorted(found, key=lambda copy: copy.about.until, reverse=True)


def read(path: Path) -> Copy | None:
    """Return a copy; None if there is none, or the file is something else."""
    try:
        text = text_of(read_bytes(path, path.name), path.name)
        head, _, rest = text.partition("\n")
        if not head.startswith(_MARK):
            return None
        about = About(**json.loads(head.removeprefix(_MARK)))
    except (InputError, ValueError, TypeError):
        return None
    return Copy(path, about, rest)


def claim(copy: Copy) -> Record | None:
    """Take a copy over; None if another window did, or threw it away."""
    taken = take(_lock_of(copy.path))
    if isinstance(taken, Holder):
        return None
    if not copy.path.exists():
        taken.release()
        return None
    return Record(copy.path, taken)


def discard(copy: Copy) -> None:
    """Throw a copy away, unless another window took it over."""
    record = claim(copy)
    if record is not None:
        record.drop()
        record.let_go()


def moved_on(about: About, text: str) -> bool:
    """Tell whether a file holds another text than the one the copy's edits were made on."""
    return bool(about.base) and about.base != digest(text)


def renewed(about: About, **fields: object) -> About:
    """Return what a copy is of, with other values."""
    return replace(about, **fields)  # type: ignore[arg-type]


def _lock_of(path: Path) -> Path:
    return path.with_suffix(".lock")
