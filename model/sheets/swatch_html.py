"""Wire colours on paper: a small drawing of the insulation before each code, which prints where grounds do not."""

from __future__ import annotations

from html import escape

from model.sheets.wire_paint import bands_of, colours_in
from model.words import clean, colour_words

_LONGEST = 4000
_BAND, _HIGH = 6, 8


def swatch_html(colour: str) -> str:
    """Give the drawing of a wire's colour, framed so that white is seen on paper; nothing of one that is not painted.

    Its name goes with it for who hears the page read; the code stands behind it in the text.
    """
    bands = bands_of(colour)
    if not bands:
        return ""
    width = _BAND * len(bands)
    paint = "".join(
        f'<rect x="{place * _BAND}" width="{_BAND}" height="{_HIGH}" fill="{shade}"/>'
        for place, shade in enumerate(bands)
    )
    frame = f'<rect x=".5" y=".5" width="{width - 1}" height="{_HIGH - 1}" fill="none" stroke="#000"/>'
    name = escape(colour_words(colour), quote=True)
    return f'<svg width="{width}" height="{_HIGH}" role="img" aria-label="{name}">{paint}{frame}</svg>'


def painted_html(words: str, *, alone: bool = False, named: bool = False) -> str:
    """Give text from a file so that HTML shows it as it stands, the drawing of a wire before each of its colours.

    Parameters
    ----------
    alone
        Whether a colour counts that no size stands behind, as in a column of colours.
    named
        Put the colours in words behind it, in small print.
    """
    shown = clean(words, _LONGEST)
    parts: list[str] = []
    done = 0
    colours = list(colours_in(shown, alone=alone))
    for place, colour in colours:
        parts += [escape(shown[done:place], quote=True), swatch_html(colour), "&nbsp;"]
        done = place
    parts.append(escape(shown[done:], quote=True))
    if named and colours:
        names = ", ".join(colour_words(colour) for _, colour in colours)
        parts.append(f"<br><span class=\"small\">{escape(names, quote=True)}</span>")
    return "".join(parts)
