"""Which readings the work on a suspect may change."""

from __future__ import annotations

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.tracing.checks import Check, CheckKind
from model.tracing.proof import may_be_changed_by
from model.tracing.suspects import UNKNOWN, Suspect
from tests.model.tracing.rigs import rig, wires

HARNESS = rig(
    'fuses = [ { id = "F1", amps = 10 }, { id = "F2", amps = 10 } ]\n'
    'loads = [ { id = "E1", kind = "lamp", watts = 55 }, { id = "E2", kind = "lamp", watts = 5 } ]\n'
    + wires("G1.+ F1.in", "F1.out E1.+", "E1.- CHASSIS", "G1.+ F2.in", "F2.out E2.+", "E2.- CHASSIS", "G1.- CHASSIS")
)
ON = Condition("on")
W2_BROKEN = Suspect("W2", "open", "", 0.9)

CHECKS = [
    (Check(CheckKind.VOLTS, ON, red="E1.+", black="G1.-"), True),
    (Check(CheckKind.VOLTS, ON, red="F1.out", black="G1.-"), True),
    (Check(CheckKind.VOLTS, ON, red="F1.in", black="G1.-"), False),
    (Check(CheckKind.VOLTS, ON, red="E2.+", black="G1.-"), False),
    (Check(CheckKind.OBSERVE, ON, load="E1:load"), True),
    (Check(CheckKind.OBSERVE, ON, load="E2:load"), False),
    (Check(CheckKind.LOOK, ON, part="F2"), False),
    (Check(CheckKind.LOOK, ON, part="W2"), True),
    (Check(CheckKind.AMPS, ON, part="F1"), True),
    (Check(CheckKind.AMPS, ON, part="F2"), False),
    (Check(CheckKind.LAMP, ON, red="E2.+", black="G1.-", watts=3), True),
]


@pytest.mark.parametrize(("check", "changes"), CHECKS)
def test_a_reading_on_the_part_or_that_tells_the_fault_may_change(check: Check, changes: bool) -> None:
    """By solving the circuit with the fault and without; of a lamp that is not worked out, so it may."""
    assert may_be_changed_by(Bench(HARNESS), check, [W2_BROKEN]) is changes


def test_of_several_repairs_one_is_enough() -> None:
    """And of a fault that cannot be solved nothing is known; no repair changes nothing."""
    check = Check(CheckKind.VOLTS, ON, red="E2.+", black="G1.-")
    bench = Bench(HARNESS)
    assert may_be_changed_by(bench, check, [W2_BROKEN, Suspect("W5", "open", "", 0.1)])
    assert may_be_changed_by(bench, check, [Suspect("E1", UNKNOWN, "", 0.9)])
    assert not may_be_changed_by(bench, check, [])
