"""Texts of a harness file made harmless before anything else looks at them."""

from __future__ import annotations

from model.harness.toml_lines import TomlPath
from model.words import clean

LONGEST_TEXT = 2000
"""Most characters of a text; what is longer is cut and ends in ``...``."""

_VERBATIM = frozenset(
    {"id", "inside", "superseded_by", "from", "to", "bus", "body", "reference"}
    | {"terminal", "terminals", "halves", "ground", "coil_diode", "delicate"}
)
"""Keys whose value is an id, a point or a terminal: what has no place in one is told, not taken away."""

_VERBATIM_WITHIN = frozenset({"positions", "contacts", "coils"})


def disarm(document: dict[str, object]) -> list[TomlPath]:
    """Clean every text and every key of a document in place.

    Returns
    -------
    list
        Path of each table in which two keys became one.
    """
    clashes: list[TomlPath] = []
    _disarm_table(document, (), False, clashes)
    return clashes


def _disarm_table(table: dict[str, object], path: TomlPath, verbatim: bool, clashes: list[TomlPath]) -> None:
    for key, value in table.items():
        if isinstance(value, str):
            if not (is_harmless(value) or verbatim or key in _VERBATIM or (key == "name" and "elements" in path)):
                table[key] = clean(value, LONGEST_TEXT)
        elif isinstance(value, dict):
            _disarm_table(value, (*path, key), verbatim or key in _VERBATIM_WITHIN, clashes)
        elif isinstance(value, list):
            inner = verbatim or key in _VERBATIM_WITHIN or key in _VERBATIM
            _disarm_list(value, (*path, key), inner, clashes)
    if all(map(is_harmless, table)):
        return
    cleaned = {clean(key, LONGEST_TEXT): value for key, value in table.items()}
    if len(cleaned) < len(table):
        clashes.append(path)
    table.clear()
    table.update(cleaned)


def _disarm_list(values: list[object], path: TomlPath, verbatim: bool, clashes: list[TomlPath]) -> None:
    for number, value in enumerate(values):
        if isinstance(value, str):
            if not (verbatim or is_harmless(value)):
                values[number] = clean(value, LONGEST_TEXT)
        elif isinstance(value, dict):
            _disarm_table(value, (*path, number), verbatim, clashes)
        elif isinstance(value, list):
            _disarm_list(value, (*path, number), verbatim, clashes)


def is_harmless(text: str) -> bool:
    """Tell of most texts at once that cleaning would leave them as they are."""
    return len(text) <= LONGEST_TEXT and text.isascii() and text.isprintable()
