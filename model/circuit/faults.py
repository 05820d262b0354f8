"""Names of faults: where one can be, what it can be, and how it is spelled."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from itertools import chain

from model.circuit.bodies import body_beside
from model.errors import ArgumentError
from model.harness.fields import Part
from model.harness.harness import SINGLE_ELEMENT, Harness
from model.harness.parts import Battery, Charger, Diode, Fuse, Load, Module, Relay, ResistorPack, Switch
from model.harness.points import all_points, contacts, relay_groups, resolve_point, switch_contacts, terminals_of
from model.harness.records import Connector, GroundPoint, Joint, Wire
from model.units import number_typed
from model.words import nearest

HIGH_OHMS = 5.0
SHORT_OHMS = 0.01
LOW_DRAW_SHARE = 0.25


class FaultKind(StrEnum):
    """What can be wrong at a site."""

    OPEN = "open"
    HIGH = "high"
    TO_BODY = "to body"
    TOUCHES = "touches"
    ELSEWHERE = "elsewhere"
    SWAPPED = "swapped"
    BLOWN = "blown"
    MISSING = "missing"
    TOO_SMALL = "too small"
    STUCK = "stuck"
    SHORT = "short"
    LOW_DRAW = "low draw"
    REVERSED = "reversed"
    FLAT = "flat"
    NO_OUTPUT = "no output"


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault at one site.

    Attributes
    ----------
    site
        As in ``W9``, ``X1.4``, ``X1.4/5``, ``K1:30-87``, ``E1:dip``, ``K1.87``.
    partner
        The point or part that a wire touches, or the point where its end really is.
    ohms
        Resistance in ohms that stands in the site's place; None where the kind says what happens.
    added_ohms
        Resistance in ohms that ``high`` adds.
    """

    site: str
    kind: FaultKind
    partner: str = ""
    ohms: float | None = None
    added_ohms: float = HIGH_OHMS

    def spelled(self) -> str:
        """Spell the fault as a command line takes it."""
        if self.ohms is not None:
            return f"{self.site}={self.ohms:g}"
        return f"{self.site}={self.kind}:{self.partner}" if self.partner else f"{self.site}={self.kind}"


def part_of_site(site: str) -> str:
    """Name the part that a site belongs to: K1 of ``K1:30-87``, X1 of ``X1.4/5``; of two plugs the first."""
    return site.partition("/")[0].partition(":")[0].partition(".")[0]


_MOST_DIGITS = 10
_TERMINAL_KINDS = (FaultKind.OPEN, FaultKind.HIGH)


def parse_fault(harness: Harness, typed: str) -> Fault:
    """Read a fault ``PART=FAULT`` as typed: ``W9=open``, ``W9=2.5``, ``W9=touches:BB2``.

    Raises
    ------
    ArgumentError
        Where there is no such site, the site cannot have the fault, or a partner is missing or unknown.
    """
    site, sign, words = typed.partition("=")
    site, words = site.strip(), words.strip()
    if not sign or not site or not words:
        raise ArgumentError(f"“{typed}” is not a fault.", do='Write it as PART=FAULT, such as W9=open or "W9=to body".')
    kinds = fault_kinds(harness, site)
    if not kinds:
        raise ArgumentError(f"There is no “{site}” that can be faulty.", do=_meant(harness, site))
    try:
        ohms = number_typed(words)
    except ValueError:
        return _named_fault(harness, site, words, kinds)
    if FaultKind.HIGH not in kinds and FaultKind.OPEN not in kinds:
        raise ArgumentError(f"{site} takes no resistance in its place.", do=f"It can be {_list(kinds)}.")
    if not (ohms > 0 and math.isfinite(ohms)):
        raise ArgumentError(f"{site} cannot have {words} ohms.", do="Give ohms above zero, or the word open.")
    return Fault(site, FaultKind.HIGH, ohms=ohms)


def _named_fault(harness: Harness, site: str, words: str, kinds: tuple[FaultKind, ...]) -> Fault:
    name, _, partner = words.partition(":")
    name, partner = name.strip(), partner.strip()
    if name not in kinds:
        near = nearest(name, tuple(kinds))
        raise ArgumentError(
            f"{site} cannot be “{name}”.", do=f"Did you mean {near}?" if near else f"It can be {_list(kinds)}."
        )
    kind = FaultKind(name)
    if kind is FaultKind.TO_BODY and body_beside(harness, harness.part_of(site, Wire)) is None:
        raise ArgumentError(f"{site} cannot touch the body.", do="It has no body beside it; use touches:POINT.")
    if kind in (FaultKind.TOUCHES, FaultKind.ELSEWHERE):
        _check_partner(harness, site, kind, partner)
    elif partner:
        raise ArgumentError(f"“{kind}” of {site} takes no partner.", do=f"Write {site}={kind}.")
    return Fault(site, kind, partner)


def _check_partner(harness: Harness, site: str, kind: FaultKind, partner: str) -> None:
    points = all_points(harness)
    is_other_wire = isinstance(harness.parts.get(partner), Wire) and partner != site
    known = resolve_point(harness, partner) in points or (kind is FaultKind.TOUCHES and is_other_wire)
    if not known:
        near = nearest(partner, (*points, *harness.parts)) if partner else None
        raise ArgumentError(
            f"“{partner}” is no point for {site} to be at." if partner else f"“{kind}” of {site} wants a partner.",
            do=f"Did you mean {near}?" if near else f"Write {site}={kind}:POINT.",
        )


def _meant(harness: Harness, site: str) -> str:
    """Say what somebody may have meant who named no site: a part's contacts where it is the part."""
    part = harness.parts.get(part_of_site(site))
    if part is None:
        near = nearest(site, tuple(harness.parts))
        return f"Did you mean {near}?" if near else "Name a part by its id."
    inner: tuple[str, ...] = ()
    match part:
        case Relay():
            inner = ("coil", *(f"{one}-{other}" for groups in relay_groups(part) for one, other in contacts(groups)))
        case Switch():
            inner = tuple(f"{one}-{other}" for one, other in switch_contacts(part))
        case Load() | ResistorPack():
            inner = tuple(element.name for element in part.elements) or (SINGLE_ELEMENT,)
        case Module():
            inner = (*(row.terminal for row in part.feeds), *(row.terminal for row in part.drivers))
            inner = (*inner, *(row.terminal for row in part.outputs))
    sites = [f"{part.id}:{name}" for name in dict.fromkeys(inner)]
    sites += [f"{part.id}.1"] if isinstance(part, Connector) else []
    return f"Name what of it is faulty: {', '.join(sites[:6])}." if sites else "Name a terminal of it, such as K1.87."


def fault_kinds(harness: Harness, site: str) -> tuple[FaultKind, ...]:
    """Name the faults that a site can have; nothing where there is no such site."""
    part = harness.parts.get(site)
    if part is not None:
        return _part_kinds(part)
    if ":" in site:
        return _inner_kinds(harness, *site.split(":", 1))
    if "/" in site:
        return (FaultKind.SWAPPED,) if swapped_cavities(harness, site) else ()
    owner, _, terminal = site.partition(".")
    part = harness.parts.get(owner)
    match part:
        case Battery():
            return _TERMINAL_KINDS if terminal in ("+", "-") else ()
        case Connector():
            return _TERMINAL_KINDS if _is_cavity(part, terminal) else ()
        case Wire():
            return (FaultKind.ELSEWHERE,) if terminal == "a" else ()
        case None:
            return ()
    return _TERMINAL_KINDS if terminal in _plug_terminals(part) else ()


def _plug_terminals(part: Part) -> tuple[str, ...]:
    names = terminals_of(part)
    return ("in", *names) if isinstance(part, Fuse) and part.bus else names


def _part_kinds(part: Part) -> tuple[FaultKind, ...]:
    match part:
        case Wire():
            return (FaultKind.OPEN, FaultKind.HIGH, FaultKind.TO_BODY, FaultKind.TOUCHES, FaultKind.ELSEWHERE)
        case Fuse():
            return (FaultKind.BLOWN, FaultKind.MISSING, FaultKind.HIGH, FaultKind.TOO_SMALL, FaultKind.OPEN)
        case GroundPoint() | Joint():
            return _TERMINAL_KINDS
        case Diode():
            return (FaultKind.OPEN, FaultKind.SHORT, FaultKind.REVERSED)
        case Battery():
            return (FaultKind.FLAT,)
        case Charger():
            return (FaultKind.NO_OUTPUT,)
    return ()


def _inner_kinds(harness: Harness, owner: str, inner: str) -> tuple[FaultKind, ...]:
    part = harness.parts.get(owner)
    contact_kinds = (FaultKind.OPEN, FaultKind.HIGH, FaultKind.STUCK)
    match part:
        case Relay():
            if inner == "coil":
                return (FaultKind.OPEN,)
            return contact_kinds if inner in contact_names(part) else ()
        case Switch():
            return contact_kinds if inner in contact_names(part) else ()
        case Load():
            names = [element.name for element in part.elements] or [SINGLE_ELEMENT]
            return (FaultKind.OPEN, FaultKind.SHORT, FaultKind.LOW_DRAW) if inner in names else ()
        case ResistorPack():
            names = [element.name for element in part.elements]
            return (FaultKind.OPEN, FaultKind.SHORT) if inner in names else ()
        case Module():
            if inner in [feed.terminal for feed in part.feeds]:
                return (FaultKind.OPEN,)
            driven = [driver.terminal for driver in part.drivers] + [output.terminal for output in part.outputs]
            return (FaultKind.OPEN, FaultKind.STUCK) if inner in driven else ()
    return ()


def contact_names(part: Switch | Relay) -> tuple[str, ...]:
    """Name every contact of a switch or relay, over all its positions: ``30-87``."""
    pairs = switch_contacts(part) if isinstance(part, Switch) else contacts(chain(*relay_groups(part)))
    return tuple(f"{common}-{other}" for common, other in pairs)


def swapped_cavities(harness: Harness, site: str) -> tuple[tuple[str, int], tuple[str, int]] | None:
    """Read ``X1.4/5`` or ``X1.4/X2.4`` as two cavities; None where it names no two of the harness."""
    first, _, second = site.partition("/")
    owner, _, cavity = first.partition(".")
    other_owner, _, other_cavity = second.rpartition(".")
    pair = ((owner, cavity), (other_owner or owner, other_cavity))
    found: list[tuple[str, int]] = []
    for connector_id, number in pair:
        part = harness.parts.get(connector_id)
        if not isinstance(part, Connector) or not _is_cavity(part, number):
            return None
        found.append((connector_id, int(number)))
    return (found[0], found[1]) if found[0] != found[1] else None


def _is_cavity(connector: Connector, typed: str) -> bool:
    """Tell whether a number as typed is one of a connector's cavities, written as the program writes it."""
    is_number = typed.isascii() and typed.isdigit() and len(typed) < _MOST_DIGITS
    return is_number and str(int(typed)) == typed and 1 <= int(typed) <= connector.cavities


def _list(kinds: tuple[FaultKind, ...]) -> str:
    return ", ".join(kinds)
