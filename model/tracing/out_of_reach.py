"""Places that cannot be reached: what is said of one point holds for its place, until something there is reached."""

from __future__ import annotations

from collections.abc import Iterable

from model.harness.harness import Harness
from model.harness.places import place_of, point_place
from model.tracing.asking import Also, Reached, Read, Skip, Take, Unsure
from model.tracing.checks import Check, CheckKind
from model.tracing.folding import Event, Target, battery_posts, target_of


def place_to_reach(harness: Harness, check: Check) -> str:
    """Name the place that has to be reached for a check; empty where the file lists none, or nothing is touched."""
    if check.kind is CheckKind.OBSERVE:
        return ""
    return _place_of_target(harness, target_of(check, battery_posts(harness)))


def out_of_reach_with(harness: Harness, events: Iterable[Event], checks: Iterable[Check]) -> frozenset[Target]:
    """Name what cannot be reached because its place cannot, by kind of thing and name as `Fold.out_of_reach` has it.

    A place is out of reach from the first check there that could not be made, unless something has been read there
    before: then it is that point alone. A reading, a check that is chosen there, or a part said to be reached brings
    the whole place back.

    Parameters
    ----------
    events
        Every reply so far, in order.
    checks
        Those that there are.
    """
    places = _places_out(harness, events)
    if not places:
        return frozenset()
    posts = battery_posts(harness)
    targets = {target_of(check, posts) for check in checks if check.kind is not CheckKind.OBSERVE}
    return frozenset(target for target in targets if _place_of_target(harness, target) in places)


def _places_out(harness: Harness, events: Iterable[Event]) -> frozenset[str]:
    been: set[str] = set()
    out: set[str] = set()
    for event in events:
        there = ""
        match event.reply:
            case Skip() if event.check is not None:
                out |= {place_to_reach(harness, event.check)} - been - {""}
            case Read() | Unsure() if event.check is not None:
                there = place_to_reach(harness, event.check)
            case Take(check=check) | Also(check=check):
                there = place_to_reach(harness, check)
            case Reached(part=name) if name.partition(".")[0] in harness.parts:
                there = point_place(harness, name).name
        if there:
            been.add(there)
            out.discard(there)
    return frozenset(out)


def _place_of_target(harness: Harness, target: Target) -> str:
    kind, name = target
    first = name.split()[0]
    if first in battery_posts(harness):
        return ""
    place = place_of(harness, first) if first in harness.parts else point_place(harness, first)
    return place.name if place.name in harness.locations_by_name and kind != "load" else ""
