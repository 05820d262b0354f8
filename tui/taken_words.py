"""What is said of a part whose circuits are all complained of as one."""

from __future__ import annotations

from collections.abc import Sequence

from model.harness.harness import Harness
from model.tracing.names import either, id_and_label
from model.words import clean

_CIRCUIT_CHARACTERS = 40


def taken_words(harness: Harness, loads: Sequence[str]) -> str:
    """Say which circuits of a part are taken as one complaint, and how one alone is traced; else nothing.

    Examples
    --------
    ``Taken: tail, stop and indicator of E6 (Right tail cluster), all at once. One alone: E6:tail.``
    """
    by_part: dict[str, list[str]] = {}
    for name in loads:
        part_id, _, circuit = name.partition(":")
        by_part.setdefault(part_id, []).append(clean(circuit, _CIRCUIT_CHARACTERS))
    several = {part_id: circuits for part_id, circuits in by_part.items() if len(circuits) > 1}
    if not several:
        return ""
    told = "; ".join(f"{either(circuits, 'and')} of {id_and_label(harness, one)}" for one, circuits in several.items())
    first, circuits = next(iter(several.items()))
    return f"Taken: {told}, all at once. One alone: {clean(first, _CIRCUIT_CHARACTERS)}:{circuits[0]}."
