"""A loom of eight wires that a trace goes through in a moment."""

SMALL_LOOM = """format = 1
build = { name = "Lamp and horn", nominal_volts = 12 }
key_states = [ { name = "off" }, { name = "ignition" } ]
locations = [ { name = "nose", reach = "two screws" } ]
batteries = [ { id = "G1", emf = 12.7, ohms = 0.01 } ]
fuses = [ { id = "F1", amps = 10 }, { id = "F2", amps = 10 } ]
switches = [ { id = "S1", label = "Key", key = true, positions = { off = [], ignition = [[1, 2]] } } ]
loads = [
  { id = "E1", label = "Lamp", kind = "lamp", watts = 55, location = "nose" },
  { id = "P1", label = "Horn", kind = "horn", amps = 4, location = "nose" },
]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", colour = "RD", size = 2.5, length = 1 },
  { id = "W2", from = "F1.out", to = "S1.1", colour = "RD/BK" },
  { id = "W3", from = "S1.2", to = "E1.+", colour = "GN" },
  { id = "W4", from = "E1.-", to = "CHASSIS", colour = "BK" },
  { id = "W5", from = "G1.-", to = "CHASSIS", colour = "BK", size = 25 },
  { id = "W6", from = "G1.+", to = "F2.in", colour = "RD", size = 2.5, length = 1 },
  { id = "W7", from = "F2.out", to = "P1.+", colour = "RD" },
  { id = "W8", from = "P1.-", to = "CHASSIS", colour = "BK" },
]
"""
"""A lamp behind the key and a horn on a fuse of its own."""
