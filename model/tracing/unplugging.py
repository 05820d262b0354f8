"""What a condition takes apart: plugs, loads and control units, and what of it is better left plugged."""

from __future__ import annotations

from dataclasses import dataclass

from model.cautions import engine_turns
from model.circuit.condition import APART, OFF, OUT, Condition
from model.harness.derived import once_per_harness
from model.harness.fields import Hazard
from model.harness.harness import Harness
from model.harness.hazards import hazards_of_part, hazards_of_point
from model.harness.parts import Battery, Charger, Module
from model.harness.points import all_points, points_of
from model.harness.records import Connector, Splice, Wire
from model.tracing.graph import LinkKind, links_of
from model.tracing.nets import neighbours_of


@dataclass(frozen=True, slots=True)
class Unplugged:
    """Something that a condition takes apart.

    Attributes
    ----------
    module
        The control unit that loses its feed or its ground by it; empty where none does.
    fuel
        What of it is marked fuel; empty where nothing is.
    is_supply
        True of a battery or generator that comes off while the engine turns.
    """

    part_id: str
    module: str = ""
    fuel: str = ""
    is_supply: bool = False


def unplugged_by(harness: Harness, condition: Condition, *, only: str = "") -> tuple[Unplugged, ...]:
    """List what a condition takes apart, in the order of its settings.

    Parameters
    ----------
    only
        The one part that is asked about; all of them where it is empty.
    """
    found = []
    for name, value in condition.by_name.items():
        part_id = name.partition(".")[0]
        if (only and part_id != only) or not _is_taken(harness, part_id, value):
            continue
        part = harness.parts[part_id]
        is_supply = isinstance(part, Battery | Charger) and engine_turns(harness, condition)
        found.append(Unplugged(part_id, _module_of(harness, part_id), _fuel_of(harness, part_id), is_supply))
    return tuple(found)


def _is_taken(harness: Harness, part_id: str, value: str) -> bool:
    part = harness.parts.get(part_id)
    match part:
        case None:
            return False
        case Connector():
            return value in (APART, OUT) and part.rest != APART
        case Wire():
            return value == OFF
    return value == OUT


def _fuel_of(harness: Harness, part_id: str) -> str:
    if Hazard.FUEL in hazards_of_part(harness, part_id):
        return part_id
    part = harness.parts[part_id]
    points = points_of(part) if isinstance(part, Connector) else ()
    return next((point.name for point in points if Hazard.FUEL in hazards_of_point(harness, point.name)), "")


def _module_of(harness: Harness, part_id: str) -> str:
    if isinstance(harness.parts[part_id], Module):
        return part_id
    return modules_behind(harness).get(part_id, "")


@once_per_harness
def modules_behind(harness: Harness) -> dict[str, str]:
    """Map each plug that carries a feed or the ground of a control unit, wire to wire, to that unit."""
    metal = [link for link in links_of(harness) if link.kind in (LinkKind.WIRE, LinkKind.CAVITY)]
    neighbours, points = neighbours_of(metal), all_points(harness)
    found: dict[str, str] = {}
    for module in harness.modules:
        names = [f"{module.id}.{name}" for name in (*(feed.terminal for feed in module.feeds), module.ground)]
        seen = dict.fromkeys(names)
        waiting = list(names)
        while waiting:
            for other, _ in neighbours.get(waiting.pop(), ()):
                part = harness.parts.get(points[other].part_id)
                if other in seen or not isinstance(part, Connector | Splice):
                    continue
                seen[other] = None
                waiting.append(other)
                if isinstance(part, Connector):
                    found.setdefault(part.id, module.id)
    return found
