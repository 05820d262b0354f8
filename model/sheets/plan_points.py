"""Where the probes of a row of a plan go, in words: point, cavity, colour and size of the wire there."""

from __future__ import annotations

import re

from model.harness.harness import Harness
from model.harness.parts import Battery, Fuse
from model.harness.places import point_place
from model.harness.records import Wire
from model.plans.plan import Measure, PlanRow
from model.tracing.names import either, id_and_label, part_name, point_name, point_wires, wire_code
from model.words import clean

_OTHERS_NAMED = 3
_COVERED_TOLD = 3
_COVERED_NAMED = 8
_WORD = re.compile(r"[\w.:+-]*[\w+-]")
_SIDES = {"in": "supply side", "out": "load side"}
_UNPOWERED = frozenset({Measure.OHMS, Measure.APART})


def probe_words(harness: Harness, row: PlanRow, point: str) -> str:
    """Name a point of a row by what to touch: ``K7 (Fuel pump) pin 30, cavity 2, wire side, GN/BU 1.5``.

    Ohms are read with the clamps off: what is touched for a post then is the end of its cable. A wire that the title
    tells by colour and size is not told again.
    """
    if not point:
        return ""
    if row.measure in _UNPOWERED and _is_post(harness, point):
        return f"the cable end taken off {point_name(harness, point)}"
    wires = "" if _is_post(harness, point) else point_wires(harness, point)
    is_told = not wires or wires in row.title
    return f"{touched(harness, point)}{'' if is_told else f', {wires}'}"


def touched(harness: Harness, point: str) -> str:
    """Name a point by what to touch there; of a fuse its side: ``F1 (Main link), load side``."""
    owner, _, terminal = point.rpartition(".")
    if not isinstance(harness.parts.get(owner), Fuse) or terminal not in _SIDES:
        return point_name(harness, point)
    named = id_and_label(harness, owner)
    return f"{named}, {_SIDES[terminal]}{point_name(harness, point).removeprefix(f'{named} {terminal}')}"


def _is_post(harness: Harness, point: str) -> bool:
    owner, _, terminal = point.rpartition(".")
    return isinstance(harness.parts.get(owner), Battery) and terminal in ("+", "-")


def red_words(harness: Harness, row: PlanRow) -> str:
    """Say where the red probe goes: on one point, or on each of several in turn; of added drops the black one too."""
    if not row.others:
        return probe_words(harness, row, row.red)
    if row.measure is Measure.VOLTS:
        pairs = zip(row.others[::2], row.others[1::2], strict=True)
        drops = (" and black on ".join(probe_words(harness, row, point) for point in pair) for pair in pairs)
        return ", then ".join(drops)
    if len(row.others) <= _OTHERS_NAMED:
        return f"in turn {either((probe_words(harness, row, point) for point in row.others), 'and')}"
    return f"in turn each of {', '.join(clean(point) for point in row.others)}"


def black_words(harness: Harness, row: PlanRow) -> str:
    """Say where the black probe goes; of ``apart`` on the point that the others are held against."""
    if row.measure is Measure.LAMP:
        return "the cable's clamp, beyond the lamp"
    if row.measure is Measure.MILLIVOLTS and row.red and not row.black:
        return "the clamp on it"
    return probe_words(harness, row, row.black or (row.red if row.others else ""))


def clamp_words(harness: Harness, row: PlanRow) -> str:
    """Say where the clamp goes of a row of amperes; empty of every other."""
    if row.measure is not Measure.AMPS:
        return ""
    site = row.covers[0] if row.covers else ""
    if isinstance(harness.parts.get(site), Battery):
        return "the clamp around every lead of its grounded post, or the meter in there"
    return f"the clamp on it: one wire of {part_name(harness, site)}" if site in harness.parts else "the clamp on it"


def others_by_place(harness: Harness, row: PlanRow) -> list[str]:
    """Name all points that a row holds one against, each place with its own."""
    found: dict[str, list[str]] = {}
    for point in row.others if row.measure is Measure.APART else ():
        place = clean(point_place(harness, point).name) or "place not given"
        found.setdefault(place, []).append(touched(harness, point))
    return [f"{place}: {'; '.join(names)}" for place, names in found.items()]


def covers_words(harness: Harness, row: PlanRow) -> str:
    """Name what a row proves: but for what stands in its title; a few by what they are, many by their ids."""
    told = frozenset(_WORD.findall(row.title))
    names = [name for name in row.covers if name not in told]
    if len(names) <= _COVERED_TOLD:
        return ", ".join(_covered(harness, name) for name in names)
    rest = len(names) - _COVERED_NAMED
    shown = ", ".join(clean(name) for name in names[:_COVERED_NAMED])
    return f"{shown} and {rest} more" if rest > 0 else shown


def _covered(harness: Harness, name: str) -> str:
    part = harness.parts.get(name)
    if isinstance(part, Wire):
        return f"{name} {wire_code(harness, part)}"
    return clean(name) if part is None else part_name(harness, name)


def place_of_row(row: PlanRow) -> str:
    """Say where a row is read: one place, or that of each probe; nothing where the head of its group says it."""
    here, there = clean(row.place), clean(row.far_place)
    if not there or here == there:
        return "" if clean(row.group).startswith(here) else here
    return f"{here} → {there}" if here else there


def opens_words(harness: Harness, row: PlanRow) -> str:
    """Name what has to be taken apart for a row to tell anything."""
    return either((part_name(harness, name.partition(".")[0]) for name in row.opens), "and")
