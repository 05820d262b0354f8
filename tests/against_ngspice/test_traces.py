"""Whole traces of vehicles for which ngspice answers: no reading in them comes from the model's own solver."""

import math
import random
from functools import partial

import pytest

from model.circuit.condition import Condition
from model.circuit.faults import Fault, FaultKind
from model.harness.harness import Harness
from model.harness.toml_file import read_harness_text
from model.tracing import vehicle as model_vehicle
from model.tracing.checks import WORDS_OF, Check, CheckKind, Outcome, Word
from model.tracing.off_ratings import off_ratings
from model.tracing.vehicle import Vehicle
from tests.against_ngspice.harness_text import harness_text
from tests.against_ngspice.ngspice_run import Ngspice
from tests.against_ngspice.ngspice_vehicle import NgspiceVehicle
from tests.benchmarks.trace_bounds import LOST_BELOW, builds
from tests.model.tracing.fixed_sample import BY_NGSPICE, SEED, fixed_traces

AGREE_VOLTS = 0.010
HEAD_LAMP, HEAD_LAMP_SWITCH = "E1:load", ("S2", "head")
BUILDS = dict(builds())


class BesideModel(NgspiceVehicle):
    """A vehicle that ngspice answers for, and the same one by the model, for what the two say differently."""

    def __init__(
        self,
        harness: Harness,
        faults: tuple[Fault, ...],
        complained: tuple[str, ...],
        condition: Condition,
        *,
        ngspice: Ngspice,
        unlike: list[str],
        seed: int = 0,
    ) -> None:
        super().__init__(harness, faults, complained, condition, ngspice=ngspice, seed=seed)
        self._beside = Vehicle(harness, faults, complained, condition, seed=seed)
        self._unlike = unlike

    def answer(self, check: Check) -> Outcome:
        """Answer by ngspice, and note where the model would answer otherwise."""
        by_ngspice, by_model = super().answer(check), self._beside.answer(check)
        if not alike(check, by_ngspice, by_model):
            self._unlike.append(f"{self.faults} {check}: ngspice {by_ngspice}, model {by_model}")
        return by_ngspice


def alike(check: Check, one: Outcome, other: Outcome) -> bool:
    """Tell whether two answers are the same: volts within 10 mV, what is read rounded to its last digit."""
    if one.word is not None or math.isinf(one.value):
        return one.word is other.word and (one.word is not None or one.value == other.value)
    digit = 0.1 if check.kind is CheckKind.OHMS else 0.01
    return abs(one.value - other.value) <= AGREE_VOLTS + digit + 1e-3 * abs(other.value)


@pytest.mark.slow
@pytest.mark.parametrize("name", BUILDS)
def test_harness_off_its_ratings_is_read_back_from_its_text(name: str) -> None:
    """What is given to the second solver as text says the same as the records, as read and off their ratings."""
    for harness in (BUILDS[name], off_ratings(BUILDS[name], random.Random(SEED))):
        assert read_harness_text(harness_text(harness), harness.source) == harness


EVERY_KIND = [
    Check(CheckKind.OBSERVE, Condition("off", (HEAD_LAMP_SWITCH,)), load="E2:load"),
    Check(CheckKind.LOOK, Condition("off"), part="F2"),
    Check(CheckKind.VOLTS, Condition("off", (HEAD_LAMP_SWITCH,)), red="E1.+", black="G1.+"),
    Check(CheckKind.DROP, Condition("off", (HEAD_LAMP_SWITCH,)), red="F2.in", black="F2.out"),
    Check(CheckKind.LAMP, Condition("off", (HEAD_LAMP_SWITCH,)), red="F2.out", black="G1.+", watts=3.0),
    Check(CheckKind.OHMS, Condition("off"), red="F2.in", black="F2.out"),
    Check(CheckKind.AMPS, Condition("off", (HEAD_LAMP_SWITCH,)), part="F2"),
    Check(CheckKind.BRIDGE, Condition("off", (HEAD_LAMP_SWITCH,)), red="F2.in", black="F2.out"),
    Check(CheckKind.NEW_FUSE, Condition("off", (HEAD_LAMP_SWITCH,)), part="F2"),
]


def test_ngspice_alone_answers(ngspice: Ngspice, monkeypatch: pytest.MonkeyPatch) -> None:
    """No answer of any kind asks the model's solver, from the first reading to the new fuse."""
    tractor = BUILDS["field_tractor"]
    condition = Condition("off", (HEAD_LAMP_SWITCH,))
    fault = Fault("F2", FaultKind.HIGH)
    asked = NgspiceVehicle(tractor, (fault,), (HEAD_LAMP,), condition, ngspice=ngspice, slips=0.0)
    for name in ("settle", "settle_netlist", "build_netlist", "read_ohms", "read_lamp"):
        monkeypatch.delattr(model_vehicle, name)
    found = {check.kind: asked.answer(check) for check in EVERY_KIND}
    assert found[CheckKind.OHMS].value == pytest.approx(5.0, abs=0.3)
    assert found[CheckKind.BRIDGE].word is Word.CURED
    assert all(one.word in WORDS_OF[kind] for kind, one in found.items() if kind in WORDS_OF)
    assert abs(found[CheckKind.DROP].value) == pytest.approx(5.0 * found[CheckKind.AMPS].value, rel=0.15)


@pytest.mark.slow
def test_traces_end_with_the_fault_that_ngspice_hides(ngspice: Ngspice, request: pytest.FixtureRequest) -> None:
    """At most 2 in 100 are missed and none is lost; every answer is what the model would give, within 10 mV.

    A fixed sample of 60; four times as many with --every-trace.
    """
    unlike: list[str] = []
    make = partial(BesideModel, ngspice=ngspice, unlike=unlike)
    take_all = bool(request.config.getoption("--every-trace"))
    traces = fixed_traces(BY_NGSPICE, seed=SEED + 2, take_all=take_all, make=make)
    missed = [f"{one.build} {one.load} {one.hypothesis.name}: {one.stopped}" for one in traces if not one.held]
    assert len(traces) >= (200 if take_all else BY_NGSPICE)
    assert unlike == []
    assert len(missed) <= 0.02 * len(traces), missed
    assert sum(one.last < LOST_BELOW for one in traces) <= 0.005 * len(traces)
