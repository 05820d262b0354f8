"""One standing state of a net, solved by ngspice: the one-way parts and inverters come to rest here."""

from dataclasses import dataclass, field
from typing import assert_never

from tests.against_ngspice.ngspice_run import Element, Ngspice
from tests.against_ngspice.spice_branches import Branch, Kind, Net

OPEN_OHMS = 1e15
TIE_OHMS = 1e11
"""Ties what floats to the reference, once for all of it: tied at each of some hundred points it would load a meter."""
COLD_SHARE = 12.0
"""A lamp's filament has at least a twelfth of its rated resistance."""
LAMP_POWER = 0.55
LAMP_LAW = (
    "abs(v({{a}},{{b}})) < {cold_volts!r} ? v({{a}},{{b}})/{cold_ohms!r} : sgn(v({{a}},{{b}}))"
    "*{cold_amps!r}*exp({power}*ln(max(abs(v({{a}},{{b}})),{cold_volts!r})/{cold_volts!r}))"
)
POWER_LAW = "v({{a}},{{b}}) > {least_volts!r} ? {watts!r}/max(v({{a}},{{b}}),{least_volts!r}) : v({{a}},{{b}})/{ohms!r}"

ONE_WAY_TOLERANCE_VOLTS = 1e-7
ONE_WAY_TOLERANCE_AMPS = 1e-8
"""What may flow the wrong way: not the tenth of a microampere that a meter lets through a battery of a milliohm."""
FLIPS_AT_ONCE = 10
MOST_FLIPS = 400

Memory = dict[frozenset[str], dict[str, bool]]
"""Movers that are on → one-way branches, by name, and whether they conducted."""


class NoRestError(Exception):
    """The one-way parts of a net found no common state."""


@dataclass
class Solved:
    """Volts of a net in one state of its movers."""

    net: Net
    state: dict[str, bool]
    volts: dict[str, float]
    carrying: dict[int, float] = field(default_factory=dict)
    """Amperes through each one-way branch and inverter, by its place in the net."""

    def at(self, node: str) -> float:
        """Return the volts of a node against the reference."""
        return self.volts.get(node, 0.0)

    def across(self, branch: Branch) -> float:
        """Return the volts across a branch."""
        return self.at(branch.a) - self.at(branch.b)


class Solver:
    """Solves a net in one state after another.

    `remembered` tells which one-way branches conducted when movers last stood so: they are tried
    so first, which saves rounds and changes no result.
    """

    def __init__(self, ngspice: Ngspice, net: Net, remembered: Memory) -> None:
        self._ngspice = ngspice
        self._net = net
        self._remembered = remembered
        nodes = [net.reference, *(end for branch in net.branches for end in (branch.a, branch.b))]
        self._number = {node: place for place, node in enumerate(dict.fromkeys(nodes))}
        self._written = [self._write(place, branch) for place, branch in enumerate(net.branches)]
        self._conducts = {
            place: not branch.idle_is_open for place, branch in enumerate(net.branches) if branch.kind is Kind.ONE_WAY
        }

    def solve(self, state: dict[str, bool]) -> Solved:
        """Return the volts in a state of relays, drivers, inverters and fuses.

        An inverter that its supply cannot carry at any volts counts as off.
        """
        inverters = [branch for branch in self._live(state) if branch.kind is Kind.POWER]
        least_volts = {branch.name: branch.volts for branch in inverters}
        solved = self._rest(state, least_volts)
        low = [branch for branch in inverters if solved.across(branch) < branch.volts]
        if not low:
            return solved
        without = self._rest(state, {k: v for k, v in least_volts.items() if k not in {b.name for b in low}})
        for branch in low:
            least_volts[branch.name] = max(without.across(branch) / 2, 1e-3)
        solved = self._rest(state, least_volts)
        carried = {b.name: least_volts[b.name] for b in inverters if solved.across(b) >= least_volts[b.name]}
        return solved if len(carried) == len(inverters) else self._rest(state, carried)

    def _live(self, state: dict[str, bool]) -> list[Branch]:
        return [branch for branch in self._net.branches if is_live(branch, state)]

    def _rest(self, state: dict[str, bool], least_volts: dict[str, float]) -> Solved:
        branches = self._net.branches
        ways = [i for i in self._conducts if is_live(branches[i], state)]
        standing = frozenset(name for name, on in state.items() if on)
        known = self._remembered.get(standing, {})
        self._conducts = {i: known.get(branches[i].name, on) for i, on in self._conducts.items()}
        for flip in range(MOST_FLIPS):
            volts = self._ngspice.solve(self._elements(state, least_volts), len(self._number))
            over = {i: self._over(volts, branches[i]) for i in ways}
            wrong = [i for i in ways if self._is_wrong(i, over[i])]
            if not wrong:
                self._remembered[standing] = {branches[i].name: on for i, on in self._conducts.items()}
                return self._solved(state, volts, least_volts)
            for i in wrong if flip < FLIPS_AT_ONCE else wrong[:1]:
                self._conducts[i] = not self._conducts[i]
        raise NoRestError(f"no rest among {[branches[i].name for i in ways]}")

    def _over(self, volts: list[float], branch: Branch) -> float:
        return volts[self._number[branch.a]] - volts[self._number[branch.b]] - branch.volts

    def _is_wrong(self, place: int, over_volts: float) -> bool:
        if not self._conducts[place]:
            return over_volts > ONE_WAY_TOLERANCE_VOLTS
        branch = self._net.branches[place]
        if branch.idle_is_open:
            return over_volts < 0
        return over_volts < -min(ONE_WAY_TOLERANCE_VOLTS, ONE_WAY_TOLERANCE_AMPS * branch.ohms)

    def _solved(self, state: dict[str, bool], volts: list[float], least_volts: dict[str, float]) -> Solved:
        solved = Solved(self._net, state, {node: volts[number] for node, number in self._number.items()})
        for i, branch in enumerate(self._net.branches):
            if not is_live(branch, state):
                continue
            if branch.kind is Kind.ONE_WAY:
                solved.carrying[i] = self._over(volts, branch) / branch.ohms if self._conducts[i] else 0.0
            elif branch.kind is Kind.POWER and branch.name in least_volts:
                across_volts, least = solved.across(branch), least_volts[branch.name]
                solved.carrying[i] = branch.watts / max(across_volts, least) * min(across_volts / least, 1.0)
        return solved

    def _elements(self, state: dict[str, bool], least_volts: dict[str, float]) -> list[Element]:
        elements: list[Element] = []
        for i, branch in enumerate(self._net.branches):
            live, dead = self._written[i]
            if not is_live(branch, state) or not self._conducts.get(i, True):
                elements += dead
            elif branch.kind is not Kind.POWER:
                elements += live
            elif branch.name in least_volts:
                (_, a, b, _) = dead[0]
                elements.append((f"b{i}", a, b, _power_law(branch, least_volts[branch.name])))
            else:
                elements += dead
        return elements + self._ties(elements)

    def _ties(self, elements: list[Element]) -> list[Element]:
        """Tie one node of each group that nothing joins to the reference, and the others next to nothing."""
        group = list(range(len(self._number)))

        def first_of(node: int) -> int:
            while group[node] != node:
                group[node] = group[group[node]]
                node = group[node]
            return node

        for name, one, other, value in elements:
            if name[0] != "i" and value != OPEN_OHMS:
                low, high = sorted((first_of(one), first_of(other)))
                group[high] = low
        return [
            (f"rtie{node}", node, 0, TIE_OHMS if group[node] == node else OPEN_OHMS) for node in range(1, len(group))
        ]

    def _write(self, place: int, branch: Branch) -> tuple[list[Element], list[Element]]:
        """Return the elements of a branch while it carries, and while it is open."""
        a, b = self._number[branch.a], self._number[branch.b]
        open_ohms: Element = (f"r{place}", a, b, OPEN_OHMS)
        match branch.kind:
            case _ if a == b:
                return [], []
            case Kind.OHMS:
                return [(f"r{place}", a, b, branch.ohms)], [open_ohms]
            case Kind.SOURCE | Kind.ONE_WAY:
                ohms: Element = (f"r{place}", a, b, branch.ohms)
                return [ohms, (f"i{place}", a, b, -branch.volts / branch.ohms)], [open_ohms, (f"i{place}", a, b, 0.0)]
            case Kind.LAMP:
                return [(f"b{place}", a, b, _lamp_law(branch))], [open_ohms]
            case Kind.POWER:
                return [open_ohms], [open_ohms]
            case other:
                assert_never(other)


def is_live(branch: Branch, state: dict[str, bool]) -> bool:
    """Tell whether a branch is there in a state."""
    return branch.closed and (branch.gate is None or state[branch.gate.mover] is branch.gate.wanted)


def lamp_amps(branch: Branch, volts: float) -> float:
    """Return the amperes that a lamp takes at some volts."""
    share: float = (abs(volts) / branch.volts) ** (1 - LAMP_POWER)
    return volts / max(branch.ohms * share, branch.ohms / COLD_SHARE)


def _lamp_law(branch: Branch) -> str:
    cold_volts = branch.volts * COLD_SHARE ** (-1 / (1 - LAMP_POWER))
    cold_ohms = branch.ohms / COLD_SHARE
    cold_amps = cold_volts / cold_ohms
    return LAMP_LAW.format(cold_volts=cold_volts, cold_ohms=cold_ohms, cold_amps=cold_amps, power=LAMP_POWER)


def _power_law(branch: Branch, least_volts: float) -> str:
    ohms = least_volts**2 / branch.watts
    return POWER_LAW.format(least_volts=least_volts, watts=branch.watts, ohms=ohms)
