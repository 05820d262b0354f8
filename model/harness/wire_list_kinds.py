"""What a part of a list is: by its kind in words, by its label, by the letters of its id."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import cache, lru_cache
from typing import NamedTuple

from model.harness.parts import LoadKind
from model.harness.wire_list_cells import fold
from model.tables import table_rows

KIND_TABLES: Mapping[str, str] = {
    "key state": "key_states",
    "location": "locations",
    "trunk": "trunks",
    "body": "bodies",
    "battery": "batteries",
    "charger": "chargers",
    "busbar": "busbars",
    "splice": "splices",
    "joint": "joints",
    "fuse": "fuses",
    "switch": "switches",
    "relay": "relays",
    "module": "modules",
    "diode": "diodes",
    "resistor": "resistors",
    "connector": "connectors",
    "ground": "grounds",
    "build": "build",
    "defaults": "defaults",
}
"""The word for a row of each table; a load is called by its own kind."""

KEY_STATE_ROWS = frozenset({"key_states", "locations", "trunks"})
"""Tables whose rows have a name in place of an id."""

LETTERS: Mapping[str, str] = {
    "batteries": "G", "chargers": "G", "busbars": "BB", "splices": "J", "joints": "N", "fuses": "F", "switches": "S",
    "relays": "K", "loads": "E", "modules": "A", "diodes": "V", "resistors": "R", "connectors": "X", "grounds": "GND",
    "bodies": "BODY", "wires": "W",
}  # fmt: skip
"""The letter before an id that has to be invented."""


_WHOLE_LABELS: Mapping[str, str] = {
    "key": "switches", "ignition": "switches", "ignition key": "switches", "zundung": "switches",
    "engine": "bodies", "engine case": "bodies", "motorgehause": "bodies",
}  # fmt: skip
"""What a label means by itself, and not as a word of several (an engine fan, an ignition coil)."""


_FIRST_LETTERS = re.compile(r"[A-Za-z]*")
_SHORTEST_END = 5
"""Letters of the shortest word by whose end a compound is known."""


class Kind(NamedTuple):
    """What a part is taken to be.

    Attributes
    ----------
    table
        Table of the harness file; empty where the kind is not known.
    load_kind
        Of a load its own kind.
    role, watts, amps
        What a load of this name often is and uses; empty and 0 where nothing is said.
    """

    table: str
    load_kind: str = ""
    role: str = ""
    watts: float = 0.0
    amps: float = 0.0

    @property
    def letter(self) -> str:
        """The letter before an id that has to be invented."""
        if self.table == "loads":
            return {"motor": "M", "horn": "P"}.get(self.load_kind, "E")
        return LETTERS.get(self.table, "E")


class _Phrases(NamedTuple):
    """Phrases of the trade with their kinds.

    Attributes
    ----------
    firsts
        The words that phrases begin with.
    most_words
        Most words of a phrase.
    ends
        The lengths of those that end a compound, the longest first.
    """

    kinds: Mapping[str, Kind]
    firsts: frozenset[str]
    most_words: int
    ends: tuple[int, ...]


@cache
def _phrases() -> _Phrases:
    """Give all phrases; of two kinds for one phrase the first stands."""
    found: dict[str, Kind] = {}
    for row in table_rows("part_words"):
        kind = Kind(row["table"], row["load_kind"], row["role"], float(row["watts"] or 0), float(row["amps"] or 0))
        for phrase in row["words"].split("; "):
            found.setdefault(fold(phrase), kind)
    ends = {len(phrase) for phrase in found if len(phrase) >= _SHORTEST_END and " " not in phrase}
    most_words = max(phrase.count(" ") + 1 for phrase in found)
    firsts = frozenset(phrase.partition(" ")[0] for phrase in found)
    return _Phrases(found, firsts, most_words, tuple(sorted(ends, reverse=True)))


@cache
def kind_of_words(words: str) -> Kind | None:
    """Tell what a label or a word of the trade names; None where it is not known.

    The phrase that ends last decides, of two that end alike the longer: a fuel pump relay is a relay.
    """
    folded = fold(words)
    if folded in _WHOLE_LABELS:
        return Kind(_WHOLE_LABELS[folded])
    said = folded.split()
    kinds, firsts, most_words, _ = _phrases()
    singular: dict[str, tuple[int, int]] = {}
    plural: dict[str, tuple[int, int]] = {}
    at = 0
    for first, word in enumerate(said):
        may_begin = word in firsts or word[:-1] in firsts
        for last in range(first + 1, min(first + most_words, len(said)) + 1) if may_begin else ():
            phrase = " ".join(said[first:last])
            if phrase in kinds:
                singular[phrase] = (at + len(phrase), len(phrase))
            if phrase.endswith("s") and phrase[:-1] in kinds:
                plural[phrase[:-1]] = (at + len(phrase) - 1, len(phrase) - 1)
        at += len(word) + 1
    places = plural | singular
    return kinds[max(places, key=places.__getitem__)] if places else _compound(said)


def _compound(said: Sequence[str]) -> Kind | None:
    """Tell what a German compound names by its end: ``Hauptsicherung``."""
    for word in reversed(said):
        kind = _at_end(word) if len(word) > _SHORTEST_END else None
        if kind is not None:
            return kind
    return None


@lru_cache(maxsize=10_000)
def _at_end(word: str) -> Kind | None:
    kinds, _, _, ends = _phrases()
    return next((kinds[word[-length:]] for length in ends if word[-length:] in kinds), None)


def kind_of_id(part_id: str) -> Kind | None:
    """Tell what the letters of an id stand for by habit; None where they stand for nothing."""
    letters = _FIRST_LETTERS.match(part_id)
    return _kinds_by_letters().get(letters[0].upper() if letters else "")


@cache
def _kinds_by_letters() -> Mapping[str, Kind]:
    """Give what letters stand for; of two rows for the same letters the first stands."""
    rows = table_rows("part_letters")
    return {row["letters"]: Kind(row["table"], row["load_kind"]) for row in reversed(rows)}


@cache
def kind_named(words: str) -> Kind | None:
    """Read the kind of a parts list: a table's word, a kind of load, or a word of the trade."""
    folded = fold(words)
    table = KIND_TABLES.get(folded) or next((table for table in KIND_TABLES.values() if fold(table) == folded), None)
    if table:
        return Kind(table)
    if folded in {str(kind) for kind in LoadKind}:
        return Kind("loads", folded)
    return kind_of_words(words)


def known_by(part_id: str, label: str) -> Kind | None:
    """Tell what a part is by both its id and its label.

    The letters of an id decide which table; within it, or where they say nothing, the label.
    """
    by_id, by_label = kind_of_id(part_id), kind_of_words(label) if label else None
    if by_id is None or by_label is None:
        return by_id or by_label
    if by_id.table == by_label.table:
        return by_label
    both = {by_id.table, by_label.table}
    if both == {"batteries", "chargers"} or (both & {"chargers", "bodies"} and by_label.table in both):
        return by_label
    if both == {"loads", "relays"} and by_id.table == "loads":
        return by_id
    return by_id
