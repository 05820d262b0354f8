"""What is asked before the first check: what is wrong, what else is dead, how old, the posts, a helper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import TypeVar

from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.sheets.condition_words import condition_words
from model.tracing.companions import Companion
from model.tracing.complaint import Complaint, LoomAge, Symptom
from model.words import volts_text
from tui.text import assembled, fit_middle, padded
from tui.widgets.rows import Row

LEAST_AT_REST_VOLTS = 12.0
"""Of a 12 V battery; under it the battery is charged first."""

_SYMPTOMS = {
    Symptom.DEAD: "it does nothing",
    Symptom.WEAK: "it works weakly",
    Symptom.STAYS_ON: "it stays on",
    Symptom.BLOWS_FUSE: "it blows its fuse",
    Symptom.WORKS_WITH_ANOTHER: "it works when another is switched on",
    Symptom.COMES_AND_GOES: "it comes and goes",
}
_AGES = {
    LoomAge.OLD: "it worked for years",
    LoomAge.YOUNG: "it worked lately, the loom is young",
    LoomAge.NEW: "never yet",
}
_NAME_CELLS = 16
_TICK_CELLS = 10
_UNKNOWN = "?"

Item = TypeVar("Item")


class Seen(StrEnum):
    """Whether another load works."""

    WORKS = "works"
    WEAK = "weak"
    DEAD = "dead"


@dataclass(frozen=True)
class Choices:
    """What can be chosen among.

    Attributes
    ----------
    conditions
        In which it was seen; None is where it should work.
    fuses
        On the way of its feed, the nearest first.
    companions
        The loads that share something with it.
    working
        In which it should work; None of several loads at once, and of a battery.
    """

    conditions: tuple[Condition | None, ...]
    fuses: tuple[str, ...]
    companions: tuple[Companion, ...]
    working: Condition | None = None


@dataclass(frozen=True)
class Asked:
    """What has been said so far.

    Attributes
    ----------
    posts_volts
        None where they were not read.
    ticked
        Elements of other loads that were looked at.
    """

    loads: tuple[str, ...]
    symptom: Symptom = Symptom.DEAD
    age: LoomAge = LoomAge.OLD
    has_helper: bool = True
    posts_volts: float | None = None
    condition: Condition | None = None
    fuse: str = ""
    other_load: str = ""
    ticked: Mapping[str, Seen] = field(default_factory=dict)

    @property
    def complaint(self) -> Complaint:
        """What is complained of."""
        ticked = {seen: tuple(name for name, one in self.ticked.items() if one is seen) for seen in Seen}
        return Complaint(
            self.loads,
            self.symptom,
            self.age,
            self.condition,
            self.posts_volts,
            ticked[Seen.WORKS],
            ticked[Seen.DEAD],
            self.fuse if self.symptom is Symptom.BLOWS_FUSE else "",
            self.other_load if self.symptom is Symptom.WORKS_WITH_ANOTHER else "",
            self.has_helper,
            ticked[Seen.WEAK],
        )


def turned(asked: Asked, choices: Choices, row: str, way: int) -> Asked:
    """Return what is said with one row changed to its next (1) or previous (-1) value."""
    match row:
        case "symptom":
            symptom = _next(list(Symptom), asked.symptom, way)
            return with_defaults(replace(asked, symptom=symptom), choices)
        case "age":
            return replace(asked, age=_next(list(_AGES), asked.age, way))
        case "helper":
            return replace(asked, has_helper=not asked.has_helper)
        case "posts":
            return replace(asked, posts_volts=None)
        case "condition":
            return replace(asked, condition=_next(choices.conditions, asked.condition, way))
        case "fuse":
            return replace(asked, fuse=_next(choices.fuses, asked.fuse, way))
        case "other":
            others = [one.element for one in choices.companions]
            return replace(asked, other_load=_next(others, asked.other_load, way))
    return _tick(asked, row, way) if any(one.element == row for one in choices.companions) else asked


def with_defaults(asked: Asked, choices: Choices) -> Asked:
    """Return what is said with what the symptom wants besides: which fuse, with which load, seen in which setting.

    Posts that were read as it was seen are forgotten where it is taken to be seen elsewhere.
    """
    stays = asked.symptom in (Symptom.STAYS_ON, Symptom.WORKS_WITH_ANOTHER)
    condition = asked.condition
    if stays and condition is None:
        condition = next((one for one in choices.conditions if one is not None), None)
    elif not stays and condition is not None and condition != choices.working:
        condition = None
        asked = replace(asked, posts_volts=None)
    fuse = asked.fuse or (choices.fuses[0] if choices.fuses else "")
    other = asked.other_load or (choices.companions[0].element if choices.companions else "")
    return replace(asked, condition=condition, fuse=fuse, other_load=other)


def with_posts(asked: Asked, choices: Choices, volts: float, condition: Condition) -> Asked:
    """Return what is said with the posts as they were read elsewhere, where that was in which the load should work."""
    if asked.posts_volts is not None or asked.condition is not None or condition != choices.working:
        return asked
    return replace(asked, posts_volts=volts, condition=condition)


def asked_rows(harness: Harness, asked: Asked, choices: Choices | None, cells: int) -> list[Row]:
    """Return the rows of the questions, those about other loads once they are known."""
    rows = [
        _row("symptom", "what is wrong", _SYMPTOMS[asked.symptom]),
        _row("age", "last worked", _AGES[asked.age]),
        _row("posts", "posts", posts_words(harness, asked)),
        _row("helper", "a helper", "yes, somebody can hold a switch" if asked.has_helper else "no, alone"),
    ]
    if choices is None:
        return rows
    seen_in = "where it should work" if asked.condition is None else condition_words(harness, asked.condition)
    rows.append(_row("condition", "seen", seen_in))
    if asked.symptom is Symptom.BLOWS_FUSE and choices.fuses:
        rows.append(_row("fuse", "which fuse", asked.fuse))
    if asked.symptom is Symptom.WORKS_WITH_ANOTHER and choices.companions:
        label = next((one.label for one in choices.companions if one.element == asked.other_load), asked.other_load)
        rows.append(_row("other", "with which", label))
    if choices.companions:
        heading = "does each of these work? They share something with it."
        rows.append(Row(assembled((heading, "bold")), can_be_marked=False))
    return rows + [_companion(one, asked, max(cells - _TICK_CELLS, 8)) for one in choices.companions]


def posts_words(harness: Harness, asked: Asked) -> str:
    """Say what the posts read, and that the battery is charged first where that is too little."""
    where = "at rest" if asked.condition is None else "as seen"
    if asked.posts_volts is None:
        return f"{where}: not read; type the volts"
    told = f"{where}: {volts_text(asked.posts_volts)} V"
    return f"{told}: charge the battery first" if is_too_low(harness, asked) else told


def is_too_low(harness: Harness, asked: Asked) -> bool:
    """Tell whether the posts are so low at rest that everything else would mislead."""
    from model.harness.supply import battery_volts

    if asked.posts_volts is None or asked.condition is not None:
        return False
    nominal = battery_volts(harness)[harness.batteries[0].id]
    return asked.posts_volts < LEAST_AT_REST_VOLTS * nominal / 12.0


def companion_words(choices: Choices, name: str) -> str:
    """Say what a load shares and when it should work; empty where it is none of them."""
    found = next((one for one in choices.companions if one.element == name), None)
    if found is None:
        return ""
    return f"{found.label}: should work with {found.needs}. Shares {', '.join(found.shares)}."


def _row(key: str, name: str, words: str) -> Row:
    return Row(assembled((padded(name, _NAME_CELLS), "$quiet"), (words, "bold")), key)


def _companion(one: Companion, asked: Asked, label_cells: int) -> Row:
    """Return the row of another load, its name whole: when it should work stands below, of the marked one."""
    tick = asked.ticked.get(one.element)
    said = f"[{tick or _UNKNOWN}]"
    return Row(
        assembled(
            (padded(said, _TICK_CELLS), "bold" if tick else ""),
            fit_middle(one.label, label_cells),
        ),
        one.element,
    )


def _tick(asked: Asked, name: str, way: int) -> Asked:
    value = _next([None, *Seen], asked.ticked.get(name), way)
    kept = {other: seen for other, seen in asked.ticked.items() if other != name}
    return replace(asked, ticked=kept if value is None else {**kept, name: value})


def _next(items: Sequence[Item], now: Item, way: int) -> Item:
    if not items:
        return now
    place = items.index(now) if now in items else -1
    return items[(place + way) % len(items)]
