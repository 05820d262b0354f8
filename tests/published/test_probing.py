"""Where to probe next in circuits of which only the right behaviour is known.

J. de Kleer and B. Williams, Diagnosing multiple faults, Artificial Intelligence 32 (1987), 97-130: a candidate is a set
of faulty components, a faulty one may put out anything, and the probe with the least expected entropy comes first.
The diagnoses of the polybox are published there; entropies and shares below are computed from its formulas.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import pytest

from model.circuit.arrays import FloatArray
from model.tracing.choose import Option, Ranked, ranked
from model.tracing.information import entropy_bits, gain_bits, group_posteriors, outcome_shares, updated

Values = dict[str, int]
Law = Callable[[Mapping[str, int]], Values]
Candidate = frozenset[str]

DIGITS = 6e-5


class Unit:
    """Every probe takes a minute."""

    def minutes(self, option: int, state: tuple[()]) -> float:
        """Give one minute."""
        return 1.0

    def after(self, option: int, state: tuple[()]) -> tuple[()]:
        """Give the same state."""
        return state


@dataclass(frozen=True)
class Machine:
    """Components with the law of each while it is sound, and how many values a point can take."""

    laws: Mapping[str, Law]
    inputs: Values
    values: int
    prior: Mapping[str, float]

    @property
    def candidates(self) -> list[Candidate]:
        """All sets of faulty components, the small ones first."""
        names = sorted(self.laws)
        return [frozenset(some) for count in range(len(names) + 1) for some in combinations(names, count)]

    def weights(self) -> FloatArray:
        """Give the prior of each candidate: the product over its components and over the sound ones."""
        return np.array(
            [
                np.prod([share if name in candidate else 1.0 - share for name, share in self.prior.items()])
                for candidate in self.candidates
            ]
        )

    def predicted(self, candidate: Candidate, known: Values) -> Values | None:
        """Give what the sound components make of what is known; None where they contradict it."""
        values = self.inputs | known
        grown = True
        while grown:
            grown = False
            for name in sorted(set(self.laws) - candidate):
                for point, value in self.laws[name](values).items():
                    if values.get(point, value) != value:
                        return None
                    grown = grown or point not in values
                    values[point] = value
        return values

    def probe(self, point: str, known: Values) -> Option:
        """Give the option of reading a point: surely the predicted value, or any where none is predicted."""
        shares = np.zeros((self.values, len(self.candidates)))
        for column, candidate in enumerate(self.candidates):
            values = self.predicted(candidate, known)
            if values is not None and point in values:
                shares[values[point], column] = 1.0
            else:
                shares[:, column] = 1.0 / self.values
        return Option(shares)

    def weighed(self, readings: Iterable[tuple[str, int]]) -> tuple[FloatArray, Values]:
        """Give the shares of the candidates after readings, and the readings by point."""
        weights, known = self.weights(), Values()
        for point, value in readings:
            weights = updated(weights, self.probe(point, known).shares[value])
            known[point] = value
        return weights, known

    def ranked(self, points: Iterable[str], readings: Iterable[tuple[str, int]]) -> dict[str, Ranked]:
        """Rank probes after readings."""
        weights, known = self.weighed(readings)
        names = list(points)
        options = [self.probe(point, known) for point in names]
        order = ranked(weights, np.arange(len(weights)), options, Unit(), ())
        return {names[entry.option]: entry for entry in order}


def inverter(before: str, behind: str) -> Law:
    """Give the law of an inverter, which is read in both directions."""

    def law(values: Mapping[str, int]) -> Values:
        found: Values = {}
        if before in values:
            found[behind] = 1 - values[before]
        if behind in values:
            found[before] = 1 - values[behind]
        return found

    return law


def adder(first: str, second: str, total: str) -> Law:
    """Give the law of an adder, which is read in all directions."""

    def law(values: Mapping[str, int]) -> Values:
        found: Values = {}
        if first in values and second in values:
            found[total] = values[first] + values[second]
        if total in values and first in values:
            found[second] = values[total] - values[first]
        if total in values and second in values:
            found[first] = values[total] - values[second]
        return found

    return law


def cascade(a_share: float = 0.01) -> Machine:
    """Give four inverters in a row with a 1 at the head: sound, the points b to e hold 0, 1, 0, 1."""
    laws = {
        "A": inverter("a", "b"),
        "B": inverter("b", "c"),
        "C": inverter("c", "d"),
        "D": inverter("d", "e"),
    }
    return Machine(laws, {"a": 1}, 2, {"A": a_share, "B": 0.01, "C": 0.01, "D": 0.01})


def polybox(values: int = 16) -> Machine:
    """Give three multipliers and two adders; sound, 3·2, 2·3 and 2·3 make F = 12 and G = 12."""
    laws: dict[str, Law] = {
        "M1": lambda _: {"x": 6},
        "M2": lambda _: {"y": 6},
        "M3": lambda _: {"z": 6},
        "A1": adder("x", "y", "F"),
        "A2": adder("y", "z", "G"),
    }
    return Machine(laws, {}, values, dict.fromkeys(laws, 0.01))


CASCADE = [
    (0.01, [], 0.3232, {"b": 0.2878, "c": 0.2626, "d": 0.2414, "e": 0.2228}),
    (0.01, [("e", 0)], 2.1221, {"b": 1.3184, "c": 1.1322, "d": 1.3184}),
    (0.01, [("e", 0), ("c", 1)], 1.1322, {"b": 1.1318, "d": 0.1372}),
    (0.01, [("e", 0), ("c", 0)], 1.1322, {"b": 0.1372, "d": 1.1318}),
    (0.025, [("e", 0)], 2.0027, {"b": 1.0219, "c": 1.0708, "d": 1.3282}),
    (0.05, [("e", 0)], 1.6993, {"b": 0.7675, "c": 0.9082, "d": 1.1690}),
]


@pytest.mark.parametrize(("a_share", "readings", "before", "after"), CASCADE)
def test_the_cascade_is_probed_where_least_entropy_is_left(
    a_share: float, readings: list[tuple[str, int]], before: float, after: dict[str, float]
) -> None:
    """The last point first, then the middle where all are alike, nearer to what is likelier to fail where not.

    Computed from the formulas of de Kleer and Williams (1987): entropies before and to be expected, four digits.
    """
    machine = cascade(a_share)
    weights, _ = machine.weighed(readings)
    probes = machine.ranked(after, readings)
    assert entropy_bits(weights) == pytest.approx(before, abs=DIGITS)
    expected = {point: entropy_bits(weights) - entry.gain_bits for point, entry in probes.items()}
    assert expected == pytest.approx(after, abs=DIGITS)
    assert max(probes.values(), key=lambda entry: entry.gain_bits) is probes[min(after, key=after.__getitem__)]


@pytest.mark.parametrize(
    ("a_share", "readings", "best"),
    [
        (0.01, [], {"": 0.9606, "A": 0.0097, "D": 0.0097}),
        (0.01, [("e", 0)], {"A": 0.2462, "B": 0.2462, "C": 0.2462, "D": 0.2462, "AB": 0.0025, "CD": 0.0025}),
        (0.01, [("e", 0), ("c", 1)], {"C": 0.4925, "D": 0.4925}),
        (0.01, [("e", 0), ("c", 0)], {"A": 0.4925, "B": 0.4925}),
        (0.025, [("e", 0)], {"A": 0.4496, "B": 0.1771, "D": 0.1771}),
        (0.05, [("e", 0)], {"A": 0.6203, "B": 0.1190, "D": 0.1190}),
        (0.01, [("e", 1)], {"": 0.9799, "A": 0.0049, "D": 0.0049}),
    ],
)
def test_the_cascade_weighs_its_candidates(
    a_share: float, readings: list[tuple[str, int]], best: dict[str, float]
) -> None:
    """A right output does not clear a component: its fault can hide. Computed as above."""
    machine = cascade(a_share)
    weights, _ = machine.weighed(readings)
    shares = {
        "".join(sorted(who)): share for who, share in zip(machine.candidates, weights / weights.sum(), strict=True)
    }
    assert {who: shares[who] for who in best} == pytest.approx(best, abs=DIGITS)


def test_the_cascade_foretells_what_a_probe_reads() -> None:
    """Before anything is known b is 1 in .0050, c in .9901, d in .0149 and e in .9803 of cases. Computed as above."""
    probes = cascade().ranked("bcde", [])
    ones = {point: float(entry.outcomes[1]) for point, entry in probes.items()}
    assert ones == pytest.approx({"b": 0.0050, "c": 0.9901, "d": 0.0149, "e": 0.9803}, abs=DIGITS)


def test_a_right_output_leaves_little_to_learn() -> None:
    """With e = 1 the entropy is 0.1846 and no probe tells more than 0.0013 bit. Computed as above."""
    machine = cascade()
    weights, _ = machine.weighed([("e", 1)])
    assert entropy_bits(weights) == pytest.approx(0.1846, abs=DIGITS)
    assert max(entry.gain_bits for entry in machine.ranked("bcd", [("e", 1)]).values()) < 0.00135


def test_a_faulty_inverter_that_always_errs_is_halved_exactly() -> None:
    """Where a faulty one always passes its input on: e = 0 leaves 2.0015 bit, c tells 1.0000, b and d .8114.

    Computed from the formulas of de Kleer and Williams (1987) with one fault mode.
    """
    candidates = cascade().candidates
    wrong = {
        point: np.array([sum(name in candidate for name in upstream) % 2 for candidate in candidates])
        for point, upstream in {"b": "A", "c": "AB", "d": "ABC", "e": "ABCD"}.items()
    }
    weights = updated(cascade().weights(), wrong["e"].astype(float))
    groups = np.arange(len(candidates))
    gains = {p: gain_bits(weights, groups, np.stack([1.0 - wrong[p], wrong[p] * 1.0])) for p in "bcd"}
    assert entropy_bits(weights) == pytest.approx(2.0015, abs=DIGITS)
    assert gains == pytest.approx({"b": 0.8114, "c": 1.0000, "d": 0.8114}, abs=DIGITS)
    sound = updated(cascade().weights(), 1.0 - wrong["e"])
    assert sound[0] == pytest.approx(0.9994, abs=DIGITS)
    pairs = [share for candidate, share in zip(candidates, sound, strict=True) if len(candidate) == 2]
    assert pairs == pytest.approx([0.0001] * 6, abs=DIGITS)


def test_the_polybox_has_its_published_diagnoses() -> None:
    """F = 10 and G = 12: the smallest sets are {A1}, {M1}, {A2, M2} and {M2, M3} (de Kleer and Williams 1987).

    Their shares .49623, .49623 and of {A1, M1} .00501 are computed from the formulas there.
    """
    machine = polybox()
    weights, _ = machine.weighed([("F", 10), ("G", 12)])
    standing = {candidate: share for candidate, share in zip(machine.candidates, weights, strict=True) if share > 0.0}
    smallest = {candidate for candidate in standing if not any(other < candidate for other in standing)}
    assert smallest == {frozenset({"A1"}), frozenset({"M1"}), frozenset({"A2", "M2"}), frozenset({"M2", "M3"})}
    assert standing[frozenset({"A1"})] == pytest.approx(0.49623, abs=6e-6)
    assert standing[frozenset({"M1"})] == pytest.approx(0.49623, abs=6e-6)
    assert standing[frozenset({"A1", "M1"})] == pytest.approx(0.00501, abs=6e-6)
    assert entropy_bits(weights) == pytest.approx(1.0713, abs=DIGITS)


def test_the_polybox_is_probed_at_x() -> None:
    """Expected entropies .0383, 1.0635 and 1.0670 at x, y, z: x first; it reads 6 in .4981, 4 in .4975 of cases.

    The choice is that of de Kleer and Williams (1987), the figures are computed from the formulas there.
    """
    probes = polybox().ranked("xyz", [("F", 10), ("G", 12)])
    gains = {point: entry.gain_bits for point, entry in probes.items()}
    assert next(iter(probes)) == "x"
    assert gains == pytest.approx({"x": 1.0330, "y": 0.0078, "z": 0.0043}, abs=DIGITS)
    assert probes["x"].outcomes[[6, 4]] == pytest.approx([0.4981, 0.4975], abs=DIGITS)


def test_the_polybox_hardly_asks_how_many_values_there_are() -> None:
    """With 64 values in place of 16 the gains are 1.0384, .0023 and .0012. Computed as above."""
    gains = {point: entry.gain_bits for point, entry in polybox(64).ranked("xyz", [("F", 10), ("G", 12)]).items()}
    assert gains == pytest.approx({"x": 1.0384, "y": 0.0023, "z": 0.0012}, abs=DIGITS)


def test_the_polybox_with_x_read_names_a_multiplier_or_an_adder() -> None:
    """X = 4 leaves M1 with over .99, x = 6 leaves A1: what the probe leaves is worked out before it is made."""
    machine = polybox()
    weights, known = machine.weighed([("F", 10), ("G", 12)])
    probe = machine.probe("x", known)
    groups = np.arange(len(weights))
    left = group_posteriors(weights, groups, probe.shares)
    for value, name in ((4, "M1"), (6, "A1")):
        number = machine.candidates.index(frozenset({name}))
        assert left[value, number] > 0.99
        assert left[value] == pytest.approx(machine.weighed([("F", 10), ("G", 12), ("x", value)])[0])
    assert outcome_shares(weights, probe.shares).sum() == pytest.approx(1.0)
