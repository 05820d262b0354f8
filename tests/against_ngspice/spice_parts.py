"""Switches, relays, loads, diodes, resistors: the parts between feed and ground."""

from tests.against_ngspice.spice_branches import Branch, CoilVolts, Gate, InverterMover, Kind, RelayMover
from tests.against_ngspice.spice_builder import SHORT_OHMS, Builder
from tests.against_ngspice.spice_harness import Row, elements, pairs, relay_coils, relay_groups, text

STARTS_AT = {"led": 0.55, "electronics": 0.5}


def add_switch(b: Builder, row: Row) -> None:
    """Join the groups of the position in which the switch stands."""
    part_id = row["id"]
    positions: Row = row.get("positions", {"off": [], "on": [[1, 2]]})
    rest = text(row.get("rest", next(iter(positions))))
    if row.get("key", False):
        rest = b.key
    rest = text(row.get("follows", {}).get(b.key, rest))
    joined = pairs(positions[b.position(row, rest)])
    is_in = not b.is_out(part_id)
    ohms = float(row.get("ohms", b.harness.default_ohms("switch")))
    every = dict.fromkeys(pair for groups in positions.values() for pair in pairs(groups))
    for common, other in every:
        ends = (b.inside(part_id, common), b.inside(part_id, other))
        b.contact(f"{part_id}:{common}-{other}", ends, ohms, closed=is_in and (common, other) in joined)


def add_relay(b: Builder, row: Row) -> None:
    """Put its contacts, its coils and the diode across the first coil."""
    part_id = row["id"]
    is_in = not b.is_out(part_id)
    at_rest, pulled = (pairs(groups) for groups in relay_groups(row))
    ohms = b.harness.default_ohms("relay")
    if "amps" in row:
        ohms = 0.06 / float(row["amps"])
    ohms = float(row.get("ohms", ohms))
    for pair in dict.fromkeys([*at_rest, *pulled]):
        gate = None if pair in at_rest and pair in pulled else Gate(part_id, pair in pulled)
        ends = (b.inside(part_id, pair[0]), b.inside(part_id, pair[1]))
        b.contact(f"{part_id}:{pair[0]}-{pair[1]}", ends, ohms, closed=is_in, gate=gate if is_in else None)
    nominal_volts = b.harness.nominal_volts
    coils = tuple(_coils(b, row, is_in))
    pull_in_volts = float(row.get("pull_in", 0.60)) * nominal_volts
    drop_out_volts = float(row.get("drop_out", 0.10)) * nominal_volts
    b.net.movers.append(RelayMover(part_id, coils if is_in else (), pull_in_volts, drop_out_volts))


def _coils(b: Builder, row: Row, is_in: bool) -> list[CoilVolts]:
    part_id = row["id"]
    coils = []
    for place, coil in enumerate(relay_coils(row, 85 * (b.harness.nominal_volts / 12) ** 2)):
        rated_ohms = float(coil["ohms"])
        ends = (b.inside(part_id, coil["from"]), b.inside(part_id, coil["to"]))
        site = f"{part_id}:coil" if place == 0 else f"{part_id}:coil{place + 1}"
        b.contact(site, ends, rated_ohms, closed=is_in)
        added = b.net.branches[-1]
        coils.append(CoilVolts(*ends, rated_ohms, added.ohms if added.closed else None))
        if place == 0 and "coil_diode" in row:
            cathode = b.inside(part_id, text(row["coil_diode"]))
            anode = ends[0] if cathode == ends[1] else ends[1]
            b.add(Branch(f"{part_id}:diode", Kind.ONE_WAY, anode, cathode, 0.01, 0.7, closed=is_in))
    return coils


def add_load(b: Builder, row: Row) -> None:
    """Put each element of a load by the law of its kind."""
    is_in = not b.is_out(row["id"])
    for element in elements(row):
        _add_element(b, row, {**row, **element, "id": row["id"]}, is_in)


def _add_element(b: Builder, row: Row, element: Row, is_in: bool) -> None:
    part_id, kind = row["id"], element["kind"]
    site = f"{part_id}:{text(element['name'])}"
    ends = (b.inside(part_id, text(element["from"])), b.inside(part_id, text(element["to"])))
    at_volts = float(element.get("at", b.harness.nominal_volts))
    amps = _rated_amps(element, at_volts)
    b.net.loads.append(site)
    closed = is_in
    if kind == "socket":
        closed = is_in and b.setting(part_id) == "on"
    match b.fault(site):
        case None:
            pass
        case "low draw":
            amps /= 4
        case "open":
            closed = False
        case "short":
            b.add(Branch(site, Kind.OHMS, *ends, ohms=SHORT_OHMS, closed=is_in))
            return
        case int() | float() as ohms:
            b.add(Branch(site, Kind.OHMS, *ends, ohms=float(ohms), closed=is_in))
            return
        case other:
            raise ValueError(f"{site}={other}: no such fault of a load")
    b.add(_element_branch(b, element, Branch(site, Kind.OHMS, *ends, closed=closed), (at_volts, amps)))


def _element_branch(b: Builder, element: Row, plain: Branch, rated: tuple[float, float]) -> Branch:
    name, a, to, closed = plain.name, plain.a, plain.b, plain.closed
    at_volts, amps = rated
    kind = element["kind"]
    match kind:
        case "lamp":
            return Branch(name, Kind.LAMP, a, to, at_volts / amps, at_volts, closed=closed)
        case "led" | "electronics":
            start_volts = float(element.get("starts_at", STARTS_AT[kind])) * at_volts
            return Branch(name, Kind.ONE_WAY, a, to, (at_volts - start_volts) / amps, start_volts, closed=closed)
        case "inverter":
            nominal_volts = b.harness.nominal_volts
            out_volts = float(element.get("cut_out", 0.85)) * nominal_volts
            in_volts = float(element.get("cut_in", 0.95)) * nominal_volts
            b.net.movers.append(InverterMover(name, a, to, out_volts, in_volts))
            gate = Gate(name, True)
            return Branch(name, Kind.POWER, a, to, volts=out_volts, watts=at_volts * amps, closed=closed, gate=gate)
    return Branch(name, Kind.OHMS, a, to, at_volts / amps, closed=closed)


def _rated_amps(element: Row, at_volts: float) -> float:
    if "amps" in element:
        return float(element["amps"])
    if "watts" in element:
        return float(element["watts"]) / at_volts
    return at_volts / float(element["ohms"])


def add_diode(b: Builder, row: Row) -> None:
    """Conduct one way above the diode's volts."""
    part_id = row["id"]
    anode, cathode = b.inside(part_id, "anode"), b.inside(part_id, "cathode")
    volts, ohms = float(row.get("volts", 0.7)), float(row.get("ohms", 0.01))
    closed = not b.is_out(part_id)
    match b.fault(part_id):
        case None:
            b.add(Branch(part_id, Kind.ONE_WAY, anode, cathode, ohms, volts, closed=closed))
        case "reversed":
            b.add(Branch(part_id, Kind.ONE_WAY, cathode, anode, ohms, volts, closed=closed))
        case "open":
            b.add(Branch(part_id, Kind.ONE_WAY, anode, cathode, ohms, volts, closed=False))
        case "short":
            b.add(Branch(part_id, Kind.OHMS, anode, cathode, SHORT_OHMS, closed=closed))
        case int() | float() as in_place:
            b.add(Branch(part_id, Kind.OHMS, anode, cathode, float(in_place), closed=closed))
        case other:
            raise ValueError(f"{part_id}={other}: no such fault of a diode")


def add_resistor(b: Builder, row: Row) -> None:
    """Put each element's ohms, of a sender or dimmer those of its position."""
    part_id = row["id"]
    is_in = not b.is_out(part_id)
    for element in row["elements"]:
        ohms = element["ohms"]
        if isinstance(ohms, dict):
            ohms = ohms[b.position(row, text(ohms["rest"]))]
        ends = (b.inside(part_id, text(element["from"])), b.inside(part_id, text(element["to"])))
        b.contact(f"{part_id}:{text(element['name'])}", ends, float(ohms), closed=is_in)
