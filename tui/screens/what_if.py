"""What would I see if: the choice of a fault of a part, or of the parts of one row of a walk."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Static

from model.errors import ArgumentError
from model.units import number_typed
from model.words import clean
from tui.commands import Place, bindings_of
from tui.screens.ask import AskScreen
from tui.screens.following import Following
from tui.text import assembled, plain
from tui.widgets.bars import BarFacts
from tui.widgets.rows import Row, RowList

if TYPE_CHECKING:
    from model.circuit.faults import Fault
    from model.harness.harness import Harness
    from tui.fault_rows import Choice
    from tui.standing import Solved, Standing

OFFERED_MOST = 12
_CAUTION_MOST_LINES = 10


class WhatIfScreen(Following[None]):
    """Lists the faults that parts can have.

    Parameters
    ----------
    part_ids
        The parts, in the order in which they are listed.
    site
        The fault site that is marked at first, ``X1.4``, ``K1.87``; empty for the first.
    """

    PLACE = Place.WHAT_IF
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.WHAT_IF)]
    AUTO_FOCUS = "#faults"

    def __init__(self, part_ids: Sequence[str], site: str = "") -> None:
        super().__init__(BarFacts("", f"what if: {' or '.join(part_ids)}"))
        self.part_ids = tuple(part_ids)
        self.site = site
        self.choices: dict[str, Choice] = {}

    def body(self) -> Iterable[Widget]:
        """Return the question over the faults."""
        yield Static(id="trouble", classes="trouble")
        yield Static(plain("What is wrong with it? Enter shows what one would see."), id="question", classes="lead")
        yield RowList(id="faults")

    def on_mount(self) -> None:
        """List the faults aside: a large plug has thousands."""
        standing = self.fusewalk.standing
        if standing is not None:
            self.show_caution(paper_caution(standing.harness, self.part_ids))
            self.aside(lambda: self.made(standing.harness), self.show_choices, "faults")

    def show_caution(self, words: str) -> None:
        """Say what is to be left alone, before all else."""
        caution = self.query_one("#trouble", Static)
        caution.display = bool(words)
        caution.styles.max_height = _CAUTION_MOST_LINES
        caution.update(assembled(words))

    def made(self, harness: Harness) -> tuple[dict[str, Choice], list[Row]]:
        """List the faults as rows; touches no widget."""
        from tui.fault_rows import choice_rows, fault_choices

        choices = [choice for part_id in self.part_ids for choice in fault_choices(harness, part_id)]
        return {choice.key: choice for choice in choices}, choice_rows(harness, choices)

    def show_choices(self, made: tuple[dict[str, Choice], list[Row]]) -> None:
        """Show the faults, those of the site that was asked for marked."""
        self.choices, rows = made
        column = self.query_one(RowList)
        column.show(rows)
        first = next((key for key, choice in self.choices.items() if choice.site == self.site), None)
        if first is not None:
            column.mark_key(first)
        if not self.choices:
            self.query_one("#question", Static).update(plain("Nothing can be worked out of it."))

    def doing(self, solved: Solved | None) -> str:
        """Say which part is asked about."""
        standing = self.fusewalk.standing
        if standing is None:
            return self.facts.doing
        from model.sheets.part_facts import named

        return f"what if: {' or '.join(named(standing.harness, part_id) for part_id in self.part_ids)}"

    def on_row_list_taken(self) -> None:
        """See the fault that was clicked."""
        self.action_see()

    def action_see(self) -> None:
        """Ask for what the fault still wants, then show what one would see of it."""
        row, standing = self.query_one(RowList).marked_row, self.fusewalk.standing
        choice = self.choices.get(row.key) if row is not None else None
        if choice is None or standing is None:
            return
        question = question_of(standing, choice)
        if question is not None:
            self.app.push_screen(question, self.see)
            return
        from model.circuit.faults import parse_fault

        self.see(parse_fault(standing.harness, f"{choice.site}={choice.kind}"))

    def see(self, fault: Fault | None) -> None:
        """Show what one would see of a fault; None where the question was left."""
        if fault is None:
            return
        from tui.screens.what_if_seen import SeenScreen

        self.app.push_screen(SeenScreen(fault), self.leave_with)

    def leave_with(self, kept: bool | None) -> None:
        """Go back to where the question came from, where the fault has been put in."""
        if kept:
            self.dismiss(None)


def paper_caution(harness: Harness, part_ids: Sequence[str]) -> str:
    """Say that a question is one on paper where parts belong to a restraint or to high voltage; else nothing."""
    from model.caution_words import CAUTIONS, CautionKind
    from model.harness.fields import Hazard
    from model.harness.hazards import hazards_of_part

    found = {hazard for part_id in part_ids for hazard in hazards_of_part(harness, part_id)}
    grave = {Hazard.RESTRAINT: CautionKind.RESTRAINT, Hazard.HIGH_VOLTAGE: CautionKind.HIGH_VOLTAGE}
    told = [CAUTIONS[kind].text for hazard, kind in grave.items() if hazard in found]
    return " ".join(["This is asked on paper only: nothing here is touched.", *told]) if told else ""


def question_of(standing: Standing, choice: Choice) -> AskScreen[Fault] | None:
    """Return the question for what a fault wants beside its name; None where it wants nothing."""
    from model.circuit.faults import FaultKind, parse_fault

    harness, site = standing.harness, choice.site
    if choice.kind is FaultKind.HIGH:

        def read_ohms(typed: str) -> Fault:
            return parse_fault(harness, f"{site}={_ohms(typed) if typed else FaultKind.HIGH}")

        return AskScreen(f"{site}: how many ohms stand in its place?", "Enter alone: 5 Ω more than it has", read_ohms)
    if choice.kind not in (FaultKind.TOUCHES, FaultKind.ELSEWHERE):
        return None

    def read_partner(typed: str) -> Fault:
        return parse_fault(harness, f"{site}={choice.kind}:{typed}")

    touches = choice.kind is FaultKind.TOUCHES
    question = f"{site} touches what?" if touches else f"{site}: where is that end really?"
    hint = "a point or a wire: X2.cab.6, W14" if touches else "a point: X2.cab.6"
    return AskScreen(question, hint, read_partner, lambda typed: offered(harness, typed, touches))


def _ohms(typed: str) -> str:
    """Read ohms as a person types them: a decimal comma is a point, the unit may stand behind."""
    figure = typed.casefold().removesuffix("ω").removesuffix("ohms").removesuffix("ohm").strip()
    try:
        return f"{number_typed(figure)}"
    except ValueError:
        raise ArgumentError(f"“{clean(typed, 60)}” is no figure in ohms.", do="Type it as 2.5 or 0,3.") from None


def offered(harness: Harness, typed: str, with_wires: bool) -> list[tuple[str, str]]:
    """Return points, and wires where they may be, that fit what was typed: the name, and how it is shown."""
    from model.harness.places import place_words, point_place
    from model.sheets.part_facts import named
    from model.tracing.find import FindKind, search

    names: dict[str, str] = {}
    for found in search(harness, typed.split(), OFFERED_MOST).found:
        if found.what is FindKind.WIRE and with_wires:
            names[found.id] = f"wire, {found.colour_words}, {found.size}"
        for point in found.points[:OFFERED_MOST]:
            part_id = point.partition(".")[0]
            names.setdefault(point, ", ".join([named(harness, part_id), place_words(point_place(harness, point))]))
    return list(names.items())[:OFFERED_MOST]
