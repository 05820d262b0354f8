"""Parts that a list names by their ends: ``Main fuse in`` and ``Main fuse out`` are one fuse, and not two."""

from __future__ import annotations

from collections.abc import Iterator

from model.harness.wire_list_cells import fold
from model.harness.wire_list_kinds import kind_of_words
from model.harness.wire_list_points import Known, name_and_end
from model.harness.wire_list_rows import WireList

_PAIRS = (
    frozenset({"in", "out"}),
    frozenset({"input", "output"}),
    frozenset({"ein", "aus"}),
    frozenset({"eingang", "ausgang"}),
)
_LEAST_NUMBERS = {"switches": 2, "relays": 3}
"""Numbers that a name must have behind it to be those of terminals: a relay has no fewer than three."""


def two_ended(wires: WireList, known: Known) -> frozenset[str]:
    """Give the names, folded, of fuses, switches and relays whose ends the list names one by one.

    Words for in and out say so by themselves. Numbers may as well count several parts: they are terminals where they
    count from 1, wires lead to some and from the others, and none has both, as a part of its own would.
    """
    ends: dict[str, dict[str, set[str]]] = {}
    for key, text in _texts(wires):
        name, end = name_and_end(text)
        if end and not known.by_label(text):
            ends.setdefault(fold(name), {}).setdefault(end, set()).add(key)
    return frozenset(name for name, found in ends.items() if _are_of_one(name, found))


def _texts(wires: WireList) -> Iterator[tuple[str, str]]:
    for wire in wires.wires:
        for key, end in zip(("from", "to"), wire.ends, strict=True):
            if not end.pin:
                yield key, end.text.strip().strip("[]")


def _are_of_one(name: str, found: dict[str, set[str]]) -> bool:
    is_pair = found.keys() in _PAIRS
    if not is_pair and not _are_numbers(found):
        return False
    kind = kind_of_words(name)
    table = "" if kind is None else kind.table
    if is_pair:
        return table in ("fuses", *_LEAST_NUMBERS)
    return len(found) >= _LEAST_NUMBERS.get(table, len(found) + 1)


def _are_numbers(found: dict[str, set[str]]) -> bool:
    """Tell whether ends count from 1, wires lead to some and from the others, and none has both."""
    if found.keys() != {str(number) for number in range(1, len(found) + 1)}:
        return False
    return all(len(keys) == 1 for keys in found.values()) and len(set().union(*found.values())) == 2
