"""Which points are fed in a key state: joined by closed metal, fuses and contacts to what gives current."""

from __future__ import annotations

from enum import StrEnum

from model.circuit.condition import charger_is_on, is_out
from model.circuit.survey import Survey
from model.harness.harness import Harness
from model.harness.metal import same_metal
from model.review.spread import Spread
from model.review.sweep import is_moved
from model.tracing.graph import Link, LinkKind, closed_links, hot_posts
from model.tracing.nets import flood, ground_metal, neighbours_of


class Fed(StrEnum):
    """Whether a point is fed in a key state."""

    AT_REST = "at rest"
    MOVED = "fed"
    NONE = "none"


def fed_in(spread: Spread) -> dict[str, dict[str, Fed]]:
    """Give of each key state the points that are fed in it, at rest or with something moved that a hand moves."""
    harness = spread.bench.harness
    fed: dict[str, dict[str, Fed]] = {key: {} for key in harness.key_names}
    for one in sorted(spread.seen, key=lambda each: is_moved(harness, each.condition)):
        how = Fed.MOVED if is_moved(harness, one.condition) else Fed.AT_REST
        for point in fed_points(harness, one.survey):
            fed[one.condition.key].setdefault(point, how)
    return fed


def fed_points(harness: Harness, survey: Survey) -> frozenset[str]:
    """Name the points that hang on a live post of a battery, or of a charger that is on, in a settled condition.

    The way goes along metal, fuses that are whole, closed contacts and drivers, resistors and module outputs; a diode
    lets it through one way. It ends at the ground side.
    """
    settled = survey.settled
    condition = settled.condition
    plus_is_hot = harness.build.ground_side != "positive"
    chargers = [one for one in harness.chargers if charger_is_on(harness, condition, one)]
    posts = [*hot_posts(harness), *(f"{one.id}.{'+' if plus_is_hot else '-'}" for one in chargers)]
    starts = [post for post in posts if not is_out(condition, post[:-2])]
    ground = ground_metal(harness)
    neighbours = neighbours_of(closed_links(harness, settled))
    held = frozenset(point for point in neighbours if same_metal(harness, point) in ground)

    def passes(link: Link, here: str) -> bool:
        match link.kind:
            case LinkKind.EXCITER:
                return False
            case LinkKind.DIODE:
                return here == (link.one if plus_is_hot else link.other)
            case LinkKind.OUTPUT:
                return here == link.one
        return True

    reached = flood(neighbours, [post for post in starts if post not in held], held, passes)
    return frozenset(reached) - held
