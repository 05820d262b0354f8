"""The record as a program uses it: opened, added to, read back."""

from __future__ import annotations

import os
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from pydantic import ValidationError

from model.errors import RecordError
from model.record import Record, read_record, record_path
from model.record_entries import Mended, Reading
from tests.model.record_rows import TRACE, WHEN, every_kind, volts_entry

HOSTILE = (
    'S1 [on] "quoted" \\ back\nslash\r\n[[entry]]\nkind = "reading"\t\x1b[31mred\x7f\x85',
    "\u202eturned\u2028 \x00 #no comment",
    "Ω µ ü 配線 e\u0301 🔧",
    "half a pair \ud800 here",
    "'''",
    '"""',
)


@pytest.fixture(name="harness")
def _harness(tmp_path: Path) -> Path:
    return tmp_path / "buggy.toml"


def test_every_kind_of_entry_comes_back_as_it_went(harness: Path) -> None:
    """What is read from the file equals what was added, whatever its kind."""
    with Record.open(harness, WHEN) as record:
        added = tuple(record.append(entry) for entry in every_kind())
        assert record.entries == added
    contents = read_record(harness)
    assert contents.entries == added
    assert contents.trouble == ()
    assert [type(entry) for entry in contents.entries] == [type(entry) for entry in every_kind()]


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_stays_text(harness: Path, text: str) -> None:
    """Text that looks like TOML or colours a terminal comes back; the file holds nothing that a terminal obeys."""
    entry = Mended(when=WHEN, trace=TRACE, cured=True, repair=text, who=text, part=text)
    with Record.open(harness, WHEN) as record:
        record.append(entry)
        record.append(volts_entry())
    contents = read_record(harness)
    assert not contents.trouble
    assert isinstance(contents.entries[0], Mended)
    assert contents.entries[0].repair == text.replace("\ud800", "\ufffd")
    assert len(contents.entries) == 2
    written = record_path(harness).read_bytes().decode()
    assert all(character.isprintable() or character == "\n" for character in written)


def test_entries_of_a_trace_are_numbered(harness: Path) -> None:
    """Each trace counts its own entries, and goes on counting when the record is opened again."""
    with Record.open(harness, WHEN) as record:
        numbers = [record.append(volts_entry(trace=trace)).number for trace in ("a", "b", "a", "", "b", "a")]
    with Record.open(harness, WHEN) as record:
        numbers += [record.append(volts_entry(trace=trace)).number for trace in ("b", "", "a")]
    assert numbers == [1, 1, 2, 0, 2, 3, 3, 0, 4]


def test_the_file_is_made_with_the_first_entry(harness: Path) -> None:
    """Opening a record makes no file of it, and nothing stays behind when nothing was added."""
    with Record.open(harness, WHEN) as record:
        assert not record.path.exists()
    assert list(harness.parent.iterdir()) == []


def test_what_is_written_stays_written(harness: Path) -> None:
    """Each addition leaves every byte before it as it was, and the head stands once."""
    before = b""
    for volts in (1.0, 2.0, 3.0):
        with Record.open(harness, WHEN) as record:
            record.append(volts_entry(volts))
        after = record_path(harness).read_bytes()
        assert after.startswith(before)
        assert after.count(b"format = 1") == 1
        before = after


def test_time_is_kept_to_the_second() -> None:
    """Parts of a second go, an offset with seconds becomes UTC, and a time without an offset is refused."""
    odd = timezone(timedelta(minutes=19, seconds=32))
    late = Mended(when=datetime(2026, 5, 4, 12, 0, 0, 999, tzinfo=odd), cured=True)
    assert late.when == datetime(2026, 5, 4, 11, 40, 28, tzinfo=UTC)
    assert late.when.tzinfo is UTC
    with pytest.raises(ValidationError):
        Mended(when=datetime(2026, 5, 4), cured=True)


@pytest.mark.parametrize("values", [{}, {"volts": 1.0, "word": "lit"}, {"volts": float("nan")}, {"ohms": float("nan")}])
def test_an_answer_has_one_value(values: dict[str, float | str]) -> None:
    """An answer without a value, with two, or with what is no number cannot be made."""
    with pytest.raises(ValidationError):
        Reading.model_validate({"when": WHEN, "check": "volts", **values})


def test_one_record_however_the_harness_is_reached(tmp_path: Path) -> None:
    """A link to the harness leads to the record beside the file itself; a link in the record's place is followed."""
    (tmp_path / "looms").mkdir()
    (tmp_path / "elsewhere").mkdir()
    harness, link = tmp_path / "looms" / "boat.toml", tmp_path / "boat link.toml"
    harness.touch()
    link.symlink_to(harness)
    (tmp_path / "looms" / "boat.record.toml").symlink_to(tmp_path / "elsewhere" / "kept.record.toml")
    with Record.open(link, WHEN) as record:
        record.append(volts_entry())
        assert Record.open(harness, WHEN).held_by is not None
    assert (tmp_path / "elsewhere" / "kept.record.toml").is_file()
    assert len(read_record(harness).entries) == 1


@pytest.mark.parametrize(
    ("name", "kept"), [("a.toml", "a.record.toml"), ("a.b.toml", "a.b.record.toml"), ("a.b", "a.b.record.toml")]
)
def test_the_name_of_the_record(tmp_path: Path, name: str, kept: str) -> None:
    """The record is named after the harness file."""
    assert record_path(tmp_path / name).name == kept


def test_links_in_a_circle_are_told(tmp_path: Path) -> None:
    """A harness name that leads round in a circle gives a problem, and entries wait in memory."""
    (tmp_path / "a.toml").symlink_to(tmp_path / "b.toml")
    (tmp_path / "b.toml").symlink_to(tmp_path / "a.toml")
    record = Record.open(tmp_path / "a.toml", WHEN)
    assert isinstance(record.problem, RecordError)
    with pytest.raises(RecordError):
        record.append(volts_entry())
    assert len(record.entries) == len(record.waiting) == 1


@pytest.mark.parametrize("make", [lambda path: path.mkdir(), os.mkfifo], ids=["folder", "pipe"])
def test_what_is_no_plain_file_is_refused(harness: Path, make: object) -> None:
    """A folder or a pipe in the record's place is told of; the program does not wait for it, nor end."""
    assert callable(make)
    make(record_path(harness))
    with pytest.raises(RecordError, match="plain file"):
        read_record(harness)
    record = Record.open(harness, WHEN)
    assert "plain file" in str(record.problem)
    with pytest.raises(RecordError):
        record.append(volts_entry())
    assert not list(harness.parent.glob(".*.lock"))


def test_a_later_format_is_left_alone(harness: Path) -> None:
    """A record of a later format is neither read nor added to."""
    record_path(harness).write_text("format = 2\n\n[[entry]]\nkind = 'dream'\n", encoding="utf-8")
    record = Record.open(harness, WHEN)
    with pytest.raises(RecordError, match="format 2"):
        record.append(volts_entry())
    assert record_path(harness).read_text(encoding="utf-8").endswith("'dream'\n")


def test_a_closed_record_takes_nothing(harness: Path) -> None:
    """After closing, which may be done twice, nothing is added and the lock is free."""
    record = Record.open(harness, WHEN)
    record.close()
    record.close()
    with pytest.raises(RecordError, match="closed"):
        record.append(volts_entry())
    assert Record.open(harness, WHEN).held_by is None


@pytest.mark.slow
def test_many_entries_are_read_and_added_to(harness: Path) -> None:
    """Ten thousand entries are read, and another is added behind them."""
    with Record.open(harness, WHEN) as record:
        record.append(volts_entry())
        block = record_path(harness).read_bytes().partition(b"[[entry]]")
        record_path(harness).write_bytes(block[0] + (block[1] + block[2]) * 10_000)
        assert len(read_record(harness).entries) == 10_000
        record.append(volts_entry())
    assert len(read_record(harness).entries) == 10_001
