"""Reading of a harness file for the second solver: tables, points, defaults, the chain of batteries."""

import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import chain
from pathlib import Path
from typing import Any

Row = dict[str, Any]

PART_TABLES = (
    "bodies",
    "batteries",
    "chargers",
    "busbars",
    "splices",
    "joints",
    "fuses",
    "switches",
    "relays",
    "loads",
    "modules",
    "diodes",
    "resistors",
    "connectors",
    "grounds",
    "wires",
)

DEFAULT_OHMS = {
    "crimp": 0.0005,
    "contact": 0.005,
    "switch": 0.010,
    "relay": 0.010,
    "ground": 0.001,
    "chassis": 0.0002,
    "joint": 0.0005,
}

BODY = "CHASSIS"


def text(value: object) -> str:
    """Return a name as text: a bare number in the file stands for its digits."""
    return str(value)


def texts(values: Iterable[object]) -> list[str]:
    """Return names as text."""
    return [text(value) for value in values]


def pairs(groups: Sequence[Sequence[object]]) -> list[tuple[str, str]]:
    """Return the contacts of a position: the first of each group to each of the others."""
    named = [texts(group) for group in groups]
    return [(group[0], other) for group in named for other in group[1:]]


@dataclass(frozen=True)
class Harness:
    """A harness file as read: its tables, nothing checked."""

    document: dict[str, Any]

    def rows(self, table: str) -> list[Row]:
        """Return the rows of a table, none where the file has no such table."""
        return list(self.document.get(table, []))

    @cached_property
    def table_of(self) -> dict[str, str]:
        """Table in which each part stands, by id."""
        return {row["id"]: table for table in PART_TABLES for row in self.rows(table)}

    @cached_property
    def part(self) -> dict[str, Row]:
        """Row of each part, by id."""
        return {row["id"]: row for table in PART_TABLES for row in self.rows(table)}

    @cached_property
    def nominal_volts(self) -> float:
        """Nominal volts of the build."""
        return float(self.document["build"]["nominal_volts"])

    @cached_property
    def is_positive_ground(self) -> bool:
        """Whether the positive post is tied to the body."""
        return bool(self.document["build"].get("ground_side", "negative") == "positive")

    @cached_property
    def has_body(self) -> bool:
        """Whether there is the one body, `CHASSIS`."""
        return bool(self.document["build"].get("chassis", True))

    @cached_property
    def celsius(self) -> float:
        """Temperature of the wires."""
        return float(self.document["build"].get("ambient_celsius", 20))

    @cached_property
    def key_states(self) -> dict[str, bool]:
        """Key states in their order, and whether the engine charges in each."""
        return {row["name"]: bool(row.get("charging", False)) for row in self.rows("key_states")}

    def default_ohms(self, what: str) -> float:
        """Return the resistance of a crimp, a contact and so on."""
        return float(self.document.get("defaults", {}).get(what, DEFAULT_OHMS[what]))

    def wire_length_m(self, row: Row) -> float:
        """Return the length of a wire: its own, else that of its trunks, else 1.5 m."""
        if "length" in row:
            return float(row["length"])
        lengths = {trunk["name"]: float(trunk.get("length", 1.5)) for trunk in self.rows("trunks")}
        via = row.get("via", [])
        return sum(lengths[name] for name in via) if via else 1.5

    def wire_size(self, row: Row) -> float | str:
        """Return the size of a wire: its own, else the default of the file, else 1.0 mm²."""
        size = row.get("size", self.document.get("defaults", {}).get("size", 1.0))
        return size if isinstance(size, str) else float(size)

    @cached_property
    def bus_of(self) -> dict[str, str]:
        """Fuse input → busbar that is this input."""
        return {f"{row['id']}.in": row["bus"] for row in self.rows("fuses") if "bus" in row}

    def end(self, name: str) -> str:
        """Return the point that an end of a wire or joint names."""
        return self.bus_of.get(name, name)

    @cached_property
    def battery_chains(self) -> list[list[str]]:
        """Batteries in series, each chain from its most negative to its most positive."""
        minus_on = self._links_upward()
        upper = set(minus_on.values())
        chains = []
        for row in self.rows("batteries"):
            if row["id"] in upper:
                continue
            ids = [row["id"]]
            while ids[-1] in minus_on and minus_on[ids[-1]] not in ids:
                ids.append(minus_on[ids[-1]])
            chains.append(ids)
        return chains

    def _links_upward(self) -> dict[str, str]:
        batteries = {row["id"] for row in self.rows("batteries")}
        links = {}
        for row in chain(self.rows("wires"), self.rows("joints")):
            ends = [text(row.get(side, "")) for side in ("from", "to")]
            for lower, upper in (ends, ends[::-1]):
                below, above = lower.removesuffix(".+"), upper.removesuffix(".-")
                joined = lower.endswith(".+") and upper.endswith(".-") and below != above
                if joined and {below, above} <= batteries:
                    links[below] = above
        return links

    def battery_volts(self, row: Row) -> float:
        """Return a battery's nominal volts: its own, else its share of the build's."""
        if "volts" in row:
            return float(row["volts"])
        chain_length = next((len(ids) for ids in self.battery_chains if row["id"] in ids), 1)
        return self.nominal_volts / chain_length

    @cached_property
    def reference(self) -> str:
        """Point that is 0 V."""
        named = self.document["build"].get("reference")
        if named is not None:
            return self.end(text(named))
        first = self.rows("batteries")[0]["id"]
        ids = next((ids for ids in self.battery_chains if first in ids), [first])
        return f"{ids[-1]}.+" if self.is_positive_ground else f"{ids[0]}.-"

    def points_of(self, part_id: str) -> list[str]:
        """Return the points of one part that stand in the file, ends of free wires left out."""
        row, table = self.part[part_id], self.table_of[part_id]
        match table:
            case "bodies" | "busbars" | "splices" | "grounds":
                return [part_id]
            case "joints" | "wires":
                return []
            case "connectors":
                return [
                    f"{part_id}.{half}.{cavity}" for half in halves(row) for cavity in range(1, row["cavities"] + 1)
                ]
        return [f"{part_id}.{terminal}" for terminal in terminals(row, table)]


def load_harness(path: Path) -> Harness:
    """Read a harness file."""
    return Harness(tomllib.loads(path.read_text(encoding="utf-8")))


def halves(row: Row) -> list[str]:
    """Return the names of a connector's two halves."""
    return texts(row.get("halves", ["plug", "socket"]))


def terminals(row: Row, table: str) -> list[str]:
    """Return the terminal names of a plugged part, a battery or a fuse."""
    names: list[str] = []
    match table:
        case "batteries":
            names = ["+", "-"]
        case "chargers":
            names = ["+", "-", *([text(row["exciter"]["terminal"])] if "exciter" in row else [])]
        case "fuses":
            names = ["out"] if "bus" in row else ["in", "out"]
        case "switches":
            names = texts(row.get("terminals", [1, 2]))
        case "relays":
            ends = chain.from_iterable((coil["from"], coil["to"]) for coil in relay_coils(row, 0.0))
            names = [*chain.from_iterable(chain(*relay_groups(row))), *ends]
        case "modules":
            rows = chain(row["feeds"], row.get("drivers", []), row.get("outputs", []))
            names = [*(text(each["terminal"]) for each in rows), text(row.get("ground", "31"))]
        case "diodes":
            names = ["anode", "cathode"]
        case "loads" | "resistors":
            names = [text(each[side]) for each in elements(row) for side in ("from", "to")]
    return list(dict.fromkeys(names))


def elements(row: Row) -> list[Row]:
    """Return the elements of a load or resistor pack; a load without any has one, `load`."""
    return list(row.get("elements", [{"name": "load", "from": "+", "to": "-"}]))


def relay_groups(row: Row) -> tuple[list[list[str]], list[list[str]]]:
    """Return the groups of terminals that a relay joins at rest, and those when it is pulled in."""
    contacts = row.get("contacts", "make")
    if isinstance(contacts, dict):
        rest, pulled = (contacts.get(state, []) for state in ("rest", "pulled"))
        return [texts(group) for group in rest], [texts(group) for group in pulled]
    match contacts:
        case "make":
            return [], [["30", "87"]]
        case "break":
            return [["30", "87a"]], []
        case "changeover":
            return [["30", "87a"]], [["30", "87"]]
    raise ValueError(f"contacts of a relay: {contacts}")


def relay_coils(row: Row, standard_ohms: float) -> list[Row]:
    """Return the coils of a relay, each with `from`, `to`, `ohms`."""
    if "coils" in row:
        return [{"from": text(c["from"]), "to": text(c["to"]), "ohms": float(c["ohms"])} for c in row["coils"]]
    return [{"from": "86", "to": "85", "ohms": float(row.get("coil_ohms", standard_ohms))}]
