"""The order in which checks are offered."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest

from model.circuit.arrays import FloatArray, IntArray
from model.tracing.choose import Option, OptionTable, Ranked, ranked
from model.tracing.expected import expected_minutes, hard_options
from model.tracing.hard_problem import HardProblem, hardened
from model.tracing.information import gain_bits, group_shares, normalised, updated
from model.tracing.options import heaviest, told
from model.tracing.think_ahead import in_play, rollout_minutes


class Prices:
    """A price for each option, the same from everywhere."""

    def __init__(self, minutes: Sequence[float]) -> None:
        self.each = tuple(minutes)

    def minutes(self, option: int, state: tuple[()]) -> float:
        """Give the price."""
        return self.each[option]

    def after(self, option: int, state: tuple[()]) -> tuple[()]:
        """Give the same state."""
        return state


class Doors:
    """Each place costs its minutes once; a reading 0.3."""

    def __init__(self, place_of: Sequence[str], access: dict[str, float]) -> None:
        self.place_of = tuple(place_of)
        self.access = access

    def minutes(self, option: int, state: frozenset[str]) -> float:
        """Give the reading, and the place where it is shut."""
        place = self.place_of[option]
        return 0.3 + (0.0 if place in state else self.access[place])

    def after(self, option: int, state: frozenset[str]) -> frozenset[str]:
        """Open the place."""
        return state | {self.place_of[option]}


def splits(*codes: str) -> list[Option]:
    """Give hard options from one digit a hypothesis."""
    return hard_options(np.array([[int(digit) for digit in code] for code in codes]))


def order_of(entries: list[Ranked]) -> list[int]:
    """Give the numbers of ranked options."""
    return [entry.option for entry in entries]


EVEN = np.ones(8)
EACH = np.arange(8)


def test_nothing_on_offer_ranks_nothing() -> None:
    """No options, or none that can be made, give an empty list."""
    assert ranked(EVEN, EACH, [], Prices([]), ()) == []
    assert ranked(EVEN, EACH, splits("00001111"), Prices([math.inf]), ()) == []


def test_what_cannot_be_made_is_left_out() -> None:
    """An option of infinite minutes is not ranked, the others are."""
    assert order_of(ranked(EVEN, EACH, splits("00001111", "00000011"), Prices([math.inf, 1.0]), ())) == [1]


def test_two_hypotheses_with_one_repair_are_not_told_apart() -> None:
    """What parts only hypotheses of one group tells nothing and comes last."""
    options = splits("0101", "0011")
    entries = ranked(np.ones(4), np.array([0, 0, 1, 1]), options, Prices([0.1, 5.0]), ())
    assert order_of(entries) == [1, 0]
    assert [entry.gain_bits for entry in entries] == pytest.approx([1.0, 0.0])


def test_a_cheap_look_that_tells_little_does_not_come_first() -> None:
    """Under 0.4 of the best gain an option stands behind, though its gain per minute is the best.

    One of 16 is parted off by the look: H(1/16) = 0.337 bit in a minute; the panel's half tells 1 bit in 5.
    """
    options = splits("0" * 15 + "1", "0" * 8 + "1" * 8)
    entries = ranked(np.ones(16), np.arange(16), options, Prices([1.0, 5.0]), ())
    assert order_of(entries) == [1, 0]
    assert [entry.worth for entry in entries] == pytest.approx([0.2, 0.337], abs=0.001)


def test_an_hours_work_keeps_no_short_check_from_coming_first() -> None:
    """What tells most, 1 bit in 40 minutes, is no measure for 0.337 bit in one: 0.025 a minute against 0.337."""
    options = splits("0" * 15 + "1", "0" * 8 + "1" * 8)
    entries = ranked(np.ones(16), np.arange(16), options, Prices([1.0, 40.0]), ())
    assert order_of(entries) == [0, 1]


def test_a_minute_that_may_spare_twenty_comes_before_them() -> None:
    """Eight faults, of which seven want the floor up (20 minutes): the minute that tells of the eighth comes first."""
    options = splits("00000001", "00001110", "00110010", "01010100")
    entries = ranked(EVEN, EACH, options, Prices([1.0, 20.0, 20.0, 20.0]), ())
    assert entries[0].option == 0
    assert entries[0].minutes_to_go is None or entries[0].minutes_to_go > 1.0
    assert ranked(EVEN, EACH, options[1:], Prices([20.0, 20.0, 20.0]), ())[0].minutes == 20.0


def test_equals_are_ordered_by_cost_then_by_nearness() -> None:
    """Of options that are worth the same, the cheaper comes first, of these the one with the lesser key."""
    options = splits("00001111", "00110011", "01010101")
    names = {0: (2, "b"), 1: (1, "z"), 2: (1, "a")}
    assert order_of(ranked(EVEN, EACH, options, Prices([1.0] * 3), (), nearer=names.__getitem__)) == [2, 1, 0]
    assert order_of(ranked(EVEN, EACH, options[:1] * 3, Prices([2.0, 1.0, 2.0]), ()))[0] == 1


def test_the_outcomes_of_an_option_are_foretold() -> None:
    """Shares of outcomes, gain and minutes are those of the option."""
    entry = ranked(np.array([1.0, 1.0, 2.0]), np.arange(3), splits("001"), Prices([3.0]), ())[0]
    assert entry.outcomes == pytest.approx([0.5, 0.5])
    assert entry.gain_bits == pytest.approx(1.0)
    assert entry.minutes == 3.0
    assert entry.worth == pytest.approx(1.0 / 3.0)


def test_a_place_that_serves_twice_is_opened_first() -> None:
    """Four faults: two readings behind one door tell all for 5 + 0.3 + 0.3; a third outside is dearer than it looks.

    Gain per minute takes the reading outside first (1 bit in 4.3 against 1 in 5.3), then opens the door all the same.
    """
    options = splits("0011", "0101", "0110")
    costing = Doors(["door", "door", "yard"], {"door": 5.0, "yard": 4.0})
    entries = ranked(np.ones(4), np.arange(4), options, costing, frozenset())
    assert entries[0].option in {0, 1}
    assert entries[0].minutes_to_go == pytest.approx(5.6)


def random_soft(options: int, hypotheses: int, groups: int) -> tuple[FloatArray, IntArray, list[Option]]:
    """Give a large problem with soft outcomes."""
    random = np.random.default_rng(5)
    repairs = random.integers(0, groups, hypotheses)
    offered = []
    for _ in range(options):
        shares = np.full((4, hypotheses), 0.02)
        shares[random.integers(0, 4, groups)[repairs], np.arange(hypotheses)] = 1.0
        offered.append(Option(shares / shares.sum(axis=0)))
    return random.gamma(0.7, 1.0, hypotheses), repairs, offered


def test_many_options_are_ranked_by_their_true_gains() -> None:
    """Of 150 options over 1,500 hypotheses the first sixty or so have their full gain, and all are ranked."""
    weights, repairs, options = random_soft(150, 1500, 200)
    entries = ranked(weights, repairs, OptionTable(options), Prices([1.0] * 150), ())
    assert sorted(order_of(entries)) == list(range(150))
    for entry in entries[:50]:
        assert entry.gain_bits == pytest.approx(gain_bits(weights, repairs, options[entry.option].shares), abs=1e-9)
    assert all(entry.outcomes.sum() == pytest.approx(1.0, abs=1e-4) for entry in entries)


def test_the_screen_keeps_what_is_best() -> None:
    """The option with the best gain per minute in full is among those that the screen lets through."""
    weights, repairs, options = random_soft(150, 1500, 200)
    minutes = np.random.default_rng(2).choice([0.5, 2.0, 5.0], 150)
    worth = told(options, normalised(weights), repairs).gains / minutes
    entries = ranked(weights, repairs, options, Prices(minutes.tolist()), ())
    best = next(entry for entry in entries if entry.option == int(np.argmax(worth)))
    assert best.worth == pytest.approx(worth.max(), abs=1e-9)


def test_bounded_work_still_ranks_every_first_step() -> None:
    """With next to no work allowed the rollout still compares its first steps."""
    weights, repairs, options = random_soft(30, 100, 60)
    problem = hardened(normalised(weights), repairs, options, range(30), Prices([1.0] * 30))
    ahead = rollout_minutes(problem, problem.whole, (), range(30), 1.0)
    assert len(ahead) == 10
    assert all(0.0 < minutes < math.inf for minutes in ahead.values())


def test_an_unsure_outcome_costs_more_minutes() -> None:
    """An option that errs in one of ten is counted as dearer than a sure one, by what it tells less.

    Two even groups: a sure option tells 1 bit; with errors of 0.1 it is 1 - H(0.1) = 0.531 bit.
    """
    unsure = Option(np.array([[0.9, 0.1], [0.1, 0.9]]))
    problem = hardened(np.array([0.5, 0.5]), np.arange(2), [unsure], [0], Prices([1.0]))
    assert problem.prices(())[0] == pytest.approx(1.0 / 0.531, abs=0.001)


def test_groups_in_play_are_the_twelve_that_hold_nearly_all() -> None:
    """Of many groups twelve are thought of exactly where they hold 99 %, else the heaviest hypotheses of all."""
    few = np.r_[np.full(12, 1.0), np.full(20, 0.005)]
    kept, are_few = in_play(normalised(few), np.arange(32))
    assert (kept.tolist(), are_few) == (list(range(12)), True)
    kept, are_few = in_play(normalised(np.ones(32)), np.arange(32))
    assert (len(kept), are_few) == (32, False)


def test_the_heaviest_hold_their_share() -> None:
    """The fewest that together hold the share, at most so many, and none without weight."""
    weights = np.array([0.5, 0.0, 0.3, 0.2])
    assert heaviest(weights, 10, 0.7).tolist() == [0, 2]
    assert heaviest(weights, 1, 0.99).tolist() == [0]
    assert heaviest(weights, 10, 1.0).tolist() == [0, 2, 3]


def test_weights_that_are_none_are_refused() -> None:
    """Negative or all-zero weights, and a reading that no hypothesis allows, are errors."""
    for wrong in ([0.0, 0.0], [1.0, -0.5], [math.nan, 1.0]):
        with pytest.raises(ValueError, match="weights"):
            normalised(np.array(wrong))
    with pytest.raises(ValueError, match="weights"):
        updated(np.ones(2), np.zeros(2))


def test_group_shares_add_up() -> None:
    """The shares of groups are the sums of their hypotheses."""
    assert group_shares(np.array([1.0, 2.0, 1.0]), np.array([0, 1, 0])).tolist() == [0.5, 0.5]


def test_a_rule_that_gets_nowhere_is_an_error() -> None:
    """A rule that takes an option which tells nothing, over and over, is refused."""
    codes = np.array([[0, 0, 1], [0, 1, 1]])
    problem = HardProblem(np.ones(3), np.arange(3), codes, Prices([1.0, 1.0]), range(2))
    with pytest.raises(ValueError, match="over and over"):
        expected_minutes(problem, lambda left, state: 0, ())


def test_hypotheses_that_have_come_to_nothing_do_no_harm() -> None:
    """Shares that readings have driven to nought are left out of thinking ahead, and an order comes all the same."""
    weights = np.array([0.6, 0.4, 0.0, 0.0, 0.0])
    groups = np.arange(5)
    options = [
        Option(np.array([[0.9, 0.1, 0.9, 0.1, 0.5], [0.1, 0.9, 0.1, 0.9, 0.5]])),
        Option(np.array([[0.5, 0.5, 0.9, 0.1, 0.1], [0.5, 0.5, 0.1, 0.9, 0.9]])),
    ]
    found = ranked(weights, groups, options, Prices((1.0, 1.0)), ())
    assert found[0].option == 0
