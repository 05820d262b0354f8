"""What is supplied in a condition, seen from contact to contact."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from enum import Flag
from typing import cast

from model.circuit.condition import Condition, charger_is_on
from model.circuit.settle import Settled
from model.harness.harness import Harness
from model.harness.supply import grounded_posts
from model.review.islands import Contact, Islands, Taker, grouped, islands_of
from model.tracing.graph import LinkKind, closed_test, links_of


class Side(Flag):
    """Which posts an island hangs on; both where a load is shorted, or at a tap of batteries in series."""

    NONE = 0
    HOT = 1
    GROUNDED = 2


class ContactMap:
    """The islands of a harness with the contacts that are closed in a condition.

    Attributes
    ----------
    closed
        The contacts that are closed.
    by_owner
        Those by what is set to move them.
    posts
        Islands with posts of the supply on them, or with a live output of a module.
    """

    def __init__(self, islands: Islands, posts: dict[int, Side], closed: Iterable[Contact]) -> None:
        self.islands = islands
        self.closed = tuple(closed)
        self.by_owner = grouped((contact.owner, contact) for contact in self.closed)
        self.posts = posts
        self._at = _contacts_at(self.closed)
        self._sides: dict[int, Side] = dict(posts)
        self._label(lambda contact: contact.link.kind is not LinkKind.RESISTOR)
        self._label(lambda _contact: True)

    def _label(self, passes: Callable[[Contact], bool]) -> None:
        """Give the islands without a side those of the islands that contacts lead to; the others keep theirs."""
        known = dict(self._sides)
        for side in (Side.HOT, Side.GROUNDED):
            waiting = [island for island, has in known.items() if side & has]
            seen = set(waiting)
            while waiting:
                island = waiting.pop()
                for contact in filter(passes, self._at.get(island, ())):
                    there = contact.beyond(island)
                    if there not in seen and there not in known:
                        seen.add(there)
                        waiting.append(there)
                        self._sides[there] = self._sides.get(there, Side.NONE) | side

    def beside(self, island: int) -> Iterator[int]:
        """Give the islands that a closed contact joins to one."""
        return (contact.beyond(island) for contact in self._at.get(island, ()))

    def side(self, island: int) -> Side:
        """Tell which posts an island hangs on through what is closed."""
        return self._sides.get(island, Side.NONE)

    @property
    def is_shorted(self) -> bool:
        """Tell whether metal that nothing opens joins the hot posts to the grounded ones."""
        return any(side == Side.HOT | Side.GROUNDED for side in self.posts.values())

    def is_held(self, taker: Taker) -> bool:
        """Tell whether closed contacts hold both ends of a taker to a post, whichever."""
        return bool(self.side(taker.one)) and bool(self.side(taker.other))

    def is_supplied(self, taker: Taker) -> bool:
        """Tell whether closed contacts alone give a taker both its feed and its return."""
        one, other = self.side(taker.one), self.side(taker.other)
        return bool(one) and bool(other) and (one | other) == Side.HOT | Side.GROUNDED

    def cut_off(self, without: frozenset[str], closing: tuple[Contact, ...] = ()) -> frozenset[int]:
        """Name the islands that lose the supply when contacts open and others close.

        Parameters
        ----------
        without
            Owners of which every contact opens that is closed now.
        closing
            Contacts that close instead.
        """
        added = _contacts_at(closing)
        lost: set[int] = set()
        for contact in (one for owner in without for one in self.by_owner.get(owner, ())):
            for start in (contact.one, contact.other):
                if start not in lost and self.side(start):
                    lost |= self._stranded(start, without, added)
        return frozenset(lost)

    def _stranded(self, start: int, without: frozenset[str], added: dict[int, tuple[Contact, ...]]) -> set[int]:
        """Give all islands that hang together with one where none has a post; nothing where one has."""
        seen, waiting = {start}, [start]
        while waiting:
            island = waiting.pop()
            if island in self.posts:
                return set()
            beside = [one for one in self._at.get(island, ()) if one.owner not in without]
            for there in (contact.beyond(island) for contact in (*beside, *added.get(island, ()))):
                if there not in seen:
                    seen.add(there)
                    waiting.append(there)
        return seen

    def hanging_with(self, island: int) -> frozenset[int]:
        """Give the islands that closed contacts join to one, itself among them; no way leads on from one with posts."""
        seen = {island}
        waiting = [island]
        while waiting:
            for there in self.beside(waiting.pop()):
                if there not in seen:
                    seen.add(there)
                    if there not in self.posts:
                        waiting.append(there)
        return frozenset(seen)


def contact_map(harness: Harness, settled: Settled) -> ContactMap:
    """Give the islands of a harness with what is closed in a settled condition; worked out once for it."""
    name = f"{__name__}.contact_map"
    known = vars(settled)
    if name not in known:
        known[name] = _contact_map(harness, settled)
    return cast(ContactMap, known[name])


def _contact_map(harness: Harness, settled: Settled) -> ContactMap:
    is_closed = closed_test(harness, settled)
    known = islands_of(harness)
    posts = _posts(harness, settled.condition, known.of_point)
    for link in links_of(harness):
        if link.kind is LinkKind.OUTPUT and is_closed(link):
            posts.setdefault(known.of_point[link.other], Side.HOT)
    return ContactMap(known, posts, (contact for contact in known.contacts if is_closed(contact.link)))


def _contacts_at(contacts: Iterable[Contact]) -> dict[int, tuple[Contact, ...]]:
    return grouped((island, contact) for contact in contacts for island in (contact.one, contact.other))


def _posts(harness: Harness, condition: Condition, of_point: dict[str, int]) -> dict[int, Side]:
    """Give the islands with posts of batteries, and of chargers that are on, with the side that they are of."""
    grounded = grounded_posts(harness)
    cold = "+" if harness.build.ground_side == "positive" else "-"
    posts: dict[int, Side] = {}
    for battery in harness.batteries:
        for point in (f"{battery.id}.+", f"{battery.id}.-"):
            side = Side.GROUNDED if point in grounded else Side.HOT
            posts[of_point[point]] = posts.get(of_point[point], Side.NONE) | side
    for charger in filter(lambda one: charger_is_on(harness, condition, one), harness.chargers):
        for sign in "+-":
            island = of_point[f"{charger.id}.{sign}"]
            posts.setdefault(island, Side.GROUNDED if sign == cold else Side.HOT)
    return posts
