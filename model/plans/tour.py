"""The order of rows: places are gone to once, and plugs are opened once, as far as the rows let it be."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Task:
    """A row to be put in order.

    Attributes
    ----------
    key
        Unique.
    places
        Where it can be read, the one that is liked best first; at least one, which may be the empty name.
    needs
        Parts that have to be apart for it.
    mated
        Parts that have to be together for it.
    far
        Where its other probe goes, where that is none of its places.
    """

    key: str
    places: tuple[str, ...]
    needs: frozenset[str] = frozenset()
    mated: frozenset[str] = frozenset()
    far: str = ""


@dataclass(frozen=True, slots=True)
class Step:
    """A row in its place in the order.

    Attributes
    ----------
    place
        Where it is read.
    opens, closes
        What is taken apart, and what put together again, just before it.
    opened
        Everything that is apart while it is read.
    """

    key: str
    place: str
    opens: tuple[str, ...]
    closes: tuple[str, ...]
    opened: frozenset[str]


@dataclass(frozen=True, slots=True)
class Effort:
    """What an order costs, and the least that it could.

    Attributes
    ----------
    stops
        Places gone to, each time anew; `places` how many there are.
    openings
        Plugs and parts taken apart, each time anew; `opened` how many there are.
    """

    stops: int
    places: int
    openings: int
    opened: int


Value = tuple[int, int, int, int, int]
"""Of going to a place now, the higher the better: its promise, then how early a row there comes in the tasks."""


class Tour:
    """Rows that are still to be put in order, and what stands apart by now.

    Attributes
    ----------
    values
        Of each place at which something is left to be read or opened.
    """

    def __init__(self, tasks: Sequence[Task], place_of: Callable[[str], str]) -> None:
        self.left = {task.key: task for task in tasks}
        self._at: dict[str, dict[str, Task]] = {}
        for task in tasks:
            for place in task.places:
                self._at.setdefault(place, {})[task.key] = task
        self._wanted = Counter(part for task in tasks for part in task.needs)
        self._held = Counter(part for task in tasks for part in task.mated)
        self._parts_at: dict[str, list[str]] = {}
        self._place_of = {part: place_of(part) for part in sorted(self._wanted)}
        self._touches = {part: {place} for part, place in self._place_of.items()}
        for part, place in self._place_of.items():
            self._parts_at.setdefault(place, []).append(part)
        for task in tasks:
            for part in task.needs | task.mated:
                self._touches.setdefault(part, set()).update(task.places)
        self._order = {task.key: number for number, task in enumerate(tasks)}
        self._order_of_parts = {place: number for number, place in enumerate(self._parts_at)}
        self.values: dict[str, Value] = {}
        self._changed = self._at.keys() | self._parts_at.keys()
        self.opened: set[str] = set()
        self.steps: list[Step] = []
        self._to_open: list[str] = []
        self._to_close: list[str] = []

    def best(self, gone_to: set[str]) -> str:
        """Choose the next place, one not gone to where there is one; only what has changed is valued anew."""
        for place in self._changed:
            self.values.pop(place, None)
            if self.is_wanted(place):
                self.values[place] = self.value(place)
        self._changed = set()
        fresh = [place for place in self.values if place not in gone_to]
        return max(fresh or self.values, key=self.values.__getitem__)

    def is_wanted(self, place: str) -> bool:
        """Tell whether something is left to be read or opened in a place."""
        return bool(self._at.get(place) or self._needed(place))

    def value(self, place: str) -> Value:
        """Value going to a place now; of places that promise the same the one whose row comes first in the tasks."""
        first = next(iter(self._at.get(place, {}).values()), None)
        if first is None:
            return *self.promise(place), -len(self._order), -self._order_of_parts[place]
        return *self.promise(place), -self._order[first.key], -first.places.index(place)

    def ready(self, place: str, opened: Iterable[str]) -> list[Task]:
        """Give the rows that can be read in a place with some parts apart."""
        apart = set(opened)
        return [task for task in self._at.get(place, {}).values() if task.needs <= apart and not task.mated & apart]

    def openable(self, place: str) -> set[str]:
        """Name what can be opened in a place: what some row needs, and none that is left wants together."""
        return {part for part in self._needed(place) if not self._held[part]}

    def _needed(self, place: str) -> list[str]:
        return [part for part in self._parts_at.get(place, ()) if self._wanted[part] and part not in self.opened]

    def promise(self, place: str) -> tuple[int, int, int]:
        """Value going to a place now: rows lost to a second visit (fewer is better), then what it opens and reads."""
        before = self.ready(place, self.opened)
        opening = self.openable(place)
        after = self.ready(place, self.opened | opening)
        done = {task.key for task in (*before, *after)}
        stranded = sum(key not in done for key in self._at.get(place, ()))
        return -stranded, len(opening), len(done)

    def visit(self, place: str) -> bool:
        """Read what can be read in a place, open what is needed there, and read on; tell whether anything was done."""
        count, opened = len(self.left), len(self.opened)
        while True:
            for task in self._liked(self.ready(place, self.opened), place):
                self._take(task, place)
            opening = self.openable(place)
            if not opening:
                return len(self.left) < count or len(self.opened) > opened
            self._to_open += sorted(opening)
            self._move(opening, ())

    def force(self) -> None:
        """Where nothing goes on, open and close what the first row that is left wants."""
        task = next(iter(self.left.values()))
        closing = sorted(task.mated & self.opened)
        opening = sorted(task.needs - self.opened)
        self._to_close += closing
        self._to_open += opening
        self._move(opening, closing)
        self._take(task, task.places[0])

    def _move(self, opening: Iterable[str], closing: Iterable[str]) -> None:
        self.opened = (self.opened | set(opening)) - set(closing)
        self._changed.update(*(self._touches[part] for part in (*opening, *closing)))

    def _take(self, task: Task, place: str) -> None:
        opens = tuple(part for part in dict.fromkeys(self._to_open) if part in self.opened)
        closes = tuple(part for part in dict.fromkeys(self._to_close) if part not in self.opened)
        self.steps.append(Step(task.key, place, opens, closes, frozenset(self.opened)))
        self._to_open, self._to_close = [], []
        del self.left[task.key]
        self._wanted.subtract(task.needs)
        self._held.subtract(task.mated)
        self._changed.update(task.places)
        self._changed.update(self._place_of[part] for part in task.needs | task.mated if part in self._place_of)
        for name in task.places:
            self._at[name].pop(task.key, None)

    @staticmethod
    def _liked(tasks: list[Task], place: str) -> list[Task]:
        """Put rows with the same other end one behind the other."""

        def other(task: Task) -> tuple[bool, str]:
            far = next((name for name in task.places if name != place), task.far or place)
            return far != place, far

        return sorted(tasks, key=other)


def in_order(tasks: Sequence[Task], place_of: Callable[[str], str]) -> tuple[Step, ...]:
    """Put rows in order.

    Parameters
    ----------
    place_of
        Gives the place of a part that is opened.

    Notes
    -----
    The next place is the one after which the fewest rows there would want a second visit; of those the one where the
    most is opened, then read. What is open stays open unless a row wants it together.
    """
    tour = Tour(tasks, place_of)
    gone_to: set[str] = set()
    while tour.left:
        place = tour.best(gone_to)
        gone_to.add(place)
        if not tour.visit(place) and tour.values.keys() <= gone_to:
            tour.force()
            gone_to = set()
    return tuple(tour.steps)


def effort_of(steps: Sequence[Step], place_of: Callable[[str], str]) -> Effort:
    """Count what an order costs: each time that one goes to a place, and each time that something is taken apart."""
    stops = 0
    here: str | None = None
    openings: Counter[str] = Counter()
    for step in steps:
        for place in (*(place_of(part) for part in (*step.closes, *step.opens)), step.place):
            stops += place != here
            here = place
        openings.update(step.opens)
    places = {step.place for step in steps} | {place_of(part) for part in openings}
    return Effort(stops, len(places), sum(openings.values()), len(openings))
