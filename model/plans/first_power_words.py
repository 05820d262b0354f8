"""What the lamp in series looks like, and how far off a good reading of it may be."""

from __future__ import annotations

from dataclasses import dataclass, replace

from model.circuit.series_lamp import SeriesLamp, lamp_volts
from model.harness.harness import Element
from model.plans.first_power_motors import standing_words
from model.plans.first_power_scene import FirstPower
from model.plans.limits import COMPUTED
from model.plans.load_limits import load_limit
from model.plans.plan import Limit
from model.tables import SourceKind
from model.words import amps_text, drop_text, watts_text

_DIM_SHARE = 0.20
_FINE_VOLTS = 2.0
_DIGIT_VOLTS = 0.0001
"""A digit of the lowest range of a hand meter in millivolts: 200.0 mV."""


@dataclass(frozen=True, slots=True)
class Still:
    """Motors that may stand still on what the lamp leaves them.

    Attributes
    ----------
    lamp
        What it shows then; None where a relay chatters.
    """

    motors: tuple[Element, ...]
    lamp: SeriesLamp | None


def look_of(first: FirstPower, volts: float) -> str:
    """Say how the lamp looks to the eye at some volts: dark, glows, dim, bright.

    Dark under 10 % of the nominal volts, a glow of the filament to 20 %, dim to 60 %, and bright from there on.
    """
    nominal_volts = first.harness.build.nominal_volts
    if volts < float(load_limit("lamp in series dark to the eye")["value"]) / 100.0 * nominal_volts:
        return "dark"
    if volts < _DIM_SHARE * nominal_volts:
        return "glows"
    bright = float(load_limit("lamp in series bright")["value"]) / 100.0 * nominal_volts
    return "dim" if volts < bright else "bright"


def lamp_words(first: FirstPower, volts: float) -> str:
    """Say what the lamp shows: ``1.24 V, glows``, ``11 mV, dark``."""
    return f"{drop_text(volts)}, {look_of(first, volts)}"


def still_words(first: FirstPower, still: Still) -> str:
    """Say what the lamp shows where motors stand still: ``12.1 V, bright, where the motor stands still``."""
    who = "the motor stands" if len(still.motors) == 1 else "the motors stand"
    if still.lamp is None:
        return f"flickers where {who} still: a relay chatters then"
    return f"up to {lamp_words(first, still.lamp.volts)}, where {who} still"


def lamp_limit(first: FirstPower, lamp: SeriesLamp, still: Still | None = None) -> Limit:
    """Give between what volts the lamp is good.

    Parameters
    ----------
    still
        Motors that turn in that circuit, and the lamp while they stand still; None where there are none.

    Notes
    -----
    Where nothing draws, as many volts more than computed as 20 mA through this lamp give, and no less than a digit of
    the meter. Else the band by the tolerances of parts, supply and meter, in which the lamp's own law counts: its volts
    go with the amperes to the power 1.8. Whether a motor turns on what the lamp leaves it nobody can say, and its
    windings alone are nearly a short: everything from turning on is good.
    """
    limit = _limit_turning(first, lamp)
    if still is None:
        return limit
    words = f"{limit.computed_from}; {standing_words(first.harness, still.motors)}"
    return replace(limit, high=None, computed_from=words)


def _limit_turning(first: FirstPower, lamp: SeriesLamp) -> Limit:
    nominal_volts = first.harness.build.nominal_volts
    band = first.bands(lamp).at(*lamp.ends, across_joint=lamp.volts < _FINE_VOLTS)
    volts, half = abs(band.volts), max(band.high - band.volts, 0.0)
    rule = load_limit("current through the lamp where nothing draws")
    amps = float(rule["value"]) / 1000.0
    least = max(lamp_volts(amps, first.watts, nominal_volts), _DIGIT_VOLTS)
    named = f"a lamp of {watts_text(first.watts)} at {nominal_volts:g} V"
    if volts < least:
        words = f"{amps_text(amps)} through {named}, cold: {drop_text(least)}"
        return Limit(None, volts + least, rule["source"], SourceKind(rule["source_kind"]), words)
    words = f"{nominal_volts:g} V nominal, {named} in series; parts, supply and meter as far off as is usual, two sigma"
    return Limit(max(volts - half, 0.0), volts + half, COMPUTED, SourceKind.JUDGEMENT, words)
