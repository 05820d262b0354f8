"""Which fuse to fit in words, and which is never offered: none larger than marked, none larger than its wires bear."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import chain
from types import MappingProxyType

from model.harness.derived import once_per_harness
from model.harness.harness import CHASSIS, Harness
from model.harness.metal import same_metal, wire_points
from model.harness.parts import Fuse, FuseStyle, Relay, Switch
from model.harness.points import contacts, relay_groups, switch_contacts
from model.harness.records import Wire
from model.harness.wire_bears import wire_bears_amps
from model.tables import table_rows

_STYLE_NOUN = {
    FuseStyle.BLADE: "blade fuse",
    FuseStyle.GLASS: "glass fuse",
    FuseStyle.LINK: "fusible link",
    FuseStyle.BREAKER: "circuit breaker",
    FuseStyle.THERMAL: "thermal fuse",
}


@dataclass(frozen=True, slots=True)
class Fitting:
    """The fuse that may be fitted.

    Attributes
    ----------
    amps
        Its rating; None where it has none.
    thinnest
        The wire that does not bear the rating in the file, so that a smaller one is offered; None where all do.
    """

    amps: float | None
    thinnest: Wire | None = None


def guarded_wires(harness: Harness, fuse: Fuse) -> tuple[Wire, ...]:
    """List the wires that a fuse guards: all behind its ``out`` up to loads, ground and further fuses."""
    metals = {metal for metal, fuses in _guards(harness).items() if fuse.id in fuses}
    in_use = (wire for wire in harness.wires if not wire.spare)
    return tuple(wire for wire in in_use if same_metal(harness, wire_points(harness, wire)[0]) in metals)


def fuses_of_wire(harness: Harness, wire: Wire) -> tuple[Fuse, ...]:
    """List the fuses that guard a wire: those behind whose ``out`` it lies, no other fuse, load or ground between."""
    guards = _guards(harness).get(same_metal(harness, wire_points(harness, wire)[0]), frozenset())
    return tuple(fuse for fuse in harness.fuses if fuse.id in guards)


def _contacts(part: Switch | Relay) -> tuple[tuple[str, str], ...]:
    return switch_contacts(part) if isinstance(part, Switch) else contacts(chain(*relay_groups(part)))


@once_per_harness
def _guards(harness: Harness) -> Mapping[str, frozenset[str]]:
    """Map each piece of metal to the ids of the fuses that guard it, through the contacts of switches and relays."""
    joined: dict[str, set[str]] = {}
    switching: tuple[Switch | Relay, ...] = (*harness.switches, *harness.relays)
    for part in switching:
        for one, other in _contacts(part):
            here, there = (same_metal(harness, f"{part.id}.{name}") for name in (one, other))
            joined.setdefault(here, set()).add(there)
            joined.setdefault(there, set()).add(here)
    unguarded = {same_metal(harness, f"{battery.id}.{sign}") for battery in harness.batteries for sign in "+-"}
    unguarded |= {same_metal(harness, body) for body in (CHASSIS, *(body.id for body in harness.bodies))}
    guards: dict[str, set[str]] = {}
    for fuse in harness.fuses:
        waiting = sorted({same_metal(harness, f"{fuse.id}.out")} - unguarded)
        while waiting:
            metal = waiting.pop()
            if fuse.id not in guards.setdefault(metal, set()):
                guards[metal].add(fuse.id)
                waiting += sorted(joined.get(metal, set()) - unguarded)
    return MappingProxyType({metal: frozenset(fuses) for metal, fuses in guards.items()})


def fitting_of(harness: Harness, fuse: Fuse) -> Fitting:
    """Give the rating that may be fitted: that of the file, or the largest made that the thinnest wire behind it bears.

    Notes
    -----
    Ratings are those of blade fuses (ISO 8820-3). A wire thinner than all of them gives the smallest.
    """
    if fuse.amps is None:
        return Fitting(None)
    wires = guarded_wires(harness, fuse)
    thinnest = min(wires, key=lambda wire: wire_bears_amps(harness, wire), default=None)
    if thinnest is None or wire_bears_amps(harness, thinnest) >= fuse.amps:
        return Fitting(fuse.amps)
    bears_amps = wire_bears_amps(harness, thinnest)
    made = [amps for amps in _ratings() if amps <= min(bears_amps, fuse.amps)]
    return Fitting(max(made, default=min(_ratings())), thinnest)


def _ratings() -> list[float]:
    return sorted({float(row["rating_amps"]) for row in table_rows("fuse_colours")})


def fuse_fitting(harness: Harness, fuse: Fuse) -> str:
    """Name the fuse to fit: ``15 A blade fuse, blue``."""
    noun = _STYLE_NOUN[fuse.style]
    amps = fitting_of(harness, fuse).amps
    if amps is None:
        return noun
    colour = fuse_colour(amps) if fuse.style is FuseStyle.BLADE else ""
    return f"{amps:g} A {noun}{f', {colour}' if colour else ''}"


def fuse_colour(amps: float) -> str:
    """Name the colour of a blade fuse of a rating (ISO 8820-3); empty where the rating has none."""
    rows = table_rows("fuse_colours")
    return next((row["colour"] for row in rows if float(row["rating_amps"]) == amps), "")


def fuse_noun(fuse: Fuse) -> str:
    """Name a fuse by how it is made: ``blade fuse``, ``fusible link``, ``circuit breaker``."""
    return _STYLE_NOUN[fuse.style]
