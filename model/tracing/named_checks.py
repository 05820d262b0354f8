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
    return ", ".join(one for one in (_what(check), apart_words(harness, check, usual)) if one)


def told_apart(harness: Harness, check: Check, usual: Condition) -> str:
    """Name a check as :func:`named_check` does, what is set otherwise first: ``X1 apart: lamp in place of F15``.

    That the fuse is out for which something stands in is said last: many checks have it.
    """
    own = tuple(pair for pair in check.condition.settings if pair[0] == check.part and pair not in usual.settings)
    others = tuple(pair for pair in check.condition.settings if pair not in own)
    last = settings_words(harness, replace(check.condition, settings=own, faults=(), posts_volts=None))
    told = apart_words(harness, replace(check, condition=replace(check.condition, settings=others)), usual)
    what = ", ".join((_what(check), *last))
    return f"{told}: {what}" if told else what


def apart_words(harness: Harness, check: Check, usual: Condition) -> str:
    """Say what is set otherwise than usual in a check: ``key off, relay K7 (Fuel pump) out of its socket``."""
    return ", ".join(one for one in (_key_words(check, usual), *_set_words(harness, check, usual)) if one)


def at_rest_words(harness: Harness, check: Check, usual: Condition) -> tuple[str, ...]:
    """Say of each thing that is usually set and is at rest in a check that it is."""
    set_now = [name for name, _ in check.condition.settings]
    return tuple(f"{id_and_label(harness, name)} at rest" for name, _ in usual.settings if name not in set_now)


def _key_words(check: Check, usual: Condition) -> str:
    is_plain = check.kind is CheckKind.OHMS or check.condition.key == usual.key
    return "" if is_plain else f"key {clean(check.condition.key, 40)}"


def _set_words(harness: Harness, check: Check, usual: Condition) -> tuple[str, ...]:
    """Say what is set in a check and not usually, then what is at rest against that."""
    settings = tuple(pair for pair in check.condition.settings if pair not in usual.settings)
    changed = replace(check.condition, settings=settings, faults=(), posts_volts=None)
    return (*settings_words(harness, changed), *at_rest_words(harness, check, usual))


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
