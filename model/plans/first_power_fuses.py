"""In which order the fuses go in on the first power, and what else has to be in for each to be live."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import IntEnum
from itertools import groupby

from model.circuit.condition import Condition
from model.harness.harness import Element
from model.harness.parts import Fuse, LoadKind
from model.harness.places import place_of
from model.plans.first_power_scene import Bank, FirstPower, Settings
from model.plans.load_feeds import Feeds

_LIGHTS = frozenset({LoadKind.LAMP, LoadKind.LED})


class Stage(IntEnum):
    """When a fuse goes in: what is live with the key off first, what feeds nothing but modules last."""

    PERMANENT = 0
    LIGHTING = 1
    KEYED = 2
    MODULES = 3


@dataclass(frozen=True, slots=True)
class Fitting:
    """A fuse that goes in, and how.

    Attributes
    ----------
    keys
        Key states in which its feed side is live, in the order in which the key turns.
    settings
        What is moved for it to be live at all: an isolator.
    needs
        Fuses that have to be in before it, those nearest the battery first.
    loads
        Elements that have it as the last fuse before them, with what is set for each to work.
    """

    fuse: Fuse
    bank: Bank
    stage: Stage
    keys: tuple[str, ...]
    settings: Settings
    needs: tuple[str, ...]
    loads: tuple[LoadOn, ...]


@dataclass(frozen=True, slots=True)
class LoadOn:
    """A load that can work on the first power.

    Attributes
    ----------
    fuses
        Every fuse that has to be in for it.
    """

    element: Element
    condition: Condition
    fuses: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Known:
    """What is known of the fuses before they are put in order.

    Attributes
    ----------
    loads
        Fuse id → loads that have it last before them.
    behind
        Fuse id → conditions in which some load that needs it works, the fewest settings first.
    of_modules
        Fuses behind which only feeds of modules hang.
    """

    loads: dict[str, list[tuple[Bank, LoadOn]]]
    behind: dict[str, list[Condition]]
    of_modules: frozenset[str]


@dataclass(frozen=True, slots=True)
class Fittings:
    """What becomes of the fuses on the first power.

    Attributes
    ----------
    order
        Those that go in, in that order.
    tapped
        Those that are fed from between batteries in series alone, past the lamp: id → the post.
    dead
        Ids of those that nothing makes live.
    """

    order: tuple[Fitting, ...]
    tapped: dict[str, str]
    dead: tuple[str, ...]


def fittings_of(first: FirstPower) -> Fittings:
    """Give the fuses in the order in which they go in, and those that do not.

    The order goes by what feeds a fuse: the earliest key state in which its feed side is live. Of those that are live
    with the key off, the ones that feed lamps alone follow the others; fuses behind which modules alone hang are last.
    A fuse that another hangs on goes in before it, whatever its stage.
    """
    known = _Known(_loads_by_fuse(first), _behind_by_fuse(first), _fuses_of_modules(first))
    found = {}
    for fuse in first.harness.fuses:
        fitting = _fitting(first, fuse, known)
        if fitting is not None:
            found[fuse.id] = fitting
    order: dict[str, Fitting] = {}
    for one in _ranked(first, found.values()):
        _put(one, found, order)
    out = [fuse for fuse in first.harness.fuses if fuse.id not in found]
    taps = {fuse.id: _tap_of(first, fuse, known) for fuse in out}
    tapped = {fuse_id: post for fuse_id, post in taps.items() if post}
    return Fittings(tuple(order.values()), tapped, tuple(fuse.id for fuse in out if fuse.id not in tapped))


def _tap_of(first: FirstPower, fuse: Fuse, known: _Known) -> str:
    """Name the post inside a chain that feeds a fuse past the lamp; empty where none does."""
    ways = ((), *(one.settings for one in known.behind.get(fuse.id, ())))
    return next((post for settings in ways if (post := first.tap_of(feed_point(fuse), settings))), "")


def _ranked(first: FirstPower, found: Iterable[Fitting]) -> list[Fitting]:
    """Put fuses in order by bank, stage and key state, in each by place, from where one is to where one goes."""

    def turn(one: Fitting) -> tuple[int, int, int]:
        return first.banks.index(one.bank), one.stage, first.keys.index(one.keys[0])

    def place(one: Fitting) -> str:
        return place_of(first.harness, one.fuse.id).name

    ordered = sorted(found, key=lambda one: (turn(one), len(one.needs)))
    groups = [list(group) for _, group in groupby(ordered, key=turn)]
    ranked: list[Fitting] = []
    here = ""
    for group, following in zip(groups, [*groups[1:], []][: len(groups)], strict=True):
        next_places = {place(one) for one in following}
        names = sorted({place(one): None for one in group}, key=lambda name: (name != here, name in next_places))
        ranked += [one for name in names for one in group if place(one) == name]
        here = names[-1]
    return ranked


def _put(fitting: Fitting, found: dict[str, Fitting], order: dict[str, Fitting]) -> None:
    for need in fitting.needs:
        if need in found and need not in order and fitting.fuse.id not in found[need].needs:
            _put(found[need], found, order)
    order.setdefault(fitting.fuse.id, fitting)


def _loads_by_fuse(first: FirstPower) -> dict[str, list[tuple[Bank, LoadOn]]]:
    """Give the loads by the last fuse before them, on the bank that feeds them; without those that stay unplugged."""
    found: dict[str, list[tuple[Bank, LoadOn]]] = {}
    for element in first.scene.elements:
        for bank in first.banks:
            one = _load_on(first, bank, element)
            if one is not None:
                last, load = one
                found.setdefault(last, []).append((bank, load))
                break
    return found


def _load_on(first: FirstPower, bank: Bank, element: Element) -> tuple[str, LoadOn] | None:
    """Give the last fuse before an element and how it is on; None where it is not on the bank with the engine off."""
    working = first.scene.working(element)
    key, settings = working.condition.key, working.condition.settings
    if not working.reached or key not in first.keys:
        return None
    feeds = first.feeds(bank, key, settings)
    survey = first.scene.survey(first.condition(bank, key, settings))
    if feeds is None or survey is None or survey.loads[element.name].amps <= 0.0:
        return None
    fuses = feeds.feeding_fuses(feeds.feed_ends(element)[0])
    if not fuses:
        return None
    return fuses[-1], LoadOn(element, Condition(key, settings), feeds.needs(element).fuses)


def _fitting(first: FirstPower, fuse: Fuse, known: _Known) -> Fitting | None:
    """Give how a fuse goes in; None where no key state and no switch of a load makes its feed side live."""
    for bank in first.banks:
        for key, settings, feeds in _ways_to_feed(first, bank, known.behind.get(fuse.id, [])):
            if not feeds.is_fed(feed_point(fuse)):
                continue
            needs = feeds.needs_of((feed_point(fuse),))
            kept = tuple(pair for pair in settings if pair[0] in needs.switches)
            keys = tuple(
                other
                for other in first.keys
                if other == key or ((at := first.feeds(bank, other, kept)) is not None and at.is_fed(feed_point(fuse)))
            )
            own = tuple(load for at, load in known.loads.get(fuse.id, ()) if at is bank)
            fuses = tuple(one for one in needs.fuses if one != fuse.id)
            return Fitting(fuse, bank, _stage(first, fuse.id in known.of_modules, keys, own), keys, kept, fuses, own)
    return None


def feed_point(fuse: Fuse) -> str:
    """Name the feed side of a fuse: its ``in``, or the busbar that it sits on."""
    return fuse.bus or f"{fuse.id}.in"


def _ways_to_feed(first: FirstPower, bank: Bank, behind: list[Condition]) -> Iterator[tuple[str, Settings, Feeds]]:
    """Give conditions in which a fuse may be live: all at rest, then as the loads behind it work."""
    for settings in ((), *(one.settings for one in behind)):
        for key in first.keys:
            feeds = first.feeds(bank, key, settings)
            if feeds is not None:
                yield key, settings, feeds


def _stage(first: FirstPower, is_of_modules: bool, keys: tuple[str, ...], own: tuple[LoadOn, ...]) -> Stage:
    if is_of_modules:
        return Stage.MODULES
    if keys[0] != first.keys[0]:
        return Stage.KEYED
    lights = own and all(load.element.kind in _LIGHTS for load in own)
    return Stage.LIGHTING if lights else Stage.PERMANENT


def _working_feeds(first: FirstPower) -> Iterator[tuple[Element, Condition, Feeds]]:
    """Give each element that can work with its condition and the ways of the current there, modules plugged in."""
    for element in first.scene.elements:
        working = first.scene.working(element)
        feeds = first.scene.feeds(working.condition) if working.reached else None
        if feeds is not None:
            yield element, working.condition, feeds


def _behind_by_fuse(first: FirstPower) -> dict[str, list[Condition]]:
    found: dict[str, dict[Condition, None]] = {}
    for element, condition, feeds in _working_feeds(first):
        for fuse_id in feeds.needs(element).fuses:
            found.setdefault(fuse_id, {})[condition] = None
    return {
        fuse_id: sorted(conditions, key=lambda one: (len(one.settings), one.settings))
        for fuse_id, conditions in found.items()
    }


def _fuses_of_modules(first: FirstPower) -> frozenset[str]:
    modules = {module.id for module in first.harness.modules}
    owners: dict[str, set[bool]] = {}
    for element, _, feeds in _working_feeds(first):
        for fuse_id in feeds.feeding_fuses(feeds.feed_ends(element)[0])[-1:]:
            owners.setdefault(fuse_id, set()).add(element.part_id in modules)
    return frozenset(fuse_id for fuse_id, kinds in owners.items() if kinds == {True})
