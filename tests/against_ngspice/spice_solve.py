"""One standing state of a net, solved by ngspice: the one-way parts and inverters come to rest here."""

from dataclasses import dataclass, field

from tests.against_ngspice.ngspice_run import Element, Ngspice
from tests.against_ngspice.spice_branches import Branch, Kind, Net

OPEN_OHMS = 1e15
COLD_SHARE = 12.0
"""A lamp's filament has at least a twelfth of its rated resistance."""
LAMP_POWER = 0.55
LAMP_LAW = (
    "abs(v({{a}},{{b}})) < {cold_volts!r} ? v({{a}},{{b}})/{cold_ohms!r} : sgn(v({{a}},{{b}}))"
    "*{cold_amps!r}*exp({power}*ln(max(abs(v({{a}},{{b}})),{cold_volts!r})/{cold_volts!r}))"
)
POWER_LAW = "v({{a}},{{b}}) > {least_volts!r} ? {watts!r}/max(v({{a}},{{b}}),{least_volts!r}) : v({{a}},{{b}})/{ohms!r}"

ONE_WAY_TOLERANCE_VOLTS = 1e-7
FLIPS_AT_ONCE = 10
MOST_FLIPS = 400


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
    """Solves a net in one state after another, starting the one-way parts from where they last were."""

    def __init__(self, ngspice: Ngspice, net: Net) -> None:
        self._ngspice = ngspice
        self._net = net
        nodes = [net.reference, *(end for branch in net.branches for end in (branch.a, branch.b))]
        self._number = {node: place for place, node in enumerate(dict.fromkeys(nodes))}
        ways = [i for i, branch in enumerate(net.branches) if branch.kind is Kind.ONE_WAY]
        self._conducts = {i: not net.branches[i].name.endswith(":takes") for i in ways}

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
        for flip in range(MOST_FLIPS):
            volts = self._ngspice.solve(self._elements(state, least_volts), len(self._number))
            over = {i: self._over(volts, branches[i]) for i in ways}
            wrong = [i for i in ways if self._is_wrong(i, over[i])]
            if not wrong:
                return self._solved(state, volts, least_volts)
            for i in wrong if flip < FLIPS_AT_ONCE else wrong[:1]:
                self._conducts[i] = not self._conducts[i]
        raise NoRestError(f"no rest among {[branches[i].name for i in ways]}")

    def _over(self, volts: list[float], branch: Branch) -> float:
        return volts[self._number[branch.a]] - volts[self._number[branch.b]] - branch.volts

    def _is_wrong(self, place: int, over_volts: float) -> bool:
        if self._conducts[place]:
            return over_volts < -ONE_WAY_TOLERANCE_VOLTS
        return over_volts > ONE_WAY_TOLERANCE_VOLTS

    def _solved(self, state: dict[str, bool], volts: list[float], least_volts: dict[str, float]) -> Solved:
        solved = Solved(self._net, state, {node: volts[number] for node, number in self._number.items()})
        for i, branch in enumerate(self._net.branches):
            if not is_live(branch, state):
                continue
            if branch.kind is Kind.ONE_WAY:
                solved.carrying[i] = self._over(volts, branch) / branch.ohms if self._conducts[i] else 0.0
            elif branch.kind is Kind.POWER and branch.name in least_volts:
                solved.carrying[i] = branch.watts / solved.across(branch)
        return solved

    def _elements(self, state: dict[str, bool], least_volts: dict[str, float]) -> list[Element]:
        elements: list[Element] = []
        for i, branch in enumerate(self._net.branches):
            a, b = self._number[branch.a], self._number[branch.b]
            if a == b:
                continue
            live = is_live(branch, state)
            match branch.kind:
                case Kind.OHMS:
                    elements.append((f"r{i}", a, b, branch.ohms if live else OPEN_OHMS))
                case Kind.SOURCE | Kind.ONE_WAY:
                    live = live and self._conducts.get(i, True)
                    elements.append((f"r{i}", a, b, branch.ohms if live else OPEN_OHMS))
                    elements.append((f"i{i}", a, b, -branch.volts / branch.ohms if live else 0.0))
                case Kind.LAMP:
                    elements.append((f"b{i}", a, b, _lamp_law(branch)) if live else (f"r{i}", a, b, OPEN_OHMS))
                case Kind.POWER:
                    live = live and branch.name in least_volts
                    least = least_volts.get(branch.name, branch.volts)
                    elements.append((f"b{i}", a, b, _power_law(branch, least)) if live else (f"r{i}", a, b, OPEN_OHMS))
        return elements


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
