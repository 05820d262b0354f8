"""The record when its file was damaged, or edited by hand."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.record import Record, read_record, record_path
from model.record_text import HEAD, block_text, read_contents
from tests.model.record_rows import WHEN, every_kind, volts_entry

BLOCKS = [block_text(entry).encode() for entry in every_kind()]
WHOLE = HEAD.encode() + b"".join(BLOCKS)
ENDS = [len(HEAD.encode()) + sum(map(len, BLOCKS[: count + 1])) for count in range(len(BLOCKS))]


def _before(place: int) -> int:
    """Count the entries that end before a byte, their empty line aside."""
    return sum(end - 1 <= place for end in ENDS)


@given(st.integers(0, len(WHOLE)))
def test_a_file_cut_off_anywhere(place: int) -> None:
    """All entries before the cut are read, nothing half is, and what is cut off is told."""
    contents = read_contents(WHOLE[:place])
    assert contents.entries == every_kind()[: len(contents.entries)]
    assert len(contents.entries) >= _before(place)
    assert len(contents.entries) <= _before(place + 2)
    in_block = place > len(HEAD) + len("[[entry]]") and place + 2 not in ENDS and place + 1 not in ENDS
    if in_block and place not in ENDS and place - len("[[entry]]") - 1 not in ENDS:
        assert contents.trouble


@given(st.integers(0, len(WHOLE)), st.integers(0, 400), st.binary(max_size=60))
def test_a_file_damaged_anywhere(place: int, gone: int, put: bytes) -> None:
    """Bytes lost and bytes put in their place never make reading fail; every entry before and well behind is read."""
    contents = read_contents(WHOLE[:place] + put + WHOLE[place + gone :])
    before = _before(place)
    assert contents.entries[:before] == every_kind()[:before]
    behind = sum(end - len(block) > place + gone for end, block in zip(ENDS, BLOCKS, strict=True))
    kept = every_kind()[len(BLOCKS) - behind :]
    if put.endswith(b"\n") and behind:
        assert contents.entries[-behind:] == kept


@given(st.binary(max_size=300), st.binary(max_size=300))
def test_any_bytes_can_be_read(first: bytes, second: bytes) -> None:
    """No bytes make reading fail."""
    read_contents(first + b"\n[[entry]]\n" + second)
    read_contents(first)


@given(st.text(max_size=200))
def test_any_keys_can_be_read(text: str) -> None:
    """No keys of an entry make reading fail, and what cannot be read is told."""
    content = f'[[entry]]\nwhen = 2026-05-04T18:03:11+02:00\n{text}\nkind = "stopped"\n'.encode(errors="replace")
    contents = read_contents(content)
    assert contents.entries or contents.trouble


@settings(deadline=None)
@given(st.integers(0, len(WHOLE)), st.binary(max_size=60))
def test_the_next_entry_survives_all_before_it(
    tmp_path_factory: pytest.TempPathFactory, place: int, put: bytes
) -> None:
    """After any damage at the end an entry is added that is read, as is all before the damage."""
    harness = tmp_path_factory.mktemp("damage") / "camper.toml"
    record_path(harness).write_bytes(WHOLE[:place] + put)
    if read_contents(WHOLE[:place] + put).format > 1:
        return
    with Record.open(harness, WHEN) as record:
        record.append(volts_entry(7.0))
    entries = read_record(harness).entries
    assert entries[-1] == record.entries[-1]
    assert entries[: _before(place)] == every_kind()[: _before(place)]


def test_a_file_edited_by_hand(tmp_path: Path) -> None:
    """Line ends of another system, a mark at the start, comments, other order and unknown keys are read."""
    text = HEAD + "".join(block_text(entry) for entry in every_kind())
    text = text.replace("[[entry]]", "  [[ entry ]]  # by hand\n# a comment\n\nmood = 'good'").rstrip("\n")
    text += "\n[[entry]]\nkind = 'stopped'\nwhen = 2026-05-04 18:03:11Z # no empty line before"
    content = b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode()
    contents = read_contents(content)
    assert contents.trouble == ()
    assert contents.entries[:-1] == every_kind()
    harness = tmp_path / "hand.toml"
    record_path(harness).write_bytes(content)
    with Record.open(harness, WHEN) as record:
        record.append(volts_entry())
    assert read_record(harness).trouble == ()
    assert len(read_record(harness).entries) == len(every_kind()) + 2
    assert record_path(harness).read_bytes().startswith(content + b"\n[[entry]]\n")


@pytest.mark.parametrize(
    ("block", "told"),
    [
        ("when = 2026-05-04T18:03:11+02:00\nvolts = 1", "cut off"),
        ("kind = 'stopped'", "when is missing"),
        ("kind = 'stopped'\nwhen = 2026-05-04T18:03:11", "when is missing"),
        ("kind = 'dream\x1b'\nwhen = 2026-05-04T18:03:11Z", "cut off or damaged"),
        ('kind = "dream\\u001b[31m"\nwhen = 2026-05-04T18:03:11Z', "a kind that is not known, dream[31m"),
        ("kind = ['reading']\nwhen = 2026-05-04T18:03:11Z", "a kind that is not known"),
        ("kind = 'reading'\nwhen = 2026-05-04T18:03:11Z\ncheck = 'volts'\nvolts = '12'", "volts is missing"),
        ("kind = 'reading'\nwhen = 2026-05-04T18:03:11Z\ncheck = 'volts'", "no value, or more than one"),
        ("kind = 'reading'\nwhen = 2026-05-04T18:03:11Z\ncheck = 'volts'\nvolts = 1.0\namps = 2.0", "more than one"),
        (f"a = {'[' * 5000}", "cut off or damaged"),
        (f"a = {'9' * 5000}", "cut off or damaged"),
        (f"{'a.' * 100_000}a = 1", "cut off or damaged"),
        ("[other]\nkind = 'stopped'", "cut off or damaged"),
    ],
)
def test_what_is_wrong_with_an_entry_is_told_with_its_lines(block: str, told: str) -> None:
    """An entry that cannot be read is left out and told, and the others are read."""
    good = block_text(volts_entry())
    contents = read_contents(f"{HEAD}[[entry]]\n{block}\n\n{good}".encode())
    assert contents.entries == (volts_entry(),)
    (trouble,) = contents.trouble
    assert told in str(trouble)
    assert (trouble.line, trouble.last_line) == (5, 6 + block.count("\n"))
    assert str(trouble).startswith(f"lines 5 to {6 + block.count(chr(10))}: ")


def test_a_head_that_is_damaged_is_told() -> None:
    """A record without its format is read all the same; lines that belong to nothing are told."""
    contents = read_contents(b"form\n" + BLOCKS[0])
    assert contents.entries == every_kind()[:1]
    assert len(contents.trouble) == 2


@pytest.mark.parametrize("left", [bytes(512), b"\x0c\n", b"\r\r\n", b"\x0b", b"[[ent", b"\xff\n\n"])
def test_what_stands_behind_the_last_entry_costs_only_itself(left: bytes) -> None:
    """Empty sectors such as a power cut leaves, and other leavings, do not take the whole entry before with them."""
    for content in (WHOLE + left, WHOLE[:-1] + left):
        contents = read_contents(content)
        assert contents.entries == every_kind()
        assert len(contents.trouble) == 1
        assert contents.trouble[0].line <= contents.trouble[0].last_line
