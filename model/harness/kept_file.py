"""A harness file put in the place of the one before, which is kept beside it."""

from __future__ import annotations

import os
import re
import shutil
from contextlib import suppress
from pathlib import Path

from model.errors import FusewalkError
from model.words import clean

_REVISION = re.compile(r"\.rev\d+$")


def kept_path(path: Path, revision: int) -> Path:
    """Give where a revision of a harness file is kept: ``buggy.toml`` of revision 3 as ``buggy.rev3.toml``."""
    return path.with_name(f"{_REVISION.sub('', path.stem)}.rev{revision}{path.suffix}")


def replace_keeping(path: Path, content: bytes, kept: Path) -> None:
    """Put a new content in the place of a file: whole or not at all, and never before the old one is kept.

    Parameters
    ----------
    kept
        Where the old content goes; what stands there already must be the same, or it is refused.

    Raises
    ------
    FusewalkError
        Where one of the two cannot be written, or another file stands where the old one is to be kept.

    Notes
    -----
    Both are written under temporary names and synced before they are renamed; then the folder is synced.
    """
    keep = path.resolve().with_name(kept.name)
    try:
        if keep.exists() and keep.read_bytes() != path.resolve().read_bytes():
            raise FusewalkError(
                f"{clean(str(keep), 500)} is there already and holds something else.",
                do="Move it away: the revision before is kept there.",
            )
    except OSError as error:
        raise _unwritten(path, error) from error
    replace_keeping_first(path, content, kept)


def replace_keeping_first(path: Path, content: bytes, kept: Path) -> None:
    """Put a new content in the place of a file: whole or not at all; what was kept before stays kept.

    Parameters
    ----------
    kept
        Where the old content goes where nothing stands there yet.

    Raises
    ------
    FusewalkError
        Where one of the two cannot be written.
    """
    target = path.resolve()
    keep = target.with_name(kept.name)
    try:
        if not keep.exists():
            _write(keep, target.read_bytes(), target)
        _write(target, content, target)
        _sync_folder(target.parent)
    except OSError as error:
        raise _unwritten(path, error) from error


def _unwritten(path: Path, error: OSError) -> FusewalkError:
    reason = error.strerror or str(error)
    return FusewalkError(
        f"{clean(str(path.resolve()), 500)} cannot be written: {clean(reason)}.", do="The file is as it was before."
    )


def _write(target: Path, content: bytes, like: Path) -> None:
    """Write beside a file, with the mode of another, and rename."""
    beside = target.with_name(f".{target.name[:200]}.{os.getpid()}.part")
    try:
        with beside.open("xb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        shutil.copymode(like, beside)
        beside.replace(target)
    except BaseException:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
        raise


def _sync_folder(folder: Path) -> None:
    """Sync a folder where the system can: the rename is then on the disk too."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
