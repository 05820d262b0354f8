"""Every fuse of a loom: what it feeds and when, what it carries and may carry, what dies without it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from model.circuit.bench import Bench
from model.circuit.settle import FUSE_OPENS_AT
from model.circuit.survey import Survey
from model.harness.harness import Harness
from model.harness.parts import Fuse, FuseStyle
from model.review.fed_points import Fed, fed_in
from model.review.fuse_alone import Uncharged, alone_survey, charging_surveys, hand_charged, tried_alone, uncharged
from model.review.fuse_amps import (
    FuseCurrent,
    FuseStart,
    OpeningBand,
    largest_start,
    most_amps,
    opening_band,
)
from model.review.fuse_feeds import FuseFeeds, all_behind, fuse_feeds
from model.review.fuse_own import CARRIES_AMPS
from model.review.fuse_pulled import Pulled, pulled_fuses
from model.review.fuse_ratings import largest_rating, standard_ratings, thinnest_in_bundle
from model.review.spread import Spread, spread_of
from model.review.sweep import Sweep, sweep
from model.tables import table_rows
from model.tracing.fuse_words import fitting_of, fuse_colour
from model.tracing.wire_bears import Thinnest, thinnest_behind

_GUESS_COUNTS_FROM_PERCENT = 200.0
LASTING_SHARE_QUANTITY = "most amperes through a fuse"


class Concern(StrEnum):
    """What is to be thought over of a fuse."""

    LOADS_OPEN_IT = "its loads ask for more than it bears"
    OVER_RATING = "carries more than its rating"
    OVER_SHARE = "carries much of its rating for long"
    WIRE_UNDER_RATING = "larger than its thinnest wire bears"
    BUNDLE_UNDER_RATING = "larger than a wire bears in its bundle"
    WIRE_UNDER_CURRENT = "its thinnest wire carries more than it bears"
    MAY_OPEN_AT_START = "may open where a load starts"
    NEVER_FED = "no key state feeds it"


@dataclass(frozen=True, slots=True)
class LoadBehind:
    """A load behind a fuse, and the key states in which it works with something that a hand moves or nothing moved."""

    name: str
    works_in: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FuseUse:
    """A fuse as it is used.

    Attributes
    ----------
    colour
        In a word, as ISO 8820-3 has it for its rating; empty where the standard has none.
    fed
        Key state → whether it is fed at rest, with something moved, or not.
    loads
        The loads behind it without another fuse between.
    all_loads
        Names of all of them, those behind further fuses too.
    most, lasting
        The most amperes that its loads ask for, and the most outside cranking; None where nothing could be solved.
    start
        The most for a moment; None where no load takes more at its start than running.
    start_band
        Within which time a fuse of its kind opens at that; None where none is known, or it bears it.
    thinnest, thinnest_amps
        The wire that bears least behind it, None where none hangs there; and the most amperes in it outside cranking.
    in_bundle
        The wire behind it that bears least in a trunk; None where none lies in one.
    fit_at_most_amps
        The largest rating that may be fitted; None of a fuse without one.
    pulled
        What dies without it, by the conditions in which its loads work.
    uncharged
        The batteries that are charged no longer without it.
    """

    fuse: Fuse
    colour: str
    feeds: FuseFeeds
    fed: dict[str, Fed]
    loads: tuple[LoadBehind, ...]
    all_loads: tuple[str, ...]
    most: FuseCurrent | None
    lasting: FuseCurrent | None
    start: FuseStart | None
    start_band: OpeningBand | None
    thinnest: Thinnest | None
    thinnest_amps: float
    in_bundle: Thinnest | None
    fit_at_most_amps: float | None
    pulled: tuple[Pulled, ...]
    uncharged: tuple[Uncharged, ...]
    concerns: tuple[Concern, ...]

    @property
    def dies(self) -> tuple[str, ...]:
        """Name every element that dies where the fuse is pulled."""
        return tuple(dict.fromkeys(name for one in self.pulled for name in one.dies))

    @property
    def alive(self) -> tuple[str, ...]:
        """Name every element behind the fuse that works all the same where it is pulled."""
        return tuple(dict.fromkeys(stays.name for one in self.pulled for stays in one.alive))


def fuse_review(bench: Bench, found: Sweep | None = None) -> tuple[FuseUse, ...]:
    """Give every fuse of a harness as it is used, in the order of the file.

    Parameters
    ----------
    found
        The sweep of the same bench, where it has been made.

    Notes
    -----
    What a fuse carries for long is held against 80 % of its rating, common workshop practice of 70 to 80 %; a wire
    against a wire maker's catalogue, one wire in free air (JIS C 3406 AV), and in a trunk against three quarters of it,
    a judgement.
    """
    swept = found if found is not None else sweep(bench)
    spread = spread_of(swept)
    pulled = pulled_fuses(spread)
    by_hand = hand_charged(swept)
    surveys = (*(one.survey for one in spread.seen), *by_hand)
    lasting = (*(one.survey for one in spread.seen if not one.is_cranked), *by_hand)
    charging = tuple(charging_surveys(bench.harness, swept, by_hand))
    tried = tried_alone(bench.harness.fuses, lasting)
    known = _Known(spread, surveys, lasting, charging, tried, fed_in(spread))
    return tuple(_use(known, fuse, pulled[fuse.id]) for fuse in bench.harness.fuses)


def lasting_share() -> float:
    """Give the share of its rating up to which a fuse may be loaded for long: common workshop practice."""
    row = next(row for row in table_rows("load_limits") if row["quantity"] == LASTING_SHARE_QUANTITY)
    return float(row["value"]) / 100.0


def colour_of(fuse: Fuse) -> str:
    """Name the colour of a fuse by its rating (ISO 8820-3); empty where the standard has none for it."""
    if fuse.style is not FuseStyle.BLADE or fuse.amps is None:
        return ""
    return fuse_colour(fuse.amps)


@dataclass(frozen=True, slots=True)
class _Known:
    """What has been solved that a fuse is told from."""

    spread: Spread
    surveys: tuple[Survey, ...]
    lasting: tuple[Survey, ...]
    charging: tuple[Survey, ...]
    tried_alone: frozenset[str]
    fed: dict[str, dict[str, Fed]]


def _use(known: _Known, fuse: Fuse, pulled: tuple[Pulled, ...]) -> FuseUse:
    spread, harness = known.spread, known.spread.bench.harness
    feeds, behind = fuse_feeds(harness)[fuse.id], all_behind(harness, fuse.id)
    alone = _alone(known, fuse, behind)
    long = (*known.lasting, *alone)
    most_long = most_amps(long, fuse.id)
    start = largest_start(harness, long, fuse.id, tuple(spread.elements[name] for name in behind))
    if start is not None and most_long is not None and start.amps <= most_long.amps:
        start = None
    thinnest = thinnest_behind(harness).get(fuse.id)
    use = FuseUse(
        fuse=fuse,
        colour=colour_of(fuse),
        feeds=feeds,
        fed={key: points.get(feeds.upstream, Fed.NONE) for key, points in known.fed.items()},
        loads=tuple(LoadBehind(name, spread.works_in(name)) for name in feeds.loads),
        all_loads=behind,
        most=most_amps((*known.surveys, *alone), fuse.id),
        lasting=most_long,
        start=start,
        start_band=opening_band(fuse, start.amps) if start is not None else None,
        thinnest=thinnest,
        thinnest_amps=_wire_amps(long, thinnest.wire_id) if thinnest is not None else 0.0,
        in_bundle=thinnest_in_bundle(harness).get(fuse.id),
        fit_at_most_amps=_fit_at_most_amps(harness, fuse),
        pulled=pulled,
        uncharged=uncharged(spread.bench, known.charging, fuse.id) if _may_charge(feeds) else (),
        concerns=(),
    )
    return replace(use, concerns=tuple(_concerns(use)))


def _may_charge(feeds: FuseFeeds) -> bool:
    """Tell whether charging may hang on a fuse: not on one that has loads alone behind it."""
    return any((feeds.supplies, feeds.joins, feeds.meets, feeds.coils, feeds.fuses))


def _alone(known: _Known, fuse: Fuse, behind: tuple[str, ...]) -> tuple[Survey, ...]:
    """Solve a fuse with its own loads alone, the engine running where it carries most so."""
    states = known.spread.bench.harness.key_states
    running = {state.name for state in states if state.charging}
    carrying = [one for one in known.lasting if one.fuse_amps[fuse.id] > CARRIES_AMPS]
    turned = [one for one in carrying if one.settled.condition.key in running]
    most = max(turned or carrying, key=lambda one: round(one.fuse_amps[fuse.id], 9), default=None)
    if most is None or not behind or fuse.id not in known.tried_alone:
        return ()
    found = alone_survey(known.spread, most, fuse.id, behind)
    return () if found is None else (found,)


def _fit_at_most_amps(harness: Harness, fuse: Fuse) -> float | None:
    """Give the largest rating that may be fitted, for the wires alone and in their bundles; None without a rating."""
    fit_amps, in_bundle = fitting_of(harness, fuse).amps, thinnest_in_bundle(harness).get(fuse.id)
    if fit_amps is None or in_bundle is None or in_bundle.amps >= fit_amps:
        return fit_amps
    return largest_rating(in_bundle.amps) or standard_ratings()[0]


def _wire_amps(surveys: Iterable[Survey], wire_id: str) -> float:
    """Give the most amperes in a wire."""
    most = 0.0
    for survey in surveys:
        net = survey.settled.net
        if wire_id in net.sites:
            most = max(most, abs(float(survey.settled.amps[net.sites.index(wire_id)])))
    return most


def _concerns(use: FuseUse) -> Iterator[Concern]:
    rating = use.fuse.amps
    if rating is not None and use.most is not None and use.lasting is not None:
        if use.most.amps > FUSE_OPENS_AT * rating:
            yield Concern.LOADS_OPEN_IT
        elif use.lasting.amps > rating:
            yield Concern.OVER_RATING
        elif use.lasting.amps > lasting_share() * rating:
            yield Concern.OVER_SHARE
    if use.thinnest is not None:
        if rating is not None and rating > use.thinnest.amps:
            yield Concern.WIRE_UNDER_RATING
        elif rating is not None and use.in_bundle is not None and rating > use.in_bundle.amps:
            yield Concern.BUNDLE_UNDER_RATING
        if use.thinnest_amps > use.thinnest.amps:
            yield Concern.WIRE_UNDER_CURRENT
    if _may_open(use):
        yield Concern.MAY_OPEN_AT_START
    if not use.feeds.is_spare and all(fed is Fed.NONE for fed in use.fed.values()):
        yield Concern.NEVER_FED


def _may_open(use: FuseUse) -> bool:
    """Tell whether a start lasts longer than the fuse bears: for certain as the file gives it, a guess only by far.

    A start guessed by the kind of load counts from twice the rating on, and where it outlasts the middle of the band
    of times, by its ends' geometric mean; a judgement.
    """
    band, start = use.start_band, use.start
    if band is None or start is None or start.seconds is None:
        return False
    least_seconds, most_seconds = band.least_seconds or 0.0, band.most_seconds or math.inf
    if start.is_given:
        return start.seconds > least_seconds
    middle_seconds = math.sqrt(least_seconds * most_seconds) if least_seconds else most_seconds / 2.0
    return band.percent >= _GUESS_COUNTS_FROM_PERCENT and start.seconds > middle_seconds
