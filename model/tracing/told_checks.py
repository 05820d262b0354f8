"""A check that was made, with what came of it, in a few words."""

from __future__ import annotations

from model.tracing.answer_words import outcome_words
from model.tracing.checks import Check, CheckKind, Outcome


def told_check(check: Check, outcome: Outcome) -> str:
    """Say a check and its outcome: ``K7.30 to G1.-, key ignition: 12.30 V``."""
    return f"{short_check(check)}: {outcome_words(check, outcome)}"


def short_check(check: Check) -> str:
    """Name a check by its points or part and the key state."""
    key = f"key {check.condition.key}"
    match check.kind:
        case CheckKind.OBSERVE:
            return f"{check.load}, {key}"
        case CheckKind.LOOK | CheckKind.NEW_FUSE:
            return f"{check.kind} at {check.part}" if check.kind is CheckKind.LOOK else f"new fuse in {check.part}"
        case CheckKind.SWAP:
            return f"{check.part} changed for {check.other}, {key}"
        case CheckKind.LISTEN | CheckKind.AMPS:
            return f"{check.kind} {check.part}, {key}"
        case CheckKind.BRIDGE:
            return f"bridge from {check.red} to {check.black}, {key}"
        case CheckKind.LAMP if check.part:
            return f"lamp in place of {check.part}, {key}"
        case CheckKind.OHMS:
            return f"ohms from {check.red} to {check.black}"
    return f"{check.red} to {check.black}, {key}"
