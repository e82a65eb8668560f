"""Reading and replacing one file: bounded, in UTF-8, and never leaving half of it behind."""

from __future__ import annotations

import contextlib
import errno
import os
import shutil
import stat
import tempfile
from pathlib import Path

from harness_studio.base.errors import HarnessError, InputError, Problem

MOST_BYTES = 20 * 1024 * 1024
_TOO_LARGE = f"is too large for a project file; {MOST_BYTES // 1024 // 1024} MB are read at most"
_BOM = b"\xef\xbb\xbf"
_WIDE_BOMS = (b"\xff\xfe", b"\xfe\xff")


def read_bytes(path: Path, name: str) -> bytes:
    """Return the content of a regular file of at most `MOST_BYTES` bytes.

    Raises
    ------
    InputError
        With one line, if there is no such file or it cannot be read.
    """
    try:
        about = path.stat()
        if stat.S_ISDIR(about.st_mode):
            raise _input(name, "this is a folder; name the project file in it")
        if not stat.S_ISREG(about.st_mode):
            raise _input(name, "this is no ordinary file")
        if about.st_size > MOST_BYTES:
            size = about.st_size / 1024 / 1024
            raise _input(name, f"{size:.0f} MB {_TOO_LARGE}")
        with path.open("rb") as file:
            content = file.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise _input(name, "there is no such file") from None
    except OSError as error:
        raise _input(name, f"cannot be read: {_reason(error)}") from None
    if len(content) > MOST_BYTES:
        raise _input(name, f"the file {_TOO_LARGE}")
    return content


def text_of(content: bytes, name: str) -> str:
    """Return the text of UTF-8 bytes, without a byte order mark.

    Raises
    ------
    InputError
        With one line, if the bytes are another encoding or no text.
    """
    if content.startswith(_WIDE_BOMS):
        raise _input(name, "the text is in UTF-16; save it as UTF-8")
    try:
        return content.removeprefix(_BOM).decode("utf-8")
    except UnicodeDecodeError as error:
        before = content[: error.start]
        line = before.count(b"\n") + 1
        column = len(before[before.rfind(b"\n") + 1 :].decode("utf-8", "replace")) + 1
        what = f"byte {content[error.start]:#04x} is not UTF-8; save the text as UTF-8"
        raise InputError([Problem(line, column, what, name)]) from None


def bytes_of(text: str, before: bytes = b"") -> bytes:
    """Return the UTF-8 bytes of a text, with a byte order mark if the bytes it had before have one."""
    return (_BOM if before.startswith(_BOM) else b"") + text.encode("utf-8")


def replace_file(path: Path, content: bytes, *, keep: bool = True) -> None:
    """Replace a file's content as one step; what it held before is kept beside it as NAME.bak (unless `keep` is off).

    The new content goes to a file in the same folder and to the disk first; the name is moved to it last. Nothing
    is done when the file holds this content already. A link is followed, the mode of the file is kept.

    Raises
    ------
    HarnessError
        With one line, if this cannot be done; the file is then as it was and nothing else is left behind.
    """
    target = Path(os.path.realpath(path))
    try:
        old = target.read_bytes() if target.exists() else None
        if old == content:
            return
        if old is not None and not os.access(target, os.W_OK):
            raise PermissionError(errno.EACCES, "the file is read-only")
        temporary = _write_beside(target, content)
        try:
            if old is not None:
                shutil.copymode(target, temporary)
                if keep:
                    _keep(target)
            os.replace(temporary, target)
        except BaseException:
            temporary.unlink(missing_ok=True)
            raise
        _sync_folder(target.parent)
    except OSError as error:
        state = "the file on disk is as it was" if target.exists() else "nothing was written"
        raise HarnessError(f"{path} cannot be saved: {_reason(error)}; {state}") from None


def _write_beside(target: Path, content: bytes) -> Path:
    handle, name = tempfile.mkstemp(prefix=f".{target.name[:100]}.", suffix=".tmp", dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        if not target.exists():
            mask = os.umask(0)
            os.umask(mask)
            Path(name).chmod(0o666 & ~mask)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    return Path(name)


def sweep(path: Path) -> None:
    """Remove what a program that was killed while it wrote this file left beside it. Only with the file's lock held."""
    target = Path(os.path.realpath(path))
    start = f".{target.name[:100]}."
    with contextlib.suppress(OSError):
        for left in target.parent.iterdir():
            if left.name.startswith(start) and left.name.endswith(".tmp"):
                left.unlink(missing_ok=True)


def _keep(target: Path) -> None:
    """Keep the present content as NAME.bak: a second name for it where the file system can, else a copy."""
    backup = target.with_name(target.name + ".bak")
    spare = target.with_name(f".{target.name[:100]}.{os.getpid()}.bak.tmp")
    spare.unlink(missing_ok=True)
    try:
        try:
            os.link(target, spare)
        except OSError:
            shutil.copy2(target, spare)
        os.replace(spare, backup)
    finally:
        # Two names of one file are left as they are by a rename (the backup was this content already).
        spare.unlink(missing_ok=True)


def _sync_folder(folder: Path) -> None:
    # Not every system lets a folder be opened; there the rename itself has to do.
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _input(name: str, what: str) -> InputError:
    return InputError([Problem(0, 0, what, name)])


def _reason(error: OSError) -> str:
    words = {
        errno.ENOSPC: "the disk is full",
        errno.EDQUOT: "the space you may use on this disk is used up",
        errno.EROFS: "the disk or folder is read-only",
        errno.ENOENT: "the folder is not there",
        errno.ENOTDIR: "a folder of its path is a file",
        errno.EISDIR: "this is a folder",
        errno.ENAMETOOLONG: "the name is too long",
    }
    if error.errno in (errno.EACCES, errno.EPERM):
        return (
            "the file is read-only" if error.strerror == "the file is read-only" else "access is not allowed"
        )
    return words.get(error.errno or 0, error.strerror or str(error))
