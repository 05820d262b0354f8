"""Words that several kinds of findings share: when something shows, which parts, and what not to touch."""

from __future__ import annotations

from collections.abc import Iterable

from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.harness.hazards import NEVER_PROBED, hazards_of_part
from model.tracing.condition_words import key_words
from model.tracing.names import either, id_and_label
from model.words import clean

LIVE_VOLTS = 1.0
"""From here on a loose end is told as live; judgement."""

_NAMED_AT_MOST = 6
_LEAVE_ALONE = (
    "No probe goes there: it is marked as airbag or high voltage wiring. Leave it to somebody trained and licensed "
    "for it, by its maker's procedure."
)


def when_words(harness: Harness, condition: Condition, off: str = "") -> str:
    """Say a condition of the sweep in a phrase: ``key in ignition, everything on but S8 (Brake switch)``.

    Parameters
    ----------
    off
        Id of what alone is at rest; empty where nothing is.
    """
    moved = [name for name, _ in condition.settings if name != off]
    words = [key_words(harness, condition)]
    if off:
        words.append(f"{owner_words(harness, off)} at rest")
    if moved:
        words.append("everything else on" if off else "everything on")
    elif not off:
        words.append("nothing moved")
    return ", ".join(word for word in words if word)


def owner_words(harness: Harness, owner: str) -> str:
    """Name what is set: ``S8 (Brake switch)``, ``pin pump of A1 (Controller)``."""
    part_id, _, terminal = owner.partition(".")
    named = id_and_label(harness, part_id)
    return f"pin {clean(terminal, 20)} of {named}" if terminal else named


def some_of(names: Iterable[str]) -> str:
    """Join names, of many the first ones and how many more: ``W1, W2 and 14 more``."""
    every = list(dict.fromkeys(names))
    if len(every) <= _NAMED_AT_MOST:
        return either(every, "and")
    return f"{', '.join(every[:_NAMED_AT_MOST])} and {len(every) - _NAMED_AT_MOST} more"


def do_unless_hazard(harness: Harness, part_ids: Iterable[str], do: str) -> str:
    """Give what to do; where a part is one that no probe may touch, that it is left alone."""
    for part_id in part_ids:
        if part_id in harness.parts and NEVER_PROBED & set(hazards_of_part(harness, part_id)):
            return _LEAVE_ALONE
    return do
