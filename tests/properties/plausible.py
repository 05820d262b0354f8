"""Random small harnesses such as somebody might build: circuits on a bus, each with fuse, switch, plug or relay."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from hypothesis import strategies as st

from model.harness.harness import Harness
from model.harness.toml_file import read_harness_text

KINDS = ("lamp", "led", "motor", "heater", "horn", "electronics")


@dataclass(frozen=True)
class Circuit:
    """One load with the way to it: amperes at 12 V, metres of wire, what lies in the way, its ground point."""

    kind: str
    amps: float
    metres: float
    has_plug: bool
    has_relay: bool
    ground: int
    is_on: bool


@dataclass(frozen=True)
class Plan:
    """A harness before it is written down.

    Attributes
    ----------
    scale
        What all resistances of the file are multiplied by.
    """

    circuits: tuple[Circuit, ...]
    charging: bool
    emf: float
    scale: float = 1.0

    @property
    def settings(self) -> tuple[str, ...]:
        """Switch on the circuits that are to be on."""
        return tuple(f"S{n}=on" for n, circuit in enumerate(self.circuits, start=1) if circuit.is_on)

    def rows(self) -> dict[str, list[str]]:
        """Write every row of the file, by table."""
        rows = _supply_rows(self)
        for number, circuit in enumerate(self.circuits, start=1):
            for table, row in _circuit_rows(number, circuit, self.scale):
                rows.setdefault(table, []).append(row)
        return rows

    def harness(self) -> Harness:
        """Read the harness."""
        return as_harness(self.rows())

    def scaled(self, scale: float) -> Plan:
        """Give the same with all resistances multiplied."""
        return replace(self, scale=scale)


circuits = st.builds(
    Circuit,
    kind=st.sampled_from(KINDS),
    amps=st.floats(0.2, 8).map(lambda amps: round(amps, 2)),
    metres=st.floats(0.1, 5).map(lambda metres: round(metres, 2)),
    has_plug=st.booleans(),
    has_relay=st.booleans(),
    ground=st.integers(1, 3),
    is_on=st.booleans(),
)
plans = st.builds(
    Plan,
    circuits=st.lists(circuits, min_size=1, max_size=8).map(tuple),
    charging=st.booleans(),
    emf=st.floats(11.5, 12.9).map(lambda emf: round(emf, 2)),
)


def as_harness(rows: dict[str, list[str]]) -> Harness:
    """Read rows as a harness; those of ``defaults`` are one table."""
    lines = ["format = 1", 'build = { name = "Plausible", nominal_volts = 12 }']
    for table, own in rows.items():
        if table == "defaults":
            lines.append(f"defaults = {{ {own[0]} }}")
        else:
            lines += [f"{table} = [", *(f"  {{ {row} }}," for row in own), "]"]
    return read_harness_text("\n".join([*lines, ""]), "plausible.toml")


def renamed(rows: dict[str, list[str]]) -> dict[str, list[str]]:
    """Give every part another id wherever it is named, as :func:`new_name` does."""
    return {table: [new_name(row) for row in own] for table, own in rows.items()}


def new_name(text: str) -> str:
    """Give another id to every part that a text names: ``W12`` becomes ``Q-W12x``."""
    return re.sub(r"\b[A-Z]+[0-9]+\b", r"Q-\g<0>x", text)


def _supply_rows(plan: Plan) -> dict[str, list[str]]:
    k = plan.scale
    active = '["on"]' if plan.charging else "[]"
    shares = {"crimp": 5e-4, "contact": 5e-3, "switch": 0.01, "relay": 0.01, "ground": 1e-3, "chassis": 2e-4}
    return {
        "defaults": [", ".join(f"{name} = {ohms * k!r}" for name, ohms in shares.items())],
        "key_states": ['name = "on"'],
        "batteries": [f'id = "G1", emf = {plan.emf}, ohms = {0.006 * k}'],
        "chargers": [f'id = "G2", volts = 14.2, ohms = {0.02 * k}, active = {active}'],
        "busbars": ['id = "BB1"'],
        "fuses": [f'id = "F100", amps = {150 / k}, ohms = {5e-4 * k}'],
        "grounds": [f'id = "GND{n}"' for n in range(1, 4)],
        "wires": [
            _wire(1, "G1.+", "F100.in", 0.1 * k, 10),
            _wire(2, "F100.out", "BB1", 0.5 * k, 10),
            _wire(3, "G2.+", "G1.+", 0.4 * k, 10),
            _wire(4, "G2.-", "GND1", 0.4 * k, 10),
            _wire(5, "G1.-", "GND1", 0.3 * k, 10),
            'id = "W6", spare = true',
        ],
    }


def _wire(number: int, one: str, other: str, metres: float, size_mm2: float = 1.0) -> str:
    return f'id = "W{number}", from = "{one}", to = "{other}", size = {size_mm2}, length = {metres!r}'


def _circuit_rows(n: int, circuit: Circuit, k: float) -> Iterator[tuple[str, str]]:
    """Give the table and the row of each part of a circuit, its wires numbered from ten times its own number on."""
    metres, ground = circuit.metres * k, f"GND{circuit.ground}"
    yield "fuses", f'id = "F{n}", amps = {20 / k}, ohms = {3.4e-3 * k}, bus = "BB1"'
    yield "switches", f'id = "S{n}"'
    yield "loads", f'id = "E{n}", kind = "{circuit.kind}", amps = {circuit.amps / k!r}'
    yield "wires", _wire(10 * n, f"E{n}.-", ground, metres)
    before, behind = f"S{n}.1", f"S{n}.2"
    if circuit.has_relay:
        before, behind = f"K{n}.30", f"K{n}.87"
        yield "relays", f'id = "K{n}", coil_ohms = {85 * k}'
        yield "wires", _wire(10 * n + 1, f"F{n}.out", f"S{n}.1", metres)
        yield "wires", _wire(10 * n + 2, f"S{n}.2", f"K{n}.86", metres)
        yield "wires", _wire(10 * n + 3, f"K{n}.85", ground, metres)
    yield "wires", _wire(10 * n + 4, f"F{n}.out", before, metres)
    if circuit.has_plug:
        yield "connectors", f'id = "X{n}", cavities = 1'
        yield "wires", _wire(10 * n + 5, behind, f"X{n}.plug.1", metres)
        behind = f"X{n}.socket.1"
    yield "wires", _wire(10 * n + 6, behind, f"E{n}.+", metres)
