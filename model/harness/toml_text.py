"""The text of a new harness file from its tables: one row a line, in the order of the format."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping

from model.harness.harness import ROW_TYPES

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_LARGEST_WHOLE = 1e15


def toml_text(
    build: Mapping[str, object], defaults: Mapping[str, object], rows: Mapping[str, list[dict[str, object]]]
) -> str:
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
        case bool():
            return "true" if value else "false"
        case str():
            return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
        case int():
            return str(value)
        case float():
            is_whole = not keep_floats and math.isfinite(value) and value == int(value) and abs(value) < _LARGEST_WHOLE
            return str(int(value)) if is_whole else repr(value)
        case list() | tuple():
            return f"[{', '.join(toml_value(one, keep_floats=keep_floats) for one in value)}]"
        case Mapping():
            pairs = (f"{toml_key(str(key))} = {toml_value(one, keep_floats=keep_floats)}" for key, one in value.items())
            return f"{{ {', '.join(pairs)} }}" if value else "{}"
    raise TypeError(f"TOML has no {type(value).__name__}")


def toml_key(key: str) -> str:
    """Spell a key, in quotes where it must have them."""
    return key if _BARE.fullmatch(key) else toml_value(key)
