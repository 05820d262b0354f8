"""What dies where a fuse is pulled, beside each fuse solved by itself."""

from __future__ import annotations

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import OUT
from model.harness.harness import all_elements
from model.harness.toml_file import read_harness_text
from model.review.fuse_use import fuse_review
from tests.benchmarks.looms import loom_text
from tests.model.review.fuse_rigs import BEHIND, RELAYED, TWO_FEEDS, demo_uses, short_wires, stiff_rig, uses_of
from tests.model.tracing.rigs import DEMO_NAMES, demo

WORKS, DEAD = 0.80, 0.25


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_what_dies_in_a_demo_build_is_what_a_plain_solution_gives(name: str) -> None:
    """Each fuse out by itself, in the same condition: the same loads are dead, and the same behind it alive."""
    plain = Bench(demo(name))
    elements = all_elements(plain.harness)
    compared = 0
    for use in demo_uses(name):
        for pulled in use.pulled:
            before = plain.survey(pulled.condition).loads
            after = plain.survey(pulled.condition.with_setting(use.fuse.id, OUT)).loads
            ran = [one for one in elements if before[one.name].volts >= WORKS * one.at_volts]
            dead = {one.name for one in ran if after[one.name].volts < DEAD * one.at_volts}
            assert set(pulled.dies) <= dead, use.fuse.id
            assert dead <= set(use.dies), use.fuse.id
            for stays in pulled.alive:
                element = next(one for one in elements if one.name == stays.name)
                assert after[stays.name].volts >= WORKS * element.at_volts
            compared += len(pulled.dies)
    assert compared > len(elements) / 2


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, 2])
def test_fuses_pulled_together_tell_what_each_tells_alone(seed: int) -> None:
    """A generated loom of 200 wires: what dies of each fuse is what dies with that one out."""
    bench = Bench(read_harness_text(loom_text(200, seed), "loom.toml"))
    plain, elements = Bench(bench.harness), all_elements(bench.harness)
    uses = fuse_review(bench)
    assert sum(bool(use.dies) for use in uses) > len(uses) / 2
    for use in uses:
        for pulled in use.pulled:
            before = plain.survey(pulled.condition).loads
            after = plain.survey(pulled.condition.with_setting(use.fuse.id, OUT)).loads
            ran = [one for one in elements if before[one.name].volts >= WORKS * one.at_volts]
            dead = {one.name for one in ran if after[one.name].volts < DEAD * one.at_volts}
            assert set(pulled.dies) <= dead <= set(use.dies), use.fuse.id


def test_a_link_takes_what_hangs_on_the_fuses_behind_it() -> None:
    """The lamp dies with its own fuse and with the link before it; the spare fuse kills nothing."""
    uses = uses_of(stiff_rig(BEHIND))
    assert uses["F1"].dies == uses["F2"].dies == ("E1:load",)
    assert uses["F3"].pulled == ()


def test_a_load_that_another_fuse_feeds_stays_alive_and_that_fuse_is_named() -> None:
    """With F1 out both lamps burn on through F2, and the other way round."""
    uses = uses_of(stiff_rig(TWO_FEEDS))
    for name, other in (("F1", "F2"), ("F2", "F1")):
        assert uses[name].dies == ()
        assert uses[name].alive == ("E1:load", "E2:load")
        assert {stays.by for one in uses[name].pulled for stays in one.alive} == {(other,)}


def test_the_fuse_of_a_coil_kills_what_the_relay_switches_and_wakes_what_its_rest_feeds() -> None:
    """F1 out: K1 falls off, E1 dies on its own whole fuse, E2 comes on."""
    pulled = uses_of(stiff_rig(RELAYED))["F1"].pulled
    assert [one.dies for one in pulled] == [("E1:load",)]
    assert [one.wakes for one in pulled] == [("E2:load",)]
    assert [one.drops for one in pulled] == [("K1",)]


def test_a_load_fed_through_another_lamp_is_weak_and_not_dead() -> None:
    """Two like lamps in series have half the volts each: with F1 out E1 hangs on F2 through E3 with 6 V of 12."""
    harness = stiff_rig(
        'busbars = [ { id = "BB1" } ]\n'
        'fuses = [ { id = "F1", amps = 10, bus = "BB1" }, { id = "F2", amps = 10, bus = "BB1" } ]\n'
        'loads = [ { id = "E1", kind = "heater", amps = 2 }, { id = "E3", kind = "heater", amps = 2 } ]\n'
        + short_wires("G1.+ BB1", "F1.out E1.+", "F2.out E3.+", "E3.- E1.+", "E1.- G1.-")
    )
    use = uses_of(harness)["F1"]
    assert use.dies == ()
    assert [one.weak for one in use.pulled] == [("E1:load",)]


def test_only_the_relay_by_which_a_load_works_is_named_for_its_death() -> None:
    """F1 holds K1 and K2; the lamp hangs on the contact of K1 alone, that of K2 is free: it dies as K1 falls off."""
    harness = stiff_rig(
        'busbars = [ { id = "BB1" } ]\nfuses = [ { id = "F1", amps = 5, bus = "BB1" }, '
        '{ id = "F2", amps = 10, bus = "BB1" } ]\nrelays = [ { id = "K1" }, { id = "K2" } ]\n'
        'loads = [ { id = "E1", kind = "lamp", watts = 21, at = 12 } ]\n'
        + short_wires(
            *("G1.+ BB1", "F1.out K1.86", "F1.out K2.86", "K1.85 G1.-", "K2.85 G1.-"),
            *("F2.out K1.30", "F2.out K2.30", "K1.87 E1.+", "E1.- G1.-"),
        )
    )
    (pulled,) = uses_of(harness)["F1"].pulled
    assert (pulled.dies, pulled.drops) == (("E1:load",), ("K1",))
