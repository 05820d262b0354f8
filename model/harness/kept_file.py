"""A harness file put in the place of the one before, which is kept beside it."""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from model.errors import FusewalkError
from model.harness.file_read import FileRead, refuse_changed
from model.harness.toml_file import harness_bytes
from model.words import clean

_REVISION = re.compile(r"\.rev\d+$")
_MAY_WRITE = 0o222


def kept_path(path: Path, revision: int) -> Path:
    """Give where a revision of a harness file is kept: ``buggy.toml`` of revision 3 as ``buggy.rev3.toml``."""
    return path.with_name(f"{_REVISION.sub('', path.stem)}.rev{revision}{path.suffix}")


def replace_keeping(read: FileRead, content: bytes, kept: Path) -> None:
    """Put a new content in the place of a file: whole or not at all, and never before the old one is kept.

    Parameters
    ----------
    kept
        Where the old content goes; what stands there already must be the same, or it is refused.

    Raises
    ------
    ChangedOutsideError
        Where the file was changed by something else since it was read.
    FusewalkError
        Where one of the two cannot be written, or another file stands where the old one is to be kept.

    Notes
    -----
    Both are written under temporary names and synced before they are renamed; the folder is synced after each.
    """
    keep = read.path.resolve().with_name(kept.name)
    try:
        is_other = keep.exists() and harness_bytes(keep) != read.content
    except OSError as error:
        raise _unwritten(read.path, error) from error
    except FusewalkError:
        is_other = True
    if is_other:
        raise FusewalkError(
            f"{clean(str(keep), 500)} is there already and holds something else.",
            do="Move it away: the revision before is kept there.",
        )
    replace_keeping_first(read, content, kept)


def replace_keeping_first(read: FileRead, content: bytes, kept: Path) -> None:
    """Put a new content in the place of a file: whole or not at all; what was kept before stays kept.

    Parameters
    ----------
    kept
        Where the old content goes where nothing stands there yet.

    Raises
    ------
    ChangedOutsideError
        Where the file was changed by something else since it was read.
    FusewalkError
        Where one of the two cannot be written, nobody may write the file, or it is itself what would be kept.
    """
    target = read.path.resolve()
    keep = target.with_name(kept.name)
    try:
        _refuse_target(target, keep)
        if not keep.exists():
            _write(keep, read.content, target)
        _write(target, content, target, lambda: refuse_changed(read))
    except OSError as error:
        raise _unwritten(read.path, error) from error


def _refuse_target(target: Path, keep: Path) -> None:
    """Refuse a file that nobody may write, and one that stands where it would be kept itself."""
    if not target.stat().st_mode & _MAY_WRITE:
        raise FusewalkError(
            f"{clean(str(target), 500)} is marked as not to be written.",
            do="Take the mark off where it may be changed.",
        )
    if keep.exists() and keep.samefile(target):
        raise FusewalkError(
            f"{clean(str(target), 500)} is itself the kept revision, which stays as it is.",
            do="Copy it to a name without .rev, and change the copy.",
        )


def _unwritten(path: Path, error: OSError) -> FusewalkError:
    reason = error.strerror or str(error)
    return FusewalkError(
        f"{clean(str(path.resolve()), 500)} cannot be written: {clean(reason)}.", do="The file is as it was before."
    )


def _write(target: Path, content: bytes, like: Path, last_look: Callable[[], None] | None = None) -> None:
    """Write beside a file, with the mode of another, take a last look at what is to be replaced, and rename."""
    beside = target.with_name(f".{target.name[:60]}.{os.getpid()}.part")
    try:
        with beside.open("xb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        shutil.copymode(like, beside)
        if last_look is not None:
            last_look()
        beside.replace(target)
    except BaseException:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
        raise
    with suppress(OSError):  # the file stands all the same where a folder cannot be opened or synced
        _sync_folder(target.parent)


def _sync_folder(folder: Path) -> None:
    """Sync a folder where the system can: the rename is then on the disk too."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
