"""What the rows of cranking and charging are made from: the loom on the bench, and the one maker of volts rows."""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field, replace
from functools import cached_property

from model.cautions import cautions_for, is_starter, wants_engine_off
from model.circuit.bands import Bands
from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.faults import Fault, FaultKind, part_of_site
from model.circuit.settle import Settled, settle
from model.errors import CircuitError
from model.harness.harness import Element, Harness, all_elements
from model.harness.hazards import may_be_probed
from model.harness.parts import Fuse, Relay, Switch
from model.harness.places import point_place
from model.harness.records import Connector, GroundPoint, Joint, Wire
from model.harness.supply import battery_volts
from model.plans.cold_circuit import ColdLoom
from model.plans.insulation_groups import Ground
from model.plans.limits import COMPUTED
from model.plans.plan import Limit, Measure, PlanRow
from model.plans.row_words import OUTSIDE_BY_FILE, titled
from model.tables import SourceKind
from model.tracing.names import either, id_and_label, point_name
from model.tracing.working import Working, working_condition
from model.words import ohms_text

LOST_VOLTS = 1.0
"""What a bad joint is taken to lose."""


@dataclass
class Scene:
    """A loom on the bench, with the rows as far as they are made.

    Attributes
    ----------
    left_out
        What is not measured, with why.
    """

    harness: Harness
    rows: list[PlanRow] = field(default_factory=list)
    left_out: list[str] = field(default_factory=list)

    @cached_property
    def bench(self) -> Bench:
        """The loom, its surveys kept."""
        return Bench(self.harness)

    @cached_property
    def ground(self) -> Ground:
        """The grounded side."""
        return Ground(ColdLoom(self.harness))

    @cached_property
    def battery_volts(self) -> dict[str, float]:
        """Nominal volts of each battery."""
        return battery_volts(self.harness)

    @cached_property
    def at_rest(self) -> Condition:
        """Key off, all at rest."""
        return Condition(self.harness.key_names[0])

    def settled(self, condition: Condition) -> Settled:
        """Give the circuit of a condition."""
        return self.bench.survey(condition).settled

    def volts(self, condition: Condition, red: str, black: str) -> float:
        """Give the volts from red to black."""
        settled = self.settled(condition)
        return float(settled.volts[self.node(settled, red)] - settled.volts[self.node(settled, black)])

    @staticmethod
    def node(settled: Settled, point: str) -> int:
        """Give the node of a point."""
        return settled.net.index[point]

    def band_limit(self, condition: Condition, red: str, black: str, words: str) -> Limit:
        """Give the band of a good reading as the limit of a row whose volts no source prints."""
        settled = self.settled(condition)
        band = Bands(settled).at(self.node(settled, red), self.node(settled, black))
        return Limit(band.low, band.high, COMPUTED, SourceKind.JUDGEMENT, words)

    def battery_amps(self, condition: Condition, battery_id: str) -> float:
        """Give the current in amperes out of the plus post of a battery; negative where it is charged."""
        settled = self.settled(condition)
        plus = settled.net.index[f"{battery_id}.+"]
        lines = [branch for branch, site in enumerate(settled.net.sites) if site == battery_id]
        return sum(float(settled.amps[at]) * (1 if settled.net.other[at] == plus else -1) for at in lines)

    def way(self, condition: Condition, ends: tuple[str, str]) -> tuple[str, ...]:
        """Name the sites on the shortest way between two points: wires, joints, bonds, cavities, fuses, contacts."""
        settled = self.settled(condition)
        net, joins = settled.net, settled.relaxed.joins
        start, goal = (self.node(settled, point) for point in ends)
        beside: dict[int, list[tuple[int, int]]] = {}
        for branch, (one, other) in enumerate(zip(net.one, net.other, strict=True)):
            if joins[branch] and self._is_on_a_way(net.sites[branch]):
                beside.setdefault(one, []).append((branch, other))
                beside.setdefault(other, []).append((branch, one))
        sites_to: dict[int, tuple[str, ...]] = {start: ()}
        waiting = deque([start])
        while waiting and goal not in sites_to:
            node = waiting.popleft()
            for branch, far in beside.get(node, ()):
                if far not in sites_to:
                    sites_to[far] = (*sites_to[node], net.sites[branch])
                    waiting.append(far)
        return sites_to.get(goal, ())

    def _is_on_a_way(self, site: str) -> bool:
        part = self.harness.parts.get(part_of_site(site)) if site else None
        if isinstance(part, Relay | Switch):
            return not site.endswith(":coil")
        return isinstance(part, Wire | Joint | Connector | GroundPoint | Fuse)

    def add(self, row: PlanRow) -> None:
        """Add a row, or say why it is not measured."""
        for point in row.points:
            refusal = may_be_probed(self.harness, point)
            if refusal is not None:
                self.left_out.append(f"{row.title}: {refusal.reason}")
                return
            if wants_engine_off(self.harness, point, row.condition):
                self.left_out.append(f"{row.title}: ignition wiring is measured with the engine off only.")
                return
        self.rows.append(row)

    @cached_property
    def starters(self) -> tuple[tuple[Element, Working], ...]:
        """The motors that are starters by label or role, each with the condition in which it turns."""
        found = [element for element in all_elements(self.harness) if is_starter(self.harness, element)]
        return tuple((element, working_condition(self.bench, element)) for element in found)


def volts_row(
    scene: Scene,
    ask: tuple[str, str, str],
    condition: Condition,
    points: tuple[str, str],
    limit: Limit,
    covers: tuple[str, ...],
    before: tuple[str, ...] = (),
) -> PlanRow:
    """Give a row of volts, red on the point that is higher in a sound loom.

    Parameters
    ----------
    ask
        Key, title and group of the row.
    """
    key, title, group = ask
    red, black = points
    volts = scene.volts(condition, red, black)
    if volts < 0:
        red, black, volts = black, red, -volts
    harness = scene.harness
    return PlanRow(
        key=key,
        title=titled(title),
        group=group,
        measure=Measure.VOLTS,
        condition=condition,
        red=red,
        black=black,
        place=point_place(harness, red).name,
        far_place=point_place(harness, black).name,
        expect=volts,
        limit=limit,
        covers=covers,
        before=(*before, *off_limit(volts, limit)),
        cautions=tuple(one.text for one in cautions_for(harness, (red, black), condition)),
    )


def added_row(
    scene: Scene,
    ask: tuple[str, str, str],
    condition: Condition,
    pairs: tuple[tuple[str, str], tuple[str, str]],
    limit: Limit,
) -> PlanRow:
    """Give a row whose reading is the sum of two drops, each with red on the point that is higher in a sound loom.

    Its points stand in ``others``: red and black of the first drop, then of the second.
    """
    turned = [pair if scene.volts(condition, *pair) >= 0 else pair[::-1] for pair in pairs]
    one, other = volts_row(scene, ask, condition, turned[0], limit, ()), turned[1]
    total_volts = sum(scene.volts(condition, *pair) for pair in turned)
    first, second = (" to ".join(point_name(scene.harness, end) for end in pair) for pair in turned)
    points = (*turned[0], *other)
    return replace(
        one,
        red="",
        black="",
        others=points,
        expect=total_volts,
        before=(
            "Read both drops, add them and type the sum.",
            f"The first with red and black from {first}, the second from {second}.",
            *off_limit(total_volts, limit),
        ),
        cautions=tuple(one.text for one in cautions_for(scene.harness, points, condition)),
    )


def pairs_of(row: PlanRow) -> tuple[tuple[str, str], ...]:
    """Give the pairs of points, red first, whose volts a row adds: most have one."""
    return tuple(zip(row.others[::2], row.others[1::2], strict=True)) if row.others else ((row.red, row.black),)


def drop_row(scene: Scene, row: PlanRow, amps: float) -> PlanRow:
    """Let a row cover what it tells: a joint on the way of its current that loses a volt brings it over its limit.

    More than a volt over any part is a fault (BMW E46 workshop manual, p. 967, which credits the SAE). What another way
    stands beside, or carries little, is not told, and named.
    """
    sites = tuple(dict.fromkeys(site for pair in pairs_of(row) for site in scene.way(row.condition, pair)))
    told = tuple(site for site in sites if _is_told(scene, row, site, LOST_VOLTS / amps))
    untold = [id_and_label(scene.harness, part_of_site(site)) for site in sites if site not in told]
    more = ohms_text(LOST_VOLTS / amps)
    blind = f"{more} more at {either(untold)} would stay within the limit here." if untold else ""
    if not told:
        blind = blind or "Nothing on its way could bring it over the limit."
    return replace(row, covers=told, tells=bool(told), blind=blind)


def _is_told(scene: Scene, row: PlanRow, site: str, more_ohms: float) -> bool:
    """Tell whether more ohms at a site bring a row outside its limit; where the circuit finds no rest they do not."""
    fault = Fault(site, FaultKind.HIGH, added_ohms=more_ohms)
    try:
        settled = settle(scene.harness, replace(row.condition, faults=(fault,)))
    except CircuitError:
        return False
    volts = sum(
        float(settled.volts[scene.node(settled, red)] - settled.volts[scene.node(settled, black)])
        for red, black in pairs_of(row)
    )
    return bool(off_limit(volts, row.limit)) if row.limit is not None else False


def off_limit(volts: float, limit: Limit) -> tuple[str, ...]:
    """Say where by its own file a sound loom is outside a limit."""
    under = limit.low is not None and volts < limit.low
    over = limit.high is not None and volts > limit.high
    return (OUTSIDE_BY_FILE,) if under or over else ()
