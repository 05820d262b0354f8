"""Colours of a list: codes and words of several languages become the codes of IEC 60757."""

from __future__ import annotations

import re
from collections.abc import Iterable
from enum import StrEnum
from functools import cache, lru_cache

from model.harness.wire_list_cells import fold
from model.harness.wire_list_remark import ListRefusedError
from model.tables import table_rows, wire_colour_names
from model.words import clean

_SHADES = frozenset({"light", "dark", "hell", "dunkel", "pale", "lt", "dk"})
_BETWEEN = frozenset({"with", "mit", "and", "und", "stripe", "striped", "tracer", "streifen", "on", "auf", "wire"})


class ColourUse(StrEnum):
    """Which short forms a list uses beside those that are clear by themselves."""

    ANY = "any"
    GERMAN = "German"
    ONE_LETTER = "one letter"


@cache
def _codes(use: ColourUse) -> dict[str, str]:
    rows = [row for row in table_rows("colour_words") if row["used"] in (ColourUse.ANY, use)]
    return {fold(word): row["code"] for row in rows for word in row["words"].split("; ")}


_GERMAN_ONLY = frozenset(
    {"sw", "ws", "rt", "ge", "schwarz", "weiss", "rot", "gelb", "grun", "gruen", "blau", "braun", "grau"}
)


def colour_use(cells: Iterable[str]) -> ColourUse:
    """Find out which short forms the cells of a column use: German ones where any is German beyond doubt."""
    words = {word for cell in cells for word in fold(cell).split()}
    if words & _GERMAN_ONLY:
        return ColourUse.GERMAN
    return ColourUse.ONE_LETTER if words and all(len(word) <= 2 for word in words) else ColourUse.ANY


@lru_cache(maxsize=1000)
def colour_of(text: str, use: ColourUse = ColourUse.ANY) -> str:
    """Read a colour as base and stripe: ``GN/WH``.

    Raises
    ------
    ListRefusedError
        Where a word of it is no colour.
    """
    if text.upper().strip() in wire_colour_names():
        return text.upper().strip()
    found: list[str] = []
    for piece in re.split(r"[/\\,+|-]|\bwith\b|\bmit\b", text):
        found += _of_piece(piece, text, use)
    if not found:
        raise ListRefusedError(f"“{clean(text, 40)}” is no colour")
    if len(found) > 2:
        raise ListRefusedError(f"“{clean(text, 40)}” names more than a base and a stripe")
    return "/".join(found)


def _of_piece(piece: str, text: str, use: ColourUse) -> list[str]:
    """Read what stands between two separators: one word, several, or codes run together."""
    codes = _codes(use)
    words = [word for word in fold(piece).split() if word not in _SHADES and word not in _BETWEEN]
    if " ".join(words) in codes:
        return [codes[" ".join(words)]]
    found: list[str] = []
    for word in words:
        word = next((word.removeprefix(shade) for shade in ("hell", "dunkel") if word.startswith(shade)), word)
        if word in codes:
            found.append(codes[word])
        elif len(word) == 4 and word[:2] in codes and word[2:] in codes:
            found += [codes[word[:2]], codes[word[2:]]]
        else:
            raise ListRefusedError(
                f"“{clean(text, 40)}” is no colour that is known: write the codes of IEC 60757, such as GN/WH"
            )
    return found
