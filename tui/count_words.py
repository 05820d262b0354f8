"""How large a harness is and how much of it is assumed, in the words that every place uses."""

from __future__ import annotations

from model.harness.harness import Harness, all_elements
from model.harness.supply import assumed_of
from model.harness.wire_list_questions import questions
from model.words import plural

_LEFT_OUT = frozenset({"size", "length", "colour"})
"""What a file may leave out of a wire."""


def count_words(harness: Harness) -> str:
    """Count wires, loads, other parts and key states: ``46 wires, 30 loads, 112 other parts, 5 key states``.

    Where a load has several circuits, or a control unit has feeds, those are counted too, as they are listed:
    ``28 loads, 112 other parts, 41 circuits, 5 key states``.
    """
    others = len(harness.parts) - len(harness.wires) - len(harness.loads)
    circuits = len(all_elements(harness))
    counts = [
        plural(len(harness.wires), "wire"),
        plural(len(harness.loads), "load"),
        plural(others, "other part"),
        *([plural(circuits, "circuit")] if circuits != len(harness.loads) else []),
        plural(len(harness.key_states), "key state"),
    ]
    return ", ".join(counts)


def assumed_words(harness: Harness) -> str:
    """Count the wires with assumed values: ``2 wires have assumed values``; nothing where there are none.

    Where more is open, as in a harness made from a list, all that is asked is counted: ``41 answers are missing``.
    """
    asked = questions(harness)
    if any(one.table not in ("wires", "defaults") or one.key not in _LEFT_OUT for one in asked):
        return f"{plural(len(asked), 'answer')} {'is' if len(asked) == 1 else 'are'} missing"
    assumed = sum(bool(assumed_of(harness, wire)) for wire in harness.wires)
    held = "has an assumed value" if assumed == 1 else "have assumed values"
    return f"{plural(assumed, 'wire')} {held}" if assumed else ""
