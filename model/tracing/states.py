"""What is seen of a load: how likely it is told as working, weak, dead or glowing."""

from __future__ import annotations

import numpy as np

from model.circuit.arrays import FloatArray
from model.circuit.survey import ASKED_SHARE, DEAD_SHARE, WORKS_SHARE
from model.harness.harness import Element
from model.harness.parts import LoadKind
from model.tracing.checks import WORDS_OF, CheckKind, Word
from model.tracing.likelihood import soft_steps

STATES = WORDS_OF[CheckKind.OBSERVE]
"""Works, weak, dead, glows: the order of the rows of all shares here."""

_SOFT_SHARE = 0.05
_LOOKS_ON_SHARE = 0.60
_SUPPLY_DEAD_BELOW = 0.90
_ONE_WAY_KINDS = (LoadKind.LED, LoadKind.ELECTRONICS)


def state_shares(element: Element, now: tuple[FloatArray, FloatArray], sound: tuple[float, float]) -> FloatArray:
    """Give how likely an element looks as each of the states, against the sound circuit.

    Parameters
    ----------
    now
        Volts and amperes, each of shape (cases,).
    sound
        Volts and amperes of the sound circuit.

    Returns
    -------
    FloatArray
        Shape (4, cases): works, weak, dead, glows; each column sums to 1. Those near a border are both.
    """
    volts, amps = now
    if sound[0] >= ASKED_SHARE * element.at_volts:
        ratio = np.minimum(volts / sound[0], amps / sound[1] if sound[1] > 0 else 1.0)
        dead, weak, works = soft_steps(ratio, (DEAD_SHARE, WORKS_SHARE), _SOFT_SHARE)
        return np.array([works, weak, dead, np.zeros(len(volts))])
    dead, glows, works = soft_steps(volts / element.at_volts, (ASKED_SHARE, _LOOKS_ON_SHARE), _SOFT_SHARE)
    if element.kind in _ONE_WAY_KINDS:
        carries = amps >= ASKED_SHARE * element.rated_amps
        glows, works = glows + np.where(carries, 0.0, works), np.where(carries, works, 0.0)
    return np.array([works, np.zeros(len(volts)), dead, glows])


def supply_ratio(volts: FloatArray, sound_volts: float) -> FloatArray:
    """Give which part of its use a battery or charger has left: none at 90 % of its sound volts, all of it at 100 %.

    Parameters
    ----------
    volts
        Shape (cases,): across a battery, or with a charger those of the posts.
    """
    share = np.asarray(volts) / max(sound_volts, 1e-9)
    return np.clip((share - _SUPPLY_DEAD_BELOW) / (1.0 - _SUPPLY_DEAD_BELOW), 0.0, 1.0)


def supply_shares(ratio: FloatArray) -> FloatArray:
    """Give the states of a battery or charger from the part of its healthy volts, or of its lift, that it has.

    Parameters
    ----------
    ratio
        Shape (cases,).
    """
    dead, weak, works = soft_steps(ratio, (DEAD_SHARE, WORKS_SHARE), _SOFT_SHARE)
    return np.array([works, weak, dead, np.zeros(len(ratio))])


def share_of(states: FloatArray, *words: Word) -> FloatArray:
    """Give how likely any of some states is, shape (cases,)."""
    return np.asarray(sum(states[STATES.index(word)] for word in words))
