"""Where a part, a point or the end of a wire is, and how to get there."""

from __future__ import annotations

from dataclasses import dataclass

from model.harness.fields import Access, Exposure
from model.harness.harness import CHASSIS, Harness
from model.harness.records import Joint, Wire
from model.words import clean

WIRE_ENDS = ("a", "b")
"""The ends of a wire: ``a`` its from end, ``b`` its to end."""

NO_PLACE_WORDS = "place not given"

_WITHOUT_REACH = {Access.OPEN: "", Access.PANEL: "behind a panel", Access.BURIED: "buried"}


@dataclass(frozen=True, slots=True)
class Place:
    """A place of the vehicle.

    Attributes
    ----------
    name
        As the file has it; empty where no place is given.
    reach
        How to get there; empty where the file does not say.
    access
        How hard it is to get there.
    exposure
        What the place is exposed to.
    """

    name: str = ""
    reach: str = ""
    access: Access = Access.OPEN
    exposure: tuple[Exposure, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.name)


NO_PLACE = Place()
BODY_PLACE = Place("bare metal of the body")


def named_place(harness: Harness, name: str) -> Place:
    """Give the place with this name; one that the file does not list has its name alone."""
    if not name:
        return NO_PLACE
    location = harness.locations_by_name.get(name)
    if location is None:
        return Place(name)
    return Place(location.name, location.reach, location.access, location.exposure)


def place_of(harness: Harness, part_id: str) -> Place:
    """Give the place of a part.

    A part without a location is where the part is in whose housing it sits; a joint without one is where the first of
    its points is that has a place. The chassis is everywhere.

    Raises
    ------
    KeyError
        Where the harness has no such part.
    """
    if part_id == CHASSIS and part_id not in harness.parts:
        return BODY_PLACE
    seen: set[str] = set()
    inner: str | None = part_id
    while inner is not None and inner not in seen:
        seen.add(inner)
        part = harness.parts[inner]
        if part.location:
            return named_place(harness, part.location)
        inner = part.inside
    part = harness.parts[part_id]
    if isinstance(part, Joint):
        ends = (_part_place(harness, point) for point in (part.from_point, part.to_point))
        return next((place for place in ends if place not in (NO_PLACE, BODY_PLACE)), NO_PLACE)
    return NO_PLACE


def end_place(harness: Harness, wire: Wire, end: str) -> Place:
    """Give the place of an end of a wire: as given, else that of the part it ends on, else the wire's own.

    Parameters
    ----------
    end
        ``a`` for the from end, ``b`` for the to end.
    """
    at_from = end == WIRE_ENDS[0]
    given = wire.from_location if at_from else wire.to_location
    if given:
        return named_place(harness, given)
    point = wire.from_point if at_from else wire.to_point
    return (_part_place(harness, point) if point else NO_PLACE) or place_of(harness, wire.id)


def point_place(harness: Harness, point: str) -> Place:
    """Give the place of a point: that of its part; of a wire's free end that of the end.

    Raises
    ------
    KeyError
        Where the harness has no part of this name.
    """
    part_id, _, terminal = point.partition(".")
    part = harness.parts.get(part_id)
    if isinstance(part, Wire) and terminal in WIRE_ENDS:
        return end_place(harness, part, terminal)
    return place_of(harness, part_id)


def place_words(place: Place) -> str:
    """Say a place in one phrase: ``left sill, kick plate out``.

    The name is not said twice where the way there begins with it.
    """
    if not place:
        return NO_PLACE_WORDS
    way = place.reach or _WITHOUT_REACH[place.access]
    if not way or way.casefold() == place.name.casefold():
        return clean(place.name)
    if way.casefold().startswith(f"{place.name.casefold()},"):
        return clean(way)
    return clean(f"{place.name}, {way}")


def _part_place(harness: Harness, point: str) -> Place:
    part_id = point.partition(".")[0]
    known = part_id in harness.parts or part_id == CHASSIS
    return place_of(harness, part_id) if known else NO_PLACE
