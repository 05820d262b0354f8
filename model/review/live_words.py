"""Why a point is live, in few words."""

from __future__ import annotations

from collections.abc import Iterable

from model.circuit.condition import rest_position
from model.circuit.faults import part_of_site
from model.harness.harness import Harness
from model.harness.parts import Battery, Charger, Fuse, Relay, Switch
from model.harness.points import contacts, relay_groups
from model.review.live_points import Length, LiveKind, LivePoint
from model.review.live_steps import CONTACTS, LiveStep, StepKind
from model.tracing.names import id_and_label, part_name
from model.words import clean, size_text

_NAMED_AT_MOST = 3


def why_words(harness: Harness, point: LivePoint) -> str:
    """Say in few words why a point is live: ``behind F18 (Sockets), 15 A``, ``through lamp E9 (Door lamp)``."""
    if point.kind is LiveKind.GROUND:
        return f"lifted by current in the ground path{_by_words(harness, point)}"
    if not point.path:
        return source_words(harness, point.source)
    through = through_words(harness, point.own_path)
    if point.fused_by is None and point.fuses and not point.through:
        return f"joined to a post without a fuse; its volts come through {fuse_words(harness, point.fuses[-1])}"
    if through:
        return through
    if not point.own_path:
        return f"behind {fuse_words(harness, point.path[-1].site)}"
    origin = next((step.site for step in reversed(point.path) if step.kind is StepKind.FUSE), point.source)
    has_wire = any(step.kind is StepKind.WIRE for step in point.own_path)
    return f"by wire from {clean(origin)}" if has_wire else f"bolted to {clean(origin)}"


def source_words(harness: Harness, source: str) -> str:
    """Name what a source is: a post of a battery or of a charger that is on, an output of a module."""
    part_id = source.partition(".")[0]
    match harness.parts[part_id]:
        case Battery():
            return (
                "a post of the battery"
                if len(harness.batteries) == 1
                else f"a post of battery {_named(harness, part_id)}"
            )
        case Charger():
            return f"charger {_named(harness, part_id)} is on"
    return f"given out by module {_named(harness, part_id)}"


def fuse_words(harness: Harness, fuse_id: str) -> str:
    """Name a fuse with its label and rating: ``F18 (Sockets), 15 A``."""
    part = harness.parts[fuse_id]
    amps = part.amps if isinstance(part, Fuse) else None
    return id_and_label(harness, fuse_id) if amps is None else f"{id_and_label(harness, fuse_id)}, {size_text(amps)} A"


def through_words(harness: Harness, steps: Iterable[LiveStep]) -> str:
    """Name the contacts and loads among some steps: ``through S7 (Hazard switch) 15-49``; empty where there is none."""
    named = [step_words(harness, step) for step in steps if step.kind in CONTACTS or step.kind.is_through]
    told = list(dict.fromkeys(named))
    if len(told) > _NAMED_AT_MOST:
        told = [told[0], f"{len(told) - 2} more", told[-1]]
    return f"through {', then '.join(told)}" if told else ""


def step_words(harness: Harness, step: LiveStep) -> str:
    """Name what a step leads through, by kind, id and label."""
    part_id = part_of_site(step.site)
    inner = clean(step.site.partition(":")[2])
    match step.kind:
        case StepKind.SWITCH | StepKind.RELAY:
            at_rest = ", closed at rest" if inner in _closed_at_rest(harness, part_id) else ""
            return f"{_named(harness, part_id)} {inner}{at_rest}"
        case StepKind.DRIVER:
            return f"{_named(harness, part_id)}, which switches {inner}"
        case StepKind.COIL:
            return f"the coil of {_named(harness, part_id)}"
        case StepKind.EXCITER:
            return f"the exciter of {_named(harness, part_id)}"
        case StepKind.FEED:
            return f"module {_named(harness, part_id)}"
        case StepKind.TOUCH:
            return "where it touches"
    return part_name(harness, part_id)


def length_words(length: Length) -> str:
    """Give a length in metres: ``1.2``, ``2.3 assumed``, for a column that says the unit."""
    metres = f"{length.metres:.2f}".rstrip("0").rstrip(".")
    return f"{metres} assumed" if length.is_assumed else metres


def _closed_at_rest(harness: Harness, part_id: str) -> set[str]:
    """Give the contacts that a switch or relay closes while nobody works it; none of the key."""
    part = harness.parts[part_id]
    pairs: tuple[tuple[str, str], ...] = ()
    if isinstance(part, Relay):
        pairs = contacts(relay_groups(part)[0])
    elif isinstance(part, Switch) and not part.key:
        pairs = contacts(part.positions[rest_position(part)])
    return {f"{common}-{other}" for common, other in pairs}


def _by_words(harness: Harness, point: LivePoint) -> str:
    loads = [step for step in point.path if step.kind.is_through]
    if loads:
        return f", {step_words(harness, loads[-1])} among it"
    part_id = point.source.partition(".")[0]
    return f", that of {_named(harness, part_id)}"


def _named(harness: Harness, part_id: str) -> str:
    return id_and_label(harness, part_id)
