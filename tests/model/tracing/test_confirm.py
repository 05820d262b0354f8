"""The check that lets a trace end: it reads the suspect itself, not all that lies round it."""

import pytest

from model.circuit.bench import Bench
from model.circuit.faults import parse_fault
from model.harness.toml_file import read_harness_text
from model.tracing.asking import Finding, Question, Read
from model.tracing.checks import Check
from model.tracing.complaint import Complaint
from model.tracing.confirm import confirming
from model.tracing.ending import weak_answers
from model.tracing.planning import plan_of
from model.tracing.trace import Trace
from model.tracing.vehicle import Vehicle

PUMP = """format = 1
build = { name = "Water pump", nominal_volts = 12 }
key_states = [ { name = "off" }, { name = "ignition" } ]
batteries = [ { id = "G1" } ]
busbars = [ { id = "BB1" } ]
fuses = [ { id = "F4", amps = 60 }, { id = "F1", bus = "BB1", amps = 10 }, { id = "F2", bus = "BB1", amps = 10 } ]
switches = [
  { id = "S1", key = true, terminals = ["30", "15"], positions = { off = [], ignition = [["30", "15"]] } },
  { id = "S3" },
]
relays = [ { id = "K1" } ]
loads = [ { id = "M2", kind = "motor", watts = 72 } ]
grounds = [ { id = "GND1" }, { id = "GND2" }, { id = "GND3" } ]
wires = [
  { id = "W1", from = "G1.+", to = "F4.in", size = 16, length = 0.4 },
  { id = "W2", from = "F4.out", to = "BB1", size = 10, length = 1.2 },
  { id = "W3", from = "G1.-", to = "GND1", size = 25, length = 0.3 },
  { id = "W4", from = "F1.out", to = "S1.30", size = 2.5, length = 0.6 },
  { id = "W8", from = "F2.out", to = "K1.30", size = 2.5, length = 2.2 },
  { id = "W9", from = "K1.87", to = "M2.+", size = 2.5, length = 0.9 },
  { id = "W10", from = "M2.-", to = "GND3", size = 2.5, length = 0.5 },
  { id = "W11", from = "S1.15", to = "K1.86", size = 0.75, length = 2.4 },
  { id = "W12", from = "K1.85", to = "S3.1", size = 0.75, length = 1.9 },
  { id = "W13", from = "S3.2", to = "GND2", size = 0.75, length = 0.5 },
]
"""


def traced(fault: str) -> tuple[list[tuple[Check, bool]], Finding]:
    """Trace a fault in a vehicle that is as the file; with each check whether a likely group hung on one answer."""
    harness = read_harness_text(PUMP, "pump.toml")
    trace = Trace(Bench(harness), Complaint(("M2:load",)))
    vehicle = Vehicle(harness, (parse_fault(harness, fault),), ("M2:load",), trace.condition, slips=0.0)
    asked: list[tuple[Check, bool]] = []
    while isinstance(now := trace.next(), Question):
        assert len(asked) < 20
        asked.append((now.check, bool(weak_answers(trace._standing()[1]))))
        trace.reply(Read(vehicle.answer(now.check)))
    return asked, now


@pytest.mark.first_few(1)
@pytest.mark.parametrize(
    ("wire", "ends"),
    [
        ("W2", {"F4.out", "BB1"}),
        ("W4", {"F1.out", "S1.30"}),
        ("W12", {"K1.85", "S3.1"}),
        ("W13", {"S3.2", "GND2"}),
    ],
)
def test_one_reading_along_the_suspect_ends_the_trace(wire: str, ends: set[str]) -> None:
    """All volts lie along the broken wire, and nothing else would show that: asked once a likely group hangs on a slip.

    Common practice: a drop test is made across the suspect itself.
    """
    asked, finding = traced(f"{wire}=open")
    hung = [check for check, hangs in asked if hangs]
    assert [{check.red, check.black} for check in hung] == [ends]
    assert finding.group[0].part == wire


def test_nothing_is_to_be_confirmed_while_no_group_is_likely() -> None:
    """Before the first answer the checks come by what they tell."""
    trace = Trace(Bench(read_harness_text(PUMP, "pump.toml")), Complaint(("M2:load",)))
    state, belief = trace._standing()
    plan = plan_of(trace._inquiry(state), belief, state)
    assert plan.ranked
    assert confirming(belief, weak_answers(belief), plan.ranked, plan.shares) is None
    assert plan.confirms is None
