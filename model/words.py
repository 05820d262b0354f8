"""Words and figures for people: text from files made harmless, and the only rounding of quantities.

This module knows no harness and no screen, and imports nothing that costs time at the start.
"""

import math
import unicodedata
from collections.abc import Iterable, Sequence

_ELLIPSIS = "..."
_FEW = 12
FIND_PART = "Find it by label, colour, size or place: fusewalk find FILE WORDS, or / on the screen."
"""What to do where an id is not known and none is near."""

_COLOUR_NAMES = {
    "BK": "black",
    "BN": "brown",
    "RD": "red",
    "OG": "orange",
    "YE": "yellow",
    "GN": "green",
    "BU": "blue",
    "VT": "violet",
    "GY": "grey",
    "WH": "white",
    "PK": "pink",
    "GD": "gold",
    "TQ": "turquoise",
    "SR": "silver",
    "GNYE": "green and yellow",
}
"""IEC 60757 letter codes of colours."""

_COLOUR_CODES = {name: code for code, name in _COLOUR_NAMES.items()} | {"gray": "GY", "purple": "VT"}


def _forbidden_characters() -> dict[int, str | None]:
    """Return the translation that disarms text: characters a terminal obeys, or that show nothing."""
    removed = [
        range(0x20),  # C0
        range(0x7F, 0xA0),  # DEL and C1
        range(0xAD, 0xAE),  # soft hyphen
        range(0x061C, 0x061D),  # Arabic letter mark
        range(0x200B, 0x200C),  # zero width space
        range(0x200E, 0x2010),  # left-to-right and right-to-left marks
        range(0x2028, 0x202F),  # line and paragraph separator, embeddings and overrides
        range(0x2060, 0x2070),  # word joiner, invisible operators, isolates
        range(0xFE00, 0xFE10),  # variation selectors: they change a character's width
        range(0xFEFF, 0xFF00),  # byte order mark
        range(0xFFF9, 0xFFFC),  # interlinear annotation
        range(0xE0000, 0xE0080),  # tags
    ]
    table: dict[int, str | None] = {code: None for codes in removed for code in codes}
    table |= dict.fromkeys((ord("\t"), ord("\n"), ord("\r")), " ")
    table |= dict.fromkeys(range(0xD800, 0xE000), "\ufffd")
    return table


_FORBIDDEN = _forbidden_characters()


def clean(text: str, limit: int = 200) -> str:
    """Return text from a file in a form that may be shown.

    Characters that a terminal obeys (C0, DEL, C1), that turn the direction of writing, or that
    take no place go; a tab or a line end becomes a space, a lone surrogate U+FFFD; then the
    text is composed (Unicode NFC). Cleaning twice is cleaning once.

    Parameters
    ----------
    text : str
        Whatever stood in the file.
    limit : int
        Most characters of the result; a longer text ends in ``...``.

    Returns
    -------
    str
        The text, at most `limit` characters long.
    """
    shown = unicodedata.normalize("NFC", text.replace("\r\n", " ").translate(_FORBIDDEN))
    if len(shown) <= limit:
        return shown
    if limit <= len(_ELLIPSIS):
        return shown[:limit]
    return shown[: limit - len(_ELLIPSIS)] + _ELLIPSIS


def nearest(word: str, choices: Iterable[str]) -> str | None:
    """Return the choice that `word` was most likely meant to be, or None where none is near.

    A choice that differs by capitals alone wins; of equally near ones the first.
    """
    import difflib

    by_folded: dict[str, str] = {}
    for choice in choices:
        by_folded.setdefault(choice.casefold(), choice)
    folded = word.casefold()
    if folded in by_folded:
        return by_folded[folded]
    found = difflib.get_close_matches(folded, by_folded, n=1, cutoff=0.6)
    return by_folded[found[0]] if found else None


def did_you_mean(word: str, choices: Iterable[str], otherwise: str) -> str:
    """Return what to do about a word that is none of some choices: the nearest, all of a few, else another way out."""
    known = list(choices)
    near = nearest(word, known)
    if near is not None:
        return f"Did you mean {clean(near, 60)}?"
    if 0 < len(known) <= _FEW:
        return f"There {'is' if len(known) == 1 else 'are'}: {', '.join(clean(one, 60) for one in known)}."
    return otherwise


def _three_figures(number: float) -> str:
    """Return a number to three figures, without an exponent and without zeros at the end."""
    if number == 0:
        return "0"
    decimals = 2 - math.floor(math.log10(abs(number)))
    rounded = round(number, decimals)
    text = f"{rounded:.{max(decimals, 0)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _scaled(number: float, steps: tuple[tuple[float, str], ...]) -> str:
    """Return a number to three figures with the first unit in which it is at least one.

    `steps` are (size of the unit, its sign), the greatest first; below all of them the last serves.
    """
    for size, unit in steps:
        in_unit = float(f"{number / size:.3g}")
        if abs(in_unit) >= 1 or (size, unit) == steps[-1]:
            return f"{_three_figures(in_unit)} {unit}"
    raise AssertionError("there is always a last unit")


def volts_text(volts: float) -> str:
    """Return volts as a meter shows them, two decimals and no unit: ``12.36``, ``0.08``, never ``-0.00``.

    Not a number gives ``?``.
    """
    if math.isnan(volts):
        return "?"
    text = f"{volts:.2f}"
    return "0.00" if text == "-0.00" else text


def drop_text(volts: float) -> str:
    """Return the volts across a joint with their unit as a meter shows them: ``0.4 mV``, ``35 mV``, ``0.35 V``.

    From 0.2 V on they are volts; not a number gives ``?``.
    """
    if math.isnan(volts):
        return "?"
    if abs(volts) >= 0.1995:
        return f"{volts_text(volts)} V"
    millivolts = volts * 1000
    text = f"{millivolts:.1f}" if abs(millivolts) < 9.95 else f"{millivolts:.0f}"
    return f"{'0' if text in ('0.0', '-0.0') else text} mV"


def amps_text(amps: float) -> str:
    """Return amperes with their unit, three figures: ``35 mA``, ``6.2 A``, ``120 A``.

    Under a tenth of a milliampere it is ``0 A``; not a number gives ``?``.
    """
    if math.isnan(amps):
        return "?"
    if abs(amps) < 0.0001:
        return "0 A"
    return _scaled(amps, ((1.0, "A"), (0.001, "mA")))


def ohms_text(ohms: float) -> str:
    """Return ohms with their unit, three figures: ``8.5 mΩ``, ``0.37 Ω``, ``4.7 kΩ``.

    Milliohms stand under a tenth of an ohm; from a gigohm on it is ``open``; not a number gives ``?``.
    """
    if math.isnan(ohms):
        return "?"
    if abs(ohms) >= 1e9:
        return "open"
    if ohms == 0:
        return "0 Ω"
    if abs(ohms) < 0.09995:
        return f"{_three_figures(ohms * 1000)} mΩ"
    if abs(ohms) < 1:
        return f"{_three_figures(ohms)} Ω"
    return _scaled(ohms, ((1e6, "MΩ"), (1e3, "kΩ"), (1.0, "Ω")))


def watts_text(watts: float) -> str:
    """Return watts with their unit, three figures: ``0.4 W``, ``55 W``, ``1.2 kW``; not a number gives ``?``."""
    if math.isnan(watts):
        return "?"
    if abs(watts) < 0.005:
        return "0 W"
    return _scaled(watts, ((1e3, "kW"), (1.0, "W")))


def size_text(area_mm2: float) -> str:
    """Return a conductor's area in square millimetres without the unit: ``1.5``, ``0.52``, ``25``."""
    return f"{area_mm2:.2f}".rstrip("0").rstrip(".")


def plural(number: int, noun: str, several: str | None = None) -> str:
    """Return a count with its noun: ``1 wire``, ``3 wires``, ``no wires``.

    Parameters
    ----------
    number : int
        How many.
    noun : str
        The word for one.
    several : str, optional
        The word for several, where ``s`` at the end does not make it (``switches``, ``batteries``).
    """
    if number == 1:
        return f"1 {noun}"
    many = several or _many(noun)
    return f"{number or 'no'} {many}"


def _many(noun: str) -> str:
    """Return the plural of a regular English noun."""
    if noun.endswith(("s", "x", "ch", "sh")):
        return f"{noun}es"
    if noun.endswith("y") and noun[-2:-1] not in "aeiou":
        return f"{noun[:-1]}ies"
    return f"{noun}s"


def colour_words(code: str) -> str:
    """Return a wire's colour in words: ``GN/WH`` is ``green with white stripe``.

    The letters are those of IEC 60757, capitals or not; a code that is none of them stays as it is
    written. Several stripes are joined: ``green with white and red stripes``; nothing gives ``colour unknown``.
    """
    names = [_COLOUR_NAMES.get(part.strip().upper(), part.strip()) for part in code.split("/") if part.strip()]
    if not names:
        return "colour unknown"
    base, *stripes = names
    if not stripes:
        return base
    return f"{base} with {' and '.join(stripes)} {'stripe' if len(stripes) == 1 else 'stripes'}"


def colour_codes(words: Sequence[str]) -> str:
    """Return the code of a colour given as words, base first: ``["green", "white"]`` is ``GN/WH``.

    Parameters
    ----------
    words : sequence of str
        English names, or codes of IEC 60757, capitals or not.

    Raises
    ------
    ValueError
        Where a word names no colour of IEC 60757.
    """
    codes: list[str] = []
    for word in words:
        folded = word.strip().casefold()
        code = _COLOUR_CODES.get(folded, folded.upper())
        if code not in _COLOUR_NAMES:
            raise ValueError(f"{word!r} is no colour of IEC 60757")
        codes.append(code)
    return "/".join(codes)
