"""Amendments put into effect: the new file, the kept one, the record, and the way back."""

import itertools
import tomllib
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from model.amending import Why, amend_file, standing_amendments, undo_file
from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.errors import ArgumentError, FusewalkError, HarnessFileError
from model.harness.amendment_kinds import added, found_different, ground_moved, removed, replaced, spliced
from model.harness.amendment_spare import moved_to_spare
from model.harness.amendments import Amendment
from model.harness.harness import Harness
from model.harness.toml_file import read_harness
from model.record import Record, read_record
from model.record_entries import Amended
from model.sheets.record_sheet import record_sheet
from tests.model.harness.test_amendments import LOOM
from tests.model.harness.two_spellings import Spelling, write

WHEN = datetime(2026, 5, 1, 14, 25, tzinfo=UTC)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Give the file of the trailer, with line ends as another system types them."""
    path = tmp_path / "trailer.toml"
    path.write_bytes(LOOM.replace("\n", "\r\n").encode())
    return path


def volts(harness: Harness, point: str) -> float | None:
    """Give the volts of a point with the key off."""
    return Bench(harness).survey(Condition("off")).settled.volts_at(point)


def test_an_amendment_gives_a_new_revision_and_keeps_the_old_one(path: Path) -> None:
    """The lamp has its volts over the spare, the old wire floats, the old file stands beside, the record tells it."""
    old = path.read_bytes()
    amendment = moved_to_spare(read_harness(path), ["W2", "W3"], ["W6", "W7"])
    done = amend_file(path, amendment, WHEN, Why("broken in the spine", ("E1.+ 12.4 V",), "Kim"))
    new = read_harness(path)
    assert (done.unwritten, new.build.revision, new.build.date) == (None, 4, "2026-05-01")
    assert (path.parent / "trailer.rev3.toml").read_bytes() == old
    # the spare is thicker, so the lamp has a little more than it had over the old wire
    assert volts(new, "E1.+") == pytest.approx(volts(done.before, "E1.+"), abs=0.02)
    assert volts(new, "W2.a") is None
    assert volts(new, "X1.box.1") is None
    (entry,) = read_record(path).entries
    assert isinstance(entry, Amended)
    assert entry == done.entry
    assert entry.ends == ("W2.a at box, off its terminal: cap it", "W3.b at tail, off its terminal: cap it")
    row = record_sheet(new, read_record(path)).sections[0].rows[0]
    assert row.verdict == "moved to a spare"
    assert "broken in the spine." in row.why
    assert "trailer.rev3.toml" in row.why


def test_an_end_left_on_is_live_and_the_record_says_so(path: Path) -> None:
    """The stub in the box has the fuse's volts."""
    amendment = moved_to_spare(read_harness(path), ["W2", "W3"], ["W6", "W7"], left_on=["W2.a"])
    done = amend_file(path, amendment, WHEN, Why())
    assert volts(done.after, "X1.box.1") == pytest.approx(volts(done.after, "F1.out"), abs=0.01)
    assert done.entry.ends[0] == "W2 still on F1.out at box: live where that is live"


def test_undoing_brings_back_the_same_bytes_and_loses_nothing(path: Path) -> None:
    """Twice there and back: the file is what it was, both undone files are kept, the record tells all four."""
    old = path.read_bytes()
    for colour in ("GN", "YE"):
        amend_file(path, found_different(read_harness(path), "W3", {"colour": colour}), WHEN, Why())
        amended = path.read_bytes()
        undo_file(path, WHEN, Why("was right after all"))
        assert path.read_bytes() == old
        assert amended in [one.read_bytes() for one in path.parent.glob("*undone*")]
    assert len(read_record(path).entries) == 4
    assert standing_amendments(read_record(path).entries) == ()
    with pytest.raises(ArgumentError, match="no amendment"):
        undo_file(path, WHEN, Why())


def each_kind(loom: Harness) -> Iterator[Amendment]:
    """Give amendments of every kind."""
    yield moved_to_spare(loom, ["W2", "W3"], ["W6", "W7"])
    yield moved_to_spare(loom, ["W2"], ["W6"], left_on=["W2.a"])
    yield spliced(loom, "W2", "J9")
    yield spliced(loom, "W3", "J9", from_end_m=0.2)
    yield replaced(loom, "E1", {"watts": 10, "note": 'a "b" \n c', "label": None})
    yield found_different(loom, "W3", {"colour": "GN"})
    yield ground_moved(loom, "GND2", "nose")
    yield ground_moved(loom, "W4", "GND1")
    yield added(loom, "wires", {"id": "W20", "from": "J1", "to": "E1.-"})
    yield added(loom, "switches", {"id": "S1", "positions": {"off": [], "on": [["1", "2"]]}})
    for part in ("E1", "X1", "GND2", "J1", "W3", "F1", "N1", "W7"):
        yield removed(loom, part)


@pytest.mark.slow
@pytest.mark.parametrize("spelling", list(Spelling))
@pytest.mark.parametrize("line_break", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_every_kind_is_taken_back_byte_for_byte(path: Path, spelling: Spelling, line_break: str, mark: str) -> None:
    """In both spellings, with remarks, both line ends, with a byte order mark and without; the new file keeps them."""
    noise = itertools.cycle(["", "# a remark\n", "\n", "  # [wires] = { \n\n"])
    text, _ = write(tomllib.loads(LOOM), spelling, lambda: next(noise))
    old = (mark + text.replace("\n", line_break)).encode()
    path.write_bytes(old)
    for amendment in each_kind(read_harness(path)):
        amend_file(path, amendment, WHEN, Why())
        new = path.read_bytes().decode()
        assert new.startswith(mark)
        assert line_break == "\n" or "\n" not in new.replace("\r\n", "")
        assert new.count("# a remark") == text.count("# a remark") or "taken out" in amendment.sentence
        undo_file(path, WHEN, Why())
        assert path.read_bytes() == old


def test_amendments_are_taken_back_one_after_another(path: Path) -> None:
    """The last first, then the one before it."""
    old = path.read_bytes()
    amend_file(path, found_different(read_harness(path), "W3", {"colour": "GN"}), WHEN, Why())
    between = path.read_bytes()
    amend_file(path, removed(read_harness(path), "E1"), WHEN, Why())
    undo_file(path, WHEN, Why())
    assert path.read_bytes() == between
    undo_file(path, WHEN, Why())
    assert path.read_bytes() == old


def test_what_would_not_read_changes_nothing(path: Path) -> None:
    """A size below zero, a point that there is none of: refused with the line, nothing written."""
    old = path.read_bytes()
    for values in ({"size": -1}, {"to": "E7.+"}):
        with pytest.raises(HarnessFileError, match="as it would be"):
            amend_file(path, found_different(read_harness(path), "W3", values), WHEN, Why())
    assert [one.name for one in path.parent.iterdir()] == ["trailer.toml"]
    assert path.read_bytes() == old


def test_a_file_changed_by_hand_since_is_not_undone(path: Path) -> None:
    """Its revision tells; so does a kept file that is gone."""
    amend_file(path, found_different(read_harness(path), "W3", {"colour": "GN"}), WHEN, Why())
    amended = path.read_bytes()
    path.write_bytes(amended.replace(b"revision = 4", b"revision = 5"))
    with pytest.raises(ArgumentError, match="the file is revision 5"):
        undo_file(path, WHEN, Why())
    path.write_bytes(amended)
    (path.parent / "trailer.rev3.toml").unlink()
    with pytest.raises(FusewalkError, match="cannot be read"):
        undo_file(path, WHEN, Why())
    assert path.read_bytes() == amended


def test_a_word_added_since_is_not_lost_by_an_undoing(path: Path) -> None:
    """A file of the same revision that was changed since, and a kept one that was, are both left as they are."""
    amend_file(path, found_different(read_harness(path), "W3", {"colour": "GN"}), WHEN, Why())
    amended, kept = path.read_bytes(), path.parent / "trailer.rev3.toml"
    path.write_bytes(amended + b"# mine\n")
    with pytest.raises(ArgumentError, match="was changed since"):
        undo_file(path, WHEN, Why())
    path.write_bytes(amended)
    old = kept.read_bytes()
    kept.write_bytes(old + b"# mine\n")
    with pytest.raises(FusewalkError, match="was changed since it was kept"):
        undo_file(path, WHEN, Why())
    assert path.read_bytes() == amended
    kept.write_bytes(old)
    undo_file(path, WHEN, Why())
    assert path.read_bytes() == old


@pytest.mark.parametrize("kept", ["", "../trailer.toml", "/etc/hostname", "a\\u0000b"])
def test_a_record_that_names_no_file_beside_it_is_told(path: Path, kept: str) -> None:
    """What the record names as kept is looked for beside the file and nowhere else."""
    amend_file(path, found_different(read_harness(path), "W3", {"colour": "GN"}), WHEN, Why())
    amended, record = path.read_bytes(), path.parent / "trailer.record.toml"
    text = record.read_text(encoding="utf-8")
    record.write_text(text.replace('"trailer.rev3.toml"', f'"{kept}"'), encoding="utf-8")
    with pytest.raises(FusewalkError, match="cannot be read"):
        undo_file(path, WHEN, Why())
    assert path.read_bytes() == amended


def test_signs_that_no_file_can_hold_are_refused(path: Path) -> None:
    """A byte of a broken terminal comes as half a character: nothing is written."""
    old = path.read_bytes()
    with pytest.raises(FusewalkError, match="no file can hold"):
        amend_file(path, found_different(read_harness(path), "W3", {"note": "a\udcff"}), WHEN, Why())
    assert path.read_bytes() == old


def test_a_record_that_another_program_holds_is_told_and_the_file_is_changed(path: Path) -> None:
    """The loom was changed whoever writes the record: the entry is given back to be added by hand."""
    with Record.open(path, WHEN) as other:
        other.append(Amended(when=WHEN, change="replaced", before=1, revision=2))
        done = amend_file(path, found_different(read_harness(path), "W3", {"colour": "GN"}), WHEN, Why())
    assert done.unwritten is not None
    assert read_harness(path).build.revision == 4


def test_comments_and_line_ends_of_the_file_stay(path: Path) -> None:
    """All that differs are the rows asked for, the revision and the date."""
    old = path.read_bytes().decode().splitlines(keepends=True)
    amend_file(path, found_different(read_harness(path), "W2", {"colour": "GN"}), WHEN, Why())
    new = path.read_bytes().decode().splitlines(keepends=True)
    differ = [place for place, (one, other) in enumerate(zip(old, new, strict=True)) if one != other]
    assert [new[place] for place in differ] == [
        'build = { name = "Trailer", nominal_volts = 12, revision = 4, date = "2026-05-01" }\r\n',
        '  { id = "W2", from = "F1.out", to = "X1.box.1", colour = "GN", size = 1, via = ["spine"] }, # feed\r\n',
    ]
