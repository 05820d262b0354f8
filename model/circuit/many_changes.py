"""What a fault changes in a netlist that has been built without it: branches, and what looks at them."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import cached_property

from model.circuit.bodies import body_beside
from model.circuit.build import FUSE_RATING_SHARE_TOO_SMALL, TOUCH_OHMS
from model.circuit.condition import OFF, OUT, Condition, is_out
from model.circuit.faults import LOW_DRAW_SHARE, SHORT_OHMS, Fault, FaultKind, part_of_site, swapped_cavities
from model.circuit.netlist import LEAST_OHMS, Netlist
from model.harness.harness import Harness
from model.harness.parts import Battery, Charger, Diode, Fuse, Load, LoadKind, Module, Relay, ResistorPack, Switch
from model.harness.records import Connector, Wire
from model.units import fuse_cold_ohms


@dataclass(slots=True)
class Changes:
    """What the faults of one variant change in the sound netlist.

    Attributes
    ----------
    ohms
        Branch → its resistance in ohms, infinite where open, whatever it was; of a contact while it is closed.
    added
        From node, to node, ohms and site of branches that come in.
    stuck
        Contacts, drivers and outputs that are closed for good.
    draw
        Branch of a lamp or one-way line → the share of its rated current that it draws.
    senses
        Mover → the factor of its first sense; 0 of a coil that is open.
    ratings
        Fuse id → its rating in amperes.
    """

    ohms: dict[int, float] = field(default_factory=dict)
    added: list[tuple[int, int, float, str]] = field(default_factory=list)
    stuck: list[int] = field(default_factory=list)
    draw: dict[int, float] = field(default_factory=dict)
    senses: dict[int, float] = field(default_factory=dict)
    ratings: dict[str, float] = field(default_factory=dict)


def split_sites(harness: Harness, faults: tuple[Fault, ...]) -> frozenset[str]:
    """Name the wires, terminals and battery posts that need a node inside for these faults."""
    found: set[str] = set()
    for fault in faults:
        if fault.kind in (FaultKind.TOUCHES, FaultKind.TO_BODY):
            found.add(fault.site)
            if isinstance(harness.parts.get(fault.partner), Wire):
                found.add(fault.partner)
        elif "." in fault.site and "/" not in fault.site and ":" not in fault.site:
            part = harness.parts[fault.site.partition(".")[0]]
            if not isinstance(part, Connector | Wire):
                found.add(fault.site)
    return frozenset(found)


class SoundNet:
    """A netlist without faults, indexed by what faults name.

    Attributes
    ----------
    net
        The netlist, built with the split sites of all its faults.
    """

    def __init__(self, harness: Harness, condition: Condition, net: Netlist) -> None:
        self.harness = harness
        self.condition = condition
        self.net = net

    @cached_property
    def branches_of(self) -> dict[str, list[int]]:
        """Branches of each fault site."""
        found: dict[str, list[int]] = {}
        for branch, site in enumerate(self.net.sites):
            if site:
                found.setdefault(site, []).append(branch)
        return found

    @cached_property
    def ports(self) -> frozenset[int]:
        """Branches of lamps and one-way lines."""
        net = self.net
        return frozenset((*(lamp.branch for lamp in net.lamps), *(line.branch for line in net.lines)))

    @cached_property
    def mover_of(self) -> dict[str, int]:
        """Place of each mover by its name."""
        return {mover.name: place for place, mover in enumerate(self.net.movers)}

    @cached_property
    def inverters(self) -> frozenset[str]:
        """Names of the inverters."""
        return frozenset(mover.name for mover in self.net.movers if mover.watts)

    @cached_property
    def element_of(self) -> dict[str, tuple[LoadKind, str, str]]:
        """Kind and points of each element by its name."""
        return {
            one.element.name: (one.element.kind, one.element.from_point, one.element.to_point)
            for one in self.net.elements
        }

    def pin(self, point: str) -> int:
        """Give the node behind a terminal."""
        inside = self.net.index.get(f"{point} inside")
        return self.net.index[point] if inside is None else inside

    def end(self, point: str) -> int:
        """Give the node that a wire reaches at a point."""
        clamp = self.net.index.get(f"{point} clamp")
        return self.net.index[point] if clamp is None else clamp


def changes_of(sound: SoundNet, faults: tuple[Fault, ...]) -> Changes | None:
    """Give what faults change; None where the circuit has to be built and settled anew."""
    changes = Changes()
    owners = [part_of_site(fault.site) for fault in faults]
    if len(owners) > 1 and len(set(owners)) < len(owners):
        return None
    for fault, owner in zip(faults, owners, strict=True):
        if not _add(sound, changes, fault, owner):
            return None
    if len(owners) == 1:
        return changes
    for touched in {fault.site for fault in faults if fault.kind is FaultKind.OPEN} & {one.partner for one in faults}:
        changes.ohms.update(dict.fromkeys(sound.branches_of.get(touched, ()), math.inf))
    return changes


def _add(sound: SoundNet, changes: Changes, fault: Fault, owner: str) -> bool:
    """Add what one fault changes; false where it cannot be told as a change of branches."""
    part = sound.harness.parts[owner]
    match fault.kind:
        case FaultKind.TO_BODY | FaultKind.TOUCHES:
            return _touch(sound, changes, fault)
        case FaultKind.ELSEWHERE:
            return _elsewhere(sound, changes, fault, owner)
        case FaultKind.SWAPPED:
            return _swapped(sound, changes, fault)
        case FaultKind.REVERSED | FaultKind.FLAT:
            return not sound.branches_of.get(fault.site)
        case FaultKind.NO_OUTPUT:
            return _no_output(sound, changes, sound.harness.part_of(owner, Charger))
        case FaultKind.STUCK:
            return _stuck(sound, changes, fault, part)
    match part:
        case Load() if ":" in fault.site:
            return _element(sound, changes, fault, part)
        case Fuse() if fault.site == owner:
            return _fuse(sound, changes, fault, part)
        case Diode() if fault.site == owner and fault.kind is FaultKind.SHORT:
            changes.ohms.update(dict.fromkeys(sound.branches_of.get(owner, ()), SHORT_OHMS))
            return True
        case ResistorPack() if fault.kind is FaultKind.SHORT:
            changes.ohms.update(dict.fromkeys(sound.branches_of.get(fault.site, ()), SHORT_OHMS))
            return True
        case Relay() if fault.site.endswith(":coil"):
            return _coil(sound, changes, fault, part)
    return _resistance(sound, changes, fault, part)


def _ohms(fault: Fault, ohms: float) -> float:
    if fault.kind is FaultKind.OPEN:
        return math.inf
    return fault.ohms if fault.ohms is not None else ohms + fault.added_ohms


def _resistance(sound: SoundNet, changes: Changes, fault: Fault, part: object) -> bool:
    """Open a site, or put a resistance into it or in its place; of a wire in two halves one is enough to open."""
    branches = sound.branches_of.get(fault.site, [])
    is_port_alone = isinstance(part, Diode) and fault.site == part.id
    ohms = _ohms(fault, 0.0 if is_port_alone else sum(sound.net.ohms[branch] for branch in branches))
    if isinstance(part, Wire) and fault.kind is FaultKind.OPEN:
        changes.ohms.update(dict.fromkeys(branches[:1], math.inf))
    elif isinstance(part, Wire):
        changes.ohms.update(dict.fromkeys(branches, ohms / max(len(branches), 1)))
    elif isinstance(part, Battery | Charger) and fault.site == part.id:
        return not branches
    else:
        for branch in branches:
            least_ohms = sound.net.ohms[branch] if sound.net.ohms[branch] > LEAST_OHMS else 0.0
            changes.ohms[branch] = ohms if is_port_alone else _ohms(fault, least_ohms)
    return True


def _touch(sound: SoundNet, changes: Changes, fault: Fault) -> bool:
    net, harness = sound.net, sound.harness
    partner: str | None = fault.partner
    if fault.kind is FaultKind.TO_BODY:
        partner = body_beside(harness, harness.part_of(fault.site, Wire))
    if partner is None:
        return False
    if isinstance(harness.parts.get(partner), Wire):
        partner = f"{partner} middle"
    changes.added.append((net.index[f"{fault.site} middle"], net.index[partner], TOUCH_OHMS, ""))
    return True


def _elsewhere(sound: SoundNet, changes: Changes, fault: Fault, wire_id: str) -> bool:
    branches = sound.branches_of.get(wire_id, [])
    letter = "a" if fault.site.endswith(".a") else "b"
    if not branches or sound.condition.by_name.get(f"{wire_id}.{letter}") == OFF:
        return not sound.branches_of.get(fault.site, [])
    net, partner = sound.net, sound.end(fault.partner)
    branch = branches[0] if letter == "a" else branches[-1]
    stays = net.other[branch] if letter == "a" else net.one[branch]
    changes.ohms[branch] = math.inf
    changes.added.append((stays, partner, net.ohms[branch], wire_id))
    return True


def _swapped(sound: SoundNet, changes: Changes, fault: Fault) -> bool:
    pair = swapped_cavities(sound.harness, fault.site)
    if pair is None:
        return False
    for (connector_id, cavity), (other_id, other_cavity) in (pair, pair[::-1]):
        for branch in sound.branches_of.get(f"{connector_id}.{cavity}", ()):
            half = sound.harness.part_of(other_id, Connector).halves[1]
            changes.ohms[branch] = math.inf
            to_node = sound.net.index[f"{other_id}.{half}.{other_cavity}"]
            changes.added.append((sound.net.one[branch], to_node, sound.net.ohms[branch], sound.net.sites[branch]))
    return True


def _no_output(sound: SoundNet, changes: Changes, charger: Charger) -> bool:
    net = sound.net
    branches = sound.branches_of.get(charger.id, [])
    if not any(branch in sound.ports for branch in branches):
        return True
    for branch in branches:
        changes.ohms[branch] = math.inf
        if branch not in sound.ports:
            changes.added.append((net.one[branch], sound.pin(f"{charger.id}.-"), net.ohms[branch], charger.id))
    return True


def _stuck(sound: SoundNet, changes: Changes, fault: Fault, part: object) -> bool:
    branches = sound.branches_of.get(fault.site, [])
    changes.stuck += branches
    if isinstance(part, Switch) and not branches:
        is_gone = sound.condition.by_name.get(part.id) == OUT and OUT not in part.positions
        if not is_gone:
            one, _, other = fault.site.partition(":")[2].partition("-")
            ends = sound.pin(f"{part.id}.{one}"), sound.pin(f"{part.id}.{other}")
            changes.added.append((*ends, part.ohms or sound.harness.defaults.switch, fault.site))
    return isinstance(part, Switch | Relay | Module)


def _element(sound: SoundNet, changes: Changes, fault: Fault, load: Load) -> bool:
    if is_out(sound.condition, load.id):
        return True
    if fault.site in sound.inverters:
        return False
    branches = sound.branches_of.get(fault.site, [])
    kind, one, other = sound.element_of[fault.site]
    match fault.kind:
        case FaultKind.OPEN:
            changes.ohms.update(dict.fromkeys(branches, math.inf))
        case FaultKind.LOW_DRAW:
            for branch in branches:
                if branch in sound.ports:
                    changes.draw[branch] = LOW_DRAW_SHARE
                else:
                    changes.ohms[branch] = sound.net.ohms[branch] / LOW_DRAW_SHARE
        case _:
            ohms = SHORT_OHMS if fault.kind is FaultKind.SHORT else max(fault.ohms or 0.0, LEAST_OHMS)
            changes.ohms.update(dict.fromkeys(branches, ohms))
            if not branches and kind is LoadKind.SOCKET:
                changes.added.append((sound.pin(one), sound.pin(other), ohms, fault.site))
    return True


def _fuse(sound: SoundNet, changes: Changes, fault: Fault, fuse: Fuse) -> bool:
    for branch in sound.branches_of.get(fuse.id, ()):
        ohms = sound.net.ohms[branch]
        if fault.kind in (FaultKind.BLOWN, FaultKind.MISSING, FaultKind.OPEN):
            changes.ohms[branch] = math.inf
        elif fault.kind is FaultKind.HIGH:
            changes.ohms[branch] = _ohms(fault, ohms)
        elif fuse.amps is not None:
            amps = fuse.amps * FUSE_RATING_SHARE_TOO_SMALL
            changes.ratings[fuse.id] = amps
            changes.ohms[branch] = fuse.ohms or fuse_cold_ohms(amps, fuse.style)
    return True


def _coil(sound: SoundNet, changes: Changes, fault: Fault, relay: Relay) -> bool:
    branches = sound.branches_of.get(fault.site, [])
    if not branches:
        return True
    sound_ohms = sound.net.ohms[branches[0]]
    ohms = _ohms(fault, sound_ohms)
    changes.ohms[branches[0]] = ohms
    changes.senses[sound.mover_of[relay.id]] = 0.0 if math.isinf(ohms) else sound_ohms / ohms
    return True
