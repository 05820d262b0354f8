"""The only road from text to a widget: everything is cleaned, nothing is read as markup."""

from rich.cells import cell_len
from rich.text import Text
from textual.content import Content

from model.words import clean, colour_words

Part = str | tuple[str, str] | Content
"""A text, a text with the style it is drawn in, or content that has already been made here."""

CUT = "…"

SHADES = {
    "BK": "#000000",
    "BN": "#7B4A1E",
    "RD": "#D12A2A",
    "OG": "#F28C1E",
    "YE": "#F7DC2E",
    "GN": "#2E8B3A",
    "BU": "#2459C4",
    "VT": "#7A3FA8",
    "GY": "#8C8C8C",
    "WH": "#FFFFFF",
    "PK": "#F2A0B9",
    "GD": "#C9A227",
    "TQ": "#2EB8B0",
    "SR": "#C4C7CA",
}
"""How the insulation colours of IEC 60757 are painted; the standard gives names, the shades are ours."""


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


def padded(text: str, cells: int, right: bool = False) -> str:
    """Return a cleaned text of exactly so many cells, cut or filled with spaces; numbers stand on the right."""
    shown = fit(text, cells)
    gap = " " * (cells - cell_len(shown))
    return gap + shown if right else shown + gap


def swatch(colour: str, told: bool = False) -> Content:
    """Return a wire's colour painted, its code always beside it.

    Three cells are painted, base, stripe, base; a code that is no colour of IEC 60757 is not painted.

    Parameters
    ----------
    colour : str
        The code, ``GN/WH``; empty where the colour is not known.
    told : bool
        Put the colour in words behind the code.
    """
    code = clean(colour)
    words = f" {colour_words(code)}" if told else ""
    codes = [part.strip() for part in code.upper().split("/") if part.strip()]
    if not codes:
        return Content(colour_words(""))
    if any(part not in SHADES for part in codes):
        return Content(f"{code}{words}")
    base, stripe = SHADES[codes[0]], SHADES[codes[-1]]
    paint = [(" ", f"on {base}"), (" ", f"on {stripe}"), (" ", f"on {base}")]
    return Content.assemble(*paint, f" {code}{words}")


def _disarmed(part: Part) -> Part:
    """Return one part cleaned, its style kept."""
    if isinstance(part, Content):
        return part
    if isinstance(part, str):
        return clean(part, limit=4096)
    text, style = part
    return clean(text, limit=4096), style
