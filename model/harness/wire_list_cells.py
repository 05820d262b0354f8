"""Cells of a list as a spreadsheet exports them: numbers, sizes, lengths, yes and no, formulas."""

from __future__ import annotations

import json
import re
import unicodedata
from functools import lru_cache

from model.harness.disarm import is_harmless
from model.harness.wire_list_remark import ListRefusedError
from model.units import parse_size
from model.words import clean

LONGEST_CELL = 2000
"""Most characters of a cell; a harness file takes no longer text."""
LARGEST_MM2 = 10_000.0
LONGEST_M = 10_000.0
FORMULA_STARTS = ("=", "+", "-", "@", "＝", "＋", "－", "＠")
"""With these a spreadsheet begins a formula, some in their wide form too."""

NOTHING = frozenset(
    {"-", "--", "---", "?", "??", "n/a", "na", "n.a.", "none", "nil", "unknown", "–", "—", "keine", "unbekannt"}
)
"""What people write into a cell of which they know nothing."""

_ERRORS = re.compile(r"#(?:REF|N/A|NAME|NAME\?|VALUE|DIV/0|NUM|NULL|BEZUG|NV|WERT|ZAHL)[!?]?", re.IGNORECASE)
_FORMULA = re.compile(r"[=@＝＠]\s*[^\s=]")
_NUMBER = re.compile(r"[+-]?[.,]?\d[\d.,' \u00a0\u202f]*(?:[eE][+-]?\d+)?")
_AREA = re.compile(r"(?P<number>[\d.,]+(?:[eE][+-]?\d+)?)\s*(?:mm\s*\^?\s*[2²]|qmm|sq\.?\s*mm|mmq|mm)?", re.IGNORECASE)
_GAUGE = re.compile(
    r"(?:awg|ga(?:uge)?\.?|#)\s*\.?\s*(?P<after>\d{1,2}/0|0{1,4}|\d{1,2})|(?P<before>\d{1,2}/0|0{1,4}|\d{1,2})\s*(?:awg|ga(?:uge)?\.?)",
    re.IGNORECASE,
)
_BARE_GAUGE = re.compile(r"\d/0|0{1,4}|\d{1,2}")
_FEET = re.compile(
    r"(?P<feet>[\d.,]+)\s*(?:'|′|ft\.?|feet)\s*(?:(?P<inches>[\d.,]+)\s*(?:\"|″|in\.?)?)?", re.IGNORECASE
)
_METRES = {"m": 1.0, "metre": 1.0, "meter": 1.0, "metres": 1.0, "cm": 0.01, "mm": 0.001, "ft": 0.3048, "feet": 0.3048}
_METRES |= {"in": 0.0254, "inch": 0.0254, "inches": 0.0254, '"': 0.0254, "″": 0.0254}
_YES = frozenset({"yes", "y", "true", "1", "x", "ja", "j", "wahr", "✓"})
_NO = frozenset({"no", "n", "false", "0", "nein", "falsch"})
_KEPT = 5000
"""Different sizes and lengths of a loom whose numbers are kept: most of its wires share a few."""
_SIGNS = {code: " " for code in range(128) if not chr(code).isalnum()}


@lru_cache(maxsize=50_000)
def fold(text: str) -> str:
    """Give words for comparing: no capitals, accents or signs, one space between."""
    if text.isascii():
        return " ".join(text.lower().translate(_SIGNS).split())
    plain = unicodedata.normalize("NFKD", text.casefold().replace("ß", "ss"))
    plain = "".join(one if one.isalnum() else "" if unicodedata.combining(one) else " " for one in plain)
    return " ".join(plain.split())


def armed(text: str) -> str:
    """Give text so that a spreadsheet takes it for text: before what it would take for a formula an apostrophe."""
    return f"'{text}" if text.lstrip(" '").startswith(FORMULA_STARTS) else text


def unarmed(text: str) -> str:
    """Take the apostrophe off that `armed` put before a text."""
    return text[1:] if text.startswith("'") and text.lstrip(" '").startswith(FORMULA_STARTS) else text


def cell_text(raw: str) -> tuple[str, str]:
    """Make a cell harmless.

    Returns
    -------
    tuple
        Its text, and what is to be said about it; empty where nothing is.
    """
    text = raw.strip()
    if text[:1].isalnum() and is_harmless(text):
        return text, ""
    plain = unarmed(text)
    if plain == text and _FORMULA.match(text):
        return "", f"a formula, {clean(text, 40)}, stands where its value should; taken as empty"
    if _ERRORS.fullmatch(text):
        return "", f"{clean(text, 20)} is a spreadsheet's error; taken as empty"
    if len(plain) > LONGEST_CELL:
        return clean(plain, LONGEST_CELL).strip(), f"a cell of {len(plain)} characters; cut to {LONGEST_CELL}"
    return clean(plain, LONGEST_CELL).strip(), ""


@lru_cache(maxsize=_KEPT)
def number_of(text: str) -> float:
    """Read a number with a decimal point or comma.

    Raises
    ------
    ListRefusedError
        Where it is none.

    Notes
    -----
    Where both signs stand in it the last is the decimal one; a sign that stands several times parts thousands.
    """
    text = text.strip()
    if not _NUMBER.fullmatch(text) or len(text) > 40:
        raise ListRefusedError(f"“{clean(text, 40)}” is no number")
    digits = re.sub(r"[' \u00a0\u202f]", "", text)
    point, comma = digits.rfind("."), digits.rfind(",")
    if point >= 0 and comma >= 0:
        digits = digits.replace("," if point > comma else ".", "").replace(",", ".")
    elif digits.count(",") > 1 or digits.count(".") > 1:
        digits = digits.replace(",", "").replace(".", "")
    try:
        value = float(digits.replace(",", "."))
    except ValueError:
        raise ListRefusedError(f"“{clean(text, 40)}” is no number") from None
    if value - value != 0:
        raise ListRefusedError(f"“{clean(text, 40)}” is too large for a number")
    return value


@lru_cache(maxsize=_KEPT)
def size_of(text: str, unit: str = "") -> float | str:
    """Read a wire size: mm² as a number, a gauge as ``AWG 16``.

    Parameters
    ----------
    unit
        ``awg`` where the column says that its bare numbers are gauges.

    Raises
    ------
    ListRefusedError
        Where it is neither.
    """
    text = text.strip()
    gauge = _GAUGE.fullmatch(text)
    found = (gauge["after"] or gauge["before"]) if gauge else None
    if found is None and _BARE_GAUGE.fullmatch(text) and (unit == "awg" or "/0" in text):
        found = text
    if found is not None:
        return _gauge(found, text)
    area = _AREA.fullmatch(text)
    if area is None:
        raise ListRefusedError(
            f"“{clean(text, 40)}” is no wire size: write mm², such as 1.5, or a gauge, such as AWG 16"
        )
    value = number_of(area["number"])
    if not 0 < value <= LARGEST_MM2:
        raise ListRefusedError(f"{clean(text, 40)} is no size of a wire in mm²")
    return value


def _gauge(found: str, text: str) -> str:
    spelled = f"{len(found)}/0" if found.strip("0") == "" else found.lstrip("0")
    try:
        parse_size(f"AWG {spelled}")
    except ValueError:
        raise ListRefusedError(f"“{clean(text, 40)}” is no American wire gauge: 40 to 1, 1/0 to 4/0") from None
    return f"AWG {spelled}"


@lru_cache(maxsize=_KEPT)
def length_m_of(text: str, unit: str = "m") -> float:
    """Read a length in metres.

    Parameters
    ----------
    unit
        Of a bare number: ``m``, ``cm``, ``mm``, ``ft`` or ``in``.

    Raises
    ------
    ListRefusedError
        Where it is none.
    """
    text = text.strip()
    feet = _FEET.fullmatch(text)
    if feet:
        inches = number_of(feet["inches"]) if feet["inches"] else 0.0
        return _bounded_m(number_of(feet["feet"]) * _METRES["ft"] + inches * _METRES["in"], text)
    split = re.fullmatch(r"(.*?[\d.,])\s*([a-zA-Z\"″]*)\.?", text)
    if split is None or (split[2] and split[2].casefold() not in _METRES):
        raise ListRefusedError(
            f"“{clean(text, 40)}” is no length: write metres, such as 1.2, or with a unit, such as 120 cm"
        )
    own = split[2].casefold() or unit
    digits = split[1].strip()
    if own == "mm" and re.fullmatch(r"\d{1,3}[.,]\d{3}", digits):
        digits = re.sub("[.,]", "", digits)
    return _bounded_m(number_of(digits) * _METRES[own], text)


def _bounded_m(metres: float, text: str) -> float:
    if not 0 <= metres <= LONGEST_M:
        raise ListRefusedError(f"{clean(text, 40)} is no length of a wire")
    return round(metres, 6)


def flag_of(text: str) -> bool:
    """Read yes or no.

    Raises
    ------
    ListRefusedError
        Where it is neither.
    """
    if text.casefold() in _YES:
        return True
    if text.casefold() in _NO:
        return False
    raise ListRefusedError(f"“{clean(text, 40)}” is neither yes nor no")


def number_text(value: float) -> str:
    """Spell a number so that it is read back as it was."""
    return str(int(value)) if value == int(value) and abs(value) < 1e15 else repr(float(value))


def json_value(text: str) -> object:
    """Read a cell of JSON; its texts are cleaned and have no space around them, as those of whole cells.

    Raises
    ------
    ListRefusedError
        Where it is none, or holds what a harness file cannot.
    """
    try:
        return _cleaned(json.loads(text, parse_constant=_no_constant))
    except (ValueError, RecursionError):
        raise ListRefusedError(f"“{clean(text, 40)}” cannot be read") from None


def _no_constant(name: str) -> object:
    raise ValueError(name)


def _cleaned(value: object) -> object:
    match value:
        case str():
            return clean(value, LONGEST_CELL).strip()
        case bool():
            return value
        case int() | float() if abs(value) < 1e15:
            return value
        case list():
            return [_cleaned(one) for one in value]
        case dict():
            return {clean(str(key), LONGEST_CELL).strip(): _cleaned(one) for key, one in value.items()}
    raise ValueError("no value of a harness file")


def json_text(value: object) -> str:
    """Spell a value as JSON in one line."""
    return json.dumps(value, ensure_ascii=False, separators=(", ", ": "))
