"""Text in columns, by the cells that a terminal takes for it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from model.sheets.columns import cell_width, padded, wrapped
from model.words import clean


@pytest.mark.parametrize(
    ("text", "cells"),
    [
        ("", 0),
        ("F1.out", 6),
        ("前照灯", 6),
        ("Rücklicht", 9),
        ("e\u0301", 1),
        ("Ω ± ≥ ─ │ ·", 11),
        ("ｆ", 2),
        ("カメラ", 6),
    ],
)
def test_wide_characters_take_two_cells(text: str, cells: int) -> None:
    """Chinese, kana and fullwidth letters two, a combining accent none, all else one."""
    assert cell_width(text) == cells


# Unicode 16 made these wide: which width one gets depends on the age of Python's table
WIDENED_SPANS = ((0x2630, 0x2637), (0x268A, 0x268F), (0x4DC0, 0x4DFF))
WIDENED = "".join(chr(code) for first, last in WIDENED_SPANS for code in range(first, last + 1))


@given(
    st.text(
        st.characters(
            min_codepoint=0x20,
            max_codepoint=0x9FFF,
            exclude_categories=("Cn", "Cc", "Cs", "Mc", "Lm"),
            exclude_characters=WIDENED,
        )
    )
)
def test_the_cells_are_those_that_the_screen_counts(text: str) -> None:
    """The same as the screen's own table gives, for cleaned text of one character at a time."""
    shown = clean(text)
    for character in shown:
        if cell_len(character) and cell_width(character):
            assert cell_width(character) in (cell_len(character), cell_len(f"x{character}") - 1), hex(ord(character))


def test_filling_up_counts_cells() -> None:
    """Three wide characters leave two of eight cells."""
    assert padded("前照灯", 8) == "前照灯  "
    assert padded("前照灯", 8, right=True) == "  前照灯"
    assert padded("F13.out", 3) == "F13.out"


def test_lines_break_at_spaces_with_what_stands_before_them() -> None:
    """The first line begins otherwise than the rest, and both count."""
    assert wrapped("one two three four", first="> ", rest="  ", cells=9) == ["> one two", "  three", "  four"]
    assert wrapped("", first="> ") == []


def test_a_word_longer_than_a_line_is_broken() -> None:
    """Anywhere, by cells."""
    assert wrapped("abcdefgh", rest="-", cells=4) == ["abc", "-def", "-gh"]
    assert wrapped("前照灯前照灯", cells=4) == ["前照", "灯前", "照灯"]


@given(st.text(), st.integers(6, 80))
def test_no_line_is_longer_than_it_may_be_and_nothing_is_lost(text: str, cells: int) -> None:
    """Whatever the text: each line fits, and all but the spaces comes back."""
    shown = clean(text)
    lines = wrapped(shown, first="  ", rest="    ", cells=cells)
    assert all(cell_width(line) <= cells for line in lines)
    assert "".join("".join(lines).split()) == "".join(shown.split())
