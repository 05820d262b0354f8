"""The note that is kept of a fault of our own."""

import stat
from pathlib import Path

import pytest

from tui.crash import crash_note, keep_note


def failed(reading: str) -> Exception:
    """Return an error raised where a reading was at hand."""
    try:
        raise ValueError("no such row")
    except ValueError as error:
        assert reading
        return error


def test_a_note_says_where_but_not_what() -> None:
    """Traceback, versions, size and last actions are there; the values of variables are not."""
    note = crash_note(failed("secret reading"), ["walk", "turn_key"], (80, 24))
    assert "ValueError: no such row" in note
    assert "in failed" in note
    assert "80 columns, 24 rows" in note
    assert "Last actions: walk, turn_key" in note
    assert "secret reading" not in note


def test_a_note_holds_nothing_that_a_terminal_obeys() -> None:
    """What a message has of a file is written out: looked at with cat the note clears no screen."""
    note = crash_note(ValueError("no row \x1b[2J \x9b1m\r\nnor this"), ["walk\x07"], (80, 24))
    assert "ValueError: no row \\x1b[2J \\x9b1m\\x0d\nnor this" in note
    assert "Last actions: walk\\x07" in note


def test_a_note_is_its_owners_alone(tmp_path: Path) -> None:
    """It lies in the state directory with mode 0600, and a second one beside it."""
    told = [keep_note(failed("x"), [], (80, 24)) for _ in range(2)]
    files = [Path(sentence.removeprefix("A note is in ")) for sentence in told]
    assert len(set(files)) == 2
    for file in files:
        assert file.parent == tmp_path / "state" / "fusewalk"
        assert stat.S_IMODE(file.stat().st_mode) == 0o600


def test_a_note_that_cannot_be_kept_is_told(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Where nothing can be written the sentence says so."""
    (tmp_path / "blocked").touch()
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "blocked"))
    assert keep_note(failed("x"), [], (80, 24)).startswith("No note of it could be written: ")
