"""A lamp behind a fuse, a plug and a relay, with spares in its trunks; for the tests of the words of a trace."""

from __future__ import annotations

from functools import cache

from model.circuit.bench import Bench
from model.circuit.condition import Condition, make_condition
from model.harness.harness import Harness
from tests.model.tracing.rigs import rig

FILE = """
locations = [ { name = "nose", reach = "two screws" }, { name = "box", access = "panel" }, { name = "dash" },
  { name = "shelf" } ]
trunks = [ { name = "sill", length = 2 }, { name = "roof", length = 1 } ]
fuses = [ { id = "F1", amps = 15, label = "Lamp", location = "box" } ]
switches = [
  { id = "S1", label = "Push", location = "dash", momentary = true, positions = { rest = [], pressed = [[1, 2]] } },
]
relays = [ { id = "K1", label = "Lamp relay", location = "box" } ]
connectors = [
  { id = "X1", cavities = 4, location = "box" }, { id = "X2", cavities = 2, location = "nose", label = "Nose plug" },
]
grounds = [ { id = "GND1", location = "nose" } ]
loads = [ { id = "E1", label = "Work lamp", kind = "lamp", watts = 55, location = "nose" } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", size = 6, length = 1 },
  { id = "W2", from = "F1.out", to = "K1.30", size = 1.5, length = 0.3 },
  { id = "W3", from = "K1.87", to = "X1.plug.1", colour = "GN/BU", size = 1.5, length = 0.3 },
  { id = "W4", from = "X1.socket.1", to = "E1.+", colour = "GN/BU", size = 1.5, length = 2.2, via = ["sill"] },
  { id = "W5", from = "E1.-", to = "GND1", colour = "BK", size = 1.5, length = 0.3 },
  { id = "W6", from = "G1.-", to = "CHASSIS", size = 16, length = 0.5 },
  { id = "W7", from = "F1.out", to = "S1.1", size = 1.5, length = 1 },
  { id = "W8", from = "S1.2", to = "K1.86", size = 1.5, length = 1 },
  { id = "W9", from = "K1.85", to = "CHASSIS", size = 1.5, length = 0.3 },
SPARES
]
"""


@cache
def loom(spares: str = "") -> Harness:
    """Read the loom with its spares, a row a line."""
    return rig(FILE.replace("SPARES", spares))


def pressed(harness: Harness) -> Condition:
    """Give the condition in which the lamp works."""
    return make_condition(harness, "on", ("S1=pressed",))


@cache
def bench_of(spares: str = "") -> Bench:
    """Put the loom on a bench."""
    return Bench(loom(spares))
