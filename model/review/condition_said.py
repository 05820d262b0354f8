"""The condition that a finding was made in, in few words."""

from __future__ import annotations

from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.tracing.condition_words import key_words, settings_words

_SAID_AT_MOST = 4


def condition_said(harness: Harness, condition: Condition) -> str:
    """Say a condition: ``key off, S2 (Lights) on``; with more than four things set, that everything is on."""
    settings = settings_words(harness, condition)
    words = settings if len(settings) <= _SAID_AT_MOST else ("everything on",)
    return ", ".join(one for one in (key_words(harness, condition), *words) if one) or "everything at rest"
