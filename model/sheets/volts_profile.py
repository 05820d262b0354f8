"""The volts down a walk as a profile: computed, as built and read at each point, and where they fall most."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from model.harness.harness import Harness
from model.sheets.walk_as_built import NOT_READ, AsBuilt
from model.tracing.asking import Answered
from model.tracing.checks import Check, CheckKind
from model.tracing.rows import ToldWalk, WalkRow

HEADROOM_VOLTS = 3.0
"""How far the scale goes above the nominal volts: a charged 12 V battery on charge stands under 15 V."""

HEADROOM_SHARE = 0.25
"""The same as a share, which is more from 12 V on: a 24 V battery on charge stands above 27 V."""

FALLS_FROM_VOLTS = 0.0005
"""Less is no drop: no meter of the trade shows it on its volts."""


class Origin(StrEnum):
    """Where volts come from."""

    COMPUTED = "computed"
    AS_BUILT = "as built"
    READ = "read"


@dataclass(frozen=True)
class TraceReadings:
    """What a trace has read on a walk in the condition that the walk is told in, and not before a repair.

    Attributes
    ----------
    volts
        By point, against the black probe of the walk.
    across_volts
        By the two points between which they were read, in either order.
    """

    volts: Mapping[str, float] = field(default_factory=dict)
    across_volts: Mapping[frozenset[str], float] = field(default_factory=dict)


NOTHING_READ = TraceReadings()


@dataclass(frozen=True, slots=True)
class Drop:
    """How far the volts fall between two points of a stretch, in the way that it is told; below 0 where they rise.

    Attributes
    ----------
    rows
        Those that lead from the first point to the last, the last's own among them: one where the two are neighbours.
    """

    origin: Origin
    volts: float
    start: WalkRow
    rows: tuple[WalkRow, ...]

    @property
    def end(self) -> WalkRow:
        """The point that the volts have fallen at."""
        return self.rows[-1]


@dataclass(frozen=True, slots=True)
class ProfilePoint:
    """One point: its volts by where they come from, and how far they have fallen there since the point before.

    Attributes
    ----------
    volts
        Only what there is: nothing computed of a point that floats or is never probed.
    drops
        From the last point before that has volts of the same origin.
    """

    row: WalkRow
    volts: Mapping[Origin, float]
    drops: Mapping[Origin, Drop]


@dataclass(frozen=True)
class Profile:
    """The volts down a walk in the key state that it is told for.

    Attributes
    ----------
    full_volts
        Where the scale ends that begins at 0: fixed by the nominal volts, never by what is drawn. Below 0 where the
        ``+`` posts are the grounded ones.
    sections
        The points of each section of the walk.
    across_volts
        Across the load itself, by where they come from.
    """

    told: ToldWalk
    full_volts: float
    sections: tuple[tuple[ProfilePoint, ...], ...]
    across_volts: Mapping[Origin, float]

    @property
    def origins(self) -> tuple[Origin, ...]:
        """Where any of the volts come from; the computed ones always first."""
        points = [point for section in self.sections for point in section]
        there = {origin for point in points for origin in (*point.volts, *point.drops)} | set(self.across_volts)
        return tuple(origin for origin in Origin if origin is Origin.COMPUTED or origin in there)

    def largest_drop(self, origin: Origin, of: str = "") -> Drop | None:
        """Give the largest drop on the feed and the ground side of the load, or of a control; None where there is none.

        Parameters
        ----------
        of
            Of which control, as the walk names it; the load itself where none is given.
        """
        name = of or self.told.walk.element.name
        drops = [
            point.drops[origin]
            for section, points in zip(self.told.sections, self.sections, strict=True)
            if section.of == name
            for point in points
            if origin in point.drops
        ]
        largest = max(drops, key=lambda drop: drop.volts, default=None)
        return None if largest is None or largest.volts < FALLS_FROM_VOLTS else largest


def volts_profile(
    harness: Harness, told: ToldWalk, as_built: AsBuilt = NOT_READ, readings: TraceReadings = NOTHING_READ
) -> Profile:
    """Give the profile of a walk in the key state that it is told for."""
    key, load = told.condition.key, told.load
    computed = {
        row.point: on
        for section in told.sections
        for row in section.rows
        if not row.refusal and (on := row.expect[key].on) is not None
    }
    sign = -1 if harness.build.ground_side == "positive" else 1
    # a trace takes both signs there: what was typed without one is below 0 all the same
    read = readings.volts if sign > 0 else {point: -abs(volts) for point, volts in readings.volts.items()}
    by_origin = {Origin.COMPUTED: computed, Origin.AS_BUILT: as_built.volts, Origin.READ: read}
    across = {
        Origin.COMPUTED: None if load.refusal else load.across[key].on,
        Origin.AS_BUILT: as_built.across_volts,
        Origin.READ: readings.across_volts.get(frozenset((load.red, load.black))),
    }
    nominal = harness.build.nominal_volts
    return Profile(
        told,
        sign * max(nominal + HEADROOM_VOLTS, nominal * (1 + HEADROOM_SHARE)),
        tuple(_points(section.rows, by_origin, readings, sign) for section in told.sections),
        {origin: volts for origin, volts in across.items() if volts is not None},
    )


def trace_readings(told: ToldWalk, answers: Sequence[Answered]) -> TraceReadings:
    """Give what a trace has read on a walk in the condition that it is told in, the last reading of each.

    What is in doubt is left out: on a scale it would look like any other.

    Parameters
    ----------
    answers
        Since the last repair.
    """
    volts: dict[str, float] = {}
    across: dict[frozenset[str], float] = {}
    for answered in answers:
        check, value = answered.check, answered.outcome.value
        if answered.outcome.word is not None or answered.outcome.in_doubt or not read_as_told(told, check):
            continue
        if check.kind in (CheckKind.VOLTS, CheckKind.DROP):
            across[frozenset((check.red, check.black))] = value
        if check.kind is CheckKind.VOLTS and check.black == told.walk.black:
            volts[check.red] = value
    return TraceReadings(volts, across)


def read_as_told(told: ToldWalk, check: Check) -> bool:
    """Tell whether a check is made in the key state and with the settings that a walk is told for."""
    return check.condition.key == told.condition.key and check.condition.by_name == told.condition.by_name


def _points(
    rows: Sequence[WalkRow], by_origin: Mapping[Origin, Mapping[str, float]], readings: TraceReadings, sign: int
) -> tuple[ProfilePoint, ...]:
    drops = {origin: _drops(rows, origin, volts.get, sign) for origin, volts in by_origin.items()}
    for place, row in enumerate(rows[1:], 1):
        read = readings.across_volts.get(frozenset((rows[place - 1].point, row.point)))
        if read is not None:
            drops[Origin.READ][place] = Drop(Origin.READ, abs(read), rows[place - 1], (row,))
    return tuple(
        ProfilePoint(
            row,
            {origin: volts[row.point] for origin, volts in by_origin.items() if row.point in volts},
            {origin: found[place] for origin, found in drops.items() if place in found},
        )
        for place, row in enumerate(rows)
    )


def _drops(
    rows: Sequence[WalkRow], origin: Origin, volts_at: Callable[[str], float | None], sign: int
) -> dict[int, Drop]:
    """Give the drops at the places of a stretch, each from the last place before that has volts.

    Below 0 where the volts rise on the way, as from an engine that a charger on it pulls below the post.
    """
    found: dict[int, Drop] = {}
    before: tuple[int, float] | None = None
    for place, row in enumerate(rows):
        volts = volts_at(row.point)
        if volts is None:
            continue
        if before is not None:
            first, start_volts = before
            passed = tuple(rows[first + 1 : place + 1])
            found[place] = Drop(origin, sign * (start_volts - volts), rows[first], passed)
        before = place, volts
    return found
