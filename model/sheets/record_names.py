"""What an entry of the record is about and what was read, in few words: for the sheet and for the list alike."""

from __future__ import annotations

from collections.abc import Iterable

from model.plans.plan import PlanKind
from model.record_entries import Answer, AnyEntry, Measured, TakenBack
from model.tracing.answer_words import IN_DOUBT
from model.tracing.checks import CheckKind
from model.words import amps_text, clean, drop_text, ohms_text, volts_text

_MILLIVOLTS_UNDER = 0.1995
"""What a meter reads on its range of millivolts."""

_IN = " in"
_BARE = " bare"


def row_names(entries: Iterable[AnyEntry]) -> dict[tuple[str, str, str], str]:
    """Give the name of each row that was measured, by plan, state of the loom and key of the row."""
    measured = (entry for entry in entries if isinstance(entry, Measured))
    return {(entry.plan, entry.state, entry.row): _row_name(entry) for entry in measured}


def name_of(entry: Measured | TakenBack, names: dict[tuple[str, str, str], str]) -> str:
    """Give the name of the row of an entry: ``F1 in, key off``, ``E1:dip feed``; of one never measured its key."""
    return names.get((entry.plan, entry.state, entry.row), clean(entry.row))


def _row_name(entry: Measured) -> str:
    """Name a row by its key; one that ends with a key state says that it is one, and what is set beside it."""
    head = entry.row
    settings: list[str] = []
    for name, value in sorted(entry.settings.items(), reverse=True):
        setting = f"{name}={value}"
        if head.endswith(f" {setting}"):
            head, settings = head.removesuffix(f" {setting}"), [setting, *settings]
    if not entry.key or not head.endswith(f" {entry.key}"):
        return clean(entry.row)
    about = _about(entry, head.removesuffix(f" {entry.key}"))
    return clean(", ".join([about, f"key {entry.key}", *settings]))


def _about(entry: Measured, head: str) -> str:
    if entry.plan != PlanKind.FIRST_POWER:
        return head.removesuffix(_IN)
    if head.endswith(_BARE):
        return f"{head.removesuffix(_BARE)}, every fuse out"
    return head if " " in head else f"{head}{_IN}"


def value_words(entry: Answer) -> str:
    """Say what was read: ``0.24 Ω``, ``24 mV at 4.6 A``, ``0.10 V to 12.30 V``, ``12.10 V, in doubt``, ``good``."""
    if entry.word:
        return clean(entry.word)
    least, most = entry.span
    size = max(abs(least), abs(most))
    words = _with_unit(entry, least, size)
    if most != least:
        words = f"{words} to {_with_unit(entry, most, size)}"
    at_amps = entry.at_amps if isinstance(entry, Measured) else None
    words = f"{words} at {amps_text(at_amps)}" if at_amps else words
    return f"{words}, {IN_DOUBT}" if entry.in_doubt else words


def _with_unit(entry: Answer, value: float, size: float) -> str:
    """Give a value with its unit; volts in millivolts where a meter's range of those holds all of the size read."""
    if entry.ohms is not None:
        return ohms_text(value)
    if entry.amps is not None:
        return amps_text(value)
    if entry.volts is None:
        return drop_text(value / 1000)
    is_in_millivolts = entry.check == CheckKind.DROP or 0.0 < size < _MILLIVOLTS_UNDER
    return drop_text(value) if is_in_millivolts else f"{volts_text(value)} V"
