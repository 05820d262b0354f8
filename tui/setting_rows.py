"""What a hand can set, as rows: every switch, plug, fuse, relay and part with the positions it has."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

from textual.content import Content

from model.circuit.condition import (
    ASLEEP,
    AWAKE,
    IN,
    OFF,
    ON,
    OUT,
    Condition,
    charger_is_on,
    has_socket,
    settable_names,
    setting_choices,
    switch_position,
)
from model.harness.derived import once_per_harness
from model.harness.fields import Part
from model.harness.parts import Charger, Fuse, Load, Module, Relay, ResistorPack, Switch
from model.harness.records import Connector
from tui.text import assembled, fit, padded, width
from tui.widgets.rows import Row

if TYPE_CHECKING:
    from model.harness.harness import Harness

FOLLOWS_KEY = "of itself"
_NAME_MOST, _LABEL_MOST, _LABEL_LEAST = 14, 34, 8
_GAP = "  "
_MOVED_CELLS = 5

GROUPS = ("switches", "driven by a control unit", "chargers", "sockets", "dimmers and senders", "plugs", "fuses",
          "relays", "control units", "loads", "other parts")  # fmt: skip


@dataclass(frozen=True, slots=True)
class Setting:
    """One thing that can be set.

    Attributes
    ----------
    choices
        Its positions in the order in which a key goes through them; the first is what it does of itself.
    now
        Which of them it is in.
    follows
        What it does of itself in the key state as it is, where that is another thing than being at rest.
    """

    name: str
    label: str
    group: str
    choices: tuple[str, ...]
    now: str
    follows: str = ""

    @property
    def is_set(self) -> bool:
        """Whether it is set to something else than what it does of itself."""
        return self.now != self.choices[0]


def settings_of(harness: Harness, condition: Condition) -> list[Setting]:
    """List everything that can be set, in groups, with what it is set to."""
    moved = condition.by_name
    return [
        _setting(harness, condition, one.name) if one.name in moved or one.choices[0] == FOLLOWS_KEY else one
        for one in _at_rest(harness)
    ]


@once_per_harness
def _at_rest(harness: Harness) -> tuple[Setting, ...]:
    """List everything that can be set, in groups, as it is of itself with the key in its first state."""
    key_switch, condition = harness.key_switch, Condition(harness.key_names[0])
    names = [name for name in settable_names(harness) if key_switch is None or name != key_switch.id]
    return tuple(
        sorted((_setting(harness, condition, name) for name in names), key=lambda one: GROUPS.index(one.group))
    )


def only(settings: Sequence[Setting], typed: str) -> list[Setting]:
    """Return the settings that hold every word typed, in name, label, group or position."""
    words = typed.casefold().split()
    return [
        one
        for one in settings
        if all(word in f"{one.name} {one.label} {one.group} {one.now}".casefold() for word in words)
    ]


def setting_rows(settings: Sequence[Setting], cells: int) -> list[Row]:
    """Return the rows for a list so many cells wide, each group under its head."""
    name_cells = min(max((width(one.name) for one in settings), default=0), _NAME_MOST)
    label_cells = min(max((width(one.label) for one in settings), default=0), _LABEL_MOST, cells * 2 // 5)
    label_cells = max(label_cells, _LABEL_LEAST)
    rows: list[Row] = []
    group = ""
    for one in settings:
        if one.group != group:
            group = one.group
            rows.append(Row(assembled((group, "bold $ground")), can_be_marked=False))
        rows.append(Row(partial(_cells, one, name_cells, label_cells, cells), one.name))
    return rows


def cut_setting(one: Setting, row: Row) -> str:
    """Say a setting with all its positions, where its row leaves some out; else nothing."""
    shown = row.content.plain
    told = {word.strip() for word in shown.split(_GAP)}
    words = [_choice_words(one, choice) for choice in one.choices]
    if one.label in shown and told.issuperset(words):
        return ""
    return f"{one.name} {one.label}: {', '.join(words)}."


def settings_page(settings: Sequence[Setting]) -> str:
    """Return the settings as text."""
    return "".join(
        f"{one.name}  {one.label}  {_choice_words(one, one.now)}{'  moved' if one.is_set else ''}\n" for one in settings
    )


def _cells(one: Setting, name_cells: int, label_cells: int, cells: int) -> Content:
    room = cells - name_cells - label_cells - _MOVED_CELLS - 3 * len(_GAP)
    parts: list[str | tuple[str, str]] = [padded(one.name, name_cells), _GAP, padded(one.label, label_cells), _GAP]
    parts += [(padded("moved" if one.is_set else "", _MOVED_CELLS), "$feed"), _GAP]
    words = [_choice_words(one, choice) for choice in one.choices]
    if sum(width(word) + len(_GAP) for word in words) > room:
        place = one.choices.index(one.now)
        words = [*words[place:], *words[:place]]
    for word in words:
        is_now = word.startswith("[")
        shown = fit(word, max(room, 0))
        parts += [(shown, "bold $feed" if is_now and one.is_set else "bold" if is_now else "$quiet"), _GAP]
        room -= width(shown) + len(_GAP)
        if room <= 0:
            break
    return assembled(*parts)


def _choice_words(one: Setting, choice: str) -> str:
    words = f"{FOLLOWS_KEY}, {one.follows}" if choice == FOLLOWS_KEY else choice
    return f"[{words}]" if choice == one.now else words


def _setting(harness: Harness, condition: Condition, name: str) -> Setting:
    owner, _, terminal = name.partition(".")
    part = harness.parts[owner]
    choices = setting_choices(harness, name)
    is_set_to = condition.by_name.get(name)
    label = f"{part.label} {terminal}".strip()
    match part:
        case Module() if terminal:
            driver = next(one for one in part.drivers if one.terminal == terminal)
            follows = ON if condition.key in driver.when else OFF
            return Setting(name, label, GROUPS[1], (FOLLOWS_KEY, ON, OFF), is_set_to or FOLLOWS_KEY, follows)
        case Switch() if part.follows:
            at_key = switch_position(harness, part, _without(condition, name))
            return Setting(name, label, GROUPS[0], (FOLLOWS_KEY, *_moved(choices)), is_set_to or FOLLOWS_KEY, at_key)
        case Charger():
            gives = ON if charger_is_on(harness, _without(condition, name), part) else OFF
            return Setting(name, label, GROUPS[2], (FOLLOWS_KEY, ON, OFF, OUT), is_set_to or FOLLOWS_KEY, gives)
        case Module():
            return Setting(name, label, GROUPS[8], (AWAKE, ASLEEP, OUT), is_set_to or AWAKE)
    group, at_rest = _group(part), _moved(choices)
    return Setting(name, label, group, at_rest, is_set_to or at_rest[0])


def _moved(choices: tuple[str, ...]) -> tuple[str, ...]:
    """Return the positions without being put in, which is no position where there are others."""
    return tuple(one for one in choices if one != IN) if len(choices) > 2 else choices


def _group(part: Part) -> str:
    match part:
        case Switch():
            return GROUPS[0]
        case Load():
            return GROUPS[3] if has_socket(part) else GROUPS[9]
        case ResistorPack():
            return GROUPS[4]
        case Connector():
            return GROUPS[5]
        case Fuse():
            return GROUPS[6]
        case Relay():
            return GROUPS[7]
    return GROUPS[10]


def _without(condition: Condition, name: str) -> Condition:
    """Return the condition with one thing left to itself."""
    return replace(condition, settings=tuple(pair for pair in condition.settings if pair[0] != name))
