"""A file of a person read as bytes, with words for whatever stands in the way."""

from __future__ import annotations

import os
import stat
from pathlib import Path

from model.errors import FusewalkError
from model.harness.near_file import no_such_file
from model.words import clean

_TRIES = 3
"""How often a file is read that changes meanwhile."""


def file_bytes(path: Path, most_bytes: int, *, in_it: str, check: str) -> bytes:
    """Read a file; of a larger one than asked for one byte more than that, so that it can be told.

    Parameters
    ----------
    in_it
        What to give in place of a directory, as a sentence.
    check
        What to look at where the file cannot be read, as a sentence.

    Raises
    ------
    FusewalkError
        Where it cannot be read, is no plain file, or changes each time while it is read.
    """
    place = clean(str(path), 500)
    try:
        descriptor = os.open(path, _flags())
        with os.fdopen(descriptor, "rb", buffering=0) as stream:
            _refuse_other_than_files(os.fstat(descriptor).st_mode, place, in_it)
            for _ in range(_TRIES):
                before = os.fstat(descriptor)
                stream.seek(0)
                content = _read(descriptor, most_bytes + 1)
                after = os.fstat(descriptor)
                if (before.st_size, before.st_mtime_ns) == (after.st_size, after.st_mtime_ns):
                    return content
    except FileNotFoundError:
        raise no_such_file(path) from None
    except IsADirectoryError:
        raise FusewalkError("this is a directory.", place, in_it) from None
    except (OSError, ValueError) as error:
        reason = clean(getattr(error, "strerror", None) or str(error))
        raise FusewalkError(f"the file cannot be read: {reason}.", place, check) from None
    raise FusewalkError("the file changes while it is read.", place, "Let what writes it end, then try again.")


def _flags() -> int:
    """Open without waiting for somebody who writes into a pipe."""
    wanted = ("O_CLOEXEC", "O_NONBLOCK", "O_BINARY", "O_NOCTTY")
    return os.O_RDONLY | sum(getattr(os, name, 0) for name in wanted)


def _refuse_other_than_files(mode: int, place: str, in_it: str) -> None:
    if stat.S_ISDIR(mode):
        raise FusewalkError("this is a directory.", place, in_it)
    if not stat.S_ISREG(mode):
        what = "a pipe" if stat.S_ISFIFO(mode) else "a device"
        raise FusewalkError(f"this is {what} and no file.", place, "Write what comes out of it to a file.")


def _read(descriptor: int, most_bytes: int) -> bytes:
    """Read so many bytes, or all up to the end."""
    pieces: list[bytes] = []
    left = most_bytes
    while left:
        piece = os.read(descriptor, min(left, 1 << 20))
        if not piece:
            break
        pieces.append(piece)
        left -= len(piece)
    return b"".join(pieces)
