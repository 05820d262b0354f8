"""A check named in one short line, so that no two that differ are named alike."""

from __future__ import annotations

from dataclasses import replace

from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.tracing.checks import Check, CheckKind
from model.tracing.condition_words import settings_words
from model.tracing.names import id_and_label
from model.words import clean


def named_check(harness: Harness, check: Check, usual: Condition) -> str:
    """Name a check: ``volts K7.30 to G1.-, key off, relay K7 (Fuel pump) out of its socket``.

    Parameters
    ----------
    usual
        What stands in it as well is not said; what is at rest against it is.
    """
    settings = tuple(pair for pair in check.condition.settings if pair not in usual.settings)
    changed = replace(check.condition, settings=settings, faults=(), posts_volts=None)
    set_now = [name for name, _ in check.condition.settings]
    at_rest = [f"{id_and_label(harness, name)} at rest" for name, _ in usual.settings if name not in set_now]
    is_plain = check.kind is CheckKind.OHMS or check.condition.key == usual.key
    key = "" if is_plain else f"key {clean(check.condition.key, 40)}"
    return ", ".join(one for one in (_what(check), key, *settings_words(harness, changed), *at_rest) if one)


def _what(check: Check) -> str:
    """Say what is done, and where."""
    match check.kind:
        case CheckKind.LAMP if check.part:
            return f"lamp in place of {check.part}"
        case CheckKind.LAMP:
            return f"test lamp {check.red} to {check.black}"
        case CheckKind.VOLTS | CheckKind.DROP | CheckKind.OHMS | CheckKind.BRIDGE:
            return f"{check.kind} {check.red} to {check.black}"
        case CheckKind.OBSERVE:
            return f"see whether {check.load.removesuffix(':load')} works"
        case CheckKind.LOOK:
            return f"look at {check.part}"
        case CheckKind.NEW_FUSE:
            return f"new fuse in {check.part}"
        case CheckKind.SWAP:
            return f"{check.part} changed for {check.other}"
        case CheckKind.AMPS:
            return f"amps through {check.part}"
        case CheckKind.LISTEN:
            return f"listen to {check.part}"
