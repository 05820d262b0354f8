"""The only road from text to a widget: everything is cleaned, nothing is read as markup."""

import re

from rich.cells import cell_len
from rich.text import Text
from textual.content import Content

from model.sheets.wire_paint import bands_of, colours_in
from model.words import clean, colour_words

Part = str | tuple[str, str] | Content
"""A text, a text with the style it is drawn in, or content that has already been made here."""

CUT = "…"
_MIDDLE_LEAST = 6

FRAME_LEFT, PAINT, FRAME_RIGHT = "▕", "▓", "▏"
"""What a swatch is made of; the filter for screens without such colours knows it by them."""

_SWATCH = f"{FRAME_LEFT}{PAINT * 3}{FRAME_RIGHT}"
_SWATCH_OF = re.compile(rf"{_SWATCH}([A-Za-z/]*)")
_HELD = "\ue000"
"""Stands for a space at which no line may end: it is one cell wide, and no space for what wraps lines."""

_HELD_TOGETHER = re.compile(
    rf"(?<=\d) (?=(?:[mkM]?(?:V|A|Ω|W)|Ah|mm²|mm|m|%|°C|s|min|h)(?!\w))|(?<={FRAME_RIGHT}\w\w) (?=\d)"
    rf"|(?<={FRAME_RIGHT}\w\w/\w\w) (?=\d)"
)
_SHADED = re.compile(r"#[0-9A-F]{6} on #[0-9A-F]{6}")


def plain(text: str) -> Content:
    """Return a text as content: one line, cleaned, brackets and all."""
    return Content(clean(text))


def assembled(*parts: Part) -> Content:
    """Return parts joined to one content, each cleaned.

    Parameters
    ----------
    *parts : str, (str, str) or Content
        A text, or a text and its style (``bold``, ``reverse``, ``$quiet``); a style is ours, never a word of a file.
    """
    return Content.assemble(*(_disarmed(part) for part in parts))


def wrapped_lines(content: Content, cells: int) -> list[Content]:
    """Return content in lines of at most so many cells; none parts a figure from its unit, or a colour from its size.

    What is longer than a line by itself is broken all the same.
    """
    if _HELD in content.plain:
        return list(content.wrap(cells))
    held = Content(_HELD_TOGETHER.sub(_HELD, content.plain), spans=[*content.spans])
    return [Content(line.plain.replace(_HELD, " "), spans=[*line.spans]) for line in held.wrap(cells)]


def lines(contents: list[Content]) -> Content:
    """Return contents one below the other."""
    return Content("\n").join(contents)


def cell(text: str, style: str = "", right: bool = False) -> Text:
    """Return a text for a cell of a table or a label of a tree, cleaned; numbers stand on the right."""
    return Text(clean(text), style=style, justify="right" if right else "left", no_wrap=True, overflow="ellipsis")


def width(text: str) -> int:
    """Return how many cells a text takes."""
    return cell_len(clean(text))


def fit(text: str, cells: int) -> str:
    """Return a cleaned text of at most so many cells; the cut is marked with one sign.

    A character two cells wide is never halved.
    """
    shown = clean(text)
    if cell_len(shown) <= cells:
        return shown
    if cells <= 0:
        return ""
    kept: list[str] = []
    left = cells - 1
    for character in shown:
        left -= cell_len(character)
        if left < 0:
            break
        kept.append(character)
    return "".join(kept).rstrip() + CUT


def fit_end(text: str, cells: int) -> str:
    """Return a cleaned text of at most so many cells that keeps its end, as a path wants it."""
    shown = clean(text, limit=4096)
    if cell_len(shown) <= cells:
        return shown
    if cells <= 0:
        return ""
    while cell_len(shown) > cells - 1:
        shown = shown[1:]
    return CUT + shown


def fit_middle(text: str, cells: int) -> str:
    """Return a cleaned text of at most so many cells that keeps both ends: names of one lamp differ at the end."""
    shown = clean(text)
    if cell_len(shown) <= cells or cells < _MIDDLE_LEAST:
        return fit(shown, cells)
    end = fit_end(shown, cells // 2 + 1)
    return fit(shown, cells - cell_len(end) + 1).removesuffix(CUT) + end


def padded(text: str, cells: int, right: bool = False) -> str:
    """Return a cleaned text of exactly so many cells, cut or filled with spaces; numbers stand on the right."""
    shown = fit(text, cells)
    gap = " " * (cells - cell_len(shown))
    return gap + shown if right else shown + gap


def swatch(colour: str, told: bool = False) -> Content:
    """Return a wire's colour painted, its code always beside it.

    Three cells are painted, base, stripe, base, in a frame that shows black on a dark ground and white on a light one;
    a code that is no colour of IEC 60757 is not painted.

    Parameters
    ----------
    colour : str
        The code, ``GN/WH``; empty where the colour is not known.
    told : bool
        Put the colour in words behind the code.
    """
    code = clean(colour)
    if not code:
        return Content(colour_words(""))
    sign = _SWATCH if bands_of(code) else ""
    return coloured(f"{sign}{code}{f' {colour_words(code)}' if told else ''}")


def swatch_alone(colour: str) -> Content:
    """Return a wire's colour painted without its code, for the cavity of a plug whose wires are told beside it."""
    return Content.assemble(*_paint(bands_of(colour)))


def signed(text: str, *, alone: bool = False) -> str:
    """Return a cleaned text with the cells of a swatch before each colour that a size stands behind: ``W26 RD/BU 2.5``.

    They are still to be coloured, by :func:`coloured`: until then the text can be wrapped and filled up like any other.

    Parameters
    ----------
    alone
        Whether a colour counts that no size stands behind, as the answer to a question for a colour.
    """
    shown = clean(text, limit=4096)
    for place, _ in reversed(list(colours_in(shown, alone=alone))):
        shown = f"{shown[:place]}{_SWATCH}{shown[place:]}"
    return shown


def coloured(text: str, style: str = "") -> Content:
    """Return a text with the cells of its swatches in the colours that stand behind them."""
    shown = clean(text, limit=4096)
    parts: list[Part] = []
    done = 0
    for match in _SWATCH_OF.finditer(shown):
        bands = bands_of(match[1])
        if bands:
            parts += [(shown[done : match.start()], style), *_paint(bands)]
            done = match.start(1)
    return Content.assemble(*parts, (shown[done:], style))


def painted(text: str, style: str = "") -> Content:
    """Return a text with a swatch before each colour that a size stands behind."""
    return coloured(signed(text), style)


def is_paint(style: str) -> bool:
    """Tell whether a style is that of a painted cell, which stays as it is in a marked row too."""
    return _SHADED.fullmatch(style) is not None


def _paint(bands: tuple[str, ...]) -> list[tuple[str, str]]:
    """Return the framed cells of a colour."""
    # sign and ground have one shade, so that a cell is filled whatever sign stands in it
    cells = [(PAINT, f"{shade} on {shade}") for shade in bands]
    return [(FRAME_LEFT, "$rule"), *cells, (FRAME_RIGHT, "$rule")]


def _disarmed(part: Part) -> Part:
    """Return one part cleaned, its style kept."""
    if isinstance(part, Content):
        return part
    if isinstance(part, str):
        return clean(part, limit=4096)
    text, style = part
    return clean(text, limit=4096), style
