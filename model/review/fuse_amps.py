"""The current of each fuse: the most that its loads ask for, what it carries for long, and what it bears at a start."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from model.circuit.condition import Condition
from model.circuit.survey import Survey
from model.harness.harness import Element, Harness
from model.harness.metal import same_metal
from model.harness.parts import Fuse, FuseStyle
from model.tables import Row, SourceKind, table_rows
from model.tracing.graph import hot_posts
from model.tracing.rated import rated_rows
from model.tracing.working import WORKS_AT_SHARE

MEDIUM_BLADE_AT_MOST_AMPS = 40.0
"""Up to here a blade fuse is taken for type C or F of ISO 8820-3, beyond for type E."""

_LEAST_START_AMPS = 0.05


@dataclass(frozen=True, slots=True)
class FuseCurrent:
    """Amperes through a fuse, and the condition in which it carries them."""

    amps: float
    condition: Condition


@dataclass(frozen=True, slots=True)
class FuseStart:
    """The largest current of a fuse for a moment: one load starts, or several on one wire, while the others run.

    Attributes
    ----------
    loads
        Names of the elements that start.
    amps
        Through the fuse at that moment.
    seconds
        About how long it lasts; None where the file gives the amperes and the kind of load has no time.
    is_given
        True where the file gives the start current of every one of them.
    kind
        Of the source of what the file does not give.
    """

    loads: tuple[str, ...]
    amps: float
    seconds: float | None
    is_given: bool
    condition: Condition
    kind: SourceKind = SourceKind.COMMON_PRACTICE


@dataclass(frozen=True, slots=True)
class OpeningBand:
    """The seconds within which a fuse opens at a current: no sooner than the least, no later than the most.

    Attributes
    ----------
    least_seconds, most_seconds
        None where the standard sets no bound there.
    """

    percent: float
    least_seconds: float | None
    most_seconds: float | None
    style: str
    source: str


def most_amps(surveys: Iterable[Survey], fuse_id: str) -> FuseCurrent | None:
    """Give the most amperes of a fuse in these surveys, the first of equals; None without a survey."""
    currents = [FuseCurrent(one.fuse_amps[fuse_id], one.settled.condition) for one in surveys]
    return max(currents, key=lambda current: round(current.amps, 9), default=None)


def largest_start(
    harness: Harness, surveys: Iterable[Survey], fuse_id: str, elements: tuple[Element, ...]
) -> FuseStart | None:
    """Give the largest current of a fuse while loads behind it start; None where none takes more than it does running.

    Loads whose feeds are one piece of metal start together.
    """
    groups: dict[str, list[Element]] = {}
    for element in elements:
        groups.setdefault(same_metal(harness, _feed_point(harness, element)), []).append(element)
    best: FuseStart | None = None
    for survey in surveys:
        for group in groups.values():
            found = _start_in(harness, survey, fuse_id, group)
            if found is not None and (best is None or found.amps > best.amps + 1e-9):
                best = found
    return best


def opening_band(fuse: Fuse, amps: float) -> OpeningBand | None:
    """Give the band of times in which a fuse opens at a current; None where none is known or it bears it for long.

    Notes
    -----
    ISO 8820-3 gives bands at some multiples of the rating. Between two of them the fuse opens no sooner than at the
    higher and no later than at the lower; no single time follows.
    """
    if fuse.amps is None or fuse.style is not FuseStyle.BLADE:
        return None
    style = "medium blade" if fuse.amps <= MEDIUM_BLADE_AT_MOST_AMPS else "maxi blade"
    rows = [
        row
        for row in table_rows("fuse_times")
        if row["style"] == style and float(row["from_amps"] or 0) <= fuse.amps <= float(row["to_amps"] or "inf")
    ]
    percent = 100.0 * amps / fuse.amps
    under = [row for row in rows if float(row["percent_of_rating"]) <= percent]
    over = [row for row in rows if float(row["percent_of_rating"]) >= percent]
    if not rows or (over and all(not row["max_seconds"] for row in under)):
        return None
    nearest_over = min((float(row["percent_of_rating"]) for row in over), default=None)
    least = [float(row["min_seconds"] or 0) for row in over if float(row["percent_of_rating"]) == nearest_over]
    most = [float(row["max_seconds"]) for row in under if row["max_seconds"]]
    return OpeningBand(percent, min(least, default=None), min(most, default=None), style, (over or under)[0]["source"])


def given_start_amps(harness: Harness, element: Element) -> float | None:
    """Give the amperes of an element at its start as the file has them; None where it does not."""
    return next((row.start_amps for row in rated_rows(harness, element) if row.start_amps is not None), None)


def _start_in(harness: Harness, survey: Survey, fuse_id: str, group: list[Element]) -> FuseStart | None:
    running = [one for one in group if survey.loads[one.name].volts >= WORKS_AT_SHARE * one.at_volts]
    given = {one.name: given_start_amps(harness, one) for one in running}
    more = {one.name: _start_amps(harness, survey, one) - survey.loads[one.name].amps for one in running}
    starting = [one for one in running if more[one.name] > _LEAST_START_AMPS]
    if not starting:
        return None
    guessed = [start_row(one)["source_kind"] for one in starting if given[one.name] is None]
    seconds = max(float(start_row(one)["seconds"]) for one in starting)
    return FuseStart(
        tuple(one.name for one in starting),
        survey.fuse_amps[fuse_id] + sum(more[one.name] for one in starting),
        seconds or None,
        not guessed,
        survey.settled.condition,
        SourceKind(guessed[0]) if guessed else SourceKind.COMMON_PRACTICE,
    )


def _start_amps(harness: Harness, survey: Survey, element: Element) -> float:
    """Give the amperes of an element at its start: as the file has them, else by its kind through the wires it has."""
    given = given_start_amps(harness, element)
    if given is not None:
        return given
    reading = survey.loads[element.name]
    factor = float(start_row(element)["factor"])
    if factor <= 1.0 or reading.amps <= 0.0:
        return reading.amps
    settled = survey.settled
    posts = [abs(settled.volts_at(post) or 0.0) for post in hot_posts(harness)]
    supply_volts = min((volts for volts in posts if volts >= reading.volts), default=reading.volts)
    path_ohms = (supply_volts - reading.volts) / reading.amps
    start_ohms = element.at_volts / (element.rated_amps * factor)
    return supply_volts / (start_ohms + path_ohms)


def start_row(element: Element) -> Row:
    """Give the row of the table of start currents for the kind of an element."""
    return next(row for row in table_rows("start_factors") if row["kind"] == element.kind)


def _feed_point(harness: Harness, element: Element) -> str:
    return element.to_point if harness.build.ground_side == "positive" else element.from_point
