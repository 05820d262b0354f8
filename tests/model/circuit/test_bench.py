"""The bench keeps each survey and solves it once."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest

import model.circuit.bench as bench_module
from model.circuit.bench import Bench
from model.circuit.condition import Condition, make_condition
from model.circuit.survey import Survey, survey
from model.errors import CircuitError
from tests.model.tracing.rigs import rig, wires

LAMP = rig(
    'switches = [ { id = "S1" } ]\nloads = [ { id = "E1", kind = "lamp", watts = 21 } ]\n'
    + wires("G1.+ S1.1", "S1.2 E1.+", "E1.- G1.-")
)
LIT = make_condition(LAMP, settings=("S1=on",))


def test_the_same_condition_is_solved_once() -> None:
    """The very same survey comes back, also for an equal condition made anew."""
    bench = Bench(LAMP)
    assert bench.survey(LIT) is bench.survey(make_condition(LAMP, settings=("S1=on",)))


def test_a_faulty_condition_shares_the_healthy_circuit() -> None:
    """The healthy side of a survey with a fault is the circuit of the survey without it."""
    bench = Bench(LAMP)
    faulty = bench.survey(make_condition(LAMP, settings=("S1=on",), faults=("W2=open",)))
    assert faulty.healthy is bench.survey(LIT).settled
    assert faulty.loads["E1:load"].state == "dead"


def test_the_bench_gives_what_a_survey_gives() -> None:
    """Volts and states as solved without it."""
    alone, kept = survey(LAMP, LIT), Bench(LAMP).survey(LIT)
    assert kept.loads == alone.loads
    assert kept.fuse_amps == alone.fuse_amps


def test_a_posts_reading_gives_the_emf_of_the_other_conditions() -> None:
    """With 12.2 V at the posts and 1.7 A through 8 mΩ the emf is 12.214 V: that stands at the posts at rest."""
    condition = make_condition(LAMP, settings=("S1=on",), posts_volts=12.2)
    others = Bench(LAMP).at_posts(condition)
    assert others.survey(Condition("off")).settled.posts_volts == pytest.approx(12.2 + 1.76 * 0.008, abs=0.001)


def test_a_bench_keeps_no_more_than_it_may(monkeypatch: pytest.MonkeyPatch) -> None:
    """The survey that was asked for longest ago goes first."""
    monkeypatch.setattr(bench_module, "_KEPT_AT_MOST", 2)
    bench = Bench(LAMP)
    first = bench.survey(Condition("off"))
    second = bench.survey(Condition("on"))
    assert bench.survey(Condition("off")) is first
    bench.survey(Condition("running"))
    assert bench.survey(Condition("off")) is first
    assert bench.survey(Condition("on")) is not second


def test_trouble_is_raised_and_not_kept() -> None:
    """Posts that cannot read that: told each time it is asked for."""
    bench = Bench(LAMP)
    condition = make_condition(LAMP, settings=("G1=out",), posts_volts=12.0)
    for _ in range(2):
        with pytest.raises(CircuitError):
            bench.survey(condition)


def test_several_threads_may_ask_at_once() -> None:
    """Each gets the survey of its own condition."""
    bench = Bench(LAMP)
    conditions = [make_condition(LAMP, key, settings) for key in LAMP.key_names for settings in ((), ("S1=on",))] * 4

    def asked(condition: Condition) -> Survey:
        return bench.survey(condition)

    with ThreadPoolExecutor(4) as pool:
        found = list(pool.map(asked, conditions))
    assert [one.settled.condition for one in found] == conditions
