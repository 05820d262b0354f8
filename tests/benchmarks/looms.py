"""Plausible looms of any size as text in format 1, the same text for the same count and seed.

A loom has one battery bank, an alternator and a key switch, and as many panels as its wires want. A panel has a live
bus and an ignition bus behind a relay, its fuses, plugs to its trunk, ground points, and circuits of the kinds that
vehicles have: lamps in pairs, motors on relays, leds, module outputs, senders, a blower on its resistors. Each part has
a place that is open, behind a panel or buried.

    python -m tests.benchmarks.looms 10000 > loom.toml
"""

from __future__ import annotations

import json
import random
import sys
from collections.abc import Callable
from dataclasses import dataclass, field

KEY_STATES = ("off", "ignition", "running")
PLUG_CAVITIES = 12
WIRES_A_PANEL = 90
_COLOURS = ("BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK")
_LIVE, _IGNITION = "live", "ign"

_ACCESS = {
    "battery tray": "open",
    "box": "panel",
    "dash": "open",
    "sill": "panel",
    "near end": "open",
    "far end": "panel",
    "frame": "buried",
}
_FAR = ("near end", "near end", "near end", "far end", "far end", "frame")
_PLACES: dict[str, tuple[str, ...]] = {
    "batteries": ("battery tray",),
    "chargers": ("battery tray",),
    "fuses": ("box",),
    "relays": ("box",),
    "switches": ("dash",),
    "modules": ("dash", "box"),
    "connectors": ("sill",),
    "splices": ("frame", "sill"),
    "grounds": ("near end", "sill"),
    "loads": _FAR,
    "resistors": _FAR,
}
"""Where the parts of each table are; how hard each place is to reach."""

Value = str | int | float | bool | list["Value"] | dict[str, "Value"]


@dataclass
class Panel:
    """One panel: its buses, the plug that is being filled, its ground points."""

    number: int
    plug: str = ""
    next_cavity: int = 0
    grounds: list[str] = field(default_factory=list)

    def bus(self, kind: str) -> str:
        """Name the live or the ignition bus."""
        return f"BB{self.number}{kind}"


class Loom:
    """A loom as far as it is made: rows by table, and how many wires are still wanted."""

    def __init__(self, wire_count: int, seed: int) -> None:
        self.random = random.Random(seed)
        self.placing = random.Random(f"places {seed}")
        self.panel_number = 0
        self.wire_count = wire_count
        self.tables: dict[str, list[dict[str, Value]]] = {}
        self.counts: dict[str, int] = {}

    def add(self, table: str, letter: str, **row: Value) -> str:
        """Add a part and give its id."""
        self.counts[letter] = self.counts.get(letter, 0) + 1
        part_id = f"{letter}{self.counts[letter]}"
        if table in _PLACES:
            row["location"] = f"{self.placing.choice(_PLACES[table])} {self.panel_number}"
        self.tables.setdefault(table, []).append({"id": part_id, **row})
        return part_id

    @property
    def wires_left(self) -> int:
        """Wires that are still to be made."""
        return self.wire_count - self.counts.get("W", 0)

    def wire(self, one: str, other: str, size: float = 0.75, via: tuple[str, ...] = ()) -> None:
        """Add a wire; through trunks it has their length and its tails."""
        length_m = round(self.random.uniform(0.2, 1.2) + 1.5 * len(via), 2)
        colour = "/".join(self.random.sample(_COLOURS, self.random.randint(1, 2)))
        row: dict[str, Value] = {"from": one, "to": other, "colour": colour, "size": size, "length": length_m}
        if via:
            row["via"] = list(via)
        self.add("wires", "W", **row)

    def through_plug(self, panel: Panel, one: str, other: str, size: float = 0.75) -> None:
        """Lead a circuit through the next free cavity of the panel's plug: two wires, the second in a trunk."""
        if panel.next_cavity in (0, PLUG_CAVITIES):
            panel.plug = self.add("connectors", "X", cavities=PLUG_CAVITIES, halves=["panel", "loom"])
            panel.next_cavity = 0
        panel.next_cavity += 1
        self.wire(one, f"{panel.plug}.panel.{panel.next_cavity}", size)
        self.wire(f"{panel.plug}.loom.{panel.next_cavity}", other, size, (f"trunk {panel.number}",))

    def fuse(self, bus: str, amps: float = 10) -> str:
        """Add a fuse on a bus and give the point behind it."""
        return f"{self.add('fuses', 'F', amps=amps, bus=bus)}.out"

    def ground(self, panel: Panel, point: str) -> None:
        """Lead a point to one of the panel's ground points."""
        self.wire(point, self.random.choice(panel.grounds), 1.0)


def loom_text(wire_count: int, seed: int = 1) -> str:
    """Write a loom.

    Parameters
    ----------
    wire_count
        Wires that it has, 40 or more.
    seed
        Of the choice of circuits, colours and lengths.
    """
    loom = Loom(wire_count, seed)
    panel_count = max(1, round(wire_count / WIRES_A_PANEL))
    panels = [Panel(number) for number in range(1, panel_count + 1)]
    _add_supply(loom, panel_count)
    for panel in panels:
        loom.panel_number = panel.number
        _add_panel(loom, panel)
    place = 0
    while loom.wires_left >= 12:
        panel = panels[place % panel_count]
        loom.panel_number = panel.number
        loom.random.choice(CIRCUITS)(loom, panel)
        place += 1
    while loom.wires_left > 0:
        loom.add("wires", "W", spare=True, size=0.75, length=2.0)
    return _as_toml(loom, panels)


def _add_supply(loom: Loom, panel_count: int) -> None:
    """Add the battery bank, alternator, main bus and key switch, as strong as the panels want them."""
    loom.add("batteries", "G", emf=12.7, ohms=0.006 / panel_count, amp_hours=60.0 * panel_count)
    charger = loom.add("chargers", "G", volts=14.2, ohms=0.005 / panel_count, exciter={"terminal": "61"})
    loom.tables["busbars"] = [{"id": "BBmain"}]
    loom.tables["grounds"] = [{"id": "GNDmain", "ohms": 0.001 / panel_count}]
    size = 35.0 * panel_count
    loom.wire("G1.+", "BBmain", size)
    loom.wire("G1.-", "GNDmain", size)
    loom.wire(f"{charger}.+", "BBmain", size)
    loom.wire(f"{charger}.-", "GNDmain", size)
    positions: dict[str, Value] = {"off": [], "ignition": [["30", "15"]], "running": [["30", "15"]]}
    key = loom.add("switches", "S", key=True, terminals=["30", "15"], positions=positions, ohms=0.01 / panel_count)
    loom.wire(loom.fuse("BBmain", 30 * panel_count), f"{key}.30", 2.5 * panel_count)
    loom.tables["busbars"].append({"id": "BBkey"})
    loom.wire(f"{key}.15", "BBkey", 2.5 * panel_count)
    lamp = loom.add("loads", "E", kind="lamp", watts=2, label="Charge lamp")
    loom.wire("BBkey", f"{lamp}.+")
    loom.wire(f"{lamp}.-", f"{charger}.61")


def _add_panel(loom: Loom, panel: Panel) -> None:
    live, ignition = panel.bus(_LIVE), panel.bus(_IGNITION)
    loom.tables["busbars"] += [{"id": live}, {"id": ignition}]
    panel.grounds = [loom.add("grounds", "GND") for _ in range(3)]
    loom.wire(loom.fuse("BBmain", 60), live, 16)
    relay = loom.add("relays", "K", amps=40, label=f"Ignition relay {panel.number}")
    loom.wire(live, f"{relay}.30", 6)
    loom.wire(f"{relay}.87", ignition, 6)
    loom.wire("BBkey", f"{relay}.86")
    loom.ground(panel, f"{relay}.85")


def _lamps_in_a_pair(loom: Loom, panel: Panel) -> None:
    switch, splice, ground = loom.add("switches", "S"), loom.add("splices", "J"), loom.add("splices", "J")
    loom.wire(loom.fuse(panel.bus(_LIVE)), f"{switch}.1")
    loom.through_plug(panel, f"{switch}.2", splice)
    for _ in range(2):
        lamp = loom.add("loads", "E", kind="lamp", watts=loom.random.choice((5, 10, 21)), works_with={switch: "on"})
        loom.wire(splice, f"{lamp}.+")
        loom.wire(f"{lamp}.-", ground)
    loom.ground(panel, ground)


def _motor_on_a_relay(loom: Loom, panel: Panel) -> None:
    relay, switch = loom.add("relays", "K", coil_diode="86"), loom.add("switches", "S")
    motor = loom.add("loads", "M", kind="motor", amps=loom.random.choice((2, 4, 7)), start_amps=25)
    loom.wire(loom.fuse(panel.bus(_LIVE), 15), f"{relay}.30", 1.5)
    loom.wire(loom.fuse(panel.bus(_IGNITION), 5), f"{switch}.1")
    loom.wire(f"{switch}.2", f"{relay}.86")
    loom.ground(panel, f"{relay}.85")
    loom.through_plug(panel, f"{relay}.87", f"{motor}.+", 1.5)
    loom.ground(panel, f"{motor}.-")


def _leds_on_ignition(loom: Loom, panel: Panel) -> None:
    splice = loom.add("splices", "J")
    loom.through_plug(panel, loom.fuse(panel.bus(_IGNITION), 5), splice)
    for _ in range(loom.random.randint(1, 3)):
        led = loom.add("loads", "E", kind="led", watts=loom.random.choice((1, 2, 4)))
        loom.wire(splice, f"{led}.+", 0.5)
        loom.ground(panel, f"{led}.-")


def _module_that_drives(loom: Loom, panel: Panel) -> None:
    driver: dict[str, Value] = {"terminal": "out", "pulls": "ground", "when": ["running"]}
    feeds: list[Value] = [{"terminal": "15", "amps": 0.4}]
    module = loom.add("modules", "A", feeds=feeds, drivers=[driver])
    fuse = loom.fuse(panel.bus(_IGNITION), 7.5)
    lamp = loom.add("loads", "E", kind="lamp", watts=5, works_in=["running"])
    loom.wire(fuse, f"{module}.15")
    loom.wire(fuse, f"{lamp}.+")
    loom.through_plug(panel, f"{lamp}.-", f"{module}.out")
    loom.ground(panel, f"{module}.31")


def _sender(loom: Loom, panel: Panel) -> None:
    ohms: dict[str, Value] = {"empty": 180, "full": 20, "rest": "full"}
    sender = loom.add("resistors", "R", elements=[{"name": "level", "from": "1", "to": "2", "ohms": ohms}])
    gauge = loom.add("loads", "P", kind="electronics", amps=0.1)
    splice = loom.add("splices", "J")
    loom.wire(loom.fuse(panel.bus(_IGNITION), 3), splice, 0.5)
    loom.wire(splice, f"{gauge}.+", 0.5)
    loom.ground(panel, f"{gauge}.-")
    series = loom.add("resistors", "R", elements=[{"name": "series", "from": "1", "to": "2", "ohms": 100}])
    loom.wire(splice, f"{series}.1", 0.5)
    loom.through_plug(panel, f"{series}.2", f"{sender}.1", 0.5)
    loom.ground(panel, f"{sender}.2")


def _blower(loom: Loom, panel: Panel) -> None:
    positions: dict[str, Value] = {"off": [], "low": [["B", "1"]], "high": [["B", "2"]]}
    switch = loom.add("switches", "S", terminals=["B", "1", "2"], positions=positions)
    pack = loom.add("resistors", "R", elements=[{"name": "low", "from": "1", "to": "2", "ohms": 1.2}])
    motor = loom.add("loads", "M", kind="motor", amps=8, works_with={switch: "high"})
    loom.wire(loom.fuse(panel.bus(_IGNITION), 20), f"{switch}.B", 2.5)
    loom.wire(f"{switch}.1", f"{pack}.1", 2.5)
    loom.wire(f"{switch}.2", f"{pack}.2", 2.5)
    loom.through_plug(panel, f"{pack}.2", f"{motor}.+", 2.5)
    loom.ground(panel, f"{motor}.-")


CIRCUITS: tuple[Callable[[Loom, Panel], None], ...] = (
    _lamps_in_a_pair,
    _lamps_in_a_pair,
    _motor_on_a_relay,
    _leds_on_ignition,
    _module_that_drives,
    _sender,
    _blower,
)


def _as_toml(loom: Loom, panels: list[Panel]) -> str:
    states: list[dict[str, Value]] = [{"name": name, "charging": name == "running"} for name in KEY_STATES]
    trunks: list[dict[str, Value]] = [{"name": f"trunk {panel.number}", "length": 1.5} for panel in panels]
    numbers = range(len(panels) + 1)
    locations: list[dict[str, Value]] = [
        {"name": f"{place} {number}", "access": access} for place, access in _ACCESS.items() for number in numbers
    ]
    build: dict[str, Value] = {"name": f"Loom of {loom.wire_count} wires", "nominal_volts": 12}
    lines = ["format = 1", f"build = {_toml(build)}", f"defaults = {_toml({'crimp': 0.0003})}"]
    for table, rows in {"key_states": states, "locations": locations, "trunks": trunks, **loom.tables}.items():
        lines += [f"{table} = [", *(f"  {_toml(dict(row))}," for row in rows), "]"]
    return "\n".join(lines) + "\n"


def _toml(value: Value) -> str:
    match value:
        case bool():
            return "true" if value else "false"
        case str():
            return json.dumps(value)
        case list():
            return f"[{', '.join(_toml(one) for one in value)}]"
        case dict():
            return f"{{ {', '.join(f'{key} = {_toml(one)}' for key, one in value.items())} }}"
    return repr(value)


if __name__ == "__main__":
    sys.stdout.write(loom_text(int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 1))
