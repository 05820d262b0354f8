"""What a meter on ohms shows between a piece of metal and ground, and which shorts it would tell from that."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from model.circuit.condition import OUT, Condition
from model.circuit.faults import part_of_site
from model.harness.hazards import Refusal, may_be_probed
from model.harness.parts import Charger, Diode, Load, LoadKind, Module, Relay, ResistorPack
from model.harness.points import relay_coils
from model.plans.cold_circuit import ColdCircuit
from model.plans.insulation_groups import Ground
from model.plans.limits import low_of, meter_error_ohms
from model.plans.switch_settings import Settings, settings_to

LEAST_ERRORS = 3.0
"""A reading of fewer of the meter's own errors tells nothing; judgement."""

_ELECTRONIC = (LoadKind.ELECTRONICS, LoadKind.INVERTER)


@dataclass(frozen=True)
class Reading:
    """A reading against ground that is to be taken.

    Attributes
    ----------
    point
        Where the probe stands.
    condition
        Everything that is set for it.
    """

    ground: Ground
    point: str
    condition: Condition

    @property
    def all_out(self) -> bool:
        """Whether it is that of a live clamp with every fuse out, which has a limit of its own."""
        return self.point in self.ground.live_posts and self.condition == self.ground.at_rest

    @cached_property
    def circuit(self) -> ColdCircuit:
        """The circuit of the condition."""
        return self.ground.loom.circuit(self.condition)

    @cached_property
    def ends(self) -> tuple[int, int]:
        """Node of the point, and of the grounded post."""
        return self.ground.loom.node(self.point), self.ground.loom.node(self.ground.point)

    @cached_property
    def ohms(self) -> float:
        """What a sound loom shows; infinite where open."""
        return self.circuit.ohms(*self.ends)

    @cached_property
    def least_ohms(self) -> float:
        """The least that is good: each part as low as its tolerance lets it be, less what the meter may be off by."""
        if self.all_out:
            return min(low_of("all fuses out share") / 100.0 * self.ohms, low_of("all fuses out"))
        if math.isinf(self.ohms):
            return low_of("open group")
        least_ohms = self.circuit.ohms(*self.ends, least=True)
        return min(max(least_ohms - meter_error_ohms(least_ohms), 0.0), low_of("open group"))

    @cached_property
    def reached(self) -> frozenset[int]:
        """The nodes that anything joins to the point without passing through ground."""
        carries = self.circuit.carries
        return self.ground.reached(self.ends[0], lambda branch: bool(carries[branch]))

    @cached_property
    def metal(self) -> frozenset[int]:
        """The nodes that metal and closed contacts join to the point."""
        carries = self.circuit.carries
        closed = {contact.branch for contact in self.ground.loom.contacts if carries[contact.branch]}
        return self.ground.reached(self.ends[0], lambda branch: self.ground.is_metal(branch) or branch in closed)

    @cached_property
    def within_reach(self) -> dict[str, Settings]:
        """The fewest settings of switches that join each wire to the point, through loads and coils too."""
        loom, stops = self.ground.loom, self.ground.nodes
        fuses = {link.branch for link in loom.net.fuses}
        found = settings_to(loom, self.ends[0], self.condition, stops, through=lambda branch: branch not in fuses)
        middles = sorted(node for node in found if node in loom.wire_at and node not in stops)
        return {loom.wire_at[node]: found[node] for node in middles}

    @cached_property
    def shorts(self) -> dict[str, float]:
        """What is shown with the insulation of each wire that is reached through to the body: wire → ohms."""
        wire_at = self.ground.loom.wire_at
        middles = sorted(node for node in self.reached - self.ground.nodes if node in wire_at)
        return {wire_at[node]: self.with_touch(node, self.beside(wire_at[node])) for node in middles}

    def beside(self, wire_id: str) -> int:
        """Give the node of the body that a wire would touch; without a body that of the grounded post."""
        body = self.ground.body_at(wire_id)
        return self.ends[1] if body is None else self.ground.loom.node(body)

    def with_touch(self, one: int, other: int) -> float:
        """Give what is shown with two nodes touching."""
        return self.circuit.ohms_with(*self.ends, (one, other))

    @cached_property
    def told(self) -> frozenset[str]:
        """The wires whose short to the body the reading tells: it is under the least that is good."""
        if self.ohms < LEAST_ERRORS * meter_error_ohms(self.ohms):
            return frozenset()
        return frozenset(wire for wire, ohms in self.shorts.items() if ohms < self.least_ohms)

    @cached_property
    def untold(self) -> tuple[str, ...]:
        """The wires of the metal itself whose short the reading does not tell, in the order of the file."""
        middle = self.ground.loom.middle
        return tuple(wire for wire in self.shorts if wire not in self.told and middle(wire) in self.metal)

    @cached_property
    def parts(self) -> tuple[str, ...]:
        """Parts that are reached, in the order of the file: loads, relays, control units and all else."""
        names = self.ground.loom.net.names
        owners = {part_of_site(names[node]) for node in self.reached if node not in self.ground.nodes}
        return tuple(sorted(owners & self.ground.order.keys(), key=self.ground.order.__getitem__))

    @cached_property
    def refusal(self) -> Refusal | None:
        """Why the reading must not be taken: it would send the meter's current into wiring that nobody may probe."""
        names, count = self.ground.loom.net.names, self.ground.loom.net.point_count
        points = [names[node] for node in sorted(self.reached) if node < count and node not in self.ground.nodes]
        refusals = (may_be_probed(self.ground.harness, point) for point in points)
        return next((refusal for refusal in refusals if refusal is not None), None)

    @cached_property
    def electronics(self) -> tuple[str, ...]:
        """Control units, electronic loads and exciters that are reached: no meter's ohms go through them."""
        return tuple(part_id for part_id in self.parts if self._is_electronic(part_id))

    @cached_property
    def one_way(self) -> tuple[str, ...]:
        """Leds, diodes and chargers that are reached: open at the volts of most meters, with red on plus."""
        return tuple(part_id for part_id in self.parts if self._is_one_way(part_id))

    @cached_property
    def tells(self) -> bool:
        """Whether a short would be told: of a wire of its metal, or where it has none of the point itself."""
        if self.shorts:
            return bool(self.told)
        enough = self.ohms >= LEAST_ERRORS * meter_error_ohms(self.ohms)
        return enough and self.with_touch(*self.ends) < self.least_ohms

    def _is_electronic(self, part_id: str) -> bool:
        part = self.ground.harness.parts[part_id]
        if isinstance(part, Charger):
            return part.exciter is not None and self._reaches(part_id, part.exciter.terminal)
        return isinstance(part, Module) or bool(_kinds(part).intersection(_ELECTRONIC))

    def _is_one_way(self, part_id: str) -> bool:
        part = self.ground.harness.parts[part_id]
        if isinstance(part, Relay):
            ends = relay_coils(part, self.ground.harness.build.nominal_volts)[0][:2]
            return part.coil_diode is not None and any(self._reaches(part_id, end) for end in ends)
        if isinstance(part, Charger):
            return self._reaches(part_id, "+") or self._reaches(part_id, "-")
        return isinstance(part, Diode) or LoadKind.LED in _kinds(part)

    def _reaches(self, part_id: str, terminal: str) -> bool:
        return self.ground.loom.node(f"{part_id}.{terminal}") in self.reached - self.ground.nodes

    def without(self, parts: Iterable[str]) -> Reading:
        """Give the same reading with more parts unplugged."""
        names = [part_id for part_id in parts if self.condition.by_name.get(part_id) != OUT]
        if not names:
            return self
        condition = self.condition
        for name in names:
            condition = condition.with_setting(name, OUT)
        return Reading(self.ground, self.point, condition)

    def as_taken(self) -> Reading:
        """Give the reading as it is taken: control units and electronics that it reaches unplugged.

        A charger has no place in an ohmmeter's circuit as it is, so that its exciter is told and not set.
        """
        chargers = {charger.id for charger in self.ground.harness.chargers}
        return self.without(part_id for part_id in self.electronics if part_id not in chargers)

    def to_unplug(self) -> tuple[str, ...]:
        """Name the fewest loads that have to be unplugged for every wire of the metal to be told; none where none help.

        Notes
        -----
        All of them stand side by side between the metal and ground, so that those of the fewest ohms go first; of the
        ones taken each is put back that it goes without.
        """
        if not self.untold:
            return ()
        chosen: list[str] = []
        for part_id in self._by_ohms():
            chosen.append(part_id)
            if not self.without(chosen).untold:
                break
        else:
            return ()
        for part_id in tuple(chosen[:-1]):
            fewer = [one for one in chosen if one != part_id]
            if not self.without(fewer).untold:
                chosen = fewer
        return tuple(chosen)

    def _by_ohms(self) -> list[str]:
        loom = self.ground.loom
        found: list[tuple[float, str]] = []
        for part_id in self.parts:
            if isinstance(self.ground.harness.parts[part_id], Load | Relay | ResistorPack):
                branches = [branch for branch in loom.branches_of.get(part_id, ()) if self.circuit.carries[branch]]
                siemens = max((float(loom.siemens[branch]) for branch in branches), default=0.0)
                found += [(1.0 / siemens, part_id)] if siemens else []
        return [part_id for _, part_id in sorted(found, key=lambda pair: pair[0])]


def _kinds(part: object) -> frozenset[LoadKind]:
    if not isinstance(part, Load):
        return frozenset()
    return frozenset(element.kind or part.kind for element in part.elements) or frozenset({part.kind})
