"""The circuit of a harness at rest: relays, drivers, outputs, inverters and fuses settled."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from model.circuit.arrays import FloatArray
from model.circuit.build_parts import build_netlist
from model.circuit.condition import OFF, Condition
from model.circuit.movers import Rest, States, come_to_rest, sensed_volts
from model.circuit.moving import MovingNetwork
from model.circuit.netlist import MoverKind, Netlist
from model.circuit.relax import Circuit, Relaxed
from model.errors import CircuitError
from model.harness.derived import once_per_harness
from model.harness.harness import Harness

FUSE_OPENS_AT = 1.35
UNCERTAIN_PULL_SHARE = 0.75
UNCERTAIN_HOLD_SHARE = 0.35
DIFFERS_VOLTS = 1e-3
_POSTS_AGREE_VOLTS = 1e-6
_TRIES_ON_THE_LINE = 8


@dataclass(frozen=True)
class Settled:
    """A harness settled in a condition.

    Attributes
    ----------
    volts
        Shape (nodes,), against the reference; 0 where floating or unsettled.
    floating, unsettled
        Nodes without a closed way to the reference, and nodes whose volts never rest.
    blown, cycling
        Fuses that opened, in the order in which they did; of these the ones that reset by themselves.
    uncertain
        Relays that may or may not hold with the volts they have.
    first_emf
        Emf in volts of the first battery.
    tells_rest_one_at_a_time
        As in :class:`model.circuit.movers.Rest`.
    """

    net: Netlist
    condition: Condition
    states: States
    volts: FloatArray
    amps: FloatArray
    floating: frozenset[int]
    unsettled: frozenset[int]
    buzzing: tuple[str, ...]
    blown: tuple[str, ...]
    cycling: tuple[str, ...]
    uncertain: tuple[str, ...]
    first_emf: float
    relaxed: Relaxed
    tells_rest_one_at_a_time: Callable[[], bool] | None

    @cached_property
    def rests_one_at_a_time(self) -> bool:
        """Tell of a circuit that buzzes whether it would rest if its movers moved one at a time."""
        return self.tells_rest_one_at_a_time is not None and self.tells_rest_one_at_a_time()

    @cached_property
    def idle(self) -> frozenset[int]:
        """Nodes that have no volts to tell: floating or never at rest."""
        return self.floating | self.unsettled

    @property
    def point_nodes(self) -> tuple[int, ...]:
        """Nodes that are points: those of the harness, then the ends of wires that are set off their terminals."""
        count = self.net.point_count
        ends = [
            self.net.index[name] for name, value in self.condition.settings if value == OFF and name in self.net.index
        ]
        return (*range(count), *(node for node in ends if node >= count))

    def volts_at(self, point: str) -> float | None:
        """Give the volts of a point; None where it floats or never rests."""
        node = self.net.index[point]
        return None if node in self.idle else float(self.volts[node])

    def volts_across(self, one: str, other: str) -> float:
        """Give the volts between two points, whichever way; 0 where one of them has none to tell."""
        volts, other_volts = self.volts_at(one), self.volts_at(other)
        return 0.0 if volts is None or other_volts is None else abs(volts - other_volts)

    def is_on(self, name: str) -> bool:
        """Tell whether a mover of this name is on: a relay, driver, output or inverter."""
        return any(on and mover.name == name for mover, on in zip(self.net.movers, self.states, strict=True))

    @cached_property
    def relays(self) -> dict[str, bool]:
        """Tell of each relay whether it is pulled in."""
        pulled = {
            m.name for m, on in zip(self.net.movers, self.states, strict=True) if on and m.kind is MoverKind.RELAY
        }
        return {relay.id: relay.id in pulled for relay in self.net.harness.relays}

    @property
    def posts_volts(self) -> float:
        """Volts across the posts of the first battery."""
        plus, minus = self.net.posts
        return float(self.volts[plus] - self.volts[minus])


def settle(
    harness: Harness, condition: Condition, *, before: Settled | None = None, first_emf: float | None = None
) -> Settled:
    """Settle a harness in a condition.

    Parameters
    ----------
    before
        The harness as it was settled before, from which relays start; without it they start at rest. Inverters
        start on, drivers and outputs dead.
    first_emf
        Emf in volts of the first battery in place of the file's. The condition's ``posts_volts`` go before it.

    Raises
    ------
    CircuitError
        Where the posts cannot read what the condition says, or the circuit finds no rest.
    """
    net = build_netlist(harness, condition)
    circuit = Circuit(net, None if condition.faults else plain_network(harness, condition.key))
    return _settle_from(circuit, condition, _start(net, before), first_emf)


def plain_network(harness: Harness, key: str) -> MovingNetwork:
    """Give the order in which the nodes of a key state go, its switches and fuses as they may be."""
    known = _known_networks(harness)
    if key not in known:
        known[key] = Circuit(build_netlist(harness, Condition(key))).network
    return known[key]


@once_per_harness
def _known_networks(_harness: Harness) -> dict[str, MovingNetwork]:
    return {}


def settle_circuit(circuit: Circuit, condition: Condition) -> Settled:
    """Settle a circuit that is already laid out, its relays at rest; the condition's faults are to be in it."""
    return _settle_circuit(circuit, condition, _start(circuit.net, None))


def settle_netlist(
    net: Netlist, condition: Condition, *, before: Settled | None = None, first_emf: float | None = None
) -> Settled:
    """Settle a netlist that is already built; see :func:`settle`."""
    return _settle_from(Circuit(net), condition, _start(net, before), first_emf)


def _settle_from(circuit: Circuit, condition: Condition, start: States, first_emf: float | None) -> Settled:
    if condition.posts_volts is not None:
        return _at_posts(circuit, condition, start, condition.posts_volts)
    if first_emf is not None:
        circuit.set_emf(first_emf)
    return _settle_circuit(circuit, condition, start)


def _start(net: Netlist, before: Settled | None) -> States:
    known: dict[str, bool] = {}
    if before is not None:
        known = before.relays
    return tuple(
        known.get(mover.name, False) if mover.kind is MoverKind.RELAY else mover.starts_on for mover in net.movers
    )


def _at_posts(circuit: Circuit, condition: Condition, start: States, posts_volts: float) -> Settled:
    """Find the supply at which the posts of the first battery show the volts read.

    The emf of the battery is sought. Where chargers are on, their volts are sought first, since they hold the posts
    and the emf is that of the other key states; only posts too low for that tell that the chargers give nothing.
    """
    if circuit.net.first_battery_line is None:
        raise CircuitError(
            "The first battery is out, so that its posts tell nothing.", do="Leave its volts away, or put it in."
        )
    nominal_volts = circuit.net.harness.build.nominal_volts
    emf = circuit.first_emf

    def settled_at(supply_volts: float) -> Settled:
        circuit.set_emf(supply_volts)
        return _settle_circuit(circuit, condition, start)

    def settled_with(more_volts: float) -> Settled:
        circuit.raise_chargers(more_volts)
        return _settle_circuit(circuit, condition, start)

    found: Settled | None = None
    if circuit.net.charger_lines:
        found = _sought(settled_with, posts_volts, 0.0, (-nominal_volts, nominal_volts))
        if found is None:
            circuit.raise_chargers(-2.0 * nominal_volts)
    if found is None:
        found = _sought(settled_at, posts_volts, posts_volts, (0.0, 3.0 * nominal_volts))
    if found is not None:
        return found
    circuit.raise_chargers(0.0)
    settled = settled_at(emf)
    if settled.buzzing:
        raise CircuitError(
            f"With {', '.join(settled.buzzing)} buzzing in {condition.key} the posts read nothing steady.",
            do="Leave their volts away here, or read them in another key state.",
        )
    raise CircuitError(
        f"The posts of the first battery cannot read {posts_volts:g} V in {condition.key}.",
        do=f"By the file they read {settled.posts_volts:.2f} V here, whatever the battery; read them again.",
    )


def _sought(
    settled_at: Callable[[float], Settled], posts_volts: float, guess: float, span: tuple[float, float]
) -> Settled | None:
    """Seek what makes the posts show the volts read, within a span of volts; None where nothing there does."""
    low, high = span
    tried: list[tuple[float, float]] = []
    while high - low > _POSTS_AGREE_VOLTS:
        settled = settled_at(guess)
        error = settled.posts_volts - posts_volts
        if abs(error) < _POSTS_AGREE_VOLTS:
            return settled
        tried.append((guess, error))
        low, high = (guess, high) if error < 0 else (low, guess)
        guess = _next_guess(tried, low, high)
    return None


def _next_guess(tried: list[tuple[float, float]], low: float, high: float) -> float:
    """Give what to try next: on the line through the last two, or the middle where that leads nowhere."""
    volts, error = tried[-1]
    slope = 1.0
    if len(tried) > 1 and tried[-2][1] != error:
        slope = (error - tried[-2][1]) / (volts - tried[-2][0])
    guess = volts - error / slope
    is_slow = len(tried) > _TRIES_ON_THE_LINE and len(tried) % 2 == 0
    return (low + high) / 2.0 if is_slow or not low < guess < high else guess


def _settle_circuit(circuit: Circuit, condition: Condition, start: States) -> Settled:
    blown: list[str] = []
    fuses_closed = np.ones(len(circuit.net.one), dtype=bool)
    while True:
        rest = come_to_rest(circuit, start, fuses_closed)
        opens = None if rest.buzzing else _fuse_that_opens(circuit, rest.round[0], blown)
        if opens is None:
            return _report(circuit, condition, rest, tuple(blown))
        fuse = circuit.net.fuses[opens]
        blown.append(fuse.part_id)
        fuses_closed[fuse.branch] = False


def _fuse_that_opens(circuit: Circuit, relaxed: Relaxed, blown: list[str]) -> int | None:
    worst: tuple[float, float, int] | None = None
    for place, fuse in enumerate(circuit.net.fuses):
        if fuse.amps is None or fuse.part_id in blown:
            continue
        ratio = abs(float(relaxed.amps[fuse.branch])) / fuse.amps
        rank = (-round(ratio, 9), fuse.amps, place)
        if ratio > FUSE_OPENS_AT and (worst is None or rank < worst):
            worst = rank
    return None if worst is None else worst[2]


def _report(circuit: Circuit, condition: Condition, rest: Rest, blown: tuple[str, ...]) -> Settled:
    net, relaxed = circuit.net, rest.round[0]
    floats = np.array([one.island != one.island[net.reference] for one in rest.round])
    volts_each = np.where(floats, 0.0, np.array([one.volts for one in rest.round]))
    differs = (np.ptp(volts_each, axis=0) > DIFFERS_VOLTS) | (floats.any(axis=0) & ~floats.all(axis=0))
    volts = np.where(differs, 0.0, volts_each[0])
    resets = {fuse.part_id for fuse in net.fuses if fuse.resets}
    return Settled(
        net,
        condition,
        rest.states,
        volts,
        relaxed.amps,
        frozenset(np.flatnonzero(floats.all(axis=0) & ~differs).tolist()),
        frozenset(np.flatnonzero(differs).tolist()),
        rest.buzzing,
        blown,
        tuple(part_id for part_id in blown if part_id in resets),
        _uncertain(net, rest),
        circuit.first_emf,
        relaxed,
        rest.tells_rest_one_at_a_time,
    )


def _uncertain(net: Netlist, rest: Rest) -> tuple[str, ...]:
    nominal_volts = net.harness.build.nominal_volts
    names: list[str] = []
    for mover, on in zip(net.movers, rest.states, strict=True):
        if mover.kind is not MoverKind.RELAY or mover.name in rest.buzzing:
            continue
        volts = sensed_volts(mover, rest.round[0])
        nearly = not on and UNCERTAIN_PULL_SHARE * mover.on_volts <= volts < mover.on_volts
        barely = on and volts < UNCERTAIN_HOLD_SHARE * nominal_volts
        if nearly or barely:
            names.append(mover.name)
    return tuple(names)
