"""The only road from text to a widget."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from textual.content import Content

from model.sheets.wire_paint import SHADES
from model.words import clean, colour_words
from tests.tui.on_screen import NASTY
from tui.text import (
    assembled,
    cell,
    coloured,
    fit,
    fit_end,
    fit_middle,
    is_paint,
    lines,
    padded,
    painted,
    plain,
    signed,
    swatch,
    width,
    wrapped_lines,
)

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
    assert cell_len(fit_middle(text, cells)) <= max(cells, 0)
    if cells >= 0:
        assert cell_len(padded(text, cells)) == cells
        assert cell_len(padded(text, cells, right=True)) == cells


def test_cuts_are_seen() -> None:
    """A cut is marked, and a path keeps its end."""
    assert fit("left sill, kick plate out", 10) == "left sill…"
    assert fit("前照灯左", 6) == "前照…"
    assert fit("horn", 4) == "horn"
    assert fit_end("/home/a/builds/buggy.toml", 11) == "…buggy.toml"
    assert fit_middle("Left tail cluster indicator", 18) == "Left tai…indicator"
    assert fit_middle("Left tail cluster", 18) == "Left tail cluster"
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
    assert content.plain == f"▕▓▓▓▏{code}/WH {colour_words(f'{code}/WH')}"
    base, stripe = (f"{SHADES[one]} on {SHADES[one]}" for one in (code, "WH"))
    assert [str(span.style) for span in content.spans] == ["$rule", base, stripe, base, "$rule"]
    assert [is_paint(str(span.style)) for span in content.spans] == [False, True, True, True, False]


@pytest.mark.parametrize(
    ("code", "shown"), [("", "colour unknown"), ("[red]", "[red]"), ("teal", "teal"), ("gn", "▕▓▓▓▏gn")]
)
def test_a_colour_that_is_none_is_only_spelled(code: str, shown: str) -> None:
    """Without a code of the standard nothing is painted."""
    content = swatch(code)
    assert isinstance(content, Content)
    assert content.plain == shown
    assert bool(content.spans) == shown.startswith("▕")


def test_every_stripe_is_painted() -> None:
    """Two stripes stand beside the base, green and yellow is both, and three stripes are too many for three cells."""

    def cells(colour: str) -> list[str]:
        return [str(span.style)[:7] for span in swatch(colour).spans if is_paint(str(span.style))]

    assert cells("GN/WH/RD") == [SHADES["GN"], SHADES["WH"], SHADES["RD"]]
    assert cells("GNYE") == [SHADES["GN"], SHADES["YE"], SHADES["GN"]]
    assert cells("GN/WH/RD/BK") == []


def test_a_sentence_has_a_swatch_before_each_colour_with_a_size() -> None:
    """Before the code, once each; letters that no size follows, ids and other words are left alone."""
    sentence = "pin 30, RD/BU 2.5, to W27 GN/WH AWG 16; RD alone, X1.GN 4 and BU2 stay"
    shown = painted(sentence, "bold")
    assert shown.plain == "pin 30, ▕▓▓▓▏RD/BU 2.5, to W27 ▕▓▓▓▏GN/WH AWG 16; RD alone, X1.GN 4 and BU2 stay"
    assert sum(is_paint(str(span.style)) for span in shown.spans) == 6
    assert signed(sentence) == shown.plain
    assert width(signed(sentence)) == width(sentence) + 10


def test_cells_without_a_colour_behind_them_stay_without_paint() -> None:
    """A label that looks like a swatch paints nothing, and cut swatches are no error."""
    for text in ("▕▓▓▓▏", "▕▓▓▓▏teal", "▕▓▓▓▏…", "▕▓▓"):
        assert not coloured(text).spans
        assert coloured(text).plain == text


@pytest.mark.parametrize(
    ("words", "cells", "wanted"),
    [
        ("it reads 12.33 V there", 14, ["it reads", "12.33 V there"]),
        ("at most 0.201 Ω, limit", 14, ["at most", "0.201 Ω, limit"]),
        ("with a 30 A fuse", 9, ["with a", "30 A fuse"]),
        ("of 6 mm² wire", 5, ["of", "6 mm²", "wire"]),
        ("in 3 months or more", 6, ["in 3", "months", "or", "more"]),
        ("5 %, 12 Vans, 7 A1", 8, ["5 %, 12", "Vans, 7", "A1"]),
    ],
)
def test_no_line_parts_a_figure_from_its_unit(words: str, cells: int, wanted: list[str]) -> None:
    """What looks like a unit and is the start of a word is none."""
    assert [line.plain.rstrip() for line in wrapped_lines(assembled(words), cells)] == wanted


def test_no_line_parts_a_colour_from_its_size() -> None:
    """The swatch, the code and the size of a wire stay together, painted as before."""
    told = wrapped_lines(painted("wire side, GN/WH 0.75 here"), 22)
    assert [line.plain.rstrip() for line in told] == ["wire side,", "▕▓▓▓▏GN/WH 0.75 here"]
    assert [span.style for span in told[1].spans if is_paint(str(span.style))]


@given(ANY_TEXT, st.integers(4, 40))
def test_wrapping_keeps_every_sign(text: str, cells: int) -> None:
    """Spaces at the ends of lines aside, the lines say what the text says, each within its cells."""
    told = [line.plain for line in wrapped_lines(plain(text), cells)]
    assert "".join("".join(told).split()) == "".join(clean(text).split())
    assert all(cell_len(line.rstrip()) <= max(cells, 2) for line in told)
