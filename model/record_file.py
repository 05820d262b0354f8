"""The file of a record: bytes added at its end so that they are there after a crash, or not at all."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

_START_BYTES = 65536


def read_bytes(path: Path, most_bytes: int) -> bytes:
    """Read the whole file, of a larger one than asked for one byte more than that; nothing where there is none.

    Raises
    ------
    OSError
        Where it cannot be read or is no plain file.
    """
    try:
        descriptor = os.open(path, os.O_RDONLY | _plain_flags())
    except FileNotFoundError:
        return b""
    try:
        if not stat.S_ISREG(os.fstat(descriptor).st_mode):
            raise OSError("it is not a plain file")
        with open(descriptor, "rb", closefd=False) as stream:
            return stream.read(most_bytes + 1)
    finally:
        os.close(descriptor)


def add_block(path: Path, block: bytes, head: bytes, lacks_head: Callable[[bytes], bool]) -> None:
    """Add a block at the end of a file, on a fresh line, in one write, and see it onto the disk.

    Where that fails, the file is cut back to what it was.

    Parameters
    ----------
    head
        What goes before the first block of a file.
    lacks_head
        Tells of the start of the file whether the head is to be written.

    Raises
    ------
    OSError
        Where the block could not be written whole.
    """
    is_new = not path.exists()
    descriptor = os.open(path, _flags(), 0o666)
    try:
        status = os.fstat(descriptor)
        if not stat.S_ISREG(status.st_mode):
            raise OSError("it is not a plain file")
        lead = b"" if _ends_a_line(descriptor, status.st_size) else b"\n"
        if lacks_head(_start(descriptor)):
            lead += head
        _write_or_cut_back(descriptor, lead + block, status.st_size)
    finally:
        os.close(descriptor)
    if is_new:
        _keep_name(path.parent)


def _flags() -> int:
    return os.O_RDWR | os.O_APPEND | os.O_CREAT | _plain_flags()


def _plain_flags() -> int:
    """Open bytes as they are, and wait for nobody where a pipe stands in the place of a file."""
    return sum(getattr(os, name, 0) for name in ("O_CLOEXEC", "O_NONBLOCK", "O_BINARY", "O_NOINHERIT"))


def _start(descriptor: int) -> bytes:
    os.lseek(descriptor, 0, os.SEEK_SET)
    return os.read(descriptor, _START_BYTES)


def _ends_a_line(descriptor: int, size_bytes: int) -> bool:
    if not size_bytes:
        return True
    os.lseek(descriptor, size_bytes - 1, os.SEEK_SET)
    return os.read(descriptor, 1) == b"\n"


def _write_or_cut_back(descriptor: int, content: bytes, size_before: int) -> None:
    written = 0
    try:
        while written < len(content):
            count = os.write(descriptor, content[written:])
            if count <= 0:
                raise OSError("nothing more could be written")
            written += count
        os.fsync(descriptor)
    except BaseException:
        with suppress(OSError):
            if os.fstat(descriptor).st_size == size_before + written:  # else somebody else has written behind it
                os.ftruncate(descriptor, size_before)
                os.fsync(descriptor)
        raise


def _keep_name(folder: Path) -> None:
    """See the name of a new file onto the disk, where a system has that."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
