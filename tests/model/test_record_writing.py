"""The record when the disk is full, fails, or may not be written: nothing half, nothing lost."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from model.errors import RecordError
from model.record import Record, read_record, record_path
from tests.model.record_rows import WHEN, volts_entry

Write = Callable[[int, bytes], int]
REAL_WRITE, REAL_FSYNC, REAL_TRUNCATE = os.write, os.fsync, os.ftruncate


@pytest.fixture(name="harness")
def _harness(tmp_path: Path) -> Path:
    return tmp_path / "boat.toml"


def _full(descriptor: int, content: bytes) -> int:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def _half_then_full() -> Write:
    """Give a write that takes half of the first piece, and nothing after."""
    calls: list[int] = []

    def write(descriptor: int, content: bytes) -> int:
        calls.append(len(content))
        return REAL_WRITE(descriptor, content[: len(content) // 2]) if len(calls) == 1 else _full(descriptor, content)

    return write


def _a_few_bytes(descriptor: int, content: bytes) -> int:
    return REAL_WRITE(descriptor, content[:7])


def _nothing(descriptor: int, content: bytes) -> int:
    return 0


@pytest.mark.parametrize("make", [lambda: _full, _half_then_full, lambda: _nothing], ids=["full", "half", "nothing"])
def test_a_full_disk_leaves_no_half_entry(
    harness: Path, monkeypatch: pytest.MonkeyPatch, make: Callable[[], Write]
) -> None:
    """A write that fails, half through or at once, leaves the file as it was; the entry waits and is written later."""
    with Record.open(harness, WHEN) as record:
        record.append(volts_entry(1.0))
        before = record.path.read_bytes()
        with monkeypatch.context() as patch:
            patch.setattr(os, "write", make())
            with pytest.raises(RecordError, match="cannot be written"):
                record.append(volts_entry(2.0))
            assert record.path.read_bytes() == before
        assert [entry.number for entry in record.waiting] == [2]
        assert len(record.entries) == 2
        assert record.problem is not None
        record.append(volts_entry(3.0))
        assert record.waiting == ()
        assert record.problem is None
    assert [entry.number for entry in read_record(harness).entries] == [1, 2, 3]
    assert read_record(harness).entries == record.entries


def test_a_full_disk_from_the_first_entry_on(harness: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that could be made but not filled gets its head with the first entry that can be written."""
    with Record.open(harness, WHEN) as record:
        with monkeypatch.context() as patch:
            patch.setattr(os, "write", _half_then_full())
            with pytest.raises(RecordError):
                record.append(volts_entry(1.0))
        assert record.path.read_bytes() == b""
        record.retry()
    assert record.path.read_bytes().count(b"format = 1") == 1
    assert read_record(harness).trouble == ()
    assert len(read_record(harness).entries) == 1


def test_short_writes_are_gone_on_with(harness: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A system that takes seven bytes at a time still gets the whole entry."""
    with Record.open(harness, WHEN) as record:
        monkeypatch.setattr(os, "write", _a_few_bytes)
        record.append(volts_entry(1.0))
        record.append(volts_entry(2.0))
    assert read_record(harness).entries == record.entries
    assert read_record(harness).trouble == ()


def test_an_entry_that_is_not_on_the_disk_is_not_taken_as_written(
    harness: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the disk does not confirm an entry it is cut off again and waits."""

    def fails(descriptor: int) -> None:
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    with Record.open(harness, WHEN) as record:
        record.append(volts_entry(1.0))
        before = record.path.read_bytes()
        with monkeypatch.context() as patch:
            patch.setattr(os, "fsync", fails)
            with pytest.raises(RecordError, match="kept in memory"):
                record.append(volts_entry(2.0))
        assert record.path.read_bytes() == before
        record.retry()
    assert len(read_record(harness).entries) == 2


def test_half_an_entry_that_cannot_be_cut_off_is_told(harness: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the file cannot be cut back either, the half is told on reading and the entry stands whole behind it."""

    def fails(descriptor: int, size: int) -> None:
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    with Record.open(harness, WHEN) as record:
        record.append(volts_entry(1.0))
        with monkeypatch.context() as patch:
            patch.setattr(os, "write", _half_then_full())
            patch.setattr(os, "ftruncate", fails)
            with pytest.raises(RecordError):
                record.append(volts_entry(2.0))
        record.retry()
    contents = read_record(harness)
    assert contents.entries == record.entries
    assert len(contents.trouble) == 1


def test_what_another_wrote_behind_is_not_cut_off(harness: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Cutting back stops short of taking away what somebody else has added meanwhile."""
    record = Record.open(harness, WHEN)
    record.append(volts_entry(1.0))

    def write(descriptor: int, content: bytes) -> int:
        with record.path.open("ab") as file:
            file.write(b"# a note by hand\n")
        return _full(descriptor, content)

    with monkeypatch.context() as patch:
        patch.setattr(os, "write", write)
        with pytest.raises(RecordError):
            record.append(volts_entry(2.0))
    assert record.path.read_bytes().endswith(b"# a note by hand\n")
    record.close()
    assert len(read_record(harness).entries) == 2


def test_closing_tells_what_could_not_be_written(harness: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Closing tries once more, tells when that fails, and lets the lock go all the same."""
    monkeypatch.setattr(os, "fsync", lambda descriptor: _full(descriptor, b""))
    record = Record.open(harness, WHEN)
    with pytest.raises(RecordError):
        record.append(volts_entry(1.0))
    with pytest.raises(RecordError):
        record.close()
    assert Record.open(harness, WHEN).held_by is None


def test_an_error_of_the_caller_is_not_hidden(harness: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What went wrong in the block of a record is told, though the record cannot be written either."""
    monkeypatch.setattr(os, "fsync", lambda descriptor: _full(descriptor, b""))
    with pytest.raises(ZeroDivisionError):
        _append_and_go_wrong(harness)


def _append_and_go_wrong(harness: Path) -> None:
    with Record.open(harness, WHEN) as record:
        with pytest.raises(RecordError):
            record.append(volts_entry(1.0))
        raise ZeroDivisionError


def _fails_where_forbidden(folder: Path) -> bool:
    """Tell whether this user can be kept from writing."""
    try:
        (folder / "probe").touch()
    except PermissionError:
        return True
    (folder / "probe").unlink()
    return False


def test_a_folder_that_may_not_be_written(harness: Path) -> None:
    """The record of a folder that may not be written is read; entries wait, and are written when they may be."""
    with Record.open(harness, WHEN) as record:
        record.append(volts_entry(1.0))
    harness.parent.chmod(0o555)
    try:
        if not _fails_where_forbidden(harness.parent):
            pytest.skip("this user may write everywhere")
        record = Record.open(harness, WHEN)
        assert len(record.entries) == 1
        with pytest.raises(RecordError, match="cannot be locked"):
            record.append(volts_entry(2.0))
    finally:
        harness.parent.chmod(0o755)
    record.append(volts_entry(3.0))
    record.close()
    assert len(read_record(harness).entries) == 3


def test_a_lock_that_the_system_does_not_have(harness: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where nothing can be locked the record is read, and entries wait in memory."""
    fcntl = pytest.importorskip("fcntl")
    with Record.open(harness, WHEN) as record:
        record.append(volts_entry(1.0))

    def fails(descriptor: int, operation: int) -> None:
        raise OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))

    with monkeypatch.context() as patch:
        patch.setattr(fcntl, "flock", fails)
        record = Record.open(harness, WHEN)
        assert len(record.entries) == 1
        with pytest.raises(RecordError, match="cannot be locked"):
            record.append(volts_entry(2.0))
    assert len(record.entries) == 2
    assert len(read_record(harness).entries) == 1
    record.close()
    assert len(read_record(harness).entries) == 2


def test_a_record_that_may_not_be_read(harness: Path) -> None:
    """A record that may not be read is told of, and not added to unseen."""
    with Record.open(harness, WHEN) as record:
        record.append(volts_entry(1.0))
    record_path(harness).chmod(0)
    if os.access(record_path(harness), os.R_OK):
        pytest.skip("this user may read everything")
    with pytest.raises(RecordError, match="cannot be read"):
        read_record(harness)
    assert Record.open(harness, WHEN).problem is not None
