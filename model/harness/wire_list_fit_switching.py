"""Terminals of switches and relays: which each wire of a list ends on, and what they join."""

from __future__ import annotations

import re
from collections.abc import Iterable

from model.harness.points import RELAY_GROUPS
from model.harness.wire_list_book import FoundPart, PartsBook, Use
from model.harness.wire_list_cells import fold
from model.harness.wire_list_points import as_terminal

_COMMON = ("30", "in", "com", "common", "c", "feed", "b", "b+", "49", "49a", "56", "1", "l", "+", "p")
_MOMENTARY = ("push", "button", "momentary", "taster", "knopf", "brake", "brems", "door", "tur", "stop", "horn", "hup")
_KEY = ("key", "ignition", "zundschloss", "zundschalter", "key switch", "zundung")
_COIL = ("85", "86", "50", "31", "s")
_FLASHER = ("flasher", "blinkgeber", "blinkrelais", "blinkerrelais")
_FLASHER_IN, _FLASHER_OUT = ("49", "x", "b", "+", "in", "1"), ("49a", "l", "out", "2")
_FLASHER_ALL = frozenset({"49", "49a", "31", "c", "c2", "c3", "p"})
"""Terminals of a flasher: by DIN 72552, as two and three pin cans are stamped (X or B feed, L lamps), by habit."""
_PIN_NUMBERS = {"1": "86", "2": "85", "3": "30", "4": "87a", "5": "87"}
"""Cavity of a relay base to terminal (ISO 7588-1: 1 and 2 the coil, 3 the common, 4 at rest, 5 pulled)."""
_SIDE = frozenset({"58", "58L", "58R", "58d"})
"""Terminals of a light switch for side, tail, plate and panel lamps, on with the head lamps too (DIN 72552)."""
_STANDARD = frozenset({"30", "87", "87a", "85", "86"})
_RELAY_OHMS = 85.0
"""Assumed of a relay's coil at 12 V, as the format assumes it."""
_SOLENOID_OHMS = 1.2
"""Assumed of a starter's solenoid at 12 V: some ten amperes to hold it (a judgement)."""


def terminals_seen(uses: Iterable[Use]) -> list[str]:
    """Name the terminals of wires in their order, each once."""
    return list(dict.fromkeys(as_terminal(use.terminal) for use in uses if use.terminal))


def place(part: FoundPart, book: PartsBook, terminals: list[str], fed: str, fedless: str) -> None:
    """Put wires on terminals; one without a word leads to `fed`, or comes from `fedless`, as a guess."""
    by_case = {name.casefold(): name for name in terminals}
    for use in part.uses:
        if not use.terminal:
            use.settle(f"{part.id}.{fed if use.key == 'to' else fedless}", True)
            continue
        name = by_case.get(as_terminal(use.terminal).casefold())
        if name:
            use.settle(f"{part.id}.{name}")
        else:
            book.stray(use, f"{part.name} has no terminal {use.terminal}; it has {', '.join(terminals)}")


def is_key_switch(part: FoundPart) -> bool:
    """Tell whether a switch is the one that the key turns."""
    words = fold(str(part.row.get("label", ""))).split()
    if any(word in _KEY for word in words) and "relay" not in words:
        return True
    seen = set(terminals_seen(part.uses))
    return {"30", "15"} <= seen and bool(seen & {"50", "75"})


def is_flasher(part: FoundPart) -> bool:
    """Tell whether a relay or switch is what makes the indicators flash, and no switch that turns it on."""
    words = fold(str(part.row.get("label", ""))).split()
    if any(word.endswith(("switch", "schalter")) for word in words):
        return False
    seen = {name.casefold() for name in terminals_seen(part.uses)}
    return any(word.startswith(_FLASHER) for word in words) or {"49", "49a"} <= seen <= _FLASHER_ALL


def fit_flasher(part: FoundPart, book: PartsBook) -> None:
    """Give a flasher its feed and its lamps, joined while it flashes, at which it is taken to rest."""
    seen = terminals_seen(part.uses)
    feed = next((name for name in seen if name.casefold() in _FLASHER_IN), "49")
    lamps = next((name for name in seen if name.casefold() in _FLASHER_OUT), "49a")
    terminals = [feed, lamps, *(name for name in seen if name not in (feed, lamps))]
    positions: dict[str, list[list[str]]] = {"idle": [], "flashing": [[feed, lamps]]}
    part.row |= {"terminals": terminals, "positions": positions, "rest": "flashing", "pulses": True}
    part.assumed.append("positions")
    place(part, book, terminals, feed, lamps)


def fit_switch(part: FoundPart, book: PartsBook) -> None:
    """Give a switch its terminals and positions, as far as its wires show them."""
    row = part.row
    if row.keys() & {"terminals", "positions"}:
        listed = row.get("terminals")
        terminals = [str(name) for name in listed] if isinstance(listed, list) and listed else ["1", "2"]
        place(part, book, terminals, terminals[0], terminals[-1])
        return
    if is_flasher(part):
        fit_flasher(part, book)
        return
    seen = terminals_seen(part.uses)
    if set(seen) <= {"1", "2"}:
        place(part, book, ["1", "2"], "1", "2")
    else:
        common = _common_of(part, seen)
        others = [name for name in seen if name != common] or ["out"]
        row["terminals"] = [common, *others]
        row["positions"] = _positions(common, others)
        part.assumed.append("positions")
        place(part, book, [common, *others], common, others[0])
    words = fold(str(row.get("label", ""))).split()
    if not part.is_listed and any(word.startswith(_MOMENTARY) for word in words):
        row["momentary"] = True
        part.assumed.append("momentary")


def _common_of(part: FoundPart, seen: list[str]) -> str:
    """Give the terminal that feeds the others: by its name, else the first that a wire leads to, else the first."""
    fed = next((as_terminal(use.terminal) for use in part.uses if use.terminal and use.key == "to"), seen[0])
    by_case = {name.casefold(): name for name in reversed(seen)}
    if not _SIDE.isdisjoint(seen):
        by_case.pop("56", None)
    return next((by_case[name] for name in _COMMON if name in by_case), fed)


def _positions(common: str, others: list[str]) -> dict[str, list[list[str]]]:
    """Give a position to each terminal, the side lamps of a light switch before its head lamps, which leave them on."""
    if len(others) == 1:
        return {"off": [], "on": [[common, others[0]]]}
    side = [name for name in others if name in _SIDE] if "56" in others else []
    joined = {name: [name, *side] if name == "56" else [name] for name in (*side, *others)}
    return {"off": []} | {name if name != "off" else "on": [[common, *names]] for name, names in joined.items()}


def fit_key_switch(part: FoundPart, key_states: list[str]) -> None:
    """Give the key switch a position for each key state: 15 and 75 by the key, 50 while it starts."""
    listed = part.row.get("terminals")
    terminals = [str(name) for name in listed] if isinstance(listed, list) else ["1", "2"]
    common = terminals[0]
    positions: dict[str, list[list[str]]] = {}
    for state in key_states:
        joined = [name for name in terminals[1:] if _is_on(name, state)]
        positions[state] = [[common, *joined]] if joined else []
    part.row["key"] = True
    part.row["terminals"] = terminals
    part.row["positions"] = positions
    part.row.pop("momentary", None)
    part.assumed = [key for key in part.assumed if key not in ("momentary", "positions")] + ["positions"]


def _is_on(terminal: str, state: str) -> bool:
    name = terminal.casefold()
    if state == "off":
        return False
    if re.match(r"50|st|start|crank|anl", name):
        return state == "start"
    if re.match(r"75|acc", name):
        return state != "start"
    return state != "accessory"


def coil_ohms(ends: Iterable[str], nominal_volts: float) -> float:
    """Give the assumed ohms of a coil by its ends: with a 50 that of a starter's solenoid, else of a relay."""
    is_solenoid = any(name.startswith("50") for name in ends)
    return round((_SOLENOID_OHMS if is_solenoid else _RELAY_OHMS) * (nominal_volts / 12) ** 2, 2)


def fit_relay(part: FoundPart, book: PartsBook, nominal_volts: float) -> None:
    """Give a relay its contacts and coil by the numbers of its terminals."""
    row = part.row
    _read_numbers(part)
    if row.keys() & {"contacts", "coils"}:
        place(part, book, relay_terminals(row), "30", "87")
        return
    seen = terminals_seen(part.uses)
    if set(seen) <= _STANDARD:
        if "87a" in seen:
            row["contacts"] = "changeover" if "87" in seen else "break"
            part.assumed += [] if "87" in seen else ["contacts"]
        out = "87a" if row.get("contacts") == "break" else "87"
        terminals = ["30", out, "85", "86"] + (["87a"] if row.get("contacts") == "changeover" else [])
        place(part, book, terminals, "30", out)
        return
    coil = _coil_of(seen)
    contacts = [name for name in seen if name not in coil]
    common = "30" if "30" in contacts or not contacts else contacts[0]
    outs = [name for name in contacts if name not in (common, "87a")] or ["87"]
    pulled = [[common, *outs]]
    row["contacts"] = {"rest": [[common, "87a"]] if "87a" in contacts else [], "pulled": pulled}
    row["coils"] = [{"from": coil[0], "to": coil[1], "ohms": coil_ohms(coil, nominal_volts)}]
    part.assumed += ["contacts", "coils"]
    place(part, book, [*dict.fromkeys([common, *outs, *contacts, *coil])], common, outs[0])


def _coil_of(seen: list[str]) -> tuple[str, str]:
    """Give the two ends of a coil: 86 and 85, else 50 and 31, else names of these that the wires show."""
    if "85" in seen or "86" in seen:
        return "86", "85"
    ends = [name for name in seen if name.casefold() in _COIL]
    if len(ends) >= 2:
        return ends[0], ends[1]
    if ends:
        return (ends[0], "31") if ends[0] != "31" else ("50", "31")
    return "86", "85"


def _read_numbers(part: FoundPart) -> None:
    """Take the cavities of a base, where wires have those alone, for the terminals that sit in them."""
    seen = {use.terminal for use in part.uses if use.terminal}
    pins = part.row.get("pins")
    if seen and isinstance(pins, dict) and seen <= {str(cavity) for cavity in pins.values()}:
        by_cavity = {str(cavity): str(name) for name, cavity in pins.items()}
    elif seen and seen <= _PIN_NUMBERS.keys() and not part.row.keys() & {"contacts", "coils", "pins"}:
        by_cavity = {cavity: _PIN_NUMBERS[cavity] for cavity in sorted(seen)}
        part.row["pins"] = {name: int(cavity) for cavity, name in by_cavity.items()}
        part.assumed.append("pins")
    else:
        return
    for use in part.uses:
        use.terminal = by_cavity.get(use.terminal, use.terminal)


def relay_terminals(row: dict[str, object]) -> list[str]:
    """Name the terminals of a relay whose contacts or coils are given."""
    contacts, coils = row.get("contacts", "make"), row.get("coils")
    groups: list[list[str]] = []
    if isinstance(contacts, str):
        rest, pulled = RELAY_GROUPS.get(contacts, RELAY_GROUPS["make"])
        groups = [list(group) for group in (*rest, *pulled)]
    elif isinstance(contacts, dict):
        groups = [
            group
            for inner in contacts.values()
            if isinstance(inner, list)
            for group in inner
            if isinstance(group, list)
        ]
    names = [str(name) for group in groups for name in group]
    if isinstance(coils, list):
        names += [str(coil[key]) for coil in coils if isinstance(coil, dict) for key in ("from", "to") if key in coil]
    else:
        names += ["86", "85"]
    return list(dict.fromkeys(names))
