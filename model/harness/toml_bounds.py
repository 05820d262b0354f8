"""What a harness file may not have too much of, told before its text is read as TOML."""

from __future__ import annotations

import re

from model.errors import FusewalkError
from model.harness.toml_lines import TOKEN

LARGEST_BYTES = 4_000_000
"""A larger file is refused: a loom of ten thousand wires takes one and a half megabytes."""
MOST_SIGNS = 550_000
"""Most commas, equals signs and opening brackets; a loom of ten thousand wires has two hundred thousand."""
MOST_KEY_PARTS = 16
"""Most names that dots join in one key: `tomllib` looks at each with all before it."""

_MOST_DIGITS = 4300
_LONG_RUN = re.compile(rf"[0-9+-](?<![0-9A-Za-z_+-].)[0-9A-Za-z_+-]{{{_MOST_DIGITS}}}")
"""What every endless number has, found quickly: a search skips to what can begin it."""
_MAYBE_ENDLESS_NUMBER = re.compile(rf"(?<![0-9A-Za-z_+-])[+-]?[0-9][0-9A-Za-z_+-]{{{_MOST_DIGITS}}}")
_NAME = r"""(?:[A-Za-z0-9_-]++|"(?:[^"\\\n]++|\\.)*+"|'[^'\n]*+')"""
_JOINED = rf"\.[ \t]*+{_NAME}[ \t]*+"
_MANY_DOTS = re.compile(rf"{_JOINED}(?:{_JOINED}){{{MOST_KEY_PARTS - 1}}}")
"""What every endless key has, found quickly: a search skips to the next dot."""
_MAYBE_ENDLESS = re.compile(rf"(?<![A-Za-z0-9_.\\-]){_NAME}(?:[ \t]*+\.[ \t]*+{_NAME}){{{MOST_KEY_PARTS}}}")
"""No name begins behind a backslash: seen as beginnings, a text's own quotes would each be followed to its end."""


def refuse_outsized(text: str, name: str) -> None:
    """Refuse a text that has more in it than any loom.

    Parameters
    ----------
    name
        What the file is called in the refusal.

    Raises
    ------
    FusewalkError
        Where it is too large, holds too many values, or has a key of too many names.
    """
    if len(text) > LARGEST_BYTES:
        raise too_large(name)
    if sum(map(text.count, ",=[{")) > MOST_SIGNS:
        what = f"more than {MOST_SIGNS} commas, brackets and equals signs stand in it."
        raise FusewalkError(what, name, "Is it a harness file? A loom of ten thousand wires has 200000.")
    if has_endless_key(text):
        raise too_deep(name)


def endless_number(text: str) -> int | None:
    """Give the offset of a number of more digits than Python reads; None where there is none outside of quotes.

    `tomllib` takes a hundred times its length in memory over one.
    """
    if not _LONG_RUN.search(text):
        return None
    bare = (found for found in TOKEN.finditer(text) if found.lastgroup == "bare")
    return next((found.start() for found in bare if _MAYBE_ENDLESS_NUMBER.match(found.group())), None)


def too_deep(name: str) -> FusewalkError:
    """Give the refusal of a file whose tables lie too deep within each other."""
    return FusewalkError("tables are nested too deeply in it.", name, "A harness file needs four within each other.")


def too_large(name: str) -> FusewalkError:
    """Give the refusal of a file of too many bytes."""
    return FusewalkError(
        f"the file is larger than {LARGEST_BYTES // 1_000_000} MB.",
        name,
        "Is it a harness file? A loom of ten thousand wires has two MB at most.",
    )


def has_endless_key(text: str) -> bool:
    """Tell whether some key has too many parts; names within quoted texts and remarks are none."""
    if not (_MANY_DOTS.search(text) and _MAYBE_ENDLESS.search(text)):
        return False
    parts, is_joined = 0, False
    for found in TOKEN.finditer(text):
        kind = found.lastgroup
        if kind == "space":
            continue
        if kind in ("bare", "text"):
            parts = parts + 1 if is_joined else 1
        is_joined = found.group() == "."
        if parts > MOST_KEY_PARTS:
            return True
    return False
