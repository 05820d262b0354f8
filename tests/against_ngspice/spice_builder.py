"""What all parts share while a circuit is written: settings, faults, terminals that came loose."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from tests.against_ngspice.spice_branches import Branch, Gate, Kind, Net
from tests.against_ngspice.spice_harness import Harness, Row

Fault = str | float

HIGH_OHMS = 5.0
TOUCH_OHMS = 0.01
SHORT_OHMS = 0.01


@dataclass
class Builder:
    """A circuit being written for one key state, its settings and its faults.

    `emf_volts` takes the place of the first battery's own where it is not None.
    """

    harness: Harness
    key: str
    settings: Mapping[str, str]
    faults: Mapping[str, Fault]
    net: Net
    emf_volts: float | None = None
    heeded: set[str] = field(default_factory=set)
    """Settings and faults that some part has taken in; what stays over is an error."""

    def fault(self, site: str) -> Fault | None:
        """Return the fault of a site."""
        if site not in self.faults:
            return None
        self.heeded.add(site)
        return self.faults[site]

    def setting(self, name: str) -> str | None:
        """Return what a part, driver or wire end is set to."""
        if name not in self.settings:
            return None
        self.heeded.add(name)
        return self.settings[name]

    def is_out(self, part_id: str) -> bool:
        """Tell whether a part is out of the vehicle."""
        return self.setting(part_id) == "out"

    def position(self, row: Row, rest: str) -> str:
        """Return what a part is set to, `in` and `out` aside, else its rest."""
        chosen = self.setting(row["id"])
        return rest if chosen in (None, "in", "out") else str(chosen)

    def add(self, branch: Branch) -> None:
        """Add a branch."""
        self.net.branches.append(branch)

    def inside(self, part_id: str, terminal: str) -> str:
        """Return the node of a plugged part behind a terminal: the point itself while it is seated."""
        name = f"{part_id}.{terminal}"
        return self._behind(name, self.harness.end(name), f"{name} inside")

    def on_post(self, end: str) -> str:
        """Return the node of what is clamped to a point: of a battery behind a bad post, else the point."""
        point = self.harness.end(end)
        part_id = point.partition(".")[0]
        if self.harness.table_of.get(part_id) != "batteries":
            return point
        return self._behind(point, point, f"{point} clamp")

    def _behind(self, site: str, point: str, node: str) -> str:
        fault = self.fault(site)
        if fault is None:
            return point
        if all(branch.name != site for branch in self.net.branches):
            added = added_ohms(fault)
            ohms = _ohms_in_place(site, fault) if added is None else added
            self.add(Branch(site, Kind.OHMS, point, node, ohms=ohms or 0.0, closed=ohms is not None))
        return node

    def contact(
        self, site: str, ends: tuple[str, str], ohms: float, closed: bool = True, gate: Gate | None = None
    ) -> None:
        """Add metal that may be open, high, stuck or shorted: a contact, a joint, a ground, a resistor."""
        fault = self.fault(site)
        match fault:
            case None | "reversed":
                pass
            case "stuck":
                closed, gate = not self.is_out(site.partition(":")[0]), None
            case "short":
                ohms = SHORT_OHMS
            case _ if (added := added_ohms(fault)) is not None:
                ohms += added
            case other:
                in_place = _ohms_in_place(site, other)
                closed, ohms = closed and in_place is not None, in_place or ohms
        self.add(Branch(site, Kind.OHMS, *ends, ohms=ohms, closed=closed, gate=gate))


def added_ohms(fault: Fault | None) -> float | None:
    """Return the ohms that `high`, or `high:0.3` with a figure of its own, adds; None of any other fault."""
    if not isinstance(fault, str):
        return None
    name, _, figure = fault.partition(":")
    if name != "high":
        return None
    return float(figure) if figure else HIGH_OHMS


def _ohms_in_place(site: str, fault: Fault) -> float | None:
    """Return the ohms that a fault puts in a site's place, None for open."""
    if isinstance(fault, str):
        if fault == "open":
            return None
        raise ValueError(f"{site}={fault}: no such fault here")
    return float(fault)
