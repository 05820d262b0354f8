"""Wire colours on paper: a small drawing of the insulation before each code, which prints where grounds do not."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from itertools import groupby

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
    frame = f'<rect x=".5" y=".5" width="{width - 1}" height="{_HIGH - 1}" fill="none" stroke="#000"/>'
    paint = drawn_bands(bands, (0, 0), (_BAND, _HIGH))
    return f'<svg width="{width}" height="{_HIGH}" role="img" aria-label="{colour_name(colour)}">{paint}{frame}</svg>'


def drawn_bands(bands: Sequence[str], corner: tuple[float, float], size: tuple[float, float]) -> str:
    """Draw the bands of a colour beside each other; those of one shade in one piece, or their seams would show.

    Parameters
    ----------
    corner
        The upper left one, in the units of the drawing.
    size
        Of one band.
    """
    (x, y), (wide, high) = corner, size
    drawn = ""
    for shade, alike in groupby(bands):
        width = wide * len(list(alike))
        drawn += f'<rect x="{x:g}" y="{y:g}" width="{width:g}" height="{high:g}" fill="{shade}"/>'
        x += width
    return drawn


def colour_name(colour: str) -> str:
    """Give a colour in words for an attribute of HTML."""
    return escape(colour_words(colour), quote=True)


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
        parts.append(f'<br><span class="small">{escape(names, quote=True)}</span>')
    return "".join(parts)
