"""Which body a wire would touch."""

from __future__ import annotations

import pytest

from model.circuit.bodies import body_beside
from model.harness.records import Wire
from tests.model.circuit.rig import harness

ROWS = """
bodies = [ { id = "ENGINE" }, { id = "TRAILER" } ]
grounds = [ { id = "GND1", body = "ENGINE" }, { id = "GND2", body = "TRAILER" }, { id = "GND3", bonded = false } ]
splices = [ { id = "J1" } ]
connectors = [ { id = "X1", cavities = 2 } ]
loads = [ { id = "E1", kind = "lamp", watts = 5 }, { id = "E2", kind = "lamp", watts = 5 } ]
joints = [ { id = "T1", from = "E2.-", to = "TRAILER" } ]
wires = [
  { id = "W1", from = "G1.+", to = "E1.+" },
  { id = "W2", from = "E1.-", to = "J1" },
  { id = "W3", from = "J1", to = "GND1" },
  { id = "W4", from = "G1.+", to = "E2.+" },
  { id = "W5", from = "G1.+", to = "X1.plug.1" },
  { id = "W6", from = "X1.socket.2", to = "GND2" },
  { id = "W7", from = "G1.-", to = "GND3" },
  { id = "W8", from = "G1.+" },
  { id = "W9", from = "X1.plug.2", to = "ENGINE" },
]
"""

BESIDE = {
    "W1": "ENGINE",  # E1.- by W2 and W3
    "W3": "ENGINE",
    "W4": "TRAILER",  # E2.- by the joint
    "W5": "CHASSIS",  # the other cavity of the plug is another circuit
    "W6": "TRAILER",  # before the plug and W9, which lead to the engine
    "W7": "CHASSIS",  # a bar that only wires reach
    "W8": "CHASSIS",
    "W9": "ENGINE",
}


@pytest.mark.parametrize("wire_id", BESIDE)
def test_the_body_is_that_of_the_ground_side_at_the_end(wire_id: str) -> None:
    """From the part at the ``to`` end over metal to the nearest body; the chassis where there is none."""
    rig = harness(ROWS)
    assert body_beside(rig, rig.part_of(wire_id, Wire)) == BESIDE[wire_id]


def test_without_a_chassis_there_may_be_none() -> None:
    """What leads to no body has none beside it."""
    rig = harness(ROWS, build="nominal_volts = 12, chassis = false")
    assert body_beside(rig, rig.part_of("W1", Wire)) == "ENGINE"
    assert body_beside(rig, rig.part_of("W8", Wire)) is None
