"""Wires, joints, grounds, connectors; and the whole netlist of a harness in one condition."""

from collections.abc import Mapping

from tests.against_ngspice.spice_branches import Branch, Kind, Net
from tests.against_ngspice.spice_builder import TOUCH_OHMS, Builder, Fault, added_ohms
from tests.against_ngspice.spice_harness import BODY, Harness, Row, halves, text
from tests.against_ngspice.spice_parts import add_diode, add_load, add_relay, add_resistor, add_switch
from tests.against_ngspice.spice_sources import add_battery, add_charger, add_fuse, add_module
from tests.against_ngspice.spice_tables import copper_factor, ohms_per_m

ADD = {
    "batteries": add_battery,
    "chargers": add_charger,
    "fuses": add_fuse,
    "switches": add_switch,
    "relays": add_relay,
    "loads": add_load,
    "modules": add_module,
    "diodes": add_diode,
    "resistors": add_resistor,
}


def build_net(
    harness: Harness,
    key: str,
    settings: Mapping[str, str],
    faults: Mapping[str, Fault],
    emf_volts: float | None = None,
) -> Net:
    """Write the circuit of a harness in one condition.

    Parameters
    ----------
    harness
        The harness as read.
    key
        Key state.
    settings
        What is not at rest, spelled as the settings of a condition.
    faults
        Site → fault, or the ohms in its place.
    emf_volts
        Emf of the first battery, None for its own.

    Raises
    ------
    ValueError
        Where a setting or fault names nothing in the harness, or the key state does not exist.
    """
    if key not in harness.key_states:
        raise ValueError(f"no key state {key}")
    points = [point for part_id in harness.part for point in harness.points_of(part_id)]
    if harness.has_body:
        points.append(BODY)
    b = Builder(harness, key, settings, faults, Net(harness.reference, ()), emf_volts)
    for table, add in ADD.items():
        for row in harness.rows(table):
            add(b, row)
    _add_connectors(b)
    _add_joints_and_grounds(b)
    for row in harness.rows("wires"):
        points += _add_wire(b, row)
    unheeded = {*settings, *faults} - b.heeded
    if unheeded:
        raise ValueError(f"nothing in the harness is called {', '.join(sorted(unheeded))}")
    b.net.points = tuple(points)
    return b.net


def _add_joints_and_grounds(b: Builder) -> None:
    harness = b.harness
    for row in harness.rows("joints"):
        ends = (b.on_post(text(row["from"])), b.on_post(text(row["to"])))
        ohms = float(row.get("ohms", harness.default_ohms("joint")))
        b.contact(row["id"], ends, ohms, closed=not b.is_out(row["id"]))
    for row in harness.rows("grounds"):
        body = ground_body(harness, row)
        b.fault(row["id"])
        if body is not None:
            ohms = float(row.get("ohms", harness.default_ohms("ground"))) + harness.default_ohms("chassis")
            b.contact(row["id"], (row["id"], body), ohms, closed=not b.is_out(row["id"]))


def ground_body(harness: Harness, row: Row) -> str | None:
    """Return the body that a ground point is bonded to, None for a bar that only wires reach."""
    body = row.get("body", BODY if harness.has_body else None)
    return body if row.get("bonded", body is not None) else None


def _add_connectors(b: Builder) -> None:
    rows = b.harness.rows("connectors")
    ids = {row["id"]: row for row in rows}
    partner = _exchanged_cavities(b, set(ids))
    for row in rows:
        part_id = row["id"]
        place = b.position(row, row.get("rest", "mated"))
        mated = place == "mated" and not b.is_out(part_id)
        ohms = float(row.get("ohms", b.harness.default_ohms("contact")))
        for cavity in range(1, row["cavities"] + 1):
            other_id, other_cavity = partner.get((part_id, cavity), (part_id, cavity))
            near = b.inside(part_id, f"{halves(row)[0]}.{cavity}")
            far = b.inside(other_id, f"{halves(ids[other_id])[1]}.{other_cavity}")
            b.contact(f"{part_id}.{cavity}", (near, far), ohms, closed=mated)


def _exchanged_cavities(b: Builder, ids: set[str]) -> dict[tuple[str, int], tuple[str, int]]:
    """Return the cavity in whose second half each exchanged contact ends."""
    partner = {}
    for site, fault in b.faults.items():
        first, slash, second = site.partition("/")
        if fault != "swapped" or not slash:
            continue
        b.heeded.add(site)
        part_id, _, cavity = first.partition(".")
        other_id, _, other_cavity = second.rpartition(".")
        one, other = (part_id, int(cavity)), (other_id or part_id, int(other_cavity))
        if {one[0], other[0]} <= ids:
            partner[one], partner[other] = other, one
    return partner


def _add_wire(b: Builder, row: Row) -> list[str]:
    """Add a wire; return the points of its free ends."""
    part_id = row["id"]
    ends, free = [], []
    for side, letter in (("from", "a"), ("to", "b")):
        name = f"{part_id}.{letter}"
        if side not in row or b.setting(name) == "off":
            free.append(name)
            ends.append(name)
            continue
        ends.append(b.on_post(_moved_end(b, row, side, name)))
    per_m_ohms = ohms_per_m(b.harness.wire_size(row)) * copper_factor(b.harness.celsius)
    ohms = per_m_ohms * b.harness.wire_length_m(row) + 2 * b.harness.default_ohms("crimp")
    _add_wire_branches(b, row, (ends[0], ends[1]), ohms)
    return free


def _moved_end(b: Builder, row: Row, side: str, name: str) -> str:
    site = row["id"] if side == "to" else name
    fault = b.faults.get(site)
    if isinstance(fault, str) and fault.startswith("elsewhere:"):
        b.heeded.add(site)
        return fault.removeprefix("elsewhere:")
    return text(row[side])


def _add_wire_branches(b: Builder, row: Row, ends: tuple[str, str], ohms: float) -> None:
    part_id = row["id"]
    fault = b.fault(part_id)
    is_in = not b.is_out(part_id)
    partner = _touched(b, row, fault)
    if partner is None and not _is_touched(b, part_id):
        closed = is_in and fault != "open"
        added = added_ohms(fault)
        if isinstance(fault, int | float):
            ohms = float(fault)
        elif added is not None:
            ohms += added
        elif fault not in (None, "open") and not str(fault).startswith("elsewhere:"):
            raise ValueError(f"{part_id}={fault}: no such fault of a wire")
        b.add(Branch(part_id, Kind.OHMS, *ends, ohms=ohms, closed=closed))
        return
    middle = middle_of(part_id)
    b.add(Branch(part_id, Kind.OHMS, ends[0], middle, ohms=ohms / 2, closed=is_in))
    b.add(Branch(f"{part_id} second half", Kind.OHMS, middle, ends[1], ohms=ohms / 2, closed=is_in))
    if partner is not None:
        b.add(Branch(f"{part_id} touch", Kind.OHMS, middle, partner, ohms=TOUCH_OHMS, closed=is_in))


def middle_of(wire_id: str) -> str:
    """Return the node in the middle of a wire."""
    return f"{wire_id} middle"


def _is_touched(b: Builder, wire_id: str) -> bool:
    return f"touches:{wire_id}" in b.faults.values()


def _touched(b: Builder, row: Row, fault: Fault | None) -> str | None:
    """Return what the middle of a wire lies against."""
    if fault == "to body":
        return body_beside(b.harness, row)
    if not isinstance(fault, str) or not fault.startswith("touches:"):
        return None
    name = b.harness.end(fault.removeprefix("touches:"))
    if b.harness.table_of.get(name) == "wires":
        return middle_of(name)
    return name


def body_beside(harness: Harness, wire: Row) -> str:
    """Return the body that a chafed wire lies against: that of its `to` end's ground side, else `CHASSIS`.

    The ground side is found from the part at the `to` end over wires, joints and plugs, the fewest
    of them first, to a ground point or body.

    Raises
    ------
    ValueError
        Where there is no such body and no `CHASSIS`.
    """
    ways = _metal(harness)
    end = harness.end(text(wire.get("to", wire["id"] + ".b")))
    part_id = end.partition(".")[0]
    is_joining = harness.table_of.get(part_id) in ("connectors", "wires")
    layer = [end] if is_joining or part_id not in harness.part else [end, *harness.points_of(part_id)]
    seen = set(layer)
    bodies = {BODY, *(row["id"] for row in harness.rows("bodies"))}
    while layer:
        found = [point for point in layer if point in bodies]
        if found:
            return found[0]
        layer = [other for point in layer for other in ways.get(point, []) if other not in seen]
        seen.update(layer)
    if not harness.has_body:
        raise ValueError(f"{wire['id']}=to body: there is no body here")
    return BODY


def _metal(harness: Harness) -> dict[str, list[str]]:
    steps = [
        (harness.end(text(row["from"])), harness.end(text(row["to"])))
        for row in (*harness.rows("wires"), *harness.rows("joints"))
        if "from" in row and "to" in row
    ]
    for row in harness.rows("connectors"):
        first, second = halves(row)
        cavities = range(1, row["cavities"] + 1)
        steps += [(f"{row['id']}.{first}.{n}", f"{row['id']}.{second}.{n}") for n in cavities]
    for row in harness.rows("grounds"):
        body = ground_body(harness, row)
        if body is not None:
            steps.append((row["id"], body))
    ways: dict[str, list[str]] = {}
    for one, other in steps:
        ways.setdefault(one, []).append(other)
        ways.setdefault(other, []).append(one)
    return ways
