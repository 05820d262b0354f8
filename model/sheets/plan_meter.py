"""How the meter is set for a row of a plan."""

from __future__ import annotations

from typing import assert_never

from model.harness.harness import Harness
from model.plans.plan import Measure, Plan, PlanRow
from model.words import amps_text

_RANGES_VOLTS = (20, 200)
_CHARGING_SHARE = 1.25
"""A charging system stands this far above its nominal volts at most: 14.8 V of 12."""


def volts_range(harness: Harness) -> int:
    """Give the range of a hand meter in volts that a charging vehicle does not overrun."""
    most_volts = _CHARGING_SHARE * harness.build.nominal_volts
    return next(volts for volts in _RANGES_VOLTS if volts >= most_volts)


def meter_words(harness: Harness, row: PlanRow) -> str:
    """Say in a few words how the meter is set for a row; empty where nothing is measured."""
    match row.measure:
        case Measure.OHMS:
            return "ohms, lowest range"
        case Measure.APART:
            return "ohms, highest range"
        case Measure.VOLTS:
            return f"DC V, auto or {volts_range(harness)} V"
        case Measure.LAMP:
            return f"DC V, auto or {volts_range(harness)} V, across the lamp"
        case Measure.MILLIVOLTS:
            return f"DC mV{f' at {amps_text(row.amps)}' if row.amps else ''}"
        case Measure.AMPS:
            return "DC A, 10 A socket"
        case Measure.SEEN:
            return ""
    assert_never(row.measure)


def setting_sentences(harness: Harness, plan: Plan) -> tuple[str, ...]:
    """Say how the meter is set for each kind of measurement in a plan, in full sentences."""
    used = dict.fromkeys(row.measure for row in plan.rows)
    return tuple(words for words in (_setting(harness, measure) for measure in Measure if measure in used) if words)


def _setting(harness: Harness, measure: Measure) -> str:
    match measure:
        case Measure.OHMS:
            return (
                "Ohms: lowest range, leads zeroed; without a zero, hold the tips together and take off what they show."
                " The beep is a first look only, write down the ohms."
            )
        case Measure.APART:
            return "Ohms for points that must stay apart: highest range or auto; OL on the display is open."
        case Measure.VOLTS:
            return f"Volts: DC V, auto or {volts_range(harness)} V."
        case Measure.LAMP:
            return f"Volts across the lamp: DC V, auto or {volts_range(harness)} V, one probe on each side of the lamp."
        case Measure.MILLIVOLTS:
            return (
                "Millivolts: DC mV, and only while the current flows; where the display shows OL, DC V."
                " What is expected goes with the amperes: write down both."
            )
        case Measure.AMPS:
            return (
                "Amperes: DC A, red lead in the 10 A socket, the meter in series;"
                " move the lead back to the volts socket afterwards. Above 10 A use a clamp."
            )
        case Measure.SEEN:
            return ""
    assert_never(measure)
