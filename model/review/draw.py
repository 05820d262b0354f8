"""What leaves the battery with the key off: fuse by fuse, by no fuse, awake and asleep, and how long that is borne."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from model.circuit.bench import Bench
from model.circuit.condition import ASLEEP, OFF, Condition, charger_is_on
from model.circuit.settle import Settled
from model.circuit.survey import Survey
from model.harness.harness import Element, Harness, all_elements
from model.harness.parts import LoadKind, Module
from model.harness.supply import battery_chain
from model.review.battery_time import BatteryTime, Capacity, CapacityFrom, battery_time, capacity_of
from model.review.draw_figures import Figure, figure, figures
from model.review.draw_flow import NEXT_TO_NOTHING_AMPS, Flow

_LEAST_CERTAIN_FIRST = (CapacityFrom.ASSUMED, CapacityFrom.RESERVE, CapacityFrom.GIVEN)


@dataclass(frozen=True, slots=True)
class Draws:
    """Something that draws, awake and asleep, in amperes."""

    name: str
    awake_amps: float
    asleep_amps: float


@dataclass(frozen=True, slots=True)
class FuseDraw:
    """What goes through a fuse.

    Attributes
    ----------
    awake_amps, asleep_amps
        From its feed side to its load side; negative where it is fed from behind.
    behind
        The fuse that it hangs on at once; empty where it hangs on the battery.
    drawers
        What hangs on it without another fuse between, the most first.
    """

    fuse_id: str
    awake_amps: float
    asleep_amps: float
    behind: str
    drawers: tuple[Draws, ...]


@dataclass(frozen=True, slots=True)
class BankDraw:
    """What a battery, a chain in series, or several side by side give.

    Attributes
    ----------
    batteries
        Ids, those of a chain together.
    awake_amps, asleep_amps
        In sum: what its first fuses and what hangs on no fuse draw.
    fuses
        Ids of the fuses that hang on it at once.
    unfused
        What hangs on it without any fuse and draws.
    time
        How long it bears the draw asleep.
    """

    batteries: tuple[str, ...]
    awake_amps: float
    asleep_amps: float
    fuses: tuple[str, ...]
    unfused: tuple[Draws, ...]
    time: BatteryTime


@dataclass(frozen=True, slots=True)
class DrawReview:
    """The draw of a vehicle with the key off, everything at rest.

    Attributes
    ----------
    awake, asleep
        The conditions; equal where nothing goes to sleep.
    fuses
        Every fuse in the order of the file.
    sleepers
        Modules that go to sleep.
    chargers_off
        Chargers that would give current with the key off, taken as switched off.
    limit
        Of the whole draw, in milliamperes.
    other_limits
        What further sources give.
    wait_minutes
        Until everything sleeps; 0 where nothing does.
    wait_source
        Where a wait is from that the file does not give; empty where it does.
    unsettled
        Names of what buzzes or blows at rest, so that the figures are of no use.
    shorted
        Batteries whose outer posts closed metal joins, so that the figures are of no use either.
    """

    awake: Condition
    asleep: Condition
    fuses: tuple[FuseDraw, ...]
    banks: tuple[BankDraw, ...]
    sleepers: tuple[str, ...]
    chargers_off: tuple[str, ...]
    limit: Figure
    other_limits: tuple[Figure, ...]
    wait_minutes: float
    wait_source: str
    unsettled: tuple[str, ...]
    shorted: tuple[str, ...]

    @property
    def asleep_amps(self) -> float:
        """Amperes of all banks together, asleep."""
        return sum(bank.asleep_amps for bank in self.banks)

    @property
    def limit_amps(self) -> float:
        """The limit in amperes."""
        return self.limit.value / 1000.0


def draw_review(bench: Bench) -> DrawReview:
    """Give the draw with the key off: first key state, everything at rest, no charger on.

    Raises
    ------
    CircuitError
        Where the circuit finds no rest.
    """
    harness = bench.harness
    awake, asleep = draw_conditions(harness)
    surveys = bench.survey(awake), bench.survey(asleep)
    settled = surveys[0].settled, surveys[1].settled
    flows = Flow(settled[0]), Flow(settled[1])
    has_electronics = draws_electronics(surveys[0])
    may_keep_awake = has_electronics or bool(harness.modules) or any(map(_is_electronics, all_elements(harness)))
    own = [one for one in figures("draw") if (one.applies_to == "electronics") == may_keep_awake]
    minutes, source = wait_of(harness, has_electronics=has_electronics)
    return DrawReview(
        awake,
        asleep,
        _fuse_draws(harness, flows),
        _bank_draws(harness, flows),
        tuple(module.id for module in harness.modules if asleep.by_name.get(module.id) == ASLEEP),
        tuple(charger.id for charger in harness.chargers if awake.by_name.get(charger.id) == OFF),
        own[0],
        tuple(own[1:]),
        minutes,
        source,
        _unsettled(settled),
        _shorted(harness, flows[0]),
    )


def draw_conditions(harness: Harness) -> tuple[Condition, Condition]:
    """Give the conditions in which the draw is reckoned: key off and at rest, awake and asleep; chargers off."""
    rest = Condition(harness.key_names[0])
    on = [charger for charger in harness.chargers if charger_is_on(harness, rest, charger)]
    chargers = tuple((charger.id, OFF) for charger in on)
    sleep = tuple((module.id, ASLEEP) for module in harness.modules if sleeps(module))
    return Condition(rest.key, chargers), Condition(rest.key, (*chargers, *sleep))


def sleeps(module: Module) -> bool:
    """Tell whether the file says of a module that it goes to sleep."""
    return module.asleep_after_minutes is not None or any(feed.asleep_amps is not None for feed in module.feeds)


def draws_electronics(survey: Survey) -> bool:
    """Tell whether a control unit or other electronics draw in a condition."""
    parts = survey.settled.net.harness.parts
    return any(
        survey.loads[element.name].amps >= NEXT_TO_NOTHING_AMPS
        for element in all_elements(survey.settled.net.harness)
        if _is_electronics(element) or isinstance(parts[element.part_id], Module)
    )


def _is_electronics(element: Element) -> bool:
    return element.kind is LoadKind.ELECTRONICS


def wait_of(harness: Harness, *, has_electronics: bool) -> tuple[float, str]:
    """Give the minutes until everything sleeps, and their source where the file does not give them.

    Parameters
    ----------
    has_electronics
        Whether electronics draw with the key off.
    """
    sleepers = [module for module in harness.modules if sleeps(module)]
    given = [module.asleep_after_minutes for module in sleepers if module.asleep_after_minutes is not None]
    if len(given) == len(sleepers) and (given or not has_electronics):
        return max(given, default=0.0), ""
    typical = figure("wait")
    return max([typical.value, *given]), typical.source


def _fuse_draws(harness: Harness, flows: tuple[Flow, Flow]) -> tuple[FuseDraw, ...]:
    awake, asleep = flows
    ahead = {load: fuse_id for fuse_id, (_, load) in awake.fuse_pieces.items() if load not in awake.hot}
    found = []
    for fuse in harness.fuses:
        feed, load = awake.fuse_pieces[fuse.id]
        behind = "" if feed in awake.hot else ahead.get(feed, "")
        is_own = load not in awake.grounded | awake.hot
        loads = frozenset({load}), frozenset({asleep.fuse_pieces[fuse.id][1]})
        found.append(
            FuseDraw(
                fuse.id,
                awake.fuse_amps[fuse.id],
                asleep.fuse_amps[fuse.id],
                "" if behind == fuse.id else behind,
                _drawers(flows, loads) if is_own else (),
            )
        )
    return tuple(found)


def _drawers(flows: tuple[Flow, Flow], pieces: tuple[frozenset[int], frozenset[int]]) -> tuple[Draws, ...]:
    """Give what draws out of pieces of metal, awake and asleep, the most first."""
    amps: dict[str, list[float]] = {}
    for place, (flow, chosen) in enumerate(zip(flows, pieces, strict=True)):
        for piece in chosen:
            for drawer in flow.drawers.get(piece, ()):
                amps.setdefault(drawer.name, [0.0, 0.0])[place] += drawer.amps
    found = [Draws(name, *both) for name, both in amps.items()]
    return tuple(sorted(found, key=lambda one: -one.awake_amps))


def _bank_draws(harness: Harness, flows: tuple[Flow, Flow]) -> tuple[BankDraw, ...]:
    awake, asleep = flows
    found = []
    for batteries in _banks(harness, awake):
        posts = [f"{battery_id}.{sign}" for battery_id in batteries for sign in "+-"]
        pieces = tuple(frozenset(map(flow.piece, posts)) & flow.hot for flow in flows)
        unfused = _drawers(flows, (pieces[0], pieces[1]))
        fuses = [
            fuse_id
            for fuse_id, (feed, load) in awake.fuse_pieces.items()
            if feed in pieces[0] and load not in awake.hot
        ]
        sums = (sum(flow.fuse_amps[fuse_id] for fuse_id in fuses) for flow in flows)
        loose = sum(one.awake_amps for one in unfused), sum(one.asleep_amps for one in unfused)
        awake_amps, asleep_amps = (one + other for one, other in zip(sums, loose, strict=True))
        time = _bank_time(harness, asleep, batteries)
        found.append(BankDraw(batteries, awake_amps, asleep_amps, tuple(fuses), unfused, time))
    return tuple(found)


def _banks(harness: Harness, flow: Flow) -> tuple[tuple[str, ...], ...]:
    """Group the batteries that feed together: chains in series, and those side by side on closed metal or a fuse."""
    groups: list[tuple[set[str], set[int]]] = []
    bridges = [{feed, load} for feed, load in flow.fuse_pieces.values() if {feed, load} <= flow.hot]
    for battery in harness.batteries:
        chain = battery_chain(harness, battery.id)
        pieces = {flow.piece(f"{one}.{sign}") for one in chain for sign in "+-"} & flow.hot
        for bridge in bridges:
            if bridge & pieces:
                pieces |= bridge
        names = set(chain)
        for group in [one for one in groups if one[1] & pieces or one[0] & names]:
            groups.remove(group)
            names |= group[0]
            pieces |= group[1]
        groups.append((names, pieces))
    order = [battery.id for battery in harness.batteries]
    banks = (tuple(sorted(names, key=order.index)) for names, _ in groups)
    return tuple(sorted(banks, key=lambda names: order.index(names[0])))


def _bank_time(harness: Harness, asleep: Flow, batteries: tuple[str, ...]) -> BatteryTime:
    """Give how long a bank bears its draw: of a chain the battery that is empty first, side by side all together."""
    records = {battery.id: battery for battery in harness.batteries}
    chains = tuple(dict.fromkeys(battery_chain(harness, name) for name in batteries))
    times = []
    for chain in chains:
        each = [(records[name], asleep.battery_amps(name)) for name in chain]
        times.append(
            min(
                (battery_time(capacity_of(one), one.chemistry, amps) for one, amps in each),
                key=lambda time: (round(time.hours, 3), time.capacity.amp_hours),
            )
        )
    if len(times) == 1:
        return times[0]
    capacity = Capacity(
        sum(time.capacity.amp_hours for time in times),
        min((time.capacity.known_from for time in times), key=_LEAST_CERTAIN_FIRST.index),
    )
    amps = sum(max(time.draw_amps, 0.0) for time in times)
    return battery_time(capacity, records[batteries[0]].chemistry, amps)


def _shorted(harness: Harness, flow: Flow) -> tuple[str, ...]:
    chains = {battery.id: battery_chain(harness, battery.id) for battery in harness.batteries}
    return tuple(name for name, one in chains.items() if flow.piece(f"{one[0]}.+") == flow.piece(f"{one[-1]}.-"))


def _unsettled(settled: Iterable[Settled]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(name for one in settled for name in (*one.buzzing, *one.blown)))
