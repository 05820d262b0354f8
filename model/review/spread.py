"""The conditions that a review of fuses and feeds looks at: everything on, and what only works by itself."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from model.cautions import crank_keys, cranks
from model.circuit.bench import Bench
from model.circuit.condition import Condition, rest_position
from model.circuit.survey import Survey
from model.errors import CircuitError
from model.harness.derived import once_per_harness
from model.harness.harness import Element, Harness, all_elements
from model.harness.parts import Switch
from model.harness.points import contacts
from model.review.blows_alone import never_opening
from model.review.own_settings import OwnSettings, own_settings, switched_on, works
from model.review.sweep import FeedSearch, Sweep, is_sound
from model.tracing.working import WORKS_AT_SHARE

_PARTED_AT_MOST = 3


@dataclass(frozen=True, slots=True)
class Seen:
    """A survey, and what is asked of it again and again.

    Attributes
    ----------
    bench
        On which it was solved: that of the sweep, or one whose fuses never open.
    works
        Names of the elements that have 80 % of their rated volts.
    is_real
        False where a fuse would open: what works there works by itself only, if at all.
    """

    bench: Bench
    survey: Survey
    works: frozenset[str]
    is_cranked: bool
    is_charging: bool
    is_real: bool

    @property
    def condition(self) -> Condition:
        """The condition of the survey."""
        return self.survey.settled.condition


@dataclass(frozen=True, slots=True)
class Spread:
    """Surveys in which, between them, every load works that can.

    Attributes
    ----------
    owns
        How each element that names its switches is switched on, by its name.
    switched
        Key state and name of such an element → the survey with its switches on; None where the circuit cannot be so.
    seen
        Surveys with all fuses whole and no relay buzzing: first those that last and in which the engine stands, then
        those in which it runs, and at last those in which it is cranked.
    opened
        Conditions in which a fuse opens: they stand among those as they would be if none did.
    buzzing
        Conditions in which relays never rest: nothing is told of them.
    """

    bench: Bench
    elements: dict[str, Element]
    owns: dict[str, OwnSettings]
    switched: dict[tuple[str, str], Survey | None]
    seen: tuple[Seen, ...]
    opened: tuple[Condition, ...]
    buzzing: tuple[Condition, ...]

    def works_in(self, name: str) -> tuple[str, ...]:
        """Name the key states in which an element works, at rest or with something moved, cranking by its posts."""
        element = self.elements[name]
        keys = {
            one.condition.key
            for one in self.seen
            if one.is_real and (name in one.works or (one.is_cranked and works(one.survey, element)))
        }
        return tuple(key for key in self.bench.harness.key_names if key in keys)

    def seen_in(self, condition: Condition) -> Seen:
        """Look at a condition on the bench of the sweep, its fuses as they are.

        Raises
        ------
        CircuitError
            Where the circuit cannot be so.
        """
        return _seen(self.bench, self.bench, self.bench.survey(condition), self.elements)


def spread_of(found: Sweep) -> Spread:
    """Spread a sweep out: without what moving only takes away, and each load that works alone.

    Notes
    -----
    With everything moved a flasher or a cut-off that rests closed is open, and a starter turns that has a switch of its
    own, so that the volts of all the rest sag. Every condition stands without those too.
    """
    harness = found.bench.harness
    elements = _elements(harness)
    every = [*found.at_rest.values(), *found.all_on, *found.set_aside]
    closed = (_kept_closed(harness, one.settled.condition) for one in every)
    every += _solved(found.bench, list(filter(None, closed)))
    calm = (_without_starter(harness, one.settled.condition) for one in every)
    every += _solved(found.bench, list(filter(None, calm)))
    opened = [one.settled.condition for one in every if one.settled.blown and not one.settled.buzzing]
    lasting = never_opening(found.bench) if opened else found.bench
    every += [one for condition in opened for one in _parts(found.bench, condition, _PARTED_AT_MOST)]
    working = _first_working(every, elements)
    found_owns = (own_settings(harness, one, working.get(name)) for name, one in elements.items())
    owns = {own.element.name: own for own in found_owns if own is not None}
    switched = switched_on(found.bench, tuple(owns.values()))
    every += [one for one in switched.values() if one is not None]
    working = _first_working(every, elements)
    search = FeedSearch(found)
    alone = (search.feeding(element) for name, element in elements.items() if name not in working)
    conditions = [one.settled.condition for one in alone if one is not None]
    every += _solved(found.bench, [one.at_key(key) for one in conditions for key in harness.key_names])
    every += _solved(lasting, opened)
    sound = {one.settled.condition: one for one in every if is_sound(one)}.values()
    seen = [_seen(found.bench, lasting, one, elements) for one in sound]
    return Spread(
        found.bench,
        elements,
        owns,
        switched,
        tuple(sorted(seen, key=lambda one: (one.is_cranked, one.is_charging, not one.condition.settings))),
        tuple(dict.fromkeys(opened)),
        tuple(dict.fromkeys(one.settled.condition for one in every if one.settled.buzzing)),
    )


@once_per_harness
def _elements(harness: Harness) -> dict[str, Element]:
    return {element.name: element for element in all_elements(harness)}


def element_of(harness: Harness, name: str) -> Element:
    """Give the element of this name: of a load, or the feed of a module.

    Raises
    ------
    KeyError
        Where there is none.
    """
    return _elements(harness)[name]


def working_names(survey: Survey, elements: Mapping[str, Element]) -> frozenset[str]:
    """Name the elements that have 80 % of their rated volts."""
    loads = survey.loads
    return frozenset(
        name for name, element in elements.items() if loads[name].volts >= WORKS_AT_SHARE * element.at_volts
    )


def _seen(bench: Bench, lasting: Bench, survey: Survey, elements: Mapping[str, Element]) -> Seen:
    harness, condition = bench.harness, survey.settled.condition
    is_charging = any(state.charging and state.name == condition.key for state in harness.key_states)
    is_real = survey.settled.net.harness is harness
    works = working_names(survey, elements)
    return Seen(bench if is_real else lasting, survey, works, cranks(harness, condition), is_charging, is_real)


def _parts(bench: Bench, condition: Condition, times: int) -> Iterator[Survey]:
    """Solve a condition in which a fuse opens by halves of what is set, and those in which one still does by theirs."""
    if times == 0 or len(condition.settings) < 2:
        return
    middle = len(condition.settings) // 2
    for half in (condition.settings[:middle], condition.settings[middle:]):
        for survey in _solved(bench, [replace(condition, settings=half)]):
            yield survey
            if survey.settled.blown:
                yield from _parts(bench, survey.settled.condition, times - 1)


def _first_working(surveys: Iterable[Survey], elements: Mapping[str, Element]) -> dict[str, Condition]:
    """Give of each element that works in one of the surveys the condition of the first."""
    found: dict[str, Condition] = {}
    for survey in {id(one): one for one in surveys if is_sound(one)}.values():
        for name in working_names(survey, elements):
            found.setdefault(name, survey.settled.condition)
    return found


def _kept_closed(harness: Harness, condition: Condition) -> Condition | None:
    """Give a condition with every switch left at rest that does nothing but open there; None where it has none."""
    opening = {name for name, position in condition.settings if _only_opens(harness, name, position)}
    return _without(condition, opening)


def _only_opens(harness: Harness, name: str, position: str) -> bool:
    switch = harness.parts.get(name)
    if not isinstance(switch, Switch) or position not in switch.positions:
        return False
    return set(contacts(switch.positions[position])) < set(contacts(switch.positions[rest_position(switch)]))


def _without_starter(harness: Harness, condition: Condition) -> Condition | None:
    """Give a condition without what turns the starter; None where nothing does but the key."""
    if condition.key in crank_keys(harness) or not cranks(harness, condition):
        return None
    alone = (replace(condition, settings=(pair,)) for pair in condition.settings)
    return _without(condition, {one.settings[0][0] for one in alone if cranks(harness, one)})


def _without(condition: Condition, names: set[str]) -> Condition | None:
    if not names:
        return None
    return replace(condition, settings=tuple(pair for pair in condition.settings if pair[0] not in names))


def _solved(bench: Bench, conditions: Iterable[Condition]) -> Iterator[Survey]:
    for condition in conditions:
        try:
            yield bench.survey(condition)
        except CircuitError:
            continue
