"""The planner against the optimum, and how long it thinks.

Random noiseless problems: chains of elements in series of which one is open, and faults under tests at random; shares
are skewed, a test costs 1, 2, 5 or 15 minutes, or its place costs that once and the reading 0.3. The optimum is found
by dynamic programming without a bound on its work. Usage: ``python -m tests.benchmarks.planning [PROBLEMS]``; exit
code 1 where the planner's mean over the optimum is above 1.03, or thinking takes longer than it may.
"""

import statistics
import sys
import time
from collections.abc import Callable, Hashable, Sequence

import numpy as np

from model.circuit.arrays import FloatArray, IntArray
from model.tracing.choose import Option, OptionTable, ranked
from model.tracing.expected import Rule, expected_minutes, optimal_minutes, planner_rule
from model.tracing.hard_problem import HardProblem
from model.tracing.rollout import Rollout
from model.tracing.think_ahead import rollout_minutes

MOST_RATIO = 1.03
MOST_RANKED_MS = 50.0
COSTS = (1.0, 2.0, 5.0, 15.0)
READING_MINUTES = 0.3

State = Hashable
Rules = dict[str, Rule[State]]


class Apart:
    """Every option costs its own minutes, whatever was done before."""

    def __init__(self, each: Sequence[float]) -> None:
        self.each = tuple(each)

    def minutes(self, option: int, state: State) -> float:
        """Give the minutes of an option."""
        return self.each[option]

    def after(self, option: int, state: State) -> State:
        """Give the same state."""
        return state


class Places:
    """A place is paid for at its first visit."""

    def __init__(self, place_of: Sequence[int], access: Sequence[float]) -> None:
        self.place_of = tuple(place_of)
        self.access = tuple(access)

    def minutes(self, option: int, state: State) -> float:
        """Give the reading, and the place where it is still shut."""
        assert isinstance(state, frozenset)
        place = self.place_of[option]
        return READING_MINUTES + (0.0 if place in state else self.access[place])

    def after(self, option: int, state: State) -> State:
        """Note that the place is open."""
        assert isinstance(state, frozenset)
        return state | {self.place_of[option]}


Problem = HardProblem[State]
Maker = Callable[[np.random.Generator], Problem]


def skewed(random: np.random.Generator, count: int) -> FloatArray:
    """Give shares of which some are ten times others."""
    return np.asarray(random.gamma(0.7, 1.0, count) + 1e-3, dtype=np.float64)


def chain_codes(elements: int) -> IntArray:
    """Give the tests behind each element but the last: dead where it or one before it is open."""
    return (np.arange(elements)[None, :] <= np.arange(elements - 1)[:, None]).astype(np.int64)


def chain_apart(elements: int) -> Maker:
    """Give chains of which each test has its own cost."""

    def make(random: np.random.Generator) -> Problem:
        costing = Apart(random.choice(COSTS, elements - 1).tolist())
        weights = skewed(random, elements)
        return HardProblem(weights, np.arange(elements), chain_codes(elements), costing, range(elements - 1))

    return make


def chain_places(elements: int, places: int) -> Maker:
    """Give chains of which the tests lie in places that are paid for once."""

    def make(random: np.random.Generator) -> Problem:
        place_of = random.integers(0, places, elements - 1).tolist()
        costing = Places(place_of, random.choice(COSTS, places).tolist())
        weights = skewed(random, elements)
        return HardProblem(weights, np.arange(elements), chain_codes(elements), costing, range(elements - 1))

    return make


def at_random(groups: int, options: int, outcomes: int) -> Maker:
    """Give faults under tests of which every fault gives an outcome at random; some faults share a repair."""

    def make(random: np.random.Generator) -> Problem:
        faults = groups + groups // 3
        repairs = np.r_[np.arange(groups), random.integers(0, groups, faults - groups)]
        codes = random.integers(0, outcomes, (options, faults))
        costing = Places(random.integers(0, 5, options).tolist(), random.choice(COSTS, 5).tolist())
        return HardProblem(skewed(random, faults), repairs, codes, costing, range(options))

    return make


KINDS: dict[str, Maker] = {
    "chain of 8, costs apart": chain_apart(8),
    "chain of 12, costs apart": chain_apart(12),
    "chain of 14, costs apart": chain_apart(14),
    "chain of 8, 4 places": chain_places(8, 4),
    "chain of 12, 4 places": chain_places(12, 4),
    "chain of 12, 8 places": chain_places(12, 8),
    "8 groups, 8 tests": at_random(8, 8, 2),
    "8 groups, 15 tests": at_random(8, 15, 2),
    "12 groups, 15 tests": at_random(12, 15, 3),
    "12 groups, 24 tests": at_random(12, 24, 2),
}


def pace_rule(problem: Problem) -> Rule[State]:
    """Take the best gain per minute."""
    rollout = Rollout(problem)

    def rule(left: int, state: State) -> int:
        chosen = rollout.choice(left, state)
        return chosen[0] if chosen else next(iter(problem.parts(left)))

    return rule


def rollout_rule(problem: Problem) -> Rule[State]:
    """Take what rollout puts first."""

    def rule(left: int, state: State) -> int:
        ahead = rollout_minutes(problem, left, state, range(len(problem)), problem.effort + 800_000)
        return min(ahead, key=lambda option: round(ahead[option], 9)) if ahead else next(iter(problem.parts(left)))

    return rule


def gain_rule(problem: Problem) -> Rule[State]:
    """Take what tells most."""
    return lambda left, _: int(np.argmax(np.round(problem.gains(left), 9)))


def half_split(problem: Problem) -> Rule[State]:
    """Take the test that parts what is left most evenly by count."""

    def rule(left: int, _: State) -> int:
        parts = problem.parts(left)
        return min(parts, key=lambda option: max(len(problem.atoms(child)) for child in parts[option]))

    return rule


def load_back(problem: Problem) -> Rule[State]:
    """Take the test nearest to the load."""
    return lambda left, _: max(problem.parts(left))


def rules_of(problem: Problem, took: list[float]) -> Rules:
    """Give the rules that are compared; the seconds of each call of the planner are noted."""
    planner = planner_rule(problem)

    def timed(left: int, state: State) -> int:
        begun = time.perf_counter()
        option = planner(left, state)
        took.append(time.perf_counter() - begun)
        return option

    return {
        "planner": timed,
        "rollout": rollout_rule(problem),
        "gain/cost": pace_rule(problem),
        "gain": gain_rule(problem),
        "half-split": half_split(problem),
        "load back": load_back(problem),
    }


def compare(make: Maker, problems: int, took: list[float]) -> tuple[float, dict[str, list[float]]]:
    """Give the mean optimum, and for each rule its ratios to it."""
    optima: list[float] = []
    ratios: dict[str, list[float]] = {}
    for seed in range(problems):
        problem = make(np.random.default_rng(seed))
        start: State = frozenset()
        best = optimal_minutes(problem, start)
        optima.append(best)
        for name, rule in rules_of(problem, took).items():
            minutes = expected_minutes(problem, rule, start)
            ratios.setdefault(name, []).append(minutes / best if best else 1.0)
    return statistics.mean(optima), ratios


def large(
    options: int, outcomes: int, hypotheses: int, groups: int
) -> tuple[FloatArray, IntArray, OptionTable, Places]:
    """Give a problem of the size of a large loom, with soft outcomes."""
    random = np.random.default_rng(1)
    repairs = random.integers(0, groups, hypotheses)
    table = []
    for _ in range(options):
        likeliest = np.where(random.random(hypotheses) < 0.6, 0, random.integers(0, outcomes, groups)[repairs])
        shares = np.full((outcomes, hypotheses), 0.02)
        shares[likeliest, np.arange(hypotheses)] = 1.0
        table.append(Option(shares / shares.sum(axis=0)))
    costing = Places(random.integers(0, 30, options).tolist(), random.choice((0.5, 5.0, 20.0), 30).tolist())
    return skewed(random, hypotheses), repairs, OptionTable(table), costing


def ranked_ms(options: int, outcomes: int, hypotheses: int, groups: int) -> float:
    """Give the median milliseconds of ranking a large problem."""
    weights, repairs, table, costing = large(options, outcomes, hypotheses, groups)
    took = []
    for _ in range(9):
        begun = time.perf_counter()
        ranked(weights, repairs, table, costing, frozenset())
        took.append(1e3 * (time.perf_counter() - begun))
    return statistics.median(took)


def main(problems: int) -> int:
    """Print the mean ratio, and the worst, of each rule on each kind of problem."""
    took: list[float] = []
    means: list[float] = []
    sys.stdout.write(f"{problems} problems of each kind; minutes over the optimum, mean (worst)\n")
    for kind, make in KINDS.items():
        best, ratios = compare(make, problems, took)
        cells = [f"{name} {statistics.mean(each):.3f} ({max(each):.2f})" for name, each in ratios.items()]
        sys.stdout.write(f"{kind:<26} optimum {best:6.2f}  " + "  ".join(cells) + "\n")
        sys.stdout.flush()
        means.append(statistics.mean(ratios["planner"]))
    median_ms, slow_ms, longest_ms = (1e3 * float(ms) for ms in np.quantile(took, (0.5, 0.99, 1.0)))
    sys.stdout.write(
        f"a choice takes {median_ms:.1f} ms, 99 in 100 at most {slow_ms:.1f}, the longest {longest_ms:.1f}\n"
    )
    large_ms = ranked_ms(400, 8, 1000, 300)
    sys.stdout.write(f"400 options, 8 outcomes, 1,000 hypotheses, 300 groups: {large_ms:.1f} ms\n")
    return int(max(means) > MOST_RATIO or large_ms > MOST_RANKED_MS)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 100))
