"""A fault in words: where it is and what is wrong there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from model.words import clean, ohms_text

if TYPE_CHECKING:
    from model.circuit.faults import Fault


def fault_words(fault: Fault) -> str:
    """Return a fault as one says it: ``W9 open``, ``W9 touches BB2``, ``GND1 2.5 Ω in its place``."""
    if fault.ohms is not None:
        return f"{fault.site} {ohms_text(fault.ohms)} in its place"
    words = f"{fault.site} {fault.kind}"
    match str(fault.kind):
        case "touches":
            return f"{words} {clean(fault.partner, 60)}"
        case "elsewhere":
            return f"{words}, really at {clean(fault.partner, 60)}"
        case "high":
            return f"{words}, {ohms_text(fault.added_ohms)} more"
    return words
