"""What a list does not say and a harness file needs: a battery, key states, the way back to ground."""

from __future__ import annotations

from model.harness.harness import CHASSIS
from model.harness.wire_list_book import FoundPart, PartsBook, Row
from model.harness.wire_list_fit_loads import first_use, unused_ground
from model.harness.wire_list_fit_switching import fit_key_switch, is_key_switch, terminals_seen
from model.harness.wire_list_kinds import Kind


def add_what_lacks(rows: dict[str, list[Row]], book: PartsBook, nominal_volts: float) -> list[str]:
    """Add what no list has said, and name what of it was assumed of the whole vehicle.

    Returns
    -------
    list
        Marks for the note of the build: ``key_states`` where they were.
    """
    assumed: list[str] = []
    if not any(part.kind.table == "batteries" for part in book.parts.values()):
        battery = book.add(FoundPart(book.id_of_label("Battery", "G"), Kind("batteries"), {"label": "Battery"}))
        battery.assumed.append("joined")
        book.tell(0, f"no battery is named; {battery.id} is added, and nothing is joined to its + yet")
        if book.has_chassis:
            _case_joint(battery, f"{battery.id}.-", book)
    if not rows["key_states"]:
        assumed.append("key_states")
        rows["key_states"] += [dict(row) for row in _key_states(book)]
    _give_positions(rows, book)
    if book.has_chassis:
        for part in list(book.parts.values()):
            point = "" if part.is_listed and not part.uses else unused_ground(part)
            if point:
                _case_joint(part, point, book)
    return assumed


def _case_joint(part: FoundPart, point: str, book: PartsBook) -> None:
    """Join a part's ground terminal to the body, as a case that sits on it does."""
    joint_id = book.unique(f"N_{part.id}")
    row: Row = {"id": joint_id, "label": f"Case of {part.name} on the body", "from": point, "to": CHASSIS}
    joint = book.add(FoundPart(joint_id, Kind("joints"), row, part.line or first_use(part.uses)))
    joint.assumed.append("from")


def _key_switch(book: PartsBook) -> FoundPart | None:
    switches = [part for part in book.parts.values() if part.kind.table == "switches"]
    listed = next((part for part in switches if part.row.get("key") is True), None)
    return listed or next((part for part in switches if not part.is_listed and is_key_switch(part)), None)


def _key_states(book: PartsBook) -> list[Row]:
    """Give the key states that a key switch with these terminals has; without one, a loom at rest."""
    key = _key_switch(book)
    has_charger = any(part.kind.table == "chargers" for part in book.parts.values())
    running: list[Row] = [{"name": "running", "charging": True}] if has_charger else []
    if key is None:
        return [{"name": "at rest"}, *running]
    names = [name.casefold() for name in terminals_seen(key.uses)]
    listed = key.row.get("terminals")
    names += [str(name).casefold() for name in listed] if isinstance(listed, list) else []
    states: list[Row] = [{"name": "off"}]
    if any(name.startswith(("75", "acc")) for name in names):
        states.append({"name": "accessory"})
    states.append({"name": "ignition"})
    if any(name.startswith(("50", "st", "crank", "anl")) for name in names):
        states.append({"name": "start"})
    return states + running


def _give_positions(rows: dict[str, list[Row]], book: PartsBook) -> None:
    key = _key_switch(book)
    states = [str(row["name"]) for row in rows["key_states"]]
    if key is None or (key.is_listed and "positions" in key.row) or states[:1] == ["at rest"]:
        return
    fit_key_switch(key, states)
