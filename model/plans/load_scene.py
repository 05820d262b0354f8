"""The circuits that a plan of loads is made from: each condition solved once, with its bands and feeds."""

from __future__ import annotations

from functools import cached_property

from model.circuit.bands import Band, Bands
from model.circuit.bench import Bench
from model.circuit.build_parts import is_wanted
from model.circuit.condition import Condition, switch_position
from model.circuit.survey import Survey
from model.errors import CircuitError
from model.harness.derived import once_per_harness
from model.harness.harness import Element, Harness, all_elements
from model.harness.parts import Driver, Output
from model.harness.points import contacts
from model.harness.supply import grounded_post_of, grounded_posts
from model.plans.load_feeds import Feeds
from model.tracing.graph import hot_posts
from model.tracing.working import Working, working_condition


class LoadScene:
    """A harness with what was solved of it.

    Attributes
    ----------
    harness
        The harness as read.
    elements
        Every element of every load, and every feed of a module.
    """

    def __init__(self, harness: Harness) -> None:
        self.harness = harness
        self.bench = Bench(harness)
        self.elements: tuple[Element, ...] = all_elements(harness)
        self._surveys: dict[Condition, Survey | None] = {}
        self._bands: dict[Condition, Bands] = {}
        self._feeds: dict[Condition, Feeds] = {}
        self._closed: dict[Condition, frozenset[str]] = {}

    @property
    def black(self) -> str:
        """The grounded post of the first battery, on which the black probe stays."""
        return grounded_posts(self.harness)[0]

    def black_of(self, post: str) -> str:
        """Name the grounded post of the battery or chain that a live post belongs to; of none, the first battery's."""
        return grounded_post_of(self.harness, post[:-2]) if post else self.black

    @cached_property
    def live(self) -> str:
        """The live post of the first battery, of a chain in series its outermost."""
        first = self.harness.batteries[0].id
        grounded = grounded_post_of(self.harness, first)
        posts = [post for post in hot_posts(self.harness) if grounded_post_of(self.harness, post[:-2]) == grounded]
        return max(posts, key=lambda post: abs(self.posts_volts(post) - self.posts_volts(grounded)))

    def posts_volts(self, post: str) -> float:
        """Give the volts of a post in the first key state at rest."""
        survey = self.survey(Condition(self.harness.key_names[0]))
        return 0.0 if survey is None else survey.settled.volts_at(post) or 0.0

    def working(self, element: Element) -> Working:
        """Give the condition in which an element works."""
        known = _known_working(self.harness)
        if element.name not in known:
            known[element.name] = working_condition(self.bench, element)
        return known[element.name]

    def survey(self, condition: Condition) -> Survey | None:
        """Give the survey of a condition; None where the circuit cannot be so or never rests."""
        if condition not in self._surveys:
            try:
                found: Survey | None = self.bench.survey(condition)
            except CircuitError:
                found = None
            self._surveys[condition] = found
        return self._surveys[condition]

    def closed(self, condition: Condition) -> frozenset[str]:
        """Name the sites that switches and modules close in a condition: ``S1:30-15``, ``A1:pump``."""
        if condition not in self._closed:
            self._closed[condition] = closed_in(self.harness, condition)
        return self._closed[condition]

    def bands(self, condition: Condition) -> Bands | None:
        """Give the bands of a condition; None where it has no survey."""
        survey = self.survey(condition)
        if survey is None:
            return None
        if condition not in self._bands:
            self._bands[condition] = Bands(survey.settled)
        return self._bands[condition]

    def feeds(self, condition: Condition) -> Feeds | None:
        """Give the ways of the current in a condition; None where it has no survey."""
        survey = self.survey(condition)
        if survey is None:
            return None
        if condition not in self._feeds:
            self._feeds[condition] = Feeds(survey.settled)
        return self._feeds[condition]

    def band(self, condition: Condition, red: str, black: str) -> Band | None:
        """Give the band of the volts from one point to another; None where one of them has none to tell."""
        bands = self.bands(condition)
        if bands is None:
            return None
        settled = bands.settled
        ends = settled.net.index[red], settled.net.index[black]
        return None if settled.idle.intersection(ends) else bands.at(*ends)


def closed_in(harness: Harness, condition: Condition) -> frozenset[str]:
    """Name the sites that switches and modules close in a condition: ``S1:30-15``, ``A1:pump``."""
    found = set()
    for switch in harness.switches:
        groups = switch.positions.get(switch_position(harness, switch, condition), ())
        found |= {f"{switch.id}:{one}-{other}" for one, other in contacts(groups)}
    for module in harness.modules:
        driven: tuple[Driver | Output, ...] = (*module.drivers, *module.outputs)
        for row in driven:
            if is_wanted(condition, module.id, row):
                found.add(f"{module.id}:{row.terminal}")
    return frozenset(found)


@once_per_harness
def _known_working(harness: Harness) -> dict[str, Working]:
    return {}
