"""The colours of wires as they are painted on a screen and on paper, and where a text names them."""

from __future__ import annotations

import re
from collections.abc import Iterator

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

_TOGETHER = {"GNYE": ("GN", "YE")}
_BANDS = 3
_CODE = f"(?:{'|'.join([*_TOGETHER, *SHADES])})"
_COLOUR = f"{_CODE}(?:/{_CODE})*"
_BEFORE_SIZE = re.compile(rf"(?<![\w/.+-]){_COLOUR}(?= (?:\d|AWG \d))")
_ALONE = re.compile(rf"(?<![\w/.+-]){_COLOUR}(?![\w/.+-])")


def bands_of(colour: str) -> tuple[str, ...]:
    """Give the shades of a wire as three bands beside each other: base, stripe, base; of two stripes base and both.

    Parameters
    ----------
    colour : str
        The code, ``GN/WH``; nothing of a code that is no colour of IEC 60757, or that has more stripes.
    """
    codes = [one for part in colour.upper().split("/") for one in _TOGETHER.get(part.strip(), (part.strip(),))]
    if not 1 <= len(codes) <= _BANDS or any(code not in SHADES for code in codes):
        return ()
    shades = [SHADES[code] for code in codes]
    return tuple((*shades, shades[0], shades[0])[:_BANDS]) if len(shades) != 1 else tuple(shades * _BANDS)


def colours_in(text: str, *, alone: bool = False) -> Iterator[tuple[int, str]]:
    """Give the colours that a text names, with the place where each begins: ``RD/BU`` of ``W26 RD/BU 2.5``.

    Parameters
    ----------
    alone
        Whether a code counts that no size stands behind, as in a column of colours: in a sentence it may be anything.
    """
    for match in (_ALONE if alone else _BEFORE_SIZE).finditer(text):
        yield match.start(), match.group()
