"""Which conditions of a harness are compared: taken from its file, the same ones in every run."""

import random
from itertools import islice

from tests.against_ngspice.spice_harness import Harness, Row, halves, relay_groups, text, texts
from tests.against_ngspice.spice_loom import ground_body

Settings = dict[str, str]
NamedCondition = tuple[str, Settings]


def settable(harness: Harness) -> dict[str, list[str]]:
    """Return what can be set, and to what, as a condition spells it."""
    choices: dict[str, list[str]] = {}
    for row in harness.rows("switches"):
        if not row.get("key", False):
            choices[row["id"]] = list(row.get("positions", {"off": [], "on": []}))
    for row in harness.rows("chargers"):
        choices[row["id"]] = ["on", "off"]
    for row in harness.rows("connectors"):
        choices[row["id"]] = ["mated", "apart"]
    for row in harness.rows("modules"):
        choices[row["id"]] = ["asleep"]
        choices |= {f"{row['id']}.{text(driver['terminal'])}": ["on", "off"] for driver in row.get("drivers", [])}
    for row in harness.rows("resistors"):
        tables = [element["ohms"] for element in row["elements"] if isinstance(element["ohms"], dict)]
        if tables:
            choices[row["id"]] = [position for position in tables[0] if position != "rest"]
    for row in harness.rows("loads"):
        kinds = {row.get("kind"), *(element.get("kind") for element in row.get("elements", []))}
        choices[row["id"]] = ["on"] if "socket" in kinds else ["out"]
    for table in ("fuses", "relays", "diodes"):
        choices |= {row["id"]: ["out"] for row in harness.rows(table)}
    for row in harness.rows("wires"):
        if "to" in row:
            choices[f"{row['id']}.b"] = ["off"]
    return choices


WORKED = ("switches", "chargers", "connectors", "modules", "resistors")
"""Tables whose parts are worked by hand or by themselves; the rest is pulled out of its place."""


def one_at_a_time(harness: Harness) -> list[NamedCondition]:
    """Return every key state at rest, then everything that is worked in each of its positions, alone."""
    return [
        *((key, {}) for key in harness.key_states),
        *((key, {name: choice}) for name, choice in _worked(harness) for key in harness.key_states),
    ]


def spread(harness: Harness, least: int, seed: int) -> list[NamedCondition]:
    """Return every key state at rest, each position once with the key states in turn, and combinations.

    Parameters
    ----------
    least
        How many conditions in which something is set there are at the least.
    """
    keys = list(harness.key_states)
    alone = [(keys[place % len(keys)], {name: choice}) for place, (name, choice) in enumerate(_worked(harness))]
    several = combinations(harness, max(2 * len(keys), least - len(alone)), seed)
    return [*((key, {}) for key in keys), *alone, *several]


def _worked(harness: Harness) -> list[tuple[str, str]]:
    return [
        (name, choice)
        for name, choices in settable(harness).items()
        if harness.table_of[name.partition(".")[0]] in WORKED
        for choice in choices
    ]


def combinations(harness: Harness, count: int, seed: int) -> list[NamedCondition]:
    """Return seeded conditions in which several things are set, the key states in turn."""
    draw = random.Random(seed)
    choices = settable(harness)
    worked = [name for name in choices if harness.table_of[name.partition(".")[0]] in WORKED]
    pulled = [name for name in choices if name not in worked]
    keys = list(harness.key_states)
    conditions = []
    for place in range(count):
        names = draw.sample(worked, min(len(worked), draw.randint(2, 5)))
        names += draw.sample(pulled, min(len(pulled), draw.randint(0, 2)))
        settings = {name: draw.choice(choices[name]) for name in names}
        conditions.append((keys[place % len(keys)], settings))
    return conditions


def single_faults(harness: Harness) -> list[tuple[str, str]]:
    """Return every site with each of `open`, `high`, `to body` and the rest that it can have without a partner."""
    found: list[tuple[str, str]] = []
    for table, kinds in SITE_FAULTS.items():
        for row in harness.rows(table):
            found += [(site, kind) for site in sites(harness, table, row) for kind in kinds]
    for table in ("relays", "switches", "loads", "modules", "diodes", "resistors", "chargers"):
        for row in harness.rows(table):
            found += [(point, kind) for point in harness.points_of(row["id"]) for kind in ("open", "high")]
    found += [(f"{row['id']}:coil", "open") for row in harness.rows("relays")]
    return found


SITE_FAULTS = {
    "wires": ("open", "high", "to body"),
    "connectors": ("open", "high"),
    "fuses": ("blown", "missing", "high", "too small"),
    "switches": ("open", "high", "stuck"),
    "relays": ("open", "high", "stuck"),
    "grounds": ("open", "high"),
    "joints": ("open", "high"),
    "loads": ("open", "short", "low draw"),
    "modules": ("open",),
    "diodes": ("open", "short", "reversed"),
    "resistors": ("open", "short"),
    "batteries": ("flat",),
    "chargers": ("no output",),
}


def sites(harness: Harness, table: str, row: Row) -> list[str]:
    """Return the sites inside one part or along one wire."""
    part_id = row["id"]
    match table:
        case "connectors":
            return [f"{part_id}.{cavity}" for cavity in wired_cavities(harness, row)]
        case "switches":
            groups = [group for groups in row.get("positions", {"on": [[1, 2]]}).values() for group in groups]
            return _contacts(part_id, [texts(group) for group in groups])
        case "relays":
            at_rest, pulled = relay_groups(row)
            return _contacts(part_id, [*at_rest, *pulled])
        case "loads" | "resistors":
            return [f"{part_id}:{text(element['name'])}" for element in row.get("elements", [{"name": "load"}])]
        case "modules":
            rows = (*row["feeds"], *row.get("drivers", []), *row.get("outputs", []))
            return [f"{part_id}:{text(each['terminal'])}" for each in rows]
        case "grounds":
            return [part_id] if ground_body(harness, row) is not None else []
    return [part_id]


def wired_cavities(harness: Harness, row: Row) -> list[int]:
    """Return the cavities of a connector that a wire ends on."""
    ends = {text(wire.get(side)) for wire in harness.rows("wires") for side in ("from", "to")}
    cavities = range(1, row["cavities"] + 1)
    return [n for n in cavities if {f"{row['id']}.{half}.{n}" for half in halves(row)} & ends]


def _contacts(part_id: str, groups: list[list[str]]) -> list[str]:
    return list(dict.fromkeys(f"{part_id}:{group[0]}-{other}" for group in groups for other in islice(group, 1, None)))
