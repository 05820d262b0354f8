"""The lock on a record: one program writes, and everybody can see which.

The lock is the operating system's and goes with the program that holds it, however that ends. What stands in the
lock file says only who holds it: left behind, it holds nobody up.
"""

from __future__ import annotations

import errno
import os
import sys
import tomllib
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import tomli_w

from model.words import clean

_TRIES = 20
_LARGEST_BYTES = 4096
_LOCKED_BYTE = 1 << 30
"""Where another system locks bytes and not files: far behind what is to be read."""


@dataclass(frozen=True, slots=True)
class Holder:
    """Who writes a record.

    Attributes
    ----------
    pid
        Number of the process; 0 where it is not told.
    host
        Name of the computer.
    since
        When it was opened; None where it is not told.
    """

    pid: int = 0
    host: str = ""
    since: datetime | None = None

    def words(self) -> str:
        """Name the holder in words."""
        process = f"process {self.pid}" if self.pid else "another program"
        host = f" on {self.host}" if self.host else ""
        since = f", since {self.since:%Y-%m-%d %H:%M}" if self.since else ""
        return f"{process}{host}{since}"


class RecordLock:
    """A lock that is held until it is released, or until the program ends."""

    def __init__(self, path: Path, descriptor: int) -> None:
        self._path = path
        self._descriptor = descriptor

    def release(self) -> None:
        """Give the lock up and take its file away; releasing twice does nothing."""
        if self._descriptor < 0:
            return
        descriptor, self._descriptor = self._descriptor, -1
        with suppress(OSError):  # another program may have it open where such a file cannot be taken away
            self._path.unlink()
        os.close(descriptor)


def take_lock(path: Path, holder: Holder) -> RecordLock | Holder:
    """Take the lock, or give who holds it.

    Raises
    ------
    OSError
        Where the lock file cannot be made, or the file system has no locks.
    """
    for _ in range(_TRIES):
        descriptor = os.open(path, _flags(), 0o666)
        try:
            if not _locked(descriptor):
                found = _read_holder(descriptor)
                os.close(descriptor)
                return found
            if _is_still(path, descriptor):
                _write_holder(descriptor, holder)
                return RecordLock(path, descriptor)
        except BaseException:
            os.close(descriptor)
            raise
        os.close(descriptor)
    raise OSError(errno.EAGAIN, os.strerror(errno.EAGAIN))


def _flags() -> int:
    wanted = ("O_CLOEXEC", "O_NOFOLLOW", "O_NONBLOCK", "O_BINARY", "O_NOINHERIT")
    return os.O_RDWR | os.O_CREAT | sum(getattr(os, name, 0) for name in wanted)


def _locked(descriptor: int) -> bool:
    """Try to lock; False where another holds it."""
    try:
        if sys.platform == "win32":
            import msvcrt

            os.lseek(descriptor, _LOCKED_BYTE, os.SEEK_SET)
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        if error.errno in (errno.EAGAIN, errno.EACCES, errno.EWOULDBLOCK, errno.EDEADLK):
            return False
        raise
    return True


def _is_still(path: Path, descriptor: int) -> bool:
    """Tell whether the file locked is the one that stands there: its last holder may have taken it away."""
    try:
        there = path.stat()
    except FileNotFoundError:
        return False
    return os.path.samestat(there, os.fstat(descriptor))


def _write_holder(descriptor: int, holder: Holder) -> None:
    """Say who holds the lock; it is held all the same where that cannot be written."""
    row: dict[str, object] = {"pid": holder.pid, "host": holder.host}
    if holder.since is not None:
        row["since"] = holder.since.isoformat(timespec="seconds")
    with suppress(OSError):
        os.lseek(descriptor, 0, os.SEEK_SET)
        os.ftruncate(descriptor, 0)
        os.write(descriptor, tomli_w.dumps(row).encode())


def _read_holder(descriptor: int) -> Holder:
    """Read who holds the lock, as far as that is told."""
    try:
        os.lseek(descriptor, 0, os.SEEK_SET)
        row = tomllib.loads(os.read(descriptor, _LARGEST_BYTES).decode())
        since = datetime.fromisoformat(str(row["since"])) if "since" in row else None
        return Holder(int(row.get("pid", 0)), clean(str(row.get("host", "")), 60), since)
    except (OSError, ValueError, TypeError, RecursionError, OverflowError):
        return Holder()
