"""A record that something else changes while it is open: what was answered stands in it again."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from model.errors import RecordError
from model.record import Record, read_record, record_path
from model.record_entries import Reading

WHEN = datetime(2026, 5, 4, 18, 3, 11, tzinfo=UTC)


def reading(volts: float, trace: str = "") -> Reading:
    """Make an entry."""
    return Reading(when=WHEN, trace=trace, check="volts", red="F1.out", black="G1.-", volts=volts)


def volts_in(harness: Path) -> list[object]:
    """Return the volts that stand in a record."""
    return [entry.volts for entry in read_record(harness).entries if isinstance(entry, Reading)]


@pytest.fixture(name="harness")
def _harness(tmp_path: Path) -> Path:
    """Give a folder with a record of one reading."""
    folder = tmp_path / "loom"
    folder.mkdir()
    path = folder / "rig.toml"
    with Record.open(path, WHEN) as record:
        record.append(reading(1.0))
    return path


def test_a_record_taken_away_is_written_again_with_the_next_entry(harness: Path) -> None:
    """What was read at the start and what was added both stand before the next one; it is told how many."""
    with Record.open(harness, WHEN) as record:
        record.append(reading(2.0))
        record_path(harness).unlink()
        record.append(reading(3.0))
        assert record.put_back == 2
        assert not record.waiting
    assert volts_in(harness) == [1.0, 2.0, 3.0]


def test_a_record_taken_away_is_written_again_at_the_end(harness: Path) -> None:
    """Where nothing is added any more, closing writes it."""
    record = Record.open(harness, WHEN)
    record.append(reading(2.0, "t"))
    record_path(harness).unlink()
    record.close()
    assert volts_in(harness) == [1.0, 2.0]
    assert [entry.number for entry in read_record(harness).entries] == [0, 1]


def test_a_record_that_was_only_read_is_written_again_too(harness: Path) -> None:
    """Nothing was added, and nobody was told that it may go."""
    record = Record.open(harness, WHEN)
    record_path(harness).unlink()
    record.close()
    assert volts_in(harness) == [1.0]


def test_an_older_copy_in_its_place_gets_what_was_added_since(harness: Path) -> None:
    """What another put there stays as it is, and only what was added here and is missing comes behind it."""
    path = record_path(harness)
    with Record.open(harness, WHEN) as record:
        older = path.read_text(encoding="utf-8")
        record.append(reading(2.0))
        record.append(reading(3.0))
        beside = path.with_suffix(".new")
        beside.write_text(older.replace("1.0", "1.5") + "\n# by hand\n", encoding="utf-8")
        beside.replace(path)
        record.append(reading(4.0))
        assert record.put_back == 2
    assert volts_in(harness) == [1.5, 2.0, 3.0, 4.0]
    assert "# by hand" in path.read_text(encoding="utf-8")


def test_a_remark_by_hand_writes_nothing_twice(harness: Path) -> None:
    """A file that has grown by other means keeps its entries once."""
    with Record.open(harness, WHEN) as record:
        record.append(reading(2.0))
        with record_path(harness).open("a", encoding="utf-8") as stream:
            stream.write("# a remark\n")
        record.append(reading(3.0))
        assert record.put_back == 0
    assert volts_in(harness) == [1.0, 2.0, 3.0]


def test_a_folder_taken_away_leaves_what_was_added_waiting(harness: Path) -> None:
    """Nothing can be written: closing says so, and what was added here is given, to be told to the person."""
    record = Record.open(harness, WHEN)
    record.append(reading(2.0))
    harness.parent.rename(harness.parent.with_name("away"))
    with pytest.raises(RecordError, match="cannot be written"):
        record.append(reading(3.0))
    with pytest.raises(RecordError, match="cannot be written"):
        record.close()
    assert [entry.volts for entry in record.waiting if isinstance(entry, Reading)] == [2.0, 3.0]


def test_a_folder_that_comes_back_gets_what_waited(harness: Path) -> None:
    """A disk that was out for a while has everything once, in its order."""
    away = harness.parent.with_name("away")
    record = Record.open(harness, WHEN)
    record.append(reading(2.0))
    harness.parent.rename(away)
    with pytest.raises(RecordError):
        record.append(reading(3.0))
    away.rename(harness.parent)
    record.append(reading(4.0))
    record.close()
    assert volts_in(harness) == [1.0, 2.0, 3.0, 4.0]
