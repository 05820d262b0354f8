"""Many faults simulated at once: every case as the circuit built with the fault and settled alone."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from model.circuit.bench import Bench
from model.circuit.cases import Variant
from model.circuit.condition import Condition, make_condition
from model.circuit.faults import parse_fault
from model.circuit.instrumented import Setup
from model.circuit.many_faults import FaultBench
from model.harness.harness import Harness
from model.harness.toml_file import read_harness
from tests.model.circuit.many_harness import mixed
from tests.model.circuit.many_rig import disagreements, drawn, drawn_pairs
from tests.model.circuit.rig import CHAIN, CHAIN_VOLTS, condition, harness
from tests.properties.plausible import Circuit, Plan, plans

DEMO_BUILDS = Path(__file__).parents[3] / "demo_builds"


def test_a_chain_is_told_as_by_hand() -> None:
    """A heater at 2 A behind tenths of an ohm; an open ahead of it leaves 12 V behind the battery and none beyond.

    Five ohms more in W4 make 11 Ω: 12 / 11 A, so 9.6 × 6 / 11 = 5.236 V at the heater. The ohms behind W4 open, from
    the battery's side: battery, W1, F1, W2, S1, W3, X1 to the plug's reference, seven tenths.
    """
    rig = harness(CHAIN)
    faults = ("W4=open", "W4=high", "E1:load=short")
    variants = (Variant(), *(Variant((parse_fault(rig, typed),)) for typed in faults))
    cases = FaultBench(Bench(rig), variants, CHAIN_VOLTS).cases(condition(rig, "S1=on", key="on"))
    volts, amps = cases.element("E1:load")
    assert volts[:3] == pytest.approx([9.6, 0.0, 4.8 * 12 / 11], abs=1e-6)
    assert amps[:3] == pytest.approx([2.0, 0.0, 12 / 11], abs=1e-6)
    assert cases.volts("X1.socket.1", "G1.-")[:2] == pytest.approx([10.6, 12.0])
    assert cases.volts("E1.+", "G1.-")[1] == pytest.approx(0.0, abs=1e-6)
    assert cases.source_ohms("X1.socket.1", "G1.-")[1] == pytest.approx(0.7)
    assert cases.fuse_amps("F1")[:3] == pytest.approx([2.0, 0.0, 12 / 11], abs=1e-6)
    assert cases.variant.tolist() == [0, 1, 2, 3]


def test_cases_are_kept_by_what_they_were_asked_for() -> None:
    """The same condition is solved once; another jumper is another circuit."""
    rig = harness(CHAIN)
    bench = FaultBench(Bench(rig), (Variant(),), ())
    on = condition(rig, "S1=on", key="on")
    assert bench.cases(on) is bench.cases(on)
    off = condition(rig, key="on")
    assert bench.cases(off).element("E1:load")[0][0] == pytest.approx(0.0, abs=1e-9)
    jumped = bench.cases(off, jumper=("S1.1", "S1.2"))
    assert jumped.element("E1:load")[0][0] == pytest.approx(4.8 * 12 / 5.91)


def test_a_fuse_near_its_rating_both_blows_and_holds() -> None:
    """2 A is 1.03 of a rating of 1.95 A; a heater of 4.3 Ω draws 12 / 5.5 = 2.18 A, 1.12 of it: there are two cases."""
    rig = harness(CHAIN.replace("amps = 100", "amps = 1.95"))
    variants = (Variant(), Variant((parse_fault(rig, "E1:load=4.3"),)))
    cases = FaultBench(Bench(rig), variants, ()).cases(condition(rig, "S1=on", key="on"))
    assert cases.variant.tolist() == [0, 1, 1]
    assert cases.share.tolist() == [1.0, 0.5, 0.5]
    assert [sorted(one) for one in cases.blown] == [[], [], ["F1"]]
    assert cases.fuse_amps("F1") == pytest.approx([2.0, 12 / 5.5, 0.0])


def test_the_cold_circuit_is_told_in_ohms() -> None:
    """With the supply off the heater has its own 4.8 Ω, and beside an open wire nothing reaches it from the switch."""
    rig = harness(CHAIN)
    variants = (Variant(), Variant((parse_fault(rig, "W4=open"),)))
    cases = FaultBench(Bench(rig), variants, ()).cases(condition(rig, "S1=on", key="on"), powered=False)
    assert cases.ohms("E1.+", "E1.-") == pytest.approx([4.8, 4.8])
    assert cases.ohms("X1.plug.1", "E1.+")[0] == pytest.approx(0.2)
    assert np.isinf(cases.ohms("X1.plug.1", "E1.+")[1])


@pytest.mark.slow
@pytest.mark.parametrize(
    "words", ["S1=on S2=low running", "S2=high on", "S1=on X1=apart E8=on on", "W9.b=off S1=on off"]
)
def test_every_kind_of_fault_of_a_mixed_harness_agrees(words: str) -> None:
    """Every part of the format is in it; a hundred faults, every kind as often as the others."""
    rig = mixed()
    *settings_, key = words.split()
    setup = Setup(make_condition(rig, key, tuple(settings_)))
    assert disagreements(rig, drawn(rig, 100, 3), setup, reads=2) == []


@pytest.mark.slow
@pytest.mark.parametrize("words", ["S1=on S2=low running", "S2=high on"])
def test_every_fault_of_a_mixed_harness_agrees(words: str) -> None:
    """All of them, in a condition in which most of it works and one in which little does."""
    rig = mixed()
    *settings_, key = words.split()
    setup = Setup(make_condition(rig, key, tuple(settings_)))
    assert disagreements(rig, drawn(rig, 10_000, 4), setup, reads=1) == []


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, 2])
def test_two_faults_at_once_agree(seed: int) -> None:
    """Pairs from any two sites; 2 mV, for what is open counts as 100 GΩ, and may hang on a resting battery's megohm."""
    rig = mixed()
    setup = Setup(make_condition(rig, "running", ("S1=on", "S2=low")))
    assert disagreements(rig, drawn_pairs(rig, 60, seed), setup, reads=2, within_volts=2e-3) == []


@pytest.mark.slow
def test_a_jumper_and_a_lamp_in_the_circuit_agree() -> None:
    """A jumper across the relay's contact, and 55 W in place of a fuse."""
    rig = mixed()
    on = make_condition(rig, "on", ("S1=off",))
    variants = drawn(rig, 40, 6)
    assert disagreements(rig, variants, Setup(on, jumper=("K1.30", "K1.87")), reads=1) == []
    out = make_condition(rig, "on", ("S1=on", "F2=out"))
    assert disagreements(rig, variants, Setup(out, lamp=("F2.in", "F2.out", 55.0)), reads=1) == []


def _demo(name: str, key: str, *words: str) -> tuple[Harness, Condition]:
    rig = read_harness(DEMO_BUILDS / f"{name}.toml")
    return rig, make_condition(rig, key, words)


DEMO_CONDITIONS = [
    ("field_tractor", "on"),
    ("field_tractor", "running"),
    ("harbour_launch", "on"),
    ("harbour_launch", "running"),
    ("trail_buggy", "ignition", "S5=left"),
    ("trail_buggy", "running", "S2=head"),
    ("trail_buggy", "crank"),
]


@pytest.mark.slow
@pytest.mark.parametrize("words", DEMO_CONDITIONS[1::3])
def test_some_faults_of_the_demo_builds_agree(words: tuple[str, ...]) -> None:
    """Thirty faults of each, every kind among them."""
    rig, asked = _demo(*words)
    assert disagreements(rig, drawn(rig, 30, 7), Setup(asked), reads=1) == []


@pytest.mark.slow
@pytest.mark.parametrize("words", DEMO_CONDITIONS)
def test_faults_of_the_demo_builds_agree(words: tuple[str, ...]) -> None:
    """Two hundred of each, every kind of the format among them."""
    rig, asked = _demo(*words)
    assert disagreements(rig, drawn(rig, 200, 8), Setup(asked), reads=3) == []


COIL_LED = Plan(
    (Circuit("heater", 4.16, 3.0, True, False, 1, True), Circuit("led", 5.18, 0.4, True, True, 2, True)), True, 12.45
)


@pytest.mark.parametrize("typed", ["S2.2=1000", "S2:1-2=open", "W21=open", "K2:coil=open", "K2.86=1000"])
def test_what_hangs_between_two_opens_spoils_no_other_figure(typed: str) -> None:
    """A relay falls off and its led goes out: the wire between them hangs on nothing; the coil keeps its figures."""
    rig = COIL_LED.harness()
    setup = Setup(make_condition(rig, "on", COIL_LED.settings))
    assert disagreements(rig, [Variant(), Variant((parse_fault(rig, typed),))], setup, reads=2) == []


@pytest.mark.slow
@given(plan=plans, seed=st.integers(0, 1000))
@settings(max_examples=8, deadline=None, derandomize=True, phases=(Phase.explicit, Phase.generate))
def test_faults_of_plausible_looms_agree(plan: Plan, seed: int) -> None:
    """Whatever loom somebody may build, whatever is switched on in it."""
    rig = plan.harness()
    setup = Setup(make_condition(rig, "on", plan.settings))
    assert disagreements(rig, drawn(rig, 25, seed), setup, reads=1, seed=seed) == []
