"""How the meter is set for a row of a plan."""

from __future__ import annotations

from typing import assert_never

from model.harness.harness import Harness
from model.plans.plan import Measure, Plan, PlanRow
from model.words import amps_text

_RANGES_VOLTS = (20, 200)
_CHARGING_SHARE = 1.25
"""A charging system stands this far above its nominal volts at most: 14.8 V of 12."""


_LOWEST_RANGE_OHMS = 200.0
"""End of the lowest range of a hand meter of 2000 counts."""

_SOCKET_AMPS = 10.0

_LOW_OHMS = (
    "Ohms: lowest range, leads zeroed; without a zero, hold the tips together and take off what they show."
    " The beep is a first look only, write down the ohms."
)
_MILLIVOLTS_OF_FUSES = (
    "Millivolts: DC mV, lowest range, the tips held together first: what they show then is taken off."
    " Both tips on the metal of one fuse; a minus sign is current the other way."
)
_HIGH_OHMS = "Ohms where open is expected, or much: auto or highest range; OL on the display is open."


def volts_range(harness: Harness) -> int:
    """Give the range of a hand meter in volts that a charging vehicle does not overrun."""
    most_volts = _CHARGING_SHARE * harness.build.nominal_volts
    return next(volts for volts in _RANGES_VOLTS if volts >= most_volts)


def meter_words(harness: Harness, row: PlanRow) -> str:
    """Say in a few words how the meter is set for a row; empty where nothing is measured."""
    match row.measure:
        case Measure.OHMS | Measure.APART:
            return "ohms, auto or highest range" if is_high_ohms(row) else "ohms, lowest range"
        case Measure.VOLTS:
            return f"DC V, auto or {volts_range(harness)} V"
        case Measure.LAMP:
            setting = "DC mV" if row.in_millivolts else f"DC V, auto or {volts_range(harness)} V"
            return f"{setting}, across the lamp"
        case Measure.MILLIVOLTS:
            return f"DC mV{f' at {amps_text(row.amps)}' if row.amps else ''}"
        case Measure.AMPS:
            return "DC A, a clamp: more than 10 A" if _is_beyond_socket(row) else "DC A, a clamp or the 10 A socket"
        case Measure.SEEN:
            return ""
    assert_never(row.measure)


def _is_beyond_socket(row: PlanRow) -> bool:
    """Tell whether more may flow in a row than the socket of a hand meter bears."""
    most = [row.expect, row.limit.high if row.limit is not None else None]
    return any(amps is not None and amps > _SOCKET_AMPS for amps in most)


def is_high_ohms(row: PlanRow) -> bool:
    """Tell whether a sound loom shows open in a row of ohms, or so much that the lowest range shows it as open."""
    if row.measure is Measure.APART:
        return True
    least_ohms = row.expect if row.limit is None or row.limit.low is None else row.limit.low
    return row.measure is Measure.OHMS and least_ohms is not None and least_ohms > _LOWEST_RANGE_OHMS


def setting_sentences(harness: Harness, plan: Plan) -> tuple[str, ...]:
    """Say how the meter is set for each kind of measurement in a plan, in full sentences."""
    used = {(row.measure, is_high_ohms(row)) for row in plan.rows}
    measures = {measure for measure, _ in used}
    fuses = Measure.MILLIVOLTS if any(row.fuse is not None for row in plan.rows) else None
    said = [_LOW_OHMS] if (Measure.OHMS, False) in used else []
    said += [_HIGH_OHMS] if any(is_high for _, is_high in used) else []
    settings = (_MILLIVOLTS_OF_FUSES if one is fuses else _setting(harness, one) for one in Measure if one in measures)
    return (*said, *(words for words in settings if words))


def _setting(harness: Harness, measure: Measure) -> str:
    match measure:
        case Measure.VOLTS:
            return f"Volts: DC V, auto or {volts_range(harness)} V."
        case Measure.LAMP:
            return (
                f"Across the lamp: DC V, auto or {volts_range(harness)} V, one probe on each side of it;"
                " then DC mV where the row says so: there it is to stay dark."
            )
        case Measure.MILLIVOLTS:
            return (
                "Millivolts: DC mV, and only while the current flows; where the display shows OL, DC V."
                " What is expected goes with the amperes: write down both."
            )
        case Measure.AMPS:
            return (
                "Amperes: a DC clamp, zeroed; or, up to 10 A, DC A with the red lead in the 10 A socket and the meter"
                " in series: move the lead back to the volts socket afterwards."
            )
        case Measure.OHMS | Measure.APART | Measure.SEEN:
            return ""
    assert_never(measure)
