"""What the lamp in series looks like, and how far off a good reading of it may be."""

from __future__ import annotations

from model.circuit.series_lamp import SeriesLamp
from model.plans.first_power_scene import FirstPower
from model.plans.limits import COMPUTED
from model.plans.load_limits import load_limit
from model.plans.plan import Limit
from model.tables import SourceKind
from model.words import volts_text, watts_text

_DIM_SHARE = 0.20
_FINE_VOLTS = 2.0


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
    """Say what the lamp shows: ``1.24 V, glows``."""
    return f"{volts_text(volts)} V, {look_of(first, volts)}"


def lamp_limit(first: FirstPower, lamp: SeriesLamp) -> Limit:
    """Give between what volts the lamp is good.

    Notes
    -----
    Where nothing draws, 10 mV more than computed, which is some 20 mA through a lamp of 21 W. Else the band by the
    tolerances of parts, supply and meter, in which the lamp's own law counts: its volts go with the amperes to the
    power 1.8.
    """
    band = first.bands(lamp).at(*lamp.ends, across_joint=lamp.volts < _FINE_VOLTS)
    volts = abs(band.volts)
    half = max(band.high - band.volts, 0.0)
    rule = load_limit("volts across the lamp with all fuses out")
    least = float(rule["value"]) * first.harness.build.nominal_volts / 12.0
    if volts < least:
        return Limit(None, volts + least, rule["source"], SourceKind(rule["source_kind"]))
    supply = f"{first.harness.build.nominal_volts:g} V nominal, a lamp of {watts_text(first.watts)} in series"
    words = f"{supply}; parts, supply and meter as far off as is usual, two sigma"
    return Limit(max(volts - half, 0.0), volts + half, COMPUTED, SourceKind.JUDGEMENT, words)
