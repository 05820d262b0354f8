"""Hazards that the words of a list suggest: marked until somebody says that it is not so."""

from __future__ import annotations

import re

from model.harness.fields import Hazard
from model.harness.wire_list_book import PartsBook, Row

_WORDS = {
    Hazard.RESTRAINT: re.compile(
        r"\b(air ?-?bags?|restraints?|(pre)?-?tensioners?|pyro\w*|squibs?|srs|gurtstraffer\w*|prallsack\w*)\b",
        re.IGNORECASE,
    ),
    Hazard.HIGH_VOLTAGE: re.compile(
        r"\b(high[ -]voltage|traction battery|hv|hochvolt\w*|hochspannung\w*)\b", re.IGNORECASE
    ),
    Hazard.FUEL: re.compile(
        r"\b(fuel|petrol|gasoline|benzin\w*|kraftstoff\w*|diesel\w*|tankgeber|tank unit)\b", re.IGNORECASE
    ),
}
_AT_THE_TANK = frozenset({"loads", "resistors"})
"""Where fuel is: its pump and sender, not their fuse and relay."""


def suggested_hazard(table: str, label: str) -> Hazard | None:
    """Give the hazard that a label suggests, the gravest first; None where it suggests none."""
    if not label:
        return None
    for hazard, words in _WORDS.items():
        if words.search(label) and (hazard is not Hazard.FUEL or table in _AT_THE_TANK):
            return hazard
    return None


def mark_hazards(book: PartsBook, wires: list[Row]) -> None:
    """Mark parts and wires whose label suggests a hazard and that give none."""
    for part in book.parts.values():
        hazard = suggested_hazard(part.kind.table, str(part.row.get("label", "")))
        if hazard is not None and "hazard" not in part.row:
            part.row["hazard"] = hazard.value
            part.assumed.append("hazard")
    for row in wires:
        hazard = suggested_hazard("wires", str(row.get("label", "")))
        if hazard is not None and "hazard" not in row:
            row["hazard"] = hazard.value
            book.guessed.setdefault(id(row), []).append("hazard")
