"""A small harness with a part of every kind that the format has."""

from __future__ import annotations

from model.harness.harness import Harness
from tests.model.circuit.rig import harness

MIXED = """
busbars = [ { id = "BB1" } ]
fuses = [
  { id = "F1", amps = 30, ohms = 0.002 }, { id = "F2", amps = 10, ohms = 0.005, bus = "BB1" },
  { id = "F3", amps = 5, ohms = 0.01, bus = "BB1" }, { id = "F4", amps = 5, ohms = 0.01, bus = "BB1" },
]
switches = [
  { id = "S1" },
  { id = "S2", terminals = ["B", "1", "2"], positions = { off = [], low = [["B", "1"]], high = [["B", "2"]] } },
]
relays = [ { id = "K1", contacts = "changeover", coil_diode = "86" } ]
chargers = [ { id = "G2", volts = 14.2, ohms = 0.02, exciter = { terminal = "61" } } ]
diodes = [ { id = "V1" } ]
connectors = [ { id = "X1", cavities = 4 } ]
splices = [ { id = "J1" } ]
grounds = [ { id = "GND1" }, { id = "GND2" } ]
resistors = [ { id = "R1", elements = [ { name = "low", from = "1", to = "2", ohms = 2 } ] } ]
loads = [
  { id = "E1", kind = "lamp", watts = 21 }, { id = "E2", kind = "lamp", watts = 5 },
  { id = "E3", kind = "led", watts = 2 },
  { id = "M1", kind = "motor", amps = 6 }, { id = "P1", kind = "horn", amps = 4 },
  { id = "E9", kind = "lamp", elements = [
    { name = "dip", from = "56b", to = "31", watts = 55 }, { name = "main", from = "56a", to = "31", watts = 60 },
  ] },
  { id = "E8", kind = "socket", amps = 5 },
]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", length = 0.2, size = 16 },
  { id = "W2", from = "F1.out", to = "BB1", length = 0.5, size = 10 },
  { id = "W3", from = "F2.out", to = "S1.1", length = 1, size = 1 },
  { id = "W4", from = "S1.2", to = "K1.86", length = 1, size = 1 },
  { id = "W5", from = "K1.85", to = "GND1", length = 1, size = 1 },
  { id = "W6", from = "F2.out", to = "K1.30", length = 1, size = 1 },
  { id = "W7", from = "K1.87", to = "X1.plug.1", length = 1, size = 1 },
  { id = "W8", from = "X1.socket.1", to = "J1", length = 1, size = 1 },
  { id = "W9", from = "J1", to = "E1.+", length = 0.3, size = 1 },
  { id = "W10", from = "J1", to = "E2.+", length = 0.3, size = 1 },
  { id = "W11", from = "E1.-", to = "X1.socket.2", length = 0.3, size = 1 },
  { id = "W12", from = "X1.plug.2", to = "GND2", length = 1, size = 1 },
  { id = "W13", from = "E2.-", to = "GND1", length = 1, size = 1 },
  { id = "W14", from = "K1.87a", to = "E3.+", length = 1, size = 1 },
  { id = "W15", from = "E3.-", to = "GND2", length = 1, size = 1 },
  { id = "W16", from = "F3.out", to = "S2.B", length = 1, size = 1 },
  { id = "W17", from = "S2.1", to = "R1.1", length = 1, size = 1 },
  { id = "W18", from = "S2.2", to = "R1.2", length = 1, size = 1 },
  { id = "W19", from = "R1.2", to = "M1.+", length = 1, size = 1 },
  { id = "W20", from = "M1.-", to = "GND2", length = 1, size = 1 },
  { id = "W21", from = "G1.-", to = "GND1", length = 0.3, size = 16 },
  { id = "W22", from = "G2.+", to = "G1.+", length = 0.5, size = 16 },
  { id = "W23", from = "G2.-", to = "GND1", length = 0.5, size = 16 },
  { id = "W24", from = "J1", to = "V1.anode", length = 0.5, size = 1 },
  { id = "W25", from = "V1.cathode", to = "E9.56b", length = 0.5, size = 1 },
  { id = "W26", from = "E9.31", to = "GND2", length = 0.5, size = 1 },
  { id = "W27", from = "F4.out", to = "A1.15", length = 0.5, size = 1 },
  { id = "W28", from = "A1.31", to = "GND1", length = 0.5, size = 1 },
  { id = "W29", from = "F4.out", to = "P1.+", length = 0.5, size = 1 },
  { id = "W30", from = "P1.-", to = "A1.out", length = 0.5, size = 1 },
  { id = "W31", from = "A1.5V", to = "E8.+", length = 0.5, size = 1 },
  { id = "W32", from = "E8.-", to = "GND1", length = 0.5, size = 1 },
  { id = "W33", from = "F4.out", to = "G2.61", length = 0.5, size = 1 },
]

[[modules]]
id = "A1"
feeds = [ { terminal = "15", amps = 0.5 } ]
drivers = [ { terminal = "out", pulls = "ground", when = ["on", "running"] } ]
outputs = [ { terminal = "5V", volts = 5 } ]
"""
MIXED_DEFAULTS = "size = 1, crimp = 3e-4, contact = 5e-3, switch = 0.01, relay = 0.01, ground = 1e-3, chassis = 2e-4"


def mixed() -> Harness:
    """Read a harness with a part of every kind."""
    return harness(MIXED, defaults=MIXED_DEFAULTS, batteries='{ id = "G1", emf = 12.6, ohms = 0.01 }')
