"""Sizes of the wires of a new circuit and the rating of its fuse."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass

from model.harness.fuse_tables import wire_bears_amps
from model.harness.harness import Harness
from model.harness.parts import Fuse, FuseStyle, LoadKind
from model.review.finding import rule_of
from model.review.fuse_amps import opening_band
from model.review.fuse_ratings import standard_ratings
from model.review.fuse_use import lasting_share
from model.review.wire_size import AWG_GAUGES, ProposedSize, SizeSystem, smallest_wire
from model.tables import SourceKind, conductor_ohms_per_km, table_rows
from model.units import CLASS_5, awg_area_mm2, parse_size, wire_ohms_per_metre

LEAST_MM2 = 1.0
"""ISO 10133 asks for no thinner single conductor in a boat; from memory."""


@dataclass(frozen=True, slots=True)
class Start:
    """What a load takes at its start.

    Attributes
    ----------
    amps
        For a moment; the running current of what takes no more.
    seconds
        About how long; 0 where nothing is known of it.
    words
        How the amperes are known: “as given”, “12 times the running current”.
    """

    amps: float
    seconds: float
    words: str
    source: str
    source_kind: SourceKind


def steady(amps: float) -> Start:
    """Give the start of what takes no more then."""
    return Start(amps, 0.0, "", "", SourceKind.JUDGEMENT)


def start_of(kind: LoadKind, amps: float, given_amps: float | None) -> Start:
    """Give what a load takes at its start: as given, else by its kind."""
    row = next(row for row in table_rows("start_factors") if row["kind"] == kind)
    if given_amps is not None:
        return Start(
            max(given_amps, amps), float(row["seconds"]), "as given", row["source"], SourceKind.COMMON_PRACTICE
        )
    words = f"{float(row['factor']):g} times the running current"
    return Start(
        amps * float(row["factor"]), float(row["seconds"]), words, row["source"], SourceKind(row["source_kind"])
    )


def least_area_mm2(harness: Harness) -> float:
    """Give the thinnest area that is proposed: 1 mm², or the file's default size where that is smaller."""
    typed = harness.defaults.size
    return LEAST_MM2 if typed is None else min(LEAST_MM2, parse_size(typed).area_mm2)


def size_system(harness: Harness) -> SizeSystem:
    """Tell in which sizes most wires of a file are given; metric where none is."""
    counts = Counter(parse_size(wire.size).is_awg for wire in harness.wires if wire.size is not None)
    return SizeSystem.AWG if counts[True] > counts[False] else SizeSystem.METRIC


def bundle_share() -> float:
    """Give the share of what a single wire bears that one in a bundle is taken to bear."""
    return rule_of("wire in a bundle").figure


def bears_amps(size: float | str, *, in_bundle: bool) -> float:
    """Give the amperes that a wire of a size bears, in a bundle less."""
    alone_amps = wire_bears_amps(parse_size(size).area_mm2)
    return alone_amps * bundle_share() if in_bundle else alone_amps


@dataclass(frozen=True, slots=True)
class Sizing:
    """What a wire is sized for.

    Attributes
    ----------
    amps
        Current in amperes.
    length_m
        Out and back, in metres.
    drop_volts
        Volts that may fall along it.
    guard_amps
        Rating of the fuse before it.
    least_mm2
        No thinner one is proposed.
    """

    amps: float
    length_m: float
    drop_volts: float
    guard_amps: float
    in_bundle: bool
    least_mm2: float
    system: SizeSystem


def sized(asked: Sizing) -> ProposedSize | None:
    """Give the smallest wire that loses no more, bears its current and its fuse, and is not under the least.

    None where none is sold.

    Raises
    ------
    ValueError
        Where the volts that may fall are not above zero.
    """
    borne_amps = max(asked.amps, asked.guard_amps) / (bundle_share() if asked.in_bundle else 1.0)
    found = smallest_wire(asked.amps, asked.length_m, asked.drop_volts, fuse_amps=borne_amps, system=asked.system)
    if found is None or found.area_mm2 >= asked.least_mm2:
        return found
    size, area_mm2 = _least(asked)
    return ProposedSize(size, area_mm2, asked.amps * asked.length_m * wire_ohms_per_metre(size))


def _least(asked: Sizing) -> tuple[float | str, float]:
    if asked.system is SizeSystem.AWG:
        areas = ((f"AWG {gauge}", awg_area_mm2(gauge)) for gauge in AWG_GAUGES)
        return next((size, area) for size, area in areas if area >= asked.least_mm2)
    area_mm2 = next(area for area in sorted(conductor_ohms_per_km(CLASS_5)) if area >= asked.least_mm2)
    return area_mm2, area_mm2


def fuse_rating(amps: float, start: Start, style: FuseStyle = FuseStyle.BLADE) -> float | None:
    """Give the smallest rating that bears a current for long and outlasts the start; None where none is made.

    Notes
    -----
    A fuse is loaded for long to 80 % of its rating, common practice; at the start it must not open within the time that
    the start lasts, in the middle of the opening times that ISO 8820-3 allows.
    """
    ratings = (rating for rating in standard_ratings() if lasting_share() * rating >= amps - 1e-9)
    return next((rating for rating in ratings if bears_start(rating, start, style)), None)


def bears_start(rating_amps: float, start: Start, style: FuseStyle = FuseStyle.BLADE) -> bool:
    """Tell whether a fuse outlasts a start; one of which no times are known is taken to.

    Notes
    -----
    The band of opening times is wide, 0.08 to 5 s between 200 and 350 % of the rating: a fuse is judged by the
    geometric mean of its ends. Where one end is not given the earlier one counts.
    """
    band = opening_band(Fuse(id="F", amps=rating_amps, style=style), start.amps)
    if band is None:
        return True
    least_seconds = band.least_seconds or 0.0
    return start.seconds <= (
        least_seconds if band.most_seconds is None else math.sqrt(least_seconds * band.most_seconds)
    )
