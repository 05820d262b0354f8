"""Small harnesses for the tests of the circuit, with figures that are easily reckoned by hand.

Every wire of a rig has a tenth of an ohm a metre and crimps of next to nothing: a size that IEC 60228 does not list has
19.5 mΩ·mm²/m over its area, and 0.195 mm² stands here for that.
"""

from __future__ import annotations

from model.circuit.condition import Condition, make_condition
from model.circuit.settle import Settled, settle
from model.circuit.survey import Survey, survey
from model.harness.harness import Harness
from model.harness.toml_file import read_harness_text

DEFAULTS = (
    "size = 0.195, crimp = 1e-9, contact = 0.1, switch = 0.1, relay = 0.1, ground = 0.06, chassis = 0.04, joint = 0.1"
)
BATTERY = '{ id = "G1", emf = 12, ohms = 0.1 }'

CHAIN = """
fuses = [ { id = "F1", amps = 100, ohms = 0.1 } ]
switches = [ { id = "S1" } ]
loads = [ { id = "E1", kind = "heater", ohms = 4.8 } ]
connectors = [ { id = "X1", cavities = 2 } ]
grounds = [ { id = "GND0" }, { id = "GND1" } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", length = 1 },
  { id = "W2", from = "F1.out", to = "S1.1", length = 1 },
  { id = "W3", from = "S1.2", to = "X1.plug.1", length = 1 },
  { id = "W4", from = "X1.socket.1", to = "E1.+", length = 1 },
  { id = "W5", from = "E1.-", to = "GND1", length = 1 },
  { id = "W6", from = "GND0", to = "G1.-", length = 1 },
]
"""
"""A heater of 4.8 Ω behind twelve tenths of an ohm: battery, W1, F1, W2, S1, W3, X1, W4, W5, GND1, GND0, W6.

6 Ω in all: with the switch on 12 V drive 2 A, every tenth of an ohm drops 0.2 V and the heater 9.6 V.
"""

CHAIN_VOLTS = {
    "G1.+": 11.8,
    "F1.in": 11.6,
    "F1.out": 11.4,
    "S1.1": 11.2,
    "S1.2": 11.0,
    "X1.plug.1": 10.8,
    "X1.socket.1": 10.6,
    "E1.+": 10.4,
    "E1.-": 0.8,
    "GND1": 0.6,
    "CHASSIS": 0.4,
    "GND0": 0.2,
    "G1.-": 0.0,
}


def harness(
    rows: str,
    *,
    build: str = "nominal_volts = 12",
    states: str = '{ name = "off" }, { name = "on" }, { name = "running", charging = true }',
    batteries: str = BATTERY,
    defaults: str = DEFAULTS,
) -> Harness:
    """Read a rig: its own rows behind the head that all of them share."""
    head = (
        f'format = 1\nbuild = {{ name = "Rig", {build} }}\ndefaults = {{ {defaults} }}\nkey_states = [ {states} ]\n'
        f"batteries = [ {batteries} ]\n"
    )
    return read_harness_text(head + rows, "rig.toml")


def condition(rig: Harness, *words: str, key: str | None = None, battery: float | None = None) -> Condition:
    """Read a condition from settings such as ``S1=on`` and faults behind an exclamation mark: ``!W4=open``."""
    faults = tuple(word[1:] for word in words if word.startswith("!"))
    settings = tuple(word for word in words if not word.startswith("!"))
    return make_condition(rig, key, settings, faults, battery)


def settled(rig: Harness, *words: str, key: str | None = None, battery: float | None = None) -> Settled:
    """Settle a rig; faults stand behind an exclamation mark, as in ``!W4=open``."""
    return settle(rig, condition(rig, *words, key=key, battery=battery))


def surveyed(rig: Harness, *words: str, key: str | None = None, battery: float | None = None) -> Survey:
    """Survey a rig; faults stand behind an exclamation mark, as in ``!W4=open``."""
    return survey(rig, condition(rig, *words, key=key, battery=battery))


def volts(found: Settled, *points: str) -> list[float | None]:
    """Give the volts of points, None where one floats or never rests."""
    return [found.volts_at(point) for point in points]


def fuse_amps(found: Settled, fuse_id: str) -> float:
    """Give the amperes through a fuse."""
    branch = next(fuse.branch for fuse in found.net.fuses if fuse.part_id == fuse_id)
    return abs(float(found.amps[branch]))
