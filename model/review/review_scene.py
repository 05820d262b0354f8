"""What the functions that look for defects share: one loom, solved a few times, and what follows from it."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property

from model.cautions import cranks
from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.faults import part_of_site
from model.circuit.survey import Survey
from model.errors import CircuitError
from model.harness.harness import Element, Harness, all_elements
from model.harness.supply import assumed_of, grounded_posts
from model.review.adrift import adrift_of
from model.review.blows_alone import BlowsAlone, blows_alone, never_opening
from model.review.finding import SIZE_AND_LENGTH
from model.review.sweep import SOLVED_A_SEARCH_AT_MOST, FeedSearch, Sweep, is_sound, sweep
from model.review.way_trees import SurveyWays
from model.tracing.graph import charger_posts, hot_posts, links_of
from model.tracing.load_ways import always_fed, ground_points
from model.tracing.nets import Neighbours, Nets, flood, neighbours_of, nets_of, possible_neighbours
from model.tracing.working import working_condition


class ReviewScene:
    """A loom under review; everything in it is worked out when it is first asked for.

    Attributes
    ----------
    bench
        Where conditions are solved and kept.
    """

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self._feeding: dict[str, Survey | None] = {}
        self._alone: dict[str, BlowsAlone] = {}
        self._ways: dict[Condition, SurveyWays] = {}

    @property
    def harness(self) -> Harness:
        """The loom as read."""
        return self.bench.harness

    @cached_property
    def elements(self) -> tuple[Element, ...]:
        """Every element of every load, then every feed of every module."""
        return all_elements(self.harness)

    @cached_property
    def sweep(self) -> Sweep:
        """Every key state at rest and with everything on."""
        return sweep(self.bench)

    @cached_property
    def surveys(self) -> tuple[Survey, ...]:
        """The surveys of the sweep, those aside in which relays buzz or a fuse blows; and :attr:`lasting`."""
        at_rest = filter(is_sound, self.sweep.at_rest.values())
        return (*at_rest, *self.sweep.all_on, *self.lasting)

    @cached_property
    def lasting(self) -> tuple[Survey, ...]:
        """What would be if no fuse opened, in the conditions in which a load's own fuse opens as soon as it works."""
        return tuple({id(one.survey): one.survey for one in self.blowing}.values())

    @property
    def blowing(self) -> tuple[BlowsAlone, ...]:
        """The loads whose own fuse opens as soon as they work, in the order of the file."""
        if self._lasting_bench is None:
            return ()
        for element in self.elements:
            self.feeding(element)
        return tuple(self._alone.values())

    @cached_property
    def _lasting_bench(self) -> Bench | None:
        """The loom with fuses that never open; None where none opens in the sweep."""
        surveys = (*self.sweep.at_rest.values(), *self.sweep.set_aside)
        return never_opening(self.bench) if any(one.settled.blown for one in surveys) else None

    @cached_property
    def every_survey(self) -> tuple[Survey, ...]:
        """The surveys of the sweep, and those in which loads work that nothing there feeds."""
        feeding = (self.feeding(element) for element in self.elements)
        return tuple({id(one): one for one in (*self.surveys, *feeding) if one is not None}.values())

    @cached_property
    def usual(self) -> tuple[Survey, ...]:
        """The surveys in which the starter does not turn; of those with everything on also without its switch."""
        found = {one.settled.condition: one for one in self.surveys if not self._cranks(one.settled.condition)}
        for survey in self.cranking:
            condition = self._without_start(survey.settled.condition)
            if condition not in found and not self._cranks(condition):
                spared = self.survey(condition)
                if spared is not None and is_sound(spared):
                    found[condition] = spared
        return tuple(found.values())

    def _without_start(self, condition: Condition) -> Condition:
        """Give a condition without the settings that make the starter turn."""
        kept = [pair for pair in condition.settings if not self._cranks(replace(condition, settings=(pair,)))]
        return replace(condition, settings=tuple(kept))

    def _cranks(self, condition: Condition) -> bool:
        return cranks(self.harness, condition)

    @cached_property
    def cranking(self) -> tuple[Survey, ...]:
        """The surveys in which the starter may turn: what they give is an estimate."""
        return tuple(one for one in self.surveys if self._cranks(one.settled.condition))

    @cached_property
    def charging(self) -> tuple[Survey, ...]:
        """The surveys with the engine running."""
        keys = {state.name for state in self.harness.key_states if state.charging}
        return tuple(one for one in self.usual if one.settled.condition.key in keys)

    @cached_property
    def resting(self) -> Survey | None:
        """The first key state with nothing moved; None where it cannot be solved."""
        return self.sweep.at_rest.get(self.harness.key_names[0])

    @cached_property
    def nets(self) -> Nets:
        """Which fuse stands before each point, whatever is switched."""
        return nets_of(self.harness)

    @cached_property
    def is_boat(self) -> bool:
        """Tell whether the rules for boats hold: a load has the role of navigation lamp or bilge pump."""
        loads = self.harness.loads
        return not {"navigation", "bilge"}.isdisjoint(row.role for load in loads for row in (load, *load.elements))

    @cached_property
    def place_of_id(self) -> dict[str, int]:
        """Part id → its place in the order of the file's tables."""
        return {part_id: place for place, part_id in enumerate(self.harness.parts)}

    @cached_property
    def may_be_fed(self) -> frozenset[str]:
        """Points that metal and contacts may join to a hot post, however everything is switched."""
        ends_at = ground_points(self.harness)
        return _reached(possible_neighbours(self.harness), self._posts(hot=True), ends_at) - ends_at

    @cached_property
    def may_be_grounded(self) -> frozenset[str]:
        """Points that metal and contacts may join to a grounded post, however everything is switched."""
        ends_at = always_fed(self.harness)
        return _reached(possible_neighbours(self.harness), self._posts(hot=False), ends_at) - ends_at

    def hangs_on_buzzing(self, ends: tuple[str, str]) -> bool:
        """Tell whether what joins ends to a post goes by contacts of what buzzes, so that volts come and go there."""
        if not self._buzzing:
            return False
        chattering = (self.may_be_fed - self._steady[0]) | (self.may_be_grounded - self._steady[1])
        return not chattering.isdisjoint(ends)

    @cached_property
    def _buzzing(self) -> frozenset[str]:
        surveys = (*self.sweep.at_rest.values(), *self.sweep.set_aside)
        return frozenset(part_of_site(name) for survey in surveys for name in survey.settled.buzzing)

    @cached_property
    def _steady(self) -> tuple[frozenset[str], frozenset[str]]:
        """Points that may be fed, and that may be grounded, by no contact of what buzzes."""
        steady = neighbours_of([link for link in links_of(self.harness) if link.part_id not in self._buzzing])
        hot, cold = self._posts(hot=True), self._posts(hot=False)
        ends = ground_points(self.harness), always_fed(self.harness)
        return _reached(steady, hot, ends[0]), _reached(steady, cold, ends[1])

    def _posts(self, *, hot: bool) -> tuple[str, ...]:
        """Name the posts of batteries and chargers on a side, those aside from which no way leads home."""
        posts = hot_posts(self.harness) if hot else grounded_posts(self.harness)
        adrift = {one.point for one in adrift_of(self.harness)}
        return tuple(one for one in (*posts, *charger_posts(self.harness, hot=hot)) if one not in adrift)

    def feeding(self, element: Element) -> Survey | None:
        """Give the survey in which an element has most volts; None where nothing feeds it in any setting tried.

        Of one whose own fuse opens it is that in which none opens.
        """
        if element.name not in self._feeding:
            found = self._search.feeding(element)
            if found is None and self._lasting_bench is not None and element.name not in self.unsearched:
                alone = blows_alone(self.bench, self._lasting_bench, element)
                if alone is not None:
                    self._alone[element.name], found = alone, alone.survey
            self._feeding[element.name] = found
        return self._feeding[element.name]

    @property
    def unsearched(self) -> list[str]:
        """Name the elements that were not looked into further, since too many were searched for in vain."""
        return self._search.unsearched

    @cached_property
    def _search(self) -> FeedSearch:
        return FeedSearch(self.sweep)

    def own(self, element: Element) -> Survey | None:
        """Give the survey of the condition in which an element should work and all else rests; None where none is."""
        working = working_condition(self.bench, element, SOLVED_A_SEARCH_AT_MOST)
        return self.survey(working.condition) if working.reached else None

    def survey(self, condition: Condition) -> Survey | None:
        """Give the survey of a condition; None where the circuit cannot be as it says."""
        try:
            return self.bench.survey(condition)
        except CircuitError:
            return None

    def ways(self, survey: Survey) -> SurveyWays:
        """Give the ways of least resistance from the posts through what is closed in a survey."""
        condition = survey.settled.condition
        if condition not in self._ways:
            self._ways[condition] = SurveyWays(self.harness, survey)
        return self._ways[condition]

    def assumed_among(self, part_ids: tuple[str, ...], kinds: tuple[str, ...] = SIZE_AND_LENGTH) -> tuple[str, ...]:
        """Name those wires of which the length or size is assumed, or one of these alone."""
        wires = {wire.id: wire for wire in self.harness.wires}
        named = [wires[part_id] for part_id in dict.fromkeys(part_ids) if part_id in wires]
        return tuple(wire.id for wire in named if set(kinds) & set(assumed_of(self.harness, wire)))


def _reached(neighbours: Neighbours, posts: tuple[str, ...], ends_at: frozenset[str]) -> frozenset[str]:
    return frozenset(flood(neighbours, posts, ends_at, lambda _link, _point: True))
