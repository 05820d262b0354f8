"""A harness that settles: relays, drivers and inverters step together, fuses open one at a time."""

import math
from collections.abc import Mapping, Sequence
from pathlib import Path

from tests.against_ngspice.ngspice_run import Ngspice
from tests.against_ngspice.spice_branches import Branch, InverterMover, Net, RelayMover
from tests.against_ngspice.spice_builder import Fault
from tests.against_ngspice.spice_harness import Harness, load_harness
from tests.against_ngspice.spice_loom import build_net
from tests.against_ngspice.spice_readout import Settled, at_rest, fuse_amps, while_buzzing
from tests.against_ngspice.spice_solve import Memory, Solved, Solver

OPENS_AT = 1.35
"""A fuse opens within half an hour past this share of its rating (ISO 8820-3)."""
SAME_RATIO = 1e-9
POSTS_TOLERANCE_VOLTS = 1e-6
MOST_TRIES = 60

State = dict[str, bool]


class Bench:
    """A harness file on the bench, with ngspice at hand."""

    def __init__(self, harness: Harness, ngspice: Ngspice) -> None:
        self.harness = harness
        self._ngspice = ngspice
        self._remembered: Memory = {}

    def settle(
        self,
        key: str,
        settings: Mapping[str, str] | None = None,
        faults: Mapping[str, Fault] | None = None,
        posts_volts: float | None = None,
        relays_before: Mapping[str, bool] | None = None,
        laid: Sequence[Branch] = (),
    ) -> Settled:
        """Settle a condition.

        Parameters
        ----------
        key
            Key state.
        settings
            What is not at rest.
        faults
            Site → fault as the harness format names it, or the ohms in its place.
        posts_volts
            Volts across the posts of the first battery, for which its emf is sought.
        relays_before
            Relays as they were; at rest where left out.
        laid
            What somebody laid between points of the harness: an instrument, a jumper. It counts where the
            posts were not read.

        Raises
        ------
        ValueError
            Where a name is unknown, or no emf gives the volts asked for.
        """
        before = relays_before or {}
        if posts_volts is None:
            net = build_net(self.harness, key, settings or {}, faults or {})
            net.branches += laid
            return self._settle(net, before)
        return self._settle_at_posts((key, settings or {}, faults or {}), posts_volts, before)

    def _settle(self, net: Net, relays_before: Mapping[str, bool]) -> Settled:
        solver = Solver(self._ngspice, net, self._remembered)
        blown: list[str] = []
        while True:
            round_of = _step_until_rest(solver, net, relays_before, blown)
            if len(round_of) > 1:
                return while_buzzing(round_of, blown)
            opens = _next_to_open(round_of[0])
            if opens is None:
                return at_rest(round_of[0], blown)
            blown.append(opens)

    def _settle_at_posts(
        self,
        condition: tuple[str, Mapping[str, str], Mapping[str, Fault]],
        posts_volts: float,
        before: Mapping[str, bool],
    ) -> Settled:
        battery = self.harness.rows("batteries")[0]["id"]
        low, high = 0.0, 3 * posts_volts
        emf_volts = posts_volts
        for _ in range(MOST_TRIES):
            settled = self._settle(build_net(self.harness, *condition, emf_volts), before)
            excess_volts = settled.points[f"{battery}.+"] - settled.points[f"{battery}.-"] - posts_volts
            if abs(excess_volts) < POSTS_TOLERANCE_VOLTS:
                return settled
            low, high = (low, emf_volts) if excess_volts > 0 else (emf_volts, high)
            emf_volts -= excess_volts
            if not low < emf_volts < high:
                emf_volts = (low + high) / 2
        raise ValueError(f"no emf of {battery} gives {posts_volts} V across its posts")


def load(path: Path, ngspice: Ngspice) -> Bench:
    """Read a harness file and put it on the bench."""
    return Bench(load_harness(path), ngspice)


def _step_until_rest(solver: Solver, net: Net, relays_before: Mapping[str, bool], blown: list[str]) -> list[Solved]:
    """Return the state of rest, or the states between which the circuit buzzes."""
    state: State = {fuse.name: True for fuse in net.fuses}
    state |= {branch.gate.mover: True for branch in net.branches if branch.gate is not None}
    for mover in net.movers:
        match mover:
            case RelayMover():
                state[mover.name] = relays_before.get(mover.name, False) and bool(mover.coils)
            case InverterMover():
                state[mover.name] = True
            case _:
                state[mover.name] = False
    state |= dict.fromkeys(blown, False)
    seen: list[Solved] = []
    while True:
        solved = solver.solve(state)
        seen.append(solved)
        state = {**state, **{mover.name: mover.next_state(state[mover.name], solved.at) for mover in net.movers}}
        for place, earlier in enumerate(seen):
            if earlier.state == state:
                return seen[place:]


def _next_to_open(solved: Solved) -> str | None:
    """Return the fuse that opens next: the greatest share of its rating, of equal ones the smaller."""
    amps = fuse_amps(solved)
    rated = {fuse.name: fuse.rating_amps for fuse in solved.net.fuses if fuse.rating_amps is not None}
    share = {name: abs(amps[name]) / rating_amps for name, rating_amps in rated.items()}
    most = max(share.values(), default=0.0)
    if most <= OPENS_AT:
        return None
    tied = [name for name in share if math.isclose(share[name], most, rel_tol=SAME_RATIO)]
    return min(tied, key=lambda name: rated[name])
