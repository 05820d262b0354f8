"""The last gate before the terminal."""

import unicodedata

from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.segment import Segment
from rich.style import Style
from textual.color import Color

from tests.tui.on_screen import NASTY
from tui.filters import AsciiOnly, Disarm, Unpainted, disarmed, in_ascii

ANY_TEXT = st.sampled_from(NASTY) | st.text(alphabet=st.characters(exclude_categories=()))
GROUND = Color(0, 0, 0)


@given(ANY_TEXT)
def test_nothing_is_left_that_a_terminal_obeys(text: str) -> None:
    """Control characters and direction marks go, lone surrogates become U+FFFD, the width stays."""
    shown = disarmed(text)
    assert not [c for c in shown if unicodedata.category(c) in {"Cc", "Cs", "Zl", "Zp"}]
    assert "\u202e" not in shown
    assert cell_len(shown) == cell_len(text.replace("\ud800", "\ufffd"))


@given(ANY_TEXT)
def test_ascii_takes_as_many_cells(text: str) -> None:
    """Every character has a twin of its width."""
    shown = in_ascii(disarmed(text))
    assert shown.isascii()
    assert len(shown) == sum(cell_len(c) for c in disarmed(text))


def test_filters_keep_styles_and_drop_controls() -> None:
    """The style of a segment stays; a control segment becomes plain text."""
    bold = Style(bold=True)
    assert Disarm().apply([Segment("a\x1bb", bold)], GROUND) == [Segment("ab", bold)]
    assert AsciiOnly().apply([Segment("●──Ω", bold)], GROUND) == [Segment("*--R", bold)]


def test_without_colours_a_swatch_is_left_out() -> None:
    """Its code stands in its place, the gap behind grows, columns stay; a sentence has the room at its end."""
    red, bar = Style.parse("#D12A2A on #D12A2A"), Style.parse("bold reverse")
    swatch = [Segment("▕", bar), *[Segment("▓", red)] * 3, Segment("▏", bar)]
    row = [Segment("│ ", bar), *swatch, Segment("RD 25", bar), Segment("  W5  1.3 m", bar)]
    assert Unpainted().apply(row, GROUND) == [
        Segment("│ ", bar),
        Segment("RD 25", bar),
        Segment("       W5  1.3 m", bar),
    ]
    sentence = [Segment("pin 30, ▕", bar), *swatch[1:4], Segment("▏RD 25.", bar)]
    shown = Unpainted().apply(sentence, GROUND)
    assert "".join(text for text, _, _ in shown) == "pin 30, RD 25.     "
    assert all(style == bar for _, style, _ in shown)
    marked = [Segment("› cab.1   W15  ▕", bar), *swatch[1:4], Segment("▏RD 1   S1", bar)]
    assert "".join(text for text, _, _ in Unpainted().apply(marked, GROUND)) == "› cab.1   W15  RD 1        S1"
    plain = [Segment("  ", red), Segment("W5", bar)]
    assert Unpainted().apply(plain, GROUND) == plain
