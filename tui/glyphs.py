"""The signs that may be drawn, each one cell wide, each with a twin for terminals that know ASCII alone."""

import unicodedata

GLYPHS = {
    "●": "*",
    "○": "o",
    "›": ">",
    "·": ".",
    "│": "|",
    "├": "+",
    "└": "+",
    "─": "-",
    "▪": "#",
    "▓": "#",
    "▕": "|",
    "▏": "|",
    "Ω": "R",
    "±": "~",
    "≥": ">",
    "≤": "<",
    "²": "2",
    "µ": "u",
    "°": "'",
    "×": "x",
    "…": "~",
}
"""Each sign and the one ASCII character that stands in its cell; ``R`` for ohms as in IEC 60062."""

_SPELLED = {"Ω": "ohm", "±": "+/-", "≥": ">=", "≤": "<=", "…": "...", "°": " deg "}
_BOX_DRAWING = range(0x2500, 0x2580)
_BLOCKS = range(0x2580, 0x25A0)


def ascii_cell(character: str) -> str:
    """Return what stands for one character where only ASCII can be shown, without a thought for its width.

    A sign of the house gives its twin, a letter with an accent the bare letter, a line of a frame ``-``, ``|`` or
    ``+``, anything else ``?``.
    """
    if character in GLYPHS:
        return GLYPHS[character]
    if ord(character) in _BOX_DRAWING:
        return _frame_twin(character)
    if ord(character) in _BLOCKS:
        return "#"
    bare = unicodedata.normalize("NFKD", character)[:1]
    return bare if bare.isascii() and bare.isprintable() and bare else "?"


def ascii_text(text: str) -> str:
    """Return a text in ASCII for streams, where the width does not matter: ``4.7 kΩ`` is ``4.7 kohm``."""
    if text.isascii():
        return text
    return "".join(c if c.isascii() else _SPELLED.get(c) or ascii_cell(c) for c in unicodedata.normalize("NFC", text))


def _frame_twin(character: str) -> str:
    """Return the ASCII character nearest to one of Unicode's box drawings."""
    name = unicodedata.name(character)
    if " AND " in name:
        return "+"
    if name.endswith("HORIZONTAL"):
        return "-"
    return "|" if name.endswith("VERTICAL") else "+"
