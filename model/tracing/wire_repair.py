"""How a wire is mended: with a spare conductor where there is one, else cut back, crimped or spliced."""

from __future__ import annotations

from model.circuit.faults import FaultKind
from model.harness.harness import Harness
from model.harness.parts import Battery, Charger
from model.harness.records import Body, Busbar, GroundPoint, Wire
from model.harness.supply import assumed_of, wire_length_m
from model.harness.wire_words import size_words
from model.tracing.fault_words import partner_words
from model.tracing.fuse_words import BEARS_SOURCE, area_of_mm2, bears_amps, fuses_of_wire
from model.tracing.names import either, end_words, wire_name
from model.tracing.spare import Spare, spares_for
from model.tracing.wire_bears import guards_of
from model.words import amps_text, clean

BATTERY_OFF = "Key off, then the battery off, the cable of its grounded post first, and every charger disconnected."
"""Stands before anything is cut, crimped or unbolted."""

CABLE_MM2 = 10.0
"""From this area on a broken wire is replaced whole; judgement."""

SPLICED_FROM_M = 0.5
"""A shorter wire is made anew: two splices in it are more work, and two joints more; judgement."""

_BOLTED = (Battery, Body, Busbar, Charger, GroundPoint)
"""What a wire is bolted to, not plugged into."""

TUG = "Tug each new crimp by hand before it goes back."


def wire_steps(harness: Harness, wire: Wire, site: str, kind: FaultKind, partner: str) -> tuple[str, ...]:
    """Say in sentences how a fault of a wire is mended."""
    match kind:
        case FaultKind.ELSEWHERE:
            return _moved_steps(harness, wire, site, partner)
        case FaultKind.TO_BODY | FaultKind.TOUCHES:
            return _chafed_steps(harness, wire, kind, partner)
    first = (BATTERY_OFF, _look_first(harness, wire))
    spares = spares_for(harness, wire)
    if spares:
        return (*first, *_spare_steps(harness, wire, spares[0]), TUG)
    return (*first, *_new_length(harness, wire), TUG)


def _look_first(harness: Harness, wire: Wire) -> str:
    ends = f"at {end_words(harness, wire, 'a')} and at {end_words(harness, wire, 'b')}"
    return (
        f"Look at both crimps of {wire.id} first and tug them, {ends}: one that comes off, or is green, burnt or "
        f"loose, is cut off and made anew."
    )


def _new_length(harness: Harness, wire: Wire) -> tuple[str, ...]:
    size = size_words(harness, wire).removesuffix(" assumed")
    if area_of_mm2(harness, wire) >= CABLE_MM2:
        return (
            f"Where both crimps are sound, replace the whole of {wire.id} by cable of {size} or thicker with new lugs: "
            f"a cable this thick is not spliced.",
            *_bears(harness, wire, wire),
        )
    if is_made_anew(harness, wire):
        return (
            f"Where both crimps are sound, make {wire.id} anew, {_metres(harness, wire)} of {size} or thicker with new "
            f"crimps: so short a wire is not spliced.",
            *_bears(harness, wire, wire),
        )
    return (
        f"Where both crimps are sound, cut out the bad length of {wire.id} and crimp in new wire of {size} or thicker "
        f"with two sealed splices away from bends, or run a new wire beside it, {_metres(harness, wire)}.",
        *_bears(harness, wire, wire),
    )


def is_made_anew(harness: Harness, wire: Wire) -> bool:
    """Tell whether a faulty wire is replaced whole, not spliced: a short one, and a cable."""
    return wire_length_m(harness, wire) < SPLICED_FROM_M or area_of_mm2(harness, wire) >= CABLE_MM2


def _metres(harness: Harness, wire: Wire) -> str:
    length = f"{wire_length_m(harness, wire):g} m"
    return f"about {length}, which is assumed" if "length" in assumed_of(harness, wire) else f"about {length}"


def _bears(harness: Harness, wire: Wire, guarded: Wire) -> tuple[str, ...]:
    """Say what a wire bears beside the fuse that guards the wire whose work it does; of a ground wire none does."""
    bears = f"{wire.id} bears {amps_text(bears_amps(harness, wire))} by {BEARS_SOURCE}"
    fuses = [fuse for fuse in fuses_of_wire(harness, guarded) if fuse.amps is not None]
    if not guards_of(harness, guarded):
        return (f"{bears}.",)
    if not fuses:
        return (f"{bears}; no fuse before it stands in the file.",)
    named = either((f"{fuse.id}, {fuse.amps:g} A" for fuse in fuses), "and")
    return (f"{bears}; before it {'stands' if len(fuses) == 1 else 'stand'} {named}.",)


def _spare_steps(harness: Harness, wire: Wire, spare: Spare) -> tuple[str, ...]:
    new = spare.wire
    through = f" through {either([clean(name, 60) for name in new.via], 'and')}," if new.via else ""
    named = wire_name(harness, new).removeprefix("wire ")
    return (
        f"Where both crimps are sound, use the spare conductor {named},{through} for it.",
        *spare.words,
        f"Test {new.id} first, both its ends free: under 1 Ω end to end with the leads nulled, and OL to the body and "
        f"to its neighbours.",
        f"Take {wire.id} out at both ends and cap both dead ends: fold back, sleeve, and tag them with the date.",
        f"Crimp {new.id} in its place at {end_words(harness, wire, 'a')} and at {end_words(harness, wire, 'b')}.",
        *_bears(harness, new, wire),
        f"Write into the file that {new.id} does the work of {wire.id} now.",
    )


def _chafed_steps(harness: Harness, wire: Wire, kind: FaultKind, partner: str) -> tuple[str, ...]:
    other = "bare metal" if kind is FaultKind.TO_BODY else partner_words(harness, partner)
    way = f"through {either([clean(name, 60) for name in wire.via], 'and')}" if wire.via else "over its whole length"
    at = "edges, clamps, hinges, bent pins"
    steps = [
        BATTERY_OFF,
        f"Follow {wire_name(harness, wire)}, {way}, and find where it meets {other}: {at}.",
        _mend_chafed(harness, wire),
        "Lead it clear, with a grommet at each edge and a clamp each side of it.",
    ]
    spares = spares_for(harness, wire)
    if spares:
        steps.append(f"Where the place cannot be reached: {_lowered(_spare_steps(harness, wire, spares[0])[0])}")
        steps += _spare_steps(harness, wire, spares[0])[1:]
    return tuple(steps)


def _mend_chafed(harness: Harness, wire: Wire) -> str:
    if area_of_mm2(harness, wire) >= CABLE_MM2:
        return f"Where copper shows, replace the whole of {wire.id} with new lugs: a cable this thick is not spliced."
    if is_made_anew(harness, wire):
        return (
            f"Where copper shows, make {wire.id} anew, {_metres(harness, wire)}: so short a wire is not spliced; where "
            f"all its strands are whole and dry, sleeve it."
        )
    return (
        f"Where copper shows, cut {wire.id} there and crimp in a sealed splice of the same size; where all its strands "
        f"are whole and dry, sleeve it."
    )


def _lowered(sentence: str) -> str:
    return sentence.removeprefix("Where both crimps are sound, ")


def _moved_steps(harness: Harness, wire: Wire, site: str, partner: str) -> tuple[str, ...]:
    end = "a" if site.endswith(".a") else "b"
    right = end_words(harness, wire, end)
    return (
        BATTERY_OFF,
        f"Follow {wire_name(harness, wire)} to {partner_words(harness, partner)} and compare colour and tag.",
        f"Move that end to {right}, and see that nothing else was put there for it.",
        _seat(harness, wire, end),
    )


def _seat(harness: Harness, wire: Wire, end: str) -> str:
    """Say how an end is seated on what it belongs on: bolted on metal, pushed home in a plug."""
    point = (wire.from_point if end == "a" else wire.to_point) or ""
    part = harness.parts.get(point.partition(".")[0])
    if part is None or isinstance(part, _BOLTED):
        return "Clean the metal and the lug bright, bolt it tight, and see that the lug cannot be turned by hand."
    return "Push it home until it clicks, and tug it."
