"""Switches that no hand works, as a thermo switch or an oil switch: what is done in their place, and how."""

from __future__ import annotations

import re

from model.circuit.condition import IN, OUT, Condition, switch_position
from model.harness.harness import Harness
from model.harness.metal import wires_at
from model.harness.parts import Switch
from model.harness.wire_list_cells import fold
from model.tables import Row, table_rows
from model.tracing.names import id_and_label

_BRIDGE, _UNPLUG = "bridge", "unplug"


def how_set(harness: Harness, condition: Condition) -> tuple[str, ...]:
    """Say how each switch that no hand works comes to where a condition has it, in full sentences.

    Those at rest are passed over.
    """
    found = (how_brought(harness, switch, position) for switch, position in _moved(harness, condition))
    return tuple(filter(None, found))


def in_place_of(harness: Harness, condition: Condition) -> tuple[Switch, ...]:
    """Give the switches that are bridged or unplugged for a condition, so that it proves nothing of themselves."""
    return tuple(
        switch
        for switch, position in _moved(harness, condition)
        if (row := _row_of(switch)) is not None and row[_column(switch, position)] in (_BRIDGE, _UNPLUG)
    )


def comes_by_itself(harness: Harness, condition: Condition) -> tuple[str, ...]:
    """Say how switches that no hand works come by themselves to where a condition has them, in a few words."""
    rows = (_row_of(switch) for switch, _ in _moved(harness, condition))
    return tuple(dict.fromkeys(row["by_itself"] for row in rows if row is not None and row["by_itself"]))


def by_chance(switch: Switch) -> bool:
    """Tell whether chance decides where a switch rests, as the points of an engine that has stopped."""
    row = _row_of(switch)
    return row is not None and row["by_chance"] == "yes"


def how_brought(harness: Harness, switch: Switch, position: str) -> str:
    """Say how a switch that no hand works is brought to a position, in a full sentence; nothing of any other."""
    words = _how(harness, switch, position)
    return f"{words[:1].upper()}{words[1:]}." if words else ""


def _moved(harness: Harness, condition: Condition) -> list[tuple[Switch, str]]:
    """Give the switches that are set elsewhere than the key state has them, plugs aside, and where."""
    at_rest = Condition(condition.key)
    return [
        (switch, value)
        for name, value in condition.by_name.items()
        if isinstance(switch := harness.parts.get(name), Switch)
        and (value not in (OUT, IN) or value in switch.positions)
        and value != switch_position(harness, switch, at_rest)
    ]


def _how(harness: Harness, switch: Switch, position: str) -> str:
    row = _row_of(switch)
    if row is None:
        return ""
    words = row[_column(switch, position)]
    named = id_and_label(harness, switch.id)
    if words == _BRIDGE:
        return f"for {named} at {position} {_bridged(harness, switch, position)}"
    if words == _UNPLUG:
        return f"for {named} at {position} {_taken_off(harness, switch)}"
    return words.replace("{switch}", named)


def _column(switch: Switch, position: str) -> str:
    return "joined" if switch.positions.get(position, ()) else "apart"


def _bridged(harness: Harness, switch: Switch, position: str) -> str:
    """Say how the wires that a position joins are joined in its place."""
    group = next(iter(switch.positions.get(position, ())), ())
    wired = [name for name in group if _has_wire(harness, switch, name)]
    if len(wired) == 1:
        return f"take the wire off its terminal {wired[0]} and hold it to bare metal of the engine or body"
    return f"pull its plug and join the wires of its terminals {' and '.join(group)} with a fused jumper"


def _taken_off(harness: Harness, switch: Switch) -> str:
    wired = [name for name in switch.terminals if _has_wire(harness, switch, name)]
    return f"take the wire off its terminal {wired[0]}" if len(wired) == 1 else "pull its plug"


def _has_wire(harness: Harness, switch: Switch, terminal: str) -> bool:
    return f"{switch.id}.{terminal}" in wires_at(harness)


def _row_of(switch: Switch) -> Row | None:
    """Give the row of the table for a switch by its label, or of one that follows the key the first that bridges it."""
    label = fold(switch.label)
    rows = table_rows("hand_set")
    for row in rows:
        if any(re.search(rf"\b{re.escape(word)}", label) for word in row["words"].split("; ")):
            return row
    return next(row for row in rows if row["joined"] == _BRIDGE and not row["by_itself"]) if switch.follows else None
