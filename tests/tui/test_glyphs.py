"""The signs of the house and their ASCII twins."""

from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from tui.glyphs import GLYPHS, ascii_cell, ascii_text


def test_every_sign_and_twin_takes_one_cell() -> None:
    """A sign and its twin stand in one cell each, so no column moves."""
    assert all(cell_len(sign) == 1 for sign in GLYPHS)
    assert all(len(twin) == 1 and twin.isascii() and twin.isprintable() for twin in GLYPHS.values())


def test_twins_of_live_and_dead_differ() -> None:
    """What tells two states apart by its sign does so in ASCII."""
    assert len({ascii_cell(sign) for sign in "●○›·"}) == 4


@given(st.characters())
def test_anything_has_one_printable_ascii_twin(character: str) -> None:
    """Whatever stands in a label, one plain character can stand for it."""
    twin = ascii_cell(character)
    assert len(twin) == 1
    assert twin.isascii()
    assert twin.isprintable() or character.isascii()


def test_frames_and_letters_keep_their_shape() -> None:
    """Lines stay lines, accents go."""
    assert [ascii_cell(c) for c in "─━│┃┌┼█ü日"] == ["-", "-", "|", "|", "+", "+", "#", "u", "?"]


def test_a_stream_has_words_for_signs() -> None:
    """Where width does not matter, ohms are spelled."""
    assert ascii_text("4.7 kΩ ±5 ≥ 2 mm² für 20 µs") == "4.7 kohm +/-5 >= 2 mm2 fur 20 us"
