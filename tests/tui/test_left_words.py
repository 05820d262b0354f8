"""What is said of entries that could not be written."""

from datetime import UTC, datetime
from pathlib import Path

from model.record_entries import Undone
from tui.left_words import left_words

ENTRY = Undone(when=datetime(2026, 5, 4, 9, 30, tzinfo=UTC), trace="t", number=3, revision=1, undone=2)


def test_the_lines_stand_there_to_be_put_into_the_record() -> None:
    """Under the name of the record each entry is whole; where nothing is left nothing is said."""
    words = left_words(Path("looms/buggy.toml"), [ENTRY])
    assert words.startswith("Not written into buggy.record.toml; put these lines at its end:\n\n[[entry]]\n")
    assert 'kind = "undone"' in words
    assert left_words(Path("looms/buggy.toml"), []) == ""


def test_no_name_of_a_file_is_obeyed_by_a_terminal() -> None:
    """They are printed as they are, after the screens have gone."""
    words = left_words(Path("a\x1b[2J\x07.toml"), [ENTRY])
    assert words.isascii()
    assert words.replace("\n", "").isprintable()
