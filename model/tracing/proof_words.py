"""What a good reading after a repair proves, and what it does not, in words."""

from __future__ import annotations

from typing import assert_never

from model.tracing.checks import Check, CheckKind


def proves_words(check: Check) -> str:
    """Say what a good reading of a proof proves: less than that the repair is good.

    Examples
    --------
    ``It proves what lies between the two probes, at this current.``
    """
    match check.kind:
        case CheckKind.DROP:
            return "It proves what lies between the two probes, at this current."
        case CheckKind.VOLTS:
            return "It proves the way up to the red probe; a joint of some tenths of an ohm may hide in it."
        case CheckKind.AMPS:
            return "It proves that the current flows as it should."
        case CheckKind.OHMS:
            return "It proves that the two are joined, or apart, without load."
        case CheckKind.LAMP | CheckKind.LISTEN | CheckKind.LOOK | CheckKind.OBSERVE:
            return "It proves what was seen or heard, for now."
        case CheckKind.BRIDGE | CheckKind.SWAP | CheckKind.NEW_FUSE:
            return "It proves that it holds, for now."
    assert_never(check.kind)
