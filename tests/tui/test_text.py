"""The only road from text to a widget."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from textual.content import Content

from model.words import clean, colour_words
from tests.tui.on_screen import NASTY
from tui.text import SHADES, assembled, cell, fit, fit_end, lines, padded, plain, swatch, width

ANY_TEXT = st.sampled_from(NASTY) | st.text(alphabet=st.characters(exclude_categories=()))


@given(ANY_TEXT)
def test_a_label_comes_through_whole(text: str) -> None:
    """What the file says is what is shown, cleaned, with no bracket read as markup."""
    assert plain(text).plain == clean(text)
    assert cell(text).plain == clean(text)
    assert assembled(text, (text, "bold")).plain == clean(text, 4096) * 2
    assert not plain(text).spans
    assert not cell(text).spans


@given(ANY_TEXT)
def test_a_style_covers_its_text_and_no_more(text: str) -> None:
    """A label cannot end or widen the style it is drawn in."""
    content = assembled("a", (text, "bold"), "z")
    shown = clean(text, 4096)
    spans = [(span.start, span.end, span.style) for span in content.spans if span.end > span.start]
    assert spans == ([(1, 1 + len(shown), "bold")] if shown else [])


@given(ANY_TEXT, st.integers(min_value=-2, max_value=30))
def test_a_cut_never_takes_more_cells(text: str, cells: int) -> None:
    """Cut or filled, the width holds, also with characters two cells wide."""
    assert cell_len(fit(text, cells)) <= max(cells, 0)
    assert cell_len(fit_end(text, cells)) <= max(cells, 0)
    if cells >= 0:
        assert cell_len(padded(text, cells)) == cells
        assert cell_len(padded(text, cells, right=True)) == cells


def test_cuts_are_seen() -> None:
    """A cut is marked, and a path keeps its end."""
    assert fit("left sill, kick plate out", 10) == "left sill…"
    assert fit("前照灯左", 6) == "前照…"
    assert fit("horn", 4) == "horn"
    assert fit_end("/home/a/builds/buggy.toml", 11) == "…buggy.toml"
    assert padded("12.36", 8, right=True) == "   12.36"
    assert width("前x") == 3


def test_lines_stand_below_each_other() -> None:
    """Contents are joined by line ends, styles kept."""
    joined = lines([plain("[a]"), assembled(("b", "bold"))])
    assert joined.plain == "[a]\nb"
    assert [(span.start, span.end) for span in joined.spans] == [(4, 5)]


@pytest.mark.parametrize("code", SHADES)
def test_a_painted_colour_has_its_code_beside_it(code: str) -> None:
    """Every colour of the standard is painted and spelled, never painted alone."""
    content = swatch(f"{code}/WH", told=True)
    assert content.plain == f"    {code}/WH {colour_words(f'{code}/WH')}"
    assert [str(span.style) for span in content.spans] == [
        f"on {SHADES[code]}",
        f"on {SHADES['WH']}",
        f"on {SHADES[code]}",
    ]


@pytest.mark.parametrize(
    ("code", "shown"), [("", "colour unknown"), ("[red]", "[red]"), ("teal", "teal"), ("gn", "    gn")]
)
def test_a_colour_that_is_none_is_only_spelled(code: str, shown: str) -> None:
    """Without a code of the standard nothing is painted."""
    content = swatch(code)
    assert isinstance(content, Content)
    assert content.plain == shown
    assert bool(content.spans) == shown.startswith(" ")
