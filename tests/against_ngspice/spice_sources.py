"""Batteries, chargers, fuses, modules: what feeds a loom and what guards it."""

from dataclasses import replace

from tests.against_ngspice.spice_branches import Branch, FuseRating, Gate, Kind, SupplyMover
from tests.against_ngspice.spice_builder import Builder, added_ohms
from tests.against_ngspice.spice_harness import Row, text, texts
from tests.against_ngspice.spice_tables import THERMAL_FUSE_OHMS, cold_fuse_ohms

IDLE_OHMS = 1e6
"""Draws a battery that carries nothing to its emf, with a microampere or so."""


def add_battery(b: Builder, row: Row) -> None:
    """Give current below the emf, take it above the charged emf, carry none between."""
    part_id = row["id"]
    volts = b.harness.battery_volts(row)
    emf_volts = float(row.get("emf", 1.058 * volts))
    charged_volts = float(row.get("charged_emf", 1.15 * volts))
    ohms = float(row.get("ohms", 0.008))
    match b.fault(part_id):
        case None:
            pass
        case "flat":
            emf_volts, ohms = 0.85 * volts, 10 * ohms
        case other:
            raise ValueError(f"{part_id}={other}: no such fault of a battery")
    if b.emf_volts is not None and part_id == b.harness.rows("batteries")[0]["id"]:
        emf_volts = b.emf_volts
    charged_volts = max(charged_volts, emf_volts)
    closed = not b.is_out(part_id)
    plus, minus = f"{part_id}.+", f"{part_id}.-"
    gives = Branch(f"{part_id}:gives", Kind.ONE_WAY, minus, plus, ohms, -emf_volts, closed=closed, always_joins=True)
    takes = replace(gives, name=f"{part_id}:takes", a=plus, b=minus, volts=charged_volts, idle_is_open=True)
    b.add(gives)
    b.add(takes)
    b.add(Branch(f"{part_id}:rests", Kind.SOURCE, plus, minus, IDLE_OHMS, emf_volts, closed=closed))


def add_charger(b: Builder, row: Row) -> None:
    """Put volts behind a resistance that never takes current, and the exciter to the side it is on."""
    part_id = row["id"]
    charging = [key for key, charges in b.harness.key_states.items() if charges]
    is_on = b.key in texts(row.get("active", charging))
    is_on = b.position(row, "on" if is_on else "off") == "on"
    is_in = not b.is_out(part_id)
    match b.fault(part_id):
        case None:
            pass
        case "no output":
            is_on = False
        case other:
            raise ValueError(f"{part_id}={other}: no such fault of a charger")
    plus, minus = b.inside(part_id, "+"), b.inside(part_id, "-")
    ohms = float(row.get("ohms", 0.005))
    b.add(Branch(part_id, Kind.ONE_WAY, minus, plus, ohms, -float(row["volts"]), closed=is_on and is_in))
    exciter = row.get("exciter")
    if exciter is not None:
        terminal = b.inside(part_id, text(exciter["terminal"]))
        ohms = float(exciter.get("ohms", 6))
        b.contact(f"{part_id}:exciter", (terminal, plus if is_on else minus), ohms, closed=is_in)


def add_fuse(b: Builder, row: Row) -> None:
    """Put the cold resistance of its rating; a thermal one never opens by current."""
    part_id = row["id"]
    is_thermal = row.get("style") == "thermal"
    rating_amps = float(row["amps"]) if "amps" in row else None
    is_in = not b.is_out(part_id)
    fault = b.fault(part_id)
    if fault in ("blown", "missing"):
        is_in = False
    if fault == "too small" and rating_amps is not None:
        rating_amps /= 2
    table_ohms = THERMAL_FUSE_OHMS if is_thermal or rating_amps is None else cold_fuse_ohms(rating_amps)
    ohms = float(row.get("ohms", table_ohms))
    added = added_ohms(fault)
    if added is not None:
        ohms += added
    elif isinstance(fault, int | float):
        ohms = float(fault)
    elif fault not in (None, "blown", "missing", "too small"):
        raise ValueError(f"{part_id}={fault}: no such fault of a fuse")
    ends = (b.inside(part_id, "in"), b.inside(part_id, "out"))
    b.add(Branch(part_id, Kind.OHMS, *ends, ohms=ohms, closed=is_in, gate=Gate(part_id, True)))
    b.net.fuses.append(FuseRating(part_id, None if is_thermal else rating_amps))


def add_module(b: Builder, row: Row) -> None:
    """Put its feeds as resistances, its drivers as contacts and its outputs as volts behind ohms."""
    part_id = row["id"]
    asleep = b.setting(part_id) == "asleep"
    is_in = not b.is_out(part_id)
    ground = b.inside(part_id, text(row.get("ground", "31")))
    for feed in row["feeds"]:
        amps = float(feed["asleep_amps"]) if asleep and "asleep_amps" in feed else float(feed["amps"])
        site = f"{part_id}:{text(feed['terminal'])}"
        ends = (b.inside(part_id, text(feed["terminal"])), ground)
        b.contact(site, ends, b.harness.nominal_volts / amps, closed=is_in)
        b.net.loads.append(site)
    for working in (*row.get("drivers", []), *row.get("outputs", [])):
        _add_working_terminal(b, row, working, ground, is_in and not asleep)


def _add_working_terminal(b: Builder, row: Row, working: Row, ground: str, awake: bool) -> None:
    part_id, terminal = row["id"], text(working["terminal"])
    site = f"{part_id}:{terminal}"
    feed = b.inside(part_id, text(working.get("from", row["feeds"][0]["terminal"])))
    node = b.inside(part_id, terminal)
    chosen = b.setting(f"{part_id}.{terminal}")
    wanted = b.key in texts(working.get("when", list(b.harness.key_states)))
    if chosen is not None:
        wanted = chosen == "on"
    is_driver = "pulls" in working
    fault = b.fault(site)
    if fault == "stuck":
        wanted = True
    gate = None if fault == "stuck" and is_driver else Gate(site, True)
    closed = wanted and awake and fault != "open"
    if fault == "stuck" and is_driver:
        closed = not b.is_out(part_id)
    ohms = float(working.get("ohms", 0.1 if is_driver else 1.0))
    if is_driver:
        end = feed if working["pulls"] == "feed" else ground
        b.add(Branch(site, Kind.OHMS, node, end, ohms, closed=closed, gate=gate))
    else:
        b.add(Branch(site, Kind.SOURCE, node, ground, ohms, float(working["volts"]), closed=closed, gate=gate))
    high, low = (ground, feed) if b.harness.is_positive_ground else (feed, ground)
    b.net.movers.append(SupplyMover(site, high, low, 0.5 * b.harness.nominal_volts))
