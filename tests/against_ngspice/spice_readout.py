"""What is read off a solved circuit: points, what floats, loads, fuses."""

from dataclasses import dataclass, field

from tests.against_ngspice.spice_branches import Branch, Kind, RelayMover
from tests.against_ngspice.spice_solve import Solved, is_live, lamp_amps

CARRIES_AMPS = 1e-6
SAME_VOLTS = 1e-3


@dataclass(frozen=True)
class Settled:
    """What a condition came to.

    `points` are volts against the reference, 0 for a floating or unsettled one; `loads` the volts
    across and amperes through each element and feed, 0 of one that never rests; `fuses` amperes from
    in to out; `restless` what never stops moving; `island_volts` the volts of what floats, of which
    only differences within one island tell anything.
    """

    points: dict[str, float]
    floating: set[str]
    relays: dict[str, bool]
    blown: list[str]
    buzzing: bool
    loads: dict[str, tuple[float, float]]
    fuses: dict[str, float]
    unsettled: set[str] = field(default_factory=set)
    restless: set[str] = field(default_factory=set)
    island_volts: dict[str, float] = field(default_factory=dict)

    def across(self, red: str, black: str) -> float | None:
        """Return the volts from one point to another, None where one of them never rests."""
        if self.unsettled & {red, black}:
            return None
        return self._volts_at(red) - self._volts_at(black)

    def _volts_at(self, point: str) -> float:
        return self.island_volts.get(point, self.points[point])


def fuse_amps(solved: Solved) -> dict[str, float]:
    """Return the amperes from in to out of every fuse."""
    names = {fuse.name for fuse in solved.net.fuses}
    return {
        branch.name: solved.across(branch) / branch.ohms if is_live(branch, solved.state) else 0.0
        for branch in solved.net.branches
        if branch.name in names
    }


def _joins(solved: Solved, place: int, branch: Branch) -> bool:
    if not is_live(branch, solved.state):
        return False
    if branch.kind not in (Kind.ONE_WAY, Kind.POWER) or branch.always_joins:
        return True
    return solved.carrying.get(place, 0.0) > CARRIES_AMPS


def _reached(solved: Solved) -> set[str]:
    """Return the nodes with a closed way to the reference."""
    ways: dict[str, list[str]] = {}
    for place, branch in enumerate(solved.net.branches):
        if _joins(solved, place, branch):
            ways.setdefault(branch.a, []).append(branch.b)
            ways.setdefault(branch.b, []).append(branch.a)
    reached = {solved.net.reference}
    waiting = [solved.net.reference]
    while waiting:
        fresh = [node for node in ways.get(waiting.pop(), []) if node not in reached]
        reached.update(fresh)
        waiting += fresh
    return reached


def _relays(solved: Solved) -> dict[str, bool]:
    return {mover.name: solved.state[mover.name] for mover in solved.net.movers if isinstance(mover, RelayMover)}


def _loads(solved: Solved, reached: set[str]) -> dict[str, tuple[float, float]]:
    wanted = set(solved.net.loads)
    loads = {}
    for place, branch in enumerate(solved.net.branches):
        if branch.name not in wanted:
            continue
        if not {branch.a, branch.b} <= reached:
            loads[branch.name] = (0.0, 0.0)
            continue
        volts = solved.across(branch)
        amps = 0.0
        if is_live(branch, solved.state):
            match branch.kind:
                case Kind.LAMP:
                    amps = lamp_amps(branch, volts)
                case Kind.ONE_WAY | Kind.POWER:
                    amps = solved.carrying.get(place, 0.0)
                case _:
                    amps = volts / branch.ohms
        loads[branch.name] = (volts, amps)
    return loads


def at_rest(solved: Solved, blown: list[str]) -> Settled:
    """Read a circuit at rest."""
    reached = _reached(solved)
    points = {point: solved.at(point) if point in reached else 0.0 for point in solved.net.points}
    floating = {point for point in points if point not in reached}
    return Settled(
        points,
        floating,
        _relays(solved),
        blown,
        False,
        _loads(solved, reached),
        fuse_amps(solved),
        island_volts={point: solved.at(point) for point in floating},
    )


def while_buzzing(states: list[Solved], blown: list[str]) -> Settled:
    """Keep what all the states have alike; the points that differ give 0."""
    each = [at_rest(solved, blown) for solved in states]
    first = each[0]
    unsettled = {point for point in first.points if _differs(point, each)}
    points = {point: 0.0 if point in unsettled else volts for point, volts in first.points.items()}
    floating = first.floating - unsettled
    loads = {name: volts if _rests(name, each) else (0.0, 0.0) for name, volts in first.loads.items()}
    restless = {name for name, state in states[0].state.items() if any(one.state[name] != state for one in states)}
    islands = {point: first.island_volts[point] for point in floating}
    return Settled(points, floating, first.relays, blown, True, loads, first.fuses, unsettled, restless, islands)


def _rests(load: str, each: list[Settled]) -> bool:
    volts = [settled.loads[load][0] for settled in each]
    return max(volts) - min(volts) <= SAME_VOLTS


def _differs(point: str, each: list[Settled]) -> bool:
    volts = [settled.points[point] for settled in each]
    floats = {point in settled.floating for settled in each}
    return max(volts) - min(volts) > SAME_VOLTS or len(floats) > 1
