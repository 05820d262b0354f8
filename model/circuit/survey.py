"""What a condition does to every load: the settled circuit beside the healthy one."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cached_property

from model.circuit.condition import Condition
from model.circuit.netlist import ElementBranch
from model.circuit.settle import Settled, settle, settle_netlist
from model.harness.harness import Harness
from model.harness.parts import LoadKind

ASKED_SHARE = 0.25
WORKS_SHARE = 0.85
DEAD_SHARE = 0.25
_ONE_WAY_KINDS = (LoadKind.LED, LoadKind.ELECTRONICS)


class LoadState(StrEnum):
    """What a load does in a condition, against the healthy circuit in the same condition."""

    OFF = "off"
    WORKS = "works"
    WEAK = "weak"
    DEAD = "dead"
    UNASKED = "unasked"
    GLOWS = "glows"


@dataclass(frozen=True, slots=True)
class LoadReading:
    """Volts across an element of a load, its amperes and watts, and its state."""

    name: str
    volts: float
    amps: float
    state: LoadState

    @property
    def watts(self) -> float:
        """Power in watts that the element takes."""
        return self.volts * self.amps


@dataclass(frozen=True)
class Survey:
    """A harness settled in a condition, with what it does to every load.

    Attributes
    ----------
    settled
        The circuit as the condition has it, from rest.
    healthy
        The same without the condition's faults; the same object where it has none.
    given_emf
        Emf in volts of the first battery as asked for; None where it is the file's.
    """

    settled: Settled
    healthy: Settled
    given_emf: float | None

    @cached_property
    def from_before(self) -> Settled | None:
        """The circuit reached from the key state before it, where that ends differently."""
        return _from_key_before(self.settled, self.given_emf)

    @cached_property
    def loads(self) -> dict[str, LoadReading]:
        """Every element of every load, and every feed of a module, by its name."""
        return {
            branch.element.name: _reading(self.settled, branch, self.healthy, sound)
            for branch, sound in zip(self.settled.net.elements, self.healthy.net.elements, strict=True)
        }

    @cached_property
    def fuse_amps(self) -> dict[str, float]:
        """Amperes through every fuse, whichever way; 0 where it is open or out."""
        amps = {fuse.id: 0.0 for fuse in self.settled.net.harness.fuses}
        for link in self.settled.net.fuses:
            if link.part_id not in self.settled.blown:
                amps[link.part_id] = abs(float(self.settled.amps[link.branch]))
        return amps


def survey(
    harness: Harness, condition: Condition, *, first_emf: float | None = None, healthy: Settled | None = None
) -> Survey:
    """Settle a harness in a condition and beside it the healthy one.

    Parameters
    ----------
    healthy
        The circuit without the condition's faults, where it has been settled before.
    first_emf
        Emf in volts of the first battery, where the posts were read in another condition.

    Raises
    ------
    CircuitError
        Where the circuit cannot be as the condition says.

    Notes
    -----
    Where the posts were read, both circuits stand at those posts; else both batteries have the emf of the file.
    """
    settled = settle(harness, condition, first_emf=first_emf)
    if not condition.faults:
        healthy = settled
    elif healthy is None:
        healthy = settle(harness, condition.healthy(), first_emf=first_emf)
    return Survey(settled, healthy, first_emf)


def _from_key_before(settled: Settled, first_emf: float | None) -> Settled | None:
    """Settle the condition from the key state before it; None where it ends as from rest."""
    harness = settled.net.harness
    keys = harness.key_names
    place = keys.index(settled.condition.key)
    if place == 0 or not settled.net.movers or settled.buzzing:
        return None
    emf = settled.first_emf if settled.condition.posts_volts is not None else first_emf
    before = settle(harness, settled.condition.at_key(keys[place - 1]), first_emf=emf)
    if before.buzzing or before.states == tuple(mover.starts_on for mover in before.net.movers):
        return None
    condition = replace(settled.condition, posts_volts=None)
    again = settle_netlist(settled.net, condition, before=before, first_emf=emf)
    return None if again.states == settled.states and again.blown == settled.blown else again


def load_volts(settled: Settled, branch: ElementBranch) -> float:
    """Give the volts across an element; 0 where one of its ends floats or never rests."""
    if branch.from_node in settled.idle or branch.to_node in settled.idle:
        return 0.0
    return abs(float(settled.volts[branch.from_node] - settled.volts[branch.to_node]))


def load_amps(settled: Settled, branch: ElementBranch) -> float:
    """Give the amperes through an element."""
    if branch.from_node in settled.unsettled or branch.to_node in settled.unsettled:
        return 0.0
    return abs(sum(float(settled.amps[number]) for number in branch.branches))


def _reading(settled: Settled, branch: ElementBranch, healthy: Settled, sound: ElementBranch) -> LoadReading:
    volts, amps = load_volts(settled, branch), load_amps(settled, branch)
    at_best = (volts, amps) if healthy is settled else (load_volts(healthy, sound), load_amps(healthy, sound))
    element = branch.element
    state = load_state(element.kind, (volts, amps), at_best, (element.at_volts, element.rated_amps))
    if not branch.branches and not sound.branches:
        state = LoadState.OFF
    return LoadReading(element.name, volts, amps, state)


def load_state(
    kind: LoadKind, now: tuple[float, float], healthy: tuple[float, float], rated: tuple[float, float]
) -> LoadState:
    """Name the state of a load from its volts and amperes now, healthy, and rated.

    Parameters
    ----------
    now, healthy, rated
        Each volts and amperes.
    """
    asked = healthy[0] >= ASKED_SHARE * rated[0]
    if not asked:
        if now[0] <= ASKED_SHARE * rated[0]:
            return LoadState.OFF
        if kind in _ONE_WAY_KINDS and now[1] < ASKED_SHARE * rated[1]:
            return LoadState.GLOWS
        return LoadState.UNASKED
    shares = [part / whole for part, whole in zip(now, healthy, strict=True) if whole > 0]
    if any(share < DEAD_SHARE for share in shares):
        return LoadState.DEAD
    return LoadState.WORKS if all(share >= WORKS_SHARE for share in shares) else LoadState.WEAK
