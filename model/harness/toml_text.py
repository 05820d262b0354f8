"""The text of a new harness file from its tables: one row a line, in the order of the format."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping
from functools import lru_cache

from model.harness.harness import ROW_TYPES

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_LARGEST_WHOLE = 1e15
_QUOTED = json.JSONEncoder(ensure_ascii=False)
"""Kept, since `json.dumps` makes one anew for each text that is no ASCII alone."""
Rows = Mapping[str, list[dict[str, object]]]


def toml_text(build: Mapping[str, object], defaults: Mapping[str, object], rows: Rows) -> str:
    """Spell a harness file.

    Parameters
    ----------
    build, defaults
        The two tables that stand once; an empty one of defaults is left out.
    rows
        Rows by table; an empty table is left out.
    """
    lines = ["format = 1", f"build = {toml_value(build)}"]
    if defaults:
        lines.append(f"defaults = {toml_value(defaults)}")
    for table in ROW_TYPES:
        if rows.get(table):
            lines += ["", f"{table} = [", *(f"  {toml_value(row)}," for row in rows[table]), "]"]
    return "\n".join([*lines, ""])


def toml_document(build: Mapping[str, object], defaults: Mapping[str, object], rows: Rows) -> dict[str, object]:
    """Give what `tomllib` reads in the text that `toml_text` spells, without reading it."""
    document: dict[str, object] = {"format": 1, "build": _read_back(build)}
    if defaults:
        document["defaults"] = _read_back(defaults)
    return document | {table: _read_back(rows[table]) for table in ROW_TYPES if rows.get(table)}


def _read_back(value: object) -> object:
    """Give a value as it is read back: lists for tuples, whole numbers where no point is spelled, all of it anew."""
    match value:
        case str():
            return str(value)
        case float():
            return int(value) if _is_whole(value) else value
        case list() | tuple():
            return [_read_back(one) for one in value]
        case Mapping():
            return {str(key): one if type(one) is str else _read_back(one) for key, one in value.items()}
    return value


def _is_whole(value: float) -> bool:
    return math.isfinite(value) and value == int(value) and abs(value) < _LARGEST_WHOLE


def toml_value(value: object, *, keep_floats: bool = False) -> str:
    """Spell a value as TOML on one line.

    Parameters
    ----------
    keep_floats
        Whether a whole float keeps its point: 4.0, and not 4.

    Raises
    ------
    TypeError
        Where it is nothing that TOML has.
    """
    match value:
        case str():
            return _QUOTED.encode(value).replace("\x7f", "\\u007f")
        case bool():
            return "true" if value else "false"
        case int():
            return str(value)
        case float():
            return str(int(value)) if not keep_floats and _is_whole(value) else repr(value)
        case list() | tuple():
            return f"[{', '.join(toml_value(one, keep_floats=keep_floats) for one in value)}]"
        case Mapping():
            pairs = (f"{toml_key(str(key))} = {toml_value(one, keep_floats=keep_floats)}" for key, one in value.items())
            return f"{{ {', '.join(pairs)} }}" if value else "{}"
    raise TypeError(f"TOML has no {type(value).__name__}")


@lru_cache(maxsize=1000)
def toml_key(key: str) -> str:
    """Spell a key, in quotes where it must have them."""
    return key if _BARE.fullmatch(key) else toml_value(key)
