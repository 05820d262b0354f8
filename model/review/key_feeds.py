"""In which key states each load is fed, at rest and with its own switches on, beside what the file asks for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from model.cautions import crank_keys
from model.circuit.bench import Bench
from model.circuit.condition import Condition, rest_position
from model.circuit.survey import Survey
from model.errors import CircuitError
from model.harness.harness import Element, Harness
from model.harness.parts import Switch
from model.review.own_settings import Settings, full_volts, reaching, share_of_full, works
from model.review.spread import Spread, spread_of
from model.review.sweep import Sweep, sweep
from model.tracing.rated import works_in_of
from model.tracing.working import WORKS_AT_SHARE

_WEAK_SHARE = 0.25


class Feed(StrEnum):
    """How a load stands in a key state.

    ``at rest`` works with nothing moved; ``fed`` works with its own switches on; ``weak`` has a quarter to 80 % of its
    volts; ``live`` has volts at its feed and nothing across it; ``none`` neither; ``unsettled`` where relays buzz.
    """

    AT_REST = "at rest"
    FED = "fed"
    WEAK = "weak"
    LIVE = "live"
    NONE = "none"
    UNSETTLED = "unsettled"


class Oddity(StrEnum):
    """How what a load has in a key state differs from what the file asks for."""

    MISSING = "missing"
    DROPPED = "dropped"
    WEAK = "weak"
    UNASKED = "unasked"
    KEPT = "kept"
    UNSWITCHED = "unswitched"


@dataclass(frozen=True, slots=True)
class KeyFeed:
    """What a load has in a key state.

    Attributes
    ----------
    across_volts, feed_volts
        Across it, and at its feed against the reference, with its own switches on; at rest where nothing is moved.
    rest_across_volts, rest_feed_volts
        The same with nothing moved.
    condition
        In which its own switches are on; None where the circuit cannot be so.
    """

    key: str
    feed: Feed
    across_volts: float
    feed_volts: float
    rest_across_volts: float
    rest_feed_volts: float
    condition: Condition | None


@dataclass(frozen=True, slots=True)
class LoadFeeds:
    """The key states of an element of a load, or of a feed of a module.

    Attributes
    ----------
    works_in
        Key states in which it should work; None where the file does not say.
    feed_point
        Its terminal on the live side.
    oddities
        Key states in which it differs, and how.
    """

    element: Element
    works_in: tuple[str, ...] | None
    feed_point: str
    keys: tuple[KeyFeed, ...]
    oddities: tuple[tuple[str, Oddity], ...]


def key_feeds(bench: Bench, found: Sweep | None = None, *, is_alone: bool = False) -> tuple[LoadFeeds, ...]:
    """Give the key states of every load, in the order of the file.

    Parameters
    ----------
    found
        The sweep of the same bench, where it has been made.
    is_alone
        Whether each load is solved with its own switches on and nothing else, so that its volts are those that one
        meets; else loads that do not meet are on at once, which costs less.

    Notes
    -----
    A load that names its switches (``works_with``) is solved with those on, the first choice that can feed it; one that
    names none with everything on that a hand moves. It works from 80 % of its rated volts on, or of what the posts have
    where that is less, as while cranking.
    """
    swept = found if found is not None else sweep(bench)
    spread = spread_of(swept)
    known = _Known(swept, spread)
    loads = tuple(_feeds_of(known, element) for element in spread.elements.values())
    return tuple(_alone(known, load) for load in loads) if is_alone else loads


@dataclass(frozen=True, slots=True)
class _Known:
    """What has been solved: at rest, and spread out."""

    swept: Sweep
    spread: Spread


def _feeds_of(known: _Known, element: Element) -> LoadFeeds:
    harness = known.spread.bench.harness
    point = _feed_point(known, element)
    keys = tuple(_key_feed(known, element, point, key) for key in harness.key_names)
    works_in = works_in_of(harness, element)
    own = known.spread.owns.get(element.name)
    is_switched = own is not None and not any(_is_rest(harness, choice) for choice in own.choices)
    return LoadFeeds(element, works_in, point, keys, tuple(_oddities(harness, keys, works_in, is_switched)))


def _feed_point(known: _Known, element: Element) -> str:
    """Give the terminal of an element that has more volts where it works, else the one on the side of the live post."""
    seen = next((one for one in known.spread.seen if element.name in one.works), None)
    if seen is None:
        is_positive = known.spread.bench.harness.build.ground_side == "positive"
        return element.to_point if is_positive else element.from_point
    settled = seen.survey.settled
    return max((element.from_point, element.to_point), key=lambda point: abs(settled.volts_at(point) or 0.0))


def _key_feed(known: _Known, element: Element, point: str, key: str) -> KeyFeed:
    rest = known.swept.at_rest.get(key)
    moved = _moved(known, element, key)
    rest_volts = _volts(rest, element, point)
    volts = _volts(moved, element, point) if moved is not None else rest_volts
    condition = moved.settled.condition if moved is not None else None
    return KeyFeed(key, _feed_word(element, point, rest, moved), *volts, *rest_volts, condition)


def _moved(known: _Known, element: Element, key: str) -> Survey | None:
    """Give the survey of an element with its own switches on.

    Of one that names none the survey with most volts; at rest where it works so: while cranking another one has most
    volts because the starter stands.
    """
    if element.name in known.spread.owns:
        return known.spread.switched[key, element.name]
    rest = known.swept.at_rest.get(key)
    if works(rest, element):
        return rest
    surveys = [one.survey for one in known.spread.seen if one.condition.key == key]
    return max(surveys, key=lambda survey: survey.loads[element.name].volts, default=rest)


def _alone(known: _Known, load: LoadFeeds) -> LoadFeeds:
    """Give the key states of a load with nothing on but its own switches, where it works so as with others on."""
    bench, element = known.spread.bench, load.element
    keys = tuple(_key_alone(known, load, one) for one in load.keys)
    if keys == load.keys:
        return load
    own = known.spread.owns.get(element.name)
    is_switched = own is not None and not any(_is_rest(bench.harness, choice) for choice in own.choices)
    return replace(load, keys=keys, oddities=tuple(_oddities(bench.harness, keys, load.works_in, is_switched)))


def _key_alone(known: _Known, load: LoadFeeds, one: KeyFeed) -> KeyFeed:
    settings = _own_of(known, load.element, one.condition)
    if one.condition is None or len(settings) == len(one.condition.settings):
        return one
    condition = replace(one.condition, settings=settings)
    try:
        survey = known.spread.bench.survey(condition)
    except CircuitError:
        return one
    if one.feed is Feed.FED and not works(survey, load.element):
        return one
    volts = _volts(survey, load.element, load.feed_point)
    feed = _feed_word(load.element, load.feed_point, known.swept.at_rest.get(one.key), survey)
    return KeyFeed(one.key, feed, *volts, one.rest_across_volts, one.rest_feed_volts, condition)


def _own_of(known: _Known, element: Element, condition: Condition | None) -> Settings:
    """Give what of a condition is a load's own: one of its choices, or of one that names none all that can reach it."""
    if condition is None:
        return ()
    own = known.spread.owns.get(element.name)
    if own is None:
        reach = {element.part_id, *reaching(known.spread.bench.harness, element)}
        return tuple(pair for pair in condition.settings if pair[0] in reach)
    fitting = (one for one in own.choices if set(one) <= set(condition.settings))
    return next(fitting, condition.settings)


def _feed_word(element: Element, point: str, rest: Survey | None, moved: Survey | None) -> Feed:
    if works(rest, element):
        return Feed.AT_REST
    if works(moved, element):
        return Feed.FED
    surveys = [one for one in (rest, moved) if one is not None]
    if any(_is_unsettled(one, element) for one in surveys):
        return Feed.UNSETTLED
    if any(share_of_full(one, element) >= _WEAK_SHARE for one in surveys):
        return Feed.WEAK
    if any(abs(one.settled.volts_at(point) or 0.0) >= WORKS_AT_SHARE * full_volts(one, element) for one in surveys):
        return Feed.LIVE
    return Feed.NONE


def _volts(survey: Survey | None, element: Element, point: str) -> tuple[float, float]:
    if survey is None:
        return 0.0, 0.0
    return survey.loads[element.name].volts, survey.settled.volts_at(point) or 0.0


def _is_unsettled(survey: Survey, element: Element) -> bool:
    settled = survey.settled
    nodes = (settled.net.index[point] for point in (element.from_point, element.to_point))
    return any(node in settled.unsettled for node in nodes)


def _is_rest(harness: Harness, choice: Settings) -> bool:
    """Tell whether settings leave every switch as it rests."""
    return all(
        isinstance(part := harness.parts.get(name), Switch) and not part.follows and value == rest_position(part)
        for name, value in choice
    )


def _oddities(
    harness: Harness, keys: tuple[KeyFeed, ...], works_in: tuple[str, ...] | None, is_switched: bool
) -> Iterator[tuple[str, Oddity]]:
    cranking = crank_keys(harness)
    for one in keys:
        is_fed = one.feed in (Feed.AT_REST, Feed.FED)
        if works_in is None or one.feed is Feed.UNSETTLED:
            odd = None
        elif one.key in works_in and one.feed is Feed.WEAK:
            odd = Oddity.WEAK
        elif one.key in works_in and not is_fed:
            odd = Oddity.DROPPED if one.key in cranking else Oddity.MISSING
        elif one.key not in works_in and is_fed:
            odd = Oddity.KEPT if one.key in cranking else Oddity.UNASKED
        else:
            odd = None
        if odd is None and is_switched and one.feed is Feed.AT_REST:
            odd = Oddity.UNSWITCHED
        if odd is not None:
            yield one.key, odd
