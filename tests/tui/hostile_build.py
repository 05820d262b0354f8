"""A harness in which everything that has a name has a nasty one."""

import json

from tests.tui.on_screen import NASTY

LABELS = [label for label in NASTY if label and "\ud800" not in label]


def toml_text(text: str) -> str:
    """Return a text as a TOML string, what TOML does not bear escaped."""
    quoted = json.dumps(text, ensure_ascii=False)
    return "".join(f"\\u{ord(c):04x}" if 0x7F <= ord(c) < 0xA0 else c for c in quoted)


def hostile_build() -> str:
    """Return the file: a load for each nasty label, behind a plug, a switch, a relay and a fuse with such labels."""

    def nasty(number: int) -> str:
        return toml_text(LABELS[number % len(LABELS)])

    loads = "".join(
        f'  {{ id = "E{n}", label = {toml_text(label)}, kind = "lamp", watts = 5, location = {nasty(n)} }},\n'
        for n, label in enumerate(LABELS)
    )
    feeds = "".join(
        f'  {{ id = "WF{n}", from = "BB1", to = "E{n}.+" }},\n  {{ id = "WG{n}", from = "E{n}.-", to = "GND1" }},\n'
        for n in range(len(LABELS))
    )
    locations = ", ".join(f"{{ name = {toml_text(label)}, reach = {nasty(n + 1)} }}" for n, label in enumerate(LABELS))
    return f"""format = 1
build = {{ name = {nasty(0)}, nominal_volts = 12 }}
key_states = [ {{ name = {nasty(2)} }}, {{ name = {nasty(5)} }}, {{ name = {nasty(9)} }} ]
locations = [ {locations} ]
batteries = [ {{ id = "G1", label = {nasty(4)}, location = {nasty(3)} }} ]
busbars = [ {{ id = "BB1", label = {nasty(10)} }} ]
fuses = [ {{ id = "F1", amps = 30, label = {nasty(1)}, location = {nasty(9)} }} ]
switches = [
  {{ id = "S1", label = {nasty(0)}, positions = {{ {nasty(6)} = [], {nasty(8)} = [[1, 2]] }}, rest = {nasty(6)} }},
]
relays = [ {{ id = "K1", label = {nasty(7)}, location = {nasty(5)}, note = {nasty(3)} }} ]
connectors = [ {{ id = "X1", label = {nasty(12)}, cavities = 2 }} ]
grounds = [ {{ id = "GND1", label = {nasty(2)} }} ]
loads = [
{loads}]
wires = [
  {{ id = "W1", from = "G1.+", to = "F1.in", colour = "RD", size = 6, length = 1 }},
  {{ id = "W2", from = "F1.out", to = "K1.30" }},
  {{ id = "W3", from = "K1.87", to = "X1.plug.1" }},
  {{ id = "W4", from = "X1.socket.1", to = "BB1" }},
  {{ id = "W5", from = "F1.out", to = "S1.1" }},
  {{ id = "W6", from = "S1.2", to = "K1.86" }},
  {{ id = "W7", from = "K1.85", to = "GND1" }},
  {{ id = "W8", from = "G1.-", to = "GND1" }},
{feeds}]
"""
