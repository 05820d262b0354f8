"""A starter of a list with its solenoid on it: 50 pulls it in, and it joins 30 to the motor."""

from __future__ import annotations

import re

from model.harness.wire_list_book import FoundPart, PartsBook, Row, Use
from model.harness.wire_list_cells import fold
from model.harness.wire_list_fit_switching import coil_ohms, relay_terminals
from model.harness.wire_list_kinds import Kind, kind_of_words
from model.harness.wire_list_names import has_settled_elements
from model.harness.wire_list_points import as_terminal, is_minus, is_plus

STARTER = "starter"
"""The role of a starter's motor."""
STARTER_AMPS = 150.0
"""Assumed of a starter without figures (a judgement)."""
_CONTROL = re.compile(r"50[a-h]?|s|st|start|sol|solenoid", re.IGNORECASE)
_START_FEED = re.compile(r"50[a-h]?", re.IGNORECASE)
_WHILE_CRANKING = frozenset({"15a", "16"})
"""Terminals that a solenoid feeds beside the motor, for the ignition coil past its ballast resistor (DIN 72552)."""
_RATINGS = ("watts", "amps", "ohms")
_CONTACT_SHARE = 2.0
"""Assumed rating of a solenoid's contact over that of its motor, which takes more as it starts (a judgement)."""
_LEAST_RATING, _MOST_RATING = 1e-6, 1e6
"""Between these in watts, amperes or ohms a figure of a parts list can be that of a starter."""


def part_solenoids(book: PartsBook, nominal_volts: float) -> None:
    """Part the solenoid from each starter that wires name with a 50, and put on it the wires that end there.

    A solenoid that a parts list or a file has already, joined to its motor without a wire, is taken for that.
    """
    joints = {id(part.row) for part in book.parts.values() if part.kind.table == "joints"}
    for part in list(book.parts.values()):
        if part.kind.table != "loads" or not part.uses:
            continue
        control = next((use for use in part.uses if _is_control(use)), None)
        solenoid = _joined_relay(part, joints)
        if solenoid is None and control is not None and _is_starter(part) and not _is_settled(part, book):
            solenoid = _new_solenoid(part, control.line, book, nominal_volts)
        if solenoid is not None:
            _move_uses(part, solenoid)


def _joined_relay(part: FoundPart, joints: set[int]) -> FoundPart | None:
    """Give the relay that a joint puts on a load; None where none does."""
    others = (use.other.part for use in part.uses if use.other and id(use.row) in joints)
    return next((other for other in others if other.kind.table == "relays"), None)


def _is_starter(part: FoundPart) -> bool:
    by_label = kind_of_words(str(part.row.get("label", "")))
    return STARTER in (part.kind.role, by_label.role if by_label else "")


def _is_settled(part: FoundPart, book: PartsBook) -> bool:
    """Tell whether a parts list says what is between a starter's terminals, or somebody has in the file without one."""
    known = book.before
    is_by_hand = part.id.casefold() in known.settled and fold(_label(part)) not in known.names
    return is_by_hand or has_settled_elements(part.row)


def _label(starter: FoundPart) -> str:
    """Give the label of a starter's solenoid."""
    return f"{starter.row.get('label') or starter.id} solenoid"


def _is_control(use: Use) -> bool:
    """Tell whether a wire is the one that makes the starter turn: by its terminal here, else by that it comes from."""
    if use.terminal:
        return bool(_CONTROL.fullmatch(use.terminal))
    return use.other is not None and bool(_START_FEED.fullmatch(use.other.terminal))


def _new_solenoid(starter: FoundPart, line: int, book: PartsBook, nominal_volts: float) -> FoundPart:
    """Add the solenoid of a starter and what joins the two, and leave the starter its motor alone."""
    label = _label(starter)
    solenoid_id = book.id_of_label(label, "K")
    motor_amps = _leave_motor(starter, nominal_volts)
    cranking = [use.terminal for use in starter.uses if use.terminal in _WHILE_CRANKING]
    row: Row = {"label": label, "inside": starter.id, "amps": max(round(motor_amps * _CONTACT_SHARE), 1)}
    row["contacts"] = {"rest": [], "pulled": [["30", "45", *dict.fromkeys(cranking)]]}
    row["coils"] = [{"from": "50", "to": "31", "ohms": coil_ohms(("50",), nominal_volts)}]
    solenoid = book.add(FoundPart(solenoid_id, Kind("relays"), row, line, assumed=["inside"]))
    link = _join(solenoid, starter, "45", f"Link from {label} to {starter.id}", book)
    sides = (("from", solenoid), ("to", starter))
    ends = [Use(link.row, key, part, "45", "", line, book.guessed) for key, part in sides]
    for end, other in zip(ends, reversed(ends), strict=True):
        end.other = other
        end.part.uses.append(end)
    _join(solenoid, starter, "31", f"Case of {label} on {starter.id}", book)
    return solenoid


def _join(solenoid: FoundPart, starter: FoundPart, terminal: str, label: str, book: PartsBook) -> FoundPart:
    """Let a solenoid and its starter touch at the terminal of the same name."""
    joint_id = book.unique(f"N_{solenoid.id}_{terminal}")
    ends: Row = {"from": f"{solenoid.id}.{terminal}", "to": f"{starter.id}.{terminal}"}
    return book.add(FoundPart(joint_id, Kind("joints"), {"id": joint_id, "label": label, **ends}, solenoid.line))


def _leave_motor(starter: FoundPart, nominal_volts: float) -> float:
    """Give a starter its motor, from what the solenoid feeds to ground, and tell about how many amperes it takes."""
    row = starter.row
    given = [(key, value) for key in _RATINGS if isinstance(value := row.pop(key, None), int | float)]
    key, rating = given[0] if given else ("amps", STARTER_AMPS)
    row["elements"] = [{"name": "motor", "from": "45", "to": "31", key: rating}]
    if not given:
        starter.assumed.append("elements.motor")
    if not (_LEAST_RATING < rating < _MOST_RATING):
        return STARTER_AMPS
    match key:
        case "watts":
            return rating / nominal_volts
        case "ohms":
            return nominal_volts / rating
    return rating


def _move_uses(part: FoundPart, solenoid: FoundPart) -> None:
    """Put on a solenoid the wires whose terminal it has and its motor has not."""
    names = {name.casefold(): name for name in relay_terminals(solenoid.row)}
    own = _own_terminals(part)
    for use in list(part.uses):
        terminal = _on_solenoid(use, names, own)
        if not terminal:
            if "31" in own and (is_minus(use.terminal) or use.faces_ground):
                use.terminal = "31"
            continue
        part.uses.remove(use)
        is_guess = not use.terminal
        use.part, use.terminal = solenoid, terminal
        use.settle(f"{solenoid.id}.{terminal}", is_guess)
        solenoid.uses.append(use)


def _own_terminals(part: FoundPart) -> set[str]:
    elements = part.row.get("elements")
    rows = elements if isinstance(elements, list) else []
    named = {str(one[key]) for one in rows if isinstance(one, dict) for key in ("from", "to") if key in one}
    return named or {"+", "-"}


def _on_solenoid(use: Use, names: dict[str, str], own: set[str]) -> str:
    """Give the terminal of a solenoid that a wire ends on; empty where it ends on the motor."""
    word = as_terminal(use.terminal).casefold() if use.terminal else ""
    if word in own or is_minus(word):
        return ""
    if word in names:
        return names[word]
    if _is_control(use):
        return names.get("50", "")
    is_feed = is_plus(word) or word.startswith("30") or (not word and not use.faces_ground)
    return names.get("30", "") if is_feed else ""
