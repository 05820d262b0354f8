"""Rules of a harness file about key states, switches and their positions."""

from __future__ import annotations

from collections.abc import Iterator

from model.harness.draft import Complaint, Draft, Row
from model.harness.fields import Record
from model.harness.parts import Battery, Charger, Load, Module, Rated, Switch
from model.harness.records import KeyState
from model.harness.rules_words import did_you_mean, listed, no_such
from model.harness.toml_lines import TomlPath


def file_has_key_states_and_batteries(draft: Draft) -> Iterator[Complaint]:
    """Find out whether the file has at least one key state and one battery."""
    for kind, table, what in ((KeyState, "key_states", "key state"), (Battery, "batteries", "battery")):
        if not draft.of(kind) and not draft.is_unread(kind):
            yield Complaint(draft.paths.get(table, ()), table, "", "", f"no {table}", f"a file has at least one {what}")


def key_states_exist(draft: Draft) -> Iterator[Complaint]:
    """Find key states that a charger, load, module or switch names and that are no rows of ``key_states``."""
    names = draft.names(KeyState)
    if not names or draft.is_unread(KeyState):
        return
    known = set(names)
    for row, path, name in _named_key_states(draft):
        if name not in known and row.sound(*path):
            found = "" if path[-1] == name else f"{_last_key(path)} = {_quoted(name)}"
            yield row.complain(path, no_such("key state", name, names), found)


def _named_key_states(draft: Draft) -> Iterator[tuple[Row[Record], TomlPath, str]]:
    """Give each key state that is named, with the row and the path at which it stands."""
    for charger in draft.of(Charger):
        for index, name in enumerate(charger.record.active or ()):
            yield charger, ("active", index), name
    for load in draft.of(Load):
        for path, rated in rated_of(load):
            for index, name in enumerate(rated.works_in or ()):
                yield load, (*path, "works_in", index), name
    for module in draft.of(Module):
        for at, driver in enumerate(module.record.drivers):
            for index, name in enumerate(driver.when):
                yield module, ("drivers", at, "when", index), name
        for at, output in enumerate(module.record.outputs):
            for index, name in enumerate(output.when or ()):
                yield module, ("outputs", at, "when", index), name
    for switch in draft.of(Switch):
        for name in switch.record.follows:
            yield switch, ("follows", name), name


def rated_of(row: Row[Load]) -> Iterator[tuple[TomlPath, Rated]]:
    """Give a load and each of its elements, with its path within the row."""
    yield (), row.record
    for index, element in enumerate(row.record.elements):
        yield ("elements", index), element


def positions_exist(draft: Draft) -> Iterator[Complaint]:
    """Find positions that a switch rests in or follows to, or that a load works with, and that the switch lacks."""
    for row in draft.of(Switch):
        if not row.sound("positions"):
            continue
        positions = list(row.record.positions)
        if not positions:
            yield row.complain(
                ("positions",), "a switch has at least one position, such as { off = [], on = [[1, 2]] }"
            )
            continue
        rest = row.record.rest
        if rest is not None and rest not in positions and row.sound("rest"):
            yield row.complain(("rest",), no_such("position", rest, positions))
        for key, position in row.record.follows.items():
            if position not in positions and row.sound("follows", key):
                yield row.complain(("follows", key), no_such("position", position, positions))
    for load in draft.of(Load):
        for path, rated in rated_of(load):
            yield from _works_with(draft, load, (*path, "works_with"), rated)


def _works_with(draft: Draft, load: Row[Load], path: TomlPath, rated: Rated) -> Iterator[Complaint]:
    if rated.works_with is None or not load.sound(*path):
        return
    switches = {row.id: row for row in draft.of(Switch)}
    for inner, choice in _choices(path, rated):
        for switch_id, position in choice.items():
            switch = switches.get(switch_id)
            if switch is None:
                if not draft.is_unread(Switch):
                    yield load.complain((*inner, switch_id), no_such("switch", switch_id, switches))
            elif switch.sound("positions") and position not in switch.record.positions:
                right = f"{switch_id} has no such position{did_you_mean(position, switch.record.positions)}"
                right += f"; it has {listed(switch.record.positions)}"
                yield load.complain((*inner, switch_id), right)


def _choices(path: TomlPath, rated: Rated) -> list[tuple[TomlPath, dict[str, str]]]:
    if isinstance(rated.works_with, dict):
        return [(path, rated.works_with)]
    return [((*path, index), choice) for index, choice in enumerate(rated.works_with or ())]


def one_key_switch(draft: Draft) -> Iterator[Complaint]:
    """Find key switches beyond the first."""
    first: Row[Switch] | None = None
    for row in draft.of(Switch):
        if not row.record.key:
            continue
        if first is None:
            first = row
        else:
            right = f"a vehicle has one key switch; {first.id or 'another'} is one"
            yield row.complain(("key",), right, other=(*first.path, "key"))


def key_switch_has_the_key_states(draft: Draft) -> Iterator[Complaint]:
    """Find key states that the key switch has no position for, and positions of it that are no key states."""
    names = draft.names(KeyState)
    if not names or draft.is_unread(KeyState) or not all(row.sound("name") for row in draft.of(KeyState)):
        return
    row = next((row for row in draft.of(Switch) if row.record.key), None)
    if row is None or not row.sound("positions"):
        return
    positions = row.record.positions
    right = "the key switch has a position for each key state, and no other"
    if "positions" not in row.typed and set(positions) != set(names):
        yield row.complain(("positions",), right, "no positions")
        return
    for position in positions:
        if position not in names:
            found = f"a position {_quoted(position)}"
            yield row.complain(("positions", position), f"{right}{did_you_mean(position, names)}", found)
    missing = [name for name in names if name not in positions]
    if missing:
        yield row.complain(("positions",), right, f"no position {', '.join(missing)}")


def _last_key(path: TomlPath) -> str:
    return next((part for part in reversed(path) if isinstance(part, str)), "")


def _quoted(name: str) -> str:
    return f'"{name}"'


RULES = (
    file_has_key_states_and_batteries,
    key_states_exist,
    positions_exist,
    one_key_switch,
    key_switch_has_the_key_states,
)
