"""A record with more in it than anybody measures is refused, and damage of any length is told in one line."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from model import record
from model.errors import RecordError
from model.record import Record, read_record, record_path
from model.record_text import HEAD, block_text, read_contents
from tests.fuzz.big_files import ENTRY
from tests.model.record_rows import volts_entry

NOW = datetime(2026, 5, 4, 18, 3, tzinfo=UTC)


def test_a_record_beyond_all_bounds_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One of a byte too many is not read; what is answered is kept in memory and nothing is written behind it."""
    harness = tmp_path / "cart.toml"
    content = (HEAD + ENTRY).encode()
    record_path(harness).write_bytes(content)
    monkeypatch.setattr(record, "LARGEST_BYTES", len(content))
    assert len(read_record(harness).entries) == 1
    monkeypatch.setattr(record, "LARGEST_BYTES", len(content) - 1)
    with pytest.raises(RecordError, match="larger than 0 MB"):
        read_record(harness)
    opened = Record.open(harness, NOW)
    with pytest.raises(RecordError):
        opened.append(volts_entry())
    assert len(opened.waiting) == 1
    assert record_path(harness).read_bytes() == content


@pytest.mark.parametrize(
    "damage",
    [
        "x\n" * 500,
        "x\n\n" * 500,
        "[[entry]]\n" * 500,
        "[[entry]]\n" + "x\n" * 500,
        f"[[entry]]\na = {'9' * 5000}\n",
        f"[[entry]]\na = 0x{'f' * 5000}\n",
        f"[[entry]]\n{'a.' * 50}a = 1\n",
        f"[[entry]]\n{chr(34)}a{chr(34)}{'.a' * 50} = 1\n",
        f"[[entry]]\nnote = '{'a' * 100_000}'\nkind = 'dream'\n",
        f"[[entry]]\na = {'[' * 5000}\n",
    ],
)
@pytest.mark.parametrize("is_first", [True, False])
def test_damage_of_any_length_is_told_in_one_line(damage: str, is_first: bool) -> None:
    """What follows each other with the same thing wrong is one piece, before the first entry and behind the last."""
    good = block_text(volts_entry())
    text = f"{HEAD}{damage}\n{good}" if is_first else f"{HEAD}{good}{damage}"
    contents = read_contents(text.encode())
    assert contents.entries == (volts_entry(),)
    assert len(contents.trouble) == 1
    assert contents.trouble[0].last_line <= text.count("\n") + 1


def test_digits_in_a_note_are_read_again() -> None:
    """A note of thousands of digits or dotted words that was kept is read as it was."""
    entry = volts_entry().model_copy(update={"note": "9" * 5000 + " " + ".".join(["a"] * 100)})
    assert read_contents((HEAD + block_text(entry)).encode()).entries == (entry,)
