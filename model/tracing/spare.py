"""Spare conductors of the same trunks that can do the work of a faulty wire."""

from __future__ import annotations

from dataclasses import dataclass

from model.harness.harness import Harness
from model.harness.hazards import hazards_of_part
from model.harness.metal import wire_points, wires_at
from model.harness.near_places import known_end_place, lie_next_to
from model.harness.records import Connector, Wire
from model.harness.supply import wire_length_m, wire_size
from model.tracing.fuse_words import area_of_mm2, bears_amps, fuses_of_wire


@dataclass(frozen=True, slots=True)
class Spare:
    """A spare conductor that can take a wire's place.

    Attributes
    ----------
    reaches_both
        True where both its ends lie in the places of the wire's own ends.
    words
        What is not sure about it, each as a sentence.
    """

    wire: Wire
    reaches_both: bool
    words: tuple[str, ...]


def spares_for(harness: Harness, wire: Wire) -> tuple[Spare, ...]:
    """List the spare conductors that can do the work of a wire, the best first.

    One does where it runs through all trunks of the wire, ends where the wire ends or next to it, is as long and as
    thick, bears the fuse before the wire, is free at both ends, and carries no hazard. One whose length the file leaves
    out does too, with a word of warning, and so does one without places for its ends that runs through just the trunks
    of the wire. The best reaches both places, has a known length, passes the fewest other trunks and is the thinnest,
    then the shortest, that will do.
    """
    found = [spare for spare in harness.wires if spare.id != wire.id and _will_do(harness, spare, wire)]
    told = [Spare(spare, _reaches_both(harness, spare, wire), _warnings(harness, spare, wire)) for spare in found]
    return tuple(sorted(told, key=lambda one: _rank(harness, one)))


def _rank(harness: Harness, one: Spare) -> tuple[bool, bool, int, float, float, str]:
    wire = one.wire
    unknown = wire.length is None
    return (
        not one.reaches_both,
        unknown,
        len(wire.via),
        area_of_mm2(harness, wire),
        wire_length_m(harness, wire),
        wire.id,
    )


def _will_do(harness: Harness, spare: Wire, wire: Wire) -> bool:
    if not spare.spare or not _is_free(harness, spare) or hazards_of_part(harness, spare.id):
        return False
    if not set(wire.via) <= set(spare.via) or not _may_reach(harness, spare, wire):
        return False
    if area_of_mm2(harness, spare) < area_of_mm2(harness, wire):
        return False
    fuse_amps = max((fuse.amps or 0.0 for fuse in fuses_of_wire(harness, wire)), default=0.0)
    if bears_amps(harness, spare) < fuse_amps:
        return False
    return spare.length is None or spare.length >= wire_length_m(harness, wire)


def _is_free(harness: Harness, spare: Wire) -> bool:
    """Tell whether nothing but spares hangs on a spare's ends, and it took over no other wire's work."""
    if spare.superseded_by is not None or any(wire.superseded_by == spare.id for wire in harness.wires):
        return False
    return all(_is_unused(harness, point, spare) for point in wire_points(harness, spare))


def _is_unused(harness: Harness, point: str, spare: Wire) -> bool:
    """Tell whether an end is free, or sits in a cavity in which, on both halves, only spares end."""
    part_id, _, rest = point.partition(".")
    if part_id == spare.id:
        return True
    part = harness.parts.get(part_id)
    if not isinstance(part, Connector):
        return False
    cavity = rest.rpartition(".")[2]
    halves = (f"{part_id}.{half}.{cavity}" for half in part.halves)
    joined = {end for joint in harness.joints for end in (joint.from_point, joint.to_point)}
    at = wires_at(harness)
    return all(half not in joined and all(wire.spare for wire in at.get(half, ())) for half in halves)


def _places(harness: Harness, wire: Wire) -> tuple[str, str]:
    return known_end_place(harness, wire, "a"), known_end_place(harness, wire, "b")


def _reaches_both(harness: Harness, spare: Wire, wire: Wire) -> bool:
    places = _places(harness, spare)
    return all(places) and sorted(places) == sorted(_places(harness, wire))


def _may_reach(harness: Harness, spare: Wire, wire: Wire) -> bool:
    """Tell whether a spare ends at both ends of a wire or next to them; of ends without a place its trunks tell."""
    mine, wanted = _places(harness, spare), _places(harness, wire)
    if not all((*mine, *wanted)) and (not wire.via or set(spare.via) != set(wire.via)):
        return False
    return any(
        all(not one or not other or lie_next_to(harness, one, other) for one, other in zip(mine, turned, strict=True))
        for turned in (wanted, wanted[::-1])
    )


def _warnings(harness: Harness, spare: Wire, wire: Wire) -> tuple[str, ...]:
    words = []
    if spare.length is None:
        words.append(f"The file does not say how long {spare.id} is: lay it to both terminals before anything is cut.")
    elif not _reaches_both(harness, spare, wire):
        words.append(f"{spare.id} does not end in the very places of {wire.id}: lay it to both terminals first.")
    if wire.length is None and spare.length is not None:
        words.append(f"The length of {wire.id} is assumed: lay {spare.id} to both terminals before anything is cut.")
    if spare.size is None and harness.defaults.size is None:
        words.append(f"The file does not say how thick {spare.id} is (taken as {wire_size(harness, spare)} mm²): look.")
    return tuple(words)
