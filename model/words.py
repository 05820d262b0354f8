"""Words and figures for people: text from files made harmless, and the only rounding of quantities.

This module knows no harness and no screen, and imports nothing that costs time at the start.
"""

import math
import unicodedata
from collections.abc import Iterable, Sequence

_ELLIPSIS = "..."


def _forbidden_characters() -> dict[int, str | None]:
    """Return the translation that disarms text: characters a terminal obeys, or that show nothing."""
    removed = [
        range(0x00, 0x20),  # C0
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
