"""The own switches of loads in the positions in which they work; those that do not meet are switched on together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from model.cautions import cranks
from model.circuit.bench import Bench
from model.circuit.condition import ON, Condition
from model.circuit.survey import Survey
from model.errors import CircuitError
from model.harness.derived import once_per_harness
from model.harness.harness import Element, Harness
from model.harness.parts import LoadKind
from model.review.glance_sources import source_volts
from model.tracing.by_hand import metal_by_hand
from model.tracing.graph import LinkKind, hot_posts
from model.tracing.rated import works_in_of, works_with_of
from model.tracing.reach import reach_of
from model.tracing.working import WORKS_AT_SHARE

Settings = tuple[tuple[str, str], ...]

_MOVED_KINDS = frozenset({LinkKind.SWITCH, LinkKind.CAVITY, LinkKind.RESISTOR})


@dataclass(frozen=True, slots=True)
class OwnSettings:
    """How a load that names its switches is switched on.

    Attributes
    ----------
    choices
        Settings, any of which serves.
    reach
        Everything that can be set and can reach the load.
    """

    element: Element
    choices: tuple[Settings, ...]
    reach: frozenset[str]


@dataclass
class Group:
    """Loads that are switched on at once, none of them reached by what is set for another.

    Attributes
    ----------
    settings
        What is set.
    at_rest
        What must stay as it is.
    """

    settings: dict[str, str] = field(default_factory=dict)
    at_rest: set[str] = field(default_factory=set)
    names: list[str] = field(default_factory=list)

    def takes(self, settings: Mapping[str, str], reach: frozenset[str]) -> bool:
        """Tell whether a load with these settings may join."""
        if any(self.settings.get(name, value) != value or name in self.at_rest for name, value in settings.items()):
            return False
        return not any(name in self.settings and name not in settings for name in reach)

    def add(self, name: str, settings: Mapping[str, str], reach: frozenset[str]) -> None:
        """Take a load in."""
        self.settings.update(settings)
        self.at_rest |= reach - set(settings)
        self.names.append(name)


def own_settings(harness: Harness, element: Element, found_working: Condition | None) -> OwnSettings | None:
    """Give how an element is switched on by what the file names; None where it names no switch.

    Parameters
    ----------
    found_working
        A condition in which it works: what else can reach it is set as there where the named switches alone cannot
        feed it.
    """
    given = works_with_of(harness, element)
    if not given:
        return None
    tables = given if isinstance(given, tuple) else (given,)
    plugged: Settings = ((element.part_id, ON),) if element.kind is LoadKind.SOCKET else ()
    choices = tuple((*table.items(), *plugged) for table in tables)
    reach = frozenset(reaching(harness, element))
    metal = metal_by_hand(harness)
    if found_working is not None and not any(
        metal.may_feed(element, Condition(key, choice)) for key in harness.key_names for choice in choices
    ):
        more = tuple(pair for pair in found_working.settings if pair[0] in reach)
        choices = tuple((*(pair for pair in more if pair[0] not in dict(choice)), *choice) for choice in choices)
    return OwnSettings(element, choices, reach)


def choice_at(harness: Harness, own: OwnSettings, key: str) -> Settings:
    """Give the first of the choices with which metal may feed the load in a key state, else the first of all."""
    metal = metal_by_hand(harness)
    fed = (one for one in own.choices if metal.may_feed(own.element, Condition(key, one)))
    return next(fed, own.choices[0])


def grouped(harness: Harness, owns: Iterable[OwnSettings], key: str) -> list[Group]:
    """Put loads together that can be switched on at once in a key state; what turns a starter stands alone."""
    groups: list[Group] = []
    for own in owns:
        settings = dict(choice_at(harness, own, key))
        alone = cranks(harness, Condition(key, tuple(settings.items())))
        fitting = (one for one in groups if one.takes(settings, own.reach))
        group = None if alone else next(fitting, None)
        if group is None:
            group = Group()
            groups.append(group)
        group.add(own.element.name, settings, own.reach)
    return groups


def reaching(harness: Harness, element: Element) -> Iterable[str]:
    """Name everything that can be set and can reach an element: switches, plugs, packs and drivers."""
    for link in reach_of(harness).links_that_matter(element):
        if link.kind is LinkKind.DRIVER:
            yield link.site.replace(":", ".")
        elif link.kind in _MOVED_KINDS:
            yield link.part_id


def switched_on(bench: Bench, owns: tuple[OwnSettings, ...]) -> dict[tuple[str, str], Survey | None]:
    """Solve the loads that name their switches, in each key state those together that do not meet.

    Returns
    -------
    dict
        Key state and name of an element → the survey with its own switches on, None where the circuit cannot be so. Of
        a load with several choices one in which it works stands there, where there is one and the file asks for it.
    """
    harness = bench.harness
    found: dict[tuple[str, str], Survey | None] = {}
    for key in harness.key_names:
        for group in grouped(harness, owns, key):
            survey = _solved(bench, Condition(key, tuple(group.settings.items())))
            found |= dict.fromkeys(((key, name) for name in group.names), survey)
        for own in owns:
            better = _other_choice(bench, own, key, found[key, own.element.name])
            if better is not None:
                found[key, own.element.name] = better
    return found


def works(survey: Survey | None, element: Element) -> bool:
    """Tell whether an element works in a survey: has 80 % of its volts, or of the posts' where those are less."""
    return survey is not None and share_of_full(survey, element) >= WORKS_AT_SHARE


def share_of_full(survey: Survey, element: Element) -> float:
    """Give the share that an element has of its rated volts, or of what the posts have where that is less."""
    return survey.loads[element.name].volts / full_volts(survey, element)


def full_volts(survey: Survey, element: Element) -> float:
    """Give the volts that an element could have: its rated ones, or what the posts have where that is less.

    Posts whose batteries are of less volts than the element, as the tap of a chain, do not count; of several the lowest
    that has as much as the element.
    """
    settled, read_volts = survey.settled, survey.loads[element.name].volts
    posts = (
        abs(settled.volts_at(post) or 0.0)
        for post, nominal_volts in _posts(settled.net.harness)
        if nominal_volts >= WORKS_AT_SHARE * element.at_volts
    )
    best = min((volts for volts in posts if volts >= read_volts and volts > 0.0), default=element.at_volts)
    return min(element.at_volts, best)


@once_per_harness
def _posts(harness: Harness) -> tuple[tuple[str, float], ...]:
    """Give the hot posts, each with the nominal volts of the batteries behind it."""
    return tuple((post, source_volts(harness, post)) for post in hot_posts(harness))


def _other_choice(bench: Bench, own: OwnSettings, key: str, found: Survey | None) -> Survey | None:
    """Try the other choices of a load that should work in a key state and does not with the first."""
    asked = works_in_of(bench.harness, own.element)
    if len(own.choices) == 1 or (asked is not None and key not in asked) or works(found, own.element):
        return None
    others = (_solved(bench, Condition(key, choice)) for choice in own.choices)
    return next((one for one in others if works(one, own.element)), None)


def _solved(bench: Bench, condition: Condition) -> Survey | None:
    try:
        return bench.survey(condition)
    except CircuitError:
        return None
