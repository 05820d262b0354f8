"""Which fuse to fit in words, and which is never offered: none larger than marked, none larger than its wires bear."""

from __future__ import annotations

from dataclasses import dataclass

from model.harness.fuse_tables import rating_borne, wire_bears_amps
from model.harness.harness import Harness
from model.harness.parts import Fuse, FuseStyle
from model.harness.records import Wire
from model.harness.supply import wire_size
from model.tables import table_rows
from model.tracing.wire_bears import guards_of, thinnest_behind
from model.units import parse_size

BEARS_SOURCE = "a wire maker's catalogue, one wire in free air, JIS C 3406 AV"
"""Where the amperes that a wire bears come from, in words for a person."""

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
    """List the wires that a fuse guards: those that hang on it without another fuse, load or ground between."""
    return tuple(wire for wire in harness.wires if not wire.spare and fuse.id in guards_of(harness, wire))


def fuses_of_wire(harness: Harness, wire: Wire) -> tuple[Fuse, ...]:
    """List the fuses that guard a wire, however switches and relays stand."""
    guards = guards_of(harness, wire)
    return tuple(fuse for fuse in harness.fuses if fuse.id in guards)


def area_of_mm2(harness: Harness, wire: Wire) -> float:
    """Give the area of a wire in mm²: as typed, by its gauge, of the defaults, or as assumed."""
    return parse_size(wire_size(harness, wire)).area_mm2


def bears_amps(harness: Harness, wire: Wire) -> float:
    """Give the amperes that a wire bears by its size, as the catalogue of `wire_bears_amps` has it."""
    return wire_bears_amps(area_of_mm2(harness, wire))


def fitting_of(harness: Harness, fuse: Fuse) -> Fitting:
    """Give the rating that may be fitted: that of the file, or the largest made that the thinnest wire behind it bears.

    Notes
    -----
    Ratings are those of blade fuses (ISO 8820-3). A wire thinner than all of them gives the smallest.
    """
    if fuse.amps is None:
        return Fitting(None)
    thinnest = thinnest_behind(harness).get(fuse.id)
    if thinnest is None or thinnest.amps >= fuse.amps:
        return Fitting(fuse.amps)
    return Fitting(rating_borne(thinnest.amps), harness.part_of(thinnest.wire_id, Wire))


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
