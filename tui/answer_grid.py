"""Answers that are ticked and chosen rather than typed: positions of a switch, cavities of a relay."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from textual.content import Content

from model.harness.harness import Harness
from model.harness.parts import Switch
from model.harness.wire_list_questions import Question
from tui.text import assembled, fit, padded, width
from tui.widgets.rows import Row

_NAME_MOST = 18
_LETTERS = "abcdefghijklmnopqrstuvwxyz"
_NOTHING = "·"
ALONE = "●"


@dataclass(frozen=True, slots=True)
class TickGrid:
    """Which terminals a switch joins in each position.

    Attributes
    ----------
    ticks
        Position and terminal → the number of the group that the terminal is joined in, from 1; none where it is free.
    column
        The terminal that Space ticks in the marked row.
    """

    terminals: tuple[str, ...]
    positions: tuple[str, ...]
    ticks: Mapping[tuple[str, str], int]
    column: int = 0

    @property
    def groups_most(self) -> int:
        """How many groups of terminals can be joined at a time."""
        return max(min(len(self.terminals) // 2, len(_LETTERS)), 1)

    def moved(self, way: int) -> TickGrid:
        """Go to the next terminal (1) or the one before (-1)."""
        return replace(self, column=min(max(self.column + way, 0), len(self.terminals) - 1))

    def ticked(self, position: str) -> TickGrid:
        """Tick the terminal in a position: free, then in the first group, the second, …, then free again."""
        spot = (position, self.terminals[self.column])
        group = self.ticks.get(spot, 0) + 1
        others = {key: value for key, value in self.ticks.items() if key != spot}
        return replace(self, ticks=others if group > self.groups_most else {**others, spot: group})

    def answer(self) -> str:
        """Give the positions with what each joins, as they are read in an answer; a lone tick joins nothing."""
        joined: dict[str, list[list[str]]] = {}
        for position in self.positions:
            groups: dict[int, list[str]] = {}
            for terminal in self.terminals:
                group = self.ticks.get((position, terminal), 0)
                if group:
                    groups.setdefault(group, []).append(terminal)
            joined[position] = [groups[number] for number in sorted(groups) if len(groups[number]) > 1]
        return json.dumps(joined, ensure_ascii=False)

    def lone(self) -> str:
        """Name a position in which one terminal is ticked alone; empty where there is none."""
        for position in self.positions:
            groups = [self.ticks.get((position, terminal), 0) for terminal in self.terminals]
            if any(groups.count(group) == 1 for group in set(groups) - {0}):
                return position
        return ""

    def rows(self, cells: int, marked: str) -> list[Row]:
        """Return the heads and a row a position, at most so many cells wide, the terminal in question in sight."""
        name = min(max((width(one) for one in self.positions), default=0), _NAME_MOST, max(cells // 3, 4))
        widths = [max(width(one), 1) + 2 for one in self.terminals]
        shown = self._in_sight(widths, cells - name - 1)
        heads = " ".join(padded(f" {self.terminals[place]}", widths[place]) for place in shown)
        rows = [Row(assembled((f"{' ' * name} {heads}", "$quiet")), can_be_marked=False)]
        for position in self.positions:
            marks = " ".join(
                padded(self._cell(position, place, is_here=position == marked), widths[place]) for place in shown
            )
            rows.append(Row(assembled(padded(position, name), " ", marks), position))
        return rows

    def _cell(self, position: str, place: int, *, is_here: bool) -> str:
        group = self.ticks.get((position, self.terminals[place]), 0)
        sign = _NOTHING if not group else ALONE if self.groups_most == 1 else _LETTERS[group - 1]
        return f"[{sign}]" if is_here and place == self.column else f" {sign} "

    def _in_sight(self, widths: Sequence[int], cells: int) -> range:
        """Give the places of the terminals that there is room for, the one in question among them."""
        first = 0
        while first < self.column and sum(widths[first : self.column + 1]) + self.column - first > cells:
            first += 1
        last = first
        while last < len(widths) and sum(widths[first : last + 1]) + last - first <= cells:
            last += 1
        return range(first, max(last, first + 1))


@dataclass(frozen=True, slots=True)
class PinChoice:
    """Which terminal sits in each cavity of a plug or socket."""

    cavities: tuple[int, ...]
    terminals: tuple[str, ...]

    def turned(self, cavity: int, way: int) -> PinChoice:
        """Put the next terminal (1) or the one before (-1) into a cavity; the two change places."""
        place = self.cavities.index(cavity)
        other = (place + way) % len(self.terminals)
        names = list(self.terminals)
        names[place], names[other] = names[other], names[place]
        return replace(self, terminals=tuple(names))

    def answer(self) -> str:
        """Give terminals and cavities as they are read in an answer."""
        return json.dumps(dict(zip(self.terminals, self.cavities, strict=True)), ensure_ascii=False)

    def rows(self, cells: int) -> list[Row]:
        """Return a row a cavity."""
        return [
            Row(assembled((f"cavity {cavity}", "$quiet"), "   ", fit(terminal, max(cells - 14, 1))), str(cavity))
            for cavity, terminal in zip(self.cavities, self.terminals, strict=True)
        ]


def grid_of(harness: Harness, question: Question) -> TickGrid | PinChoice | None:
    """Give what a question is ticked or chosen on; None where it is typed or has choices of its own."""
    part = harness.parts.get(question.part)
    if question.key == "positions" and isinstance(part, Switch) and part.terminals:
        ticks = {
            (position, terminal): number
            for position, groups in part.positions.items()
            for number, group in enumerate(groups, 1)
            for terminal in group
        }
        return TickGrid(part.terminals, tuple(part.positions), ticks)
    pins = (question.row or {}).get("pins")
    if question.key == "pins" and isinstance(pins, Mapping) and pins:
        cavities = sorted(int(cavity) for cavity in pins.values())
        by_cavity = {int(cavity): str(name) for name, cavity in pins.items()}
        return PinChoice(tuple(cavities), tuple(by_cavity[cavity] for cavity in cavities))
    return None


def grid_hint(grid: TickGrid | PinChoice) -> Content:
    """Say how the grid is filled in."""
    if isinstance(grid, PinChoice):
        return assembled("Space puts the next terminal into the marked cavity; Enter takes all.")
    joins = "what is ticked is joined" if grid.groups_most == 1 else "the same letter is joined"
    return assembled(f"Space ticks a terminal, Left and Right go to the next; {joins}. Enter takes all.")
