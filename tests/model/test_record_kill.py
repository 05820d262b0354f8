"""The record when the program that writes it is killed, or another has it open."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from model.errors import RecordError
from model.record import Record, read_record, record_path
from tests.model.record_child import WHEN as CHILD_WHEN
from tests.model.record_rows import WHEN, volts_entry

ROOT = Path(__file__).parents[2]
pytestmark = pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no such kill here")


@pytest.fixture(name="harness")
def _harness(tmp_path: Path) -> Path:
    return tmp_path / "tractor.toml"


def _started(harness: Path, stop_at: int = 0) -> subprocess.Popen[str]:
    child = subprocess.Popen(
        [sys.executable, "-m", "tests.model.record_child", str(harness), str(stop_at)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
    )
    assert child.stdout is not None
    assert child.stdout.readline() == "open\n"
    return child


def _killed(child: subprocess.Popen[str]) -> list[str]:
    """Kill a child that was started here; give what it told and the test has not read."""
    child.kill()
    assert child.stdout is not None
    # communicate() alone would leave out the lines that were read ahead
    told = child.stdout.read()
    child.communicate()
    assert child.returncode == -signal.SIGKILL
    return [line for line in told.split("\n")[:-1] if line]


def test_every_entry_that_was_told_as_added_is_there_after_a_kill(harness: Path) -> None:
    """Killed at a random moment, six times over: all that was acknowledged is there, and the next program adds on."""
    chance = random.Random(20260504)
    acknowledged: dict[str, int] = {}
    for _ in range(6):
        child = _started(harness)
        assert child.stdout is not None
        last = 0
        for _ in range(chance.randrange(1, 60)):
            last = int(child.stdout.readline())
        rest = _killed(child)
        acknowledged[f"by {child.pid}"] = int(rest[-1]) if rest else last
        contents = read_record(harness)
        for trace, count in acknowledged.items():
            numbers = [entry.number for entry in contents.entries if entry.trace == trace]
            assert numbers[:count] == list(range(1, count + 1))
            assert len(numbers) <= count + 1
    with Record.open(harness, WHEN) as record:
        assert record.held_by is None
        record.append(volts_entry())
    assert read_record(harness).entries[-1] == record.entries[-1]


@pytest.mark.parametrize("stop_at", [1, 2, 5])
def test_a_write_cut_off_by_a_kill_is_told(harness: Path, stop_at: int) -> None:
    """Half an entry on the disk is told with its lines and swallows neither its neighbours nor the next entry."""
    child = _started(harness, stop_at)
    assert child.stdout is not None
    told = [child.stdout.readline().strip() for _ in range(stop_at)]
    assert told[-1] == "half"
    _killed(child)
    whole = stop_at - 1
    contents = read_record(harness)
    assert [entry.number for entry in contents.entries] == list(range(1, whole + 1))
    assert bool(contents.trouble) == (whole > 0 or b"[[entry]]" in record_path(harness).read_bytes())
    with Record.open(harness, WHEN) as record:
        record.append(volts_entry(1.0))
        record.append(volts_entry(2.0))
    after = read_record(harness)
    assert after.entries == record.entries
    assert len(after.entries) == whole + 2
    assert after.trouble[: len(contents.trouble)] == contents.trouble


def test_a_second_program_reads_and_is_told_who_writes(harness: Path) -> None:
    """While one program has the record another reads it, is told process, computer and since when, and waits."""
    child = _started(harness, 4)
    assert child.stdout is not None
    told = [child.stdout.readline().strip() for _ in range(4)]
    assert told == ["1", "2", "3", "half"]
    record = Record.open(harness, WHEN)
    assert record.held_by is not None
    assert (record.held_by.pid, record.held_by.since) == (child.pid, CHILD_WHEN)
    assert record.held_by.host
    assert len(record.entries) == 3
    before = record.path.read_bytes()
    with pytest.raises(RecordError, match=f"process {child.pid} on .*, since 2026-05-04 18:03"):
        record.append(volts_entry(1.0))
    assert record.path.read_bytes() == before
    assert len(record.entries) == 4
    _killed(child)
    record.append(volts_entry(2.0))
    assert record.held_by is None
    assert record.waiting == ()
    assert record.trouble
    record.close()
    assert read_record(harness).entries == record.entries
    assert len(record.entries) == 5


def test_what_the_first_program_added_meanwhile_is_read(harness: Path) -> None:
    """When the lock comes free, what was added under it stands before what waited."""
    first = Record.open(harness, WHEN)
    second = Record.open(harness, WHEN)
    with pytest.raises(RecordError):
        second.append(volts_entry(2.0, trace="b"))
    first.append(volts_entry(1.0, trace="a"))
    first.close()
    second.retry()
    second.close()
    assert [entry.trace for entry in second.entries] == ["a", "b"]
    assert read_record(harness).entries == second.entries


@pytest.mark.parametrize("left", [b"", b"pid = ", b"\xff\x00", b'pid = "x"', b"pid = 99999999\nhost = 'gone'\n"])
def test_a_lock_file_left_behind_holds_nobody_up(harness: Path, left: bytes) -> None:
    """Whatever stands in a lock file that nobody has locked, the record is opened to be written."""
    lock = harness.with_name(".tractor.record.lock")
    lock.write_bytes(left)
    with Record.open(harness, WHEN) as record:
        assert record.held_by is None
        record.append(volts_entry())
        lock.write_bytes(left)
        other = Record.open(harness, WHEN)
        assert other.held_by is not None
        assert "process" in other.held_by.words() or "another program" in other.held_by.words()
    assert not lock.exists()


def test_a_lock_file_is_no_way_to_another_file(harness: Path) -> None:
    """A link in the place of the lock file is not followed: what it leads to is not emptied."""
    precious = harness.with_name("precious")
    precious.write_text("kept", encoding="utf-8")
    harness.with_name(".tractor.record.lock").symlink_to(precious)
    assert os.name != "posix" or Record.open(harness, WHEN).problem is not None
    assert precious.read_text(encoding="utf-8") == "kept"
