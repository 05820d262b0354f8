"""Practice: a fault is hidden; one check after another is chosen, and the vehicle answers."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path, PurePath
from random import SystemRandom
from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Static

from model.errors import AnswerError, FusewalkError
from tui.commands import Place, bindings_of
from tui.key_shown import key_shown
from tui.pages import Page
from tui.screens.frame import Framed
from tui.screens.trace_shown import WAIT
from tui.text import assembled, lines, plain
from tui.widgets.bars import BarFacts
from tui.widgets.rows import RowList

if TYPE_CHECKING:
    from model.harness.harness import Harness
    from model.tracing.checks import Check
    from model.tracing.practice import Made, Practice, Verdict
    from model.tracing.suspects import Hypothesis
    from tui.practice_rows import WantsRoom

SEEDS = 1_000_000
HIDING = "Hiding a fault."
READING = "Reading."
THINKING = "Weighing what is left."
AGAIN = "That is read already: Enter once more reads it again, and it counts."

Done = TypeVar("Done")


class PracticeScreen(Framed[None]):
    """Lists the checks by place; each that is made gets what the vehicle shows.

    Parameters
    ----------
    harness
        The harness.
    seed
        Which fault is hidden; any where none is given.
    """

    PLACE = Place.PRACTICE
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.PRACTICE)]
    AUTO_FOCUS = "#checks"
    CSS_PATH: ClassVar[str | PurePath | list[str | PurePath] | None] = (
        Path(__file__).parent.parent / "styles/practice.tcss"
    )

    def __init__(self, harness: Harness, seed: int | None = None) -> None:
        super().__init__(BarFacts(harness.build.name, "practice"))
        self.harness = harness
        self.seed = seed
        self.practice: Practice | None = None
        self.named: dict[str, Check] = {}
        self.hinted_at: tuple[Check, ...] = ()
        self.meant_again: Check | None = None
        self.is_busy = False

    def body(self) -> Iterable[Widget]:
        """Return the complaint, what the marked check wants, the checks, and the last reading."""
        yield Static(id="complaint")
        yield Static(id="wants")
        yield RowList(id="checks")
        yield Static(plain(HIDING), id="said")

    def on_mount(self) -> None:
        """Hide a fault aside."""
        self.hide(self.seed)

    def _tell_fault(self) -> None:
        """Leave out a fault that a question has put in: the vehicle of the practice has its own."""

    def hide(self, seed: int | None) -> None:
        """Hide a fault anew."""
        from model.circuit.bench import Bench
        from model.tracing.practice import Practice

        self.practice, self.hinted_at, self.meant_again = None, (), None
        chosen = SystemRandom().randrange(SEEDS) if seed is None else seed
        self.query_one("#complaint", Static).update(plain(""))
        self.query_one("#wants", Static).update(plain(""))
        self.query_one(RowList).show([])
        self.work(lambda: Practice(Bench(self.harness), chosen), self.hidden, HIDING)

    def work(self, work: Callable[[], Done], then: Callable[[Done], None], words: str) -> None:
        """Do one thing aside, and go on with what came of it; until it is done no other is begun."""
        if self.is_busy:
            self.say(WAIT)
            return
        self.is_busy = True
        self.tell(words)

        def guarded() -> Done | FusewalkError:
            try:
                return work()
            except FusewalkError as error:
                return error

        self.aside(guarded, partial(self.worked, then), group="practice")

    def worked(self, then: Callable[[Done], None], done: Done | FusewalkError) -> None:
        """Go on, or tell what is wrong."""
        self.is_busy = False
        if not isinstance(done, FusewalkError):
            then(done)
            return
        self.tell(f"{done.what} {done.do}".strip() if isinstance(done, AnswerError) else "")
        if not isinstance(done, AnswerError):
            self.fusewalk.tell(done)

    def tell(self, words: str) -> None:
        """Say what came of the last thing done, under the list."""
        self.query_one("#said", Static).update(assembled(words))
        self.show_wants()

    def hidden(self, practice: Practice) -> None:
        """Show the complaint and the checks."""
        from tui.practice_words import MAY_SLIP, VEHICLE_WORDS, told_complaint

        self.practice = practice
        self.query_one("#complaint", Static).update(plain(" ".join((*told_complaint(practice), MAY_SLIP))))
        self.tell(VEHICLE_WORDS)
        self.show_checks()

    def on_resize(self) -> None:
        """Fit the rows to the width."""
        self.call_after_refresh(self.show_checks)

    def show_checks(self) -> None:
        """Show the checks with what came of them."""
        from model.tracing.named_checks import named_check
        from tui.practice_rows import check_rows, practice_checks

        practice = self.practice
        if practice is None:
            return
        checks = practice_checks(practice, self.hinted_at)
        self.named = {
            named_check(practice.harness, check, practice.condition): check for _, there in checks for check in there
        }
        rows = self.query_one(RowList)
        rows.show(check_rows(practice, checks, rows.room))
        self.facts = BarFacts(
            self.harness.build.name, _doing(practice), key_shown(self.harness, practice.condition.key)
        )
        self.show_wants()

    def on_row_list_marked(self) -> None:
        """Say what the check wants that is marked now."""
        self.meant_again = None
        self.show_wants()

    def show_wants(self) -> None:
        """Say what the marked check wants done, cautions first."""
        from tui.practice_rows import wanted_lines

        check, wants = self.marked_check(), self.query_one("#wants", Static)
        if self.practice is None or check is None:
            return
        cells = max(self.size.width - 2, 8)
        wants.update(lines(wanted_lines(self.practice, check, cells, self.wants_room(cells))))

    def wants_room(self, cells: int) -> WantsRoom:
        """Count the lines that the step has beside the complaint, what was said last and the list."""
        from tui.practice_rows import WantsRoom

        height = self.size.height
        frame = _FRAME if height < _TALL else _FRAME_TALL
        said = [str(self.query_one(name, Static).content) for name in ("#complaint", "#said")]
        others = sum(min(len(assembled(words).wrap(cells)), most) for words, most in zip(said, _MOST_SAID, strict=True))
        room = max(height - frame - others - _LIST_LEAST, 2)
        return WantsRoom(room, min(height // 2 - _LIST_LEAST, room))

    def marked_check(self) -> Check | None:
        """Return the check that is marked."""
        row = self.query_one(RowList).marked_row
        return None if row is None else self.named.get(row.key)

    def on_row_list_taken(self) -> None:
        """Make the check that was clicked."""
        self.action_make()

    def action_make(self) -> None:
        """Make the marked check."""
        practice, check = self.practice, self.marked_check()
        if practice is None or check is None:
            self.say("No check is marked: arrows mark one.")
            return
        is_made = any(one.check == check for one in practice.made)
        if is_made and self.meant_again != check and not self.is_busy:
            self.meant_again = check
            self.tell(AGAIN)
        else:
            self.make(check)

    def make(self, check: Check) -> None:
        """Let the vehicle answer a check."""
        practice, self.meant_again = self.practice, None
        if practice is not None:
            self.work(partial(practice.make, check), self.made, READING)

    def made(self, made: Made) -> None:
        """Show what came of a check."""
        from tui.practice_words import made_words

        assert self.practice is not None
        self.tell(f"{made_words(self.practice, made)}.")
        self.show_checks()
        self.mark(made.check)

    def mark(self, check: Check) -> None:
        """Mark a check in the list."""
        name = next((name for name, one in self.named.items() if one == check), "")
        if name:
            self.query_one(RowList).mark_key(name)
        self.show_wants()

    def action_hint(self) -> None:
        """Mark the next best check."""
        if self.practice is not None:
            self.work(self.practice.hint, self.hinted, THINKING)

    def hinted(self, check: Check | None) -> None:
        """Show the hint."""
        assert self.practice is not None
        if check is None:
            self.tell("Enough has been read: i names what is wrong.")
            return
        if check not in self.named.values():
            self.hinted_at = (*self.hinted_at, check)
            self.show_checks()
        self.mark(check)
        self.tell("The next best check is marked.")

    def action_find_check(self) -> None:
        """Ask for a check and mark it."""
        from tui.practice_find import found_check, offered_checks
        from tui.screens.ask import AskScreen

        if self.practice is None:
            return
        ask: AskScreen[Check] = AskScreen(
            "Find which check?",
            "letters of it: a point, a part, a place",
            lambda typed: found_check(self.harness, self.named, typed),
            lambda typed: offered_checks(self.harness, self.named, typed),
        )
        self.app.push_screen(ask, self.go_to)

    def go_to(self, check: Check | None) -> None:
        """Mark a check that was found."""
        if check is not None:
            self.mark(check)

    def action_elsewhere(self) -> None:
        """Ask for a point to read against the grounded post, or for two to read between."""
        from tui.practice_find import offered_points, points_typed
        from tui.screens.ask import AskScreen

        if self.practice is None:
            return
        ask: AskScreen[tuple[str, str]] = AskScreen(
            "Volts at which point, against the grounded post? A second one is for the black probe.",
            "a point, or words of it: X2.cab.6, pump; two: X2.cab.6 GND1",
            partial(points_typed, self.harness),
            partial(offered_points, self.harness),
        )
        self.app.push_screen(ask, self.read_at)

    def read_at(self, points: tuple[str, str] | None) -> None:
        """Read volts at a point that was chosen, or between two."""
        from tui.practice_lines import point_check

        if points and self.practice is not None:
            self.make(point_check(self.harness, self.practice.condition, *points))

    def action_name(self) -> None:
        """Ask what is wrong."""
        from tui.practice_rows import offered_suspects
        from tui.practice_words import named_as_typed
        from tui.screens.ask import AskScreen

        practice = self.practice
        if practice is None or self.is_busy:
            self.say(WAIT)
            return
        hint = "a part, or words of the fault: W9, fuse F5 blown"
        read, offer = partial(named_as_typed, practice), partial(offered_suspects, practice)
        self.app.push_screen(AskScreen("What is wrong?", hint, read, offer), self.judge)

    def judge(self, named: tuple[Hypothesis, ...] | None) -> None:
        """Judge what was named, aside: whether a check tells it from what was hidden may have to be worked out."""
        practice = self.practice
        if named and practice is not None:
            self.work(partial(practice.name, named), self.judged, THINKING)

    def judged(self, verdict: Verdict) -> None:
        """End the practice with a right name; a wrong one is told and it goes on."""
        from tui.practice_words import wrong_sentence

        assert self.practice is not None
        if verdict.is_right:
            self.show_end()
        else:
            self.tell(wrong_sentence(self.practice, verdict))

    def action_cautions(self) -> None:
        """Show what the marked check wants done with nothing left out."""
        from tui.practice_words import asked_sentence
        from tui.screens.dialog import MessageDialog

        practice, check = self.practice, self.marked_check()
        if practice is None or check is None:
            self.say("No check is marked: arrows mark one.")
            return
        cautions = [f"Caution: {caution}" for caution in practice.cautions(check)]
        asked = asked_sentence(practice, check)
        self.app.push_screen(MessageDialog("Before it is made", [*cautions, asked]))

    def action_give_up(self) -> None:
        """Tell what it was."""
        if self.practice is None or self.is_busy:
            self.say(WAIT)
            return
        self.practice.give_up()
        self.show_end()

    def show_end(self) -> None:
        """Show how it went, then hide another fault or go back."""
        from tui.screens.practised import PractisedScreen

        def left(another: bool | None) -> None:
            if another:
                self.hide(None)
            else:
                self.dismiss(None)

        assert self.practice is not None
        self.app.push_screen(PractisedScreen(self.practice, self.facts), left)

    def page(self) -> Page | None:
        """Return the complaint and the readings so far as text."""
        from tui.practice_words import made_words, told_complaint

        practice = self.practice
        if practice is None:
            return None
        made = [f"{one.step}. {made_words(practice, one)}" for one in practice.made]
        return Page("practice", "\n".join([*told_complaint(practice), "", *made]) + "\n")

    def action_back(self) -> None:
        """Go back; where something has been read it is asked first."""
        if self.practice is None or not self.practice.made:
            self.dismiss(None)
            return
        from tui.screens.dialog import QuestionDialog

        def answer(leave: bool | None) -> None:
            if leave:
                self.dismiss(None)

        question = (
            f"Its readings are not kept. fusewalk practice with --seed {self.practice.seed} hides the same again."
        )
        self.app.push_screen(QuestionDialog("Leave this practice?", question, "leave", "go on"), answer)


_TALL = 24
_FRAME, _FRAME_TALL = 4, 5
"""Lines that are taken by the bars and the rules in a low window, and in one with a rule over the bottom line."""

_LIST_LEAST = 4
_MOST_SAID = (4, 3)
"""Lines that the complaint and what was said last have at most, as in the style sheet."""


def _doing(practice: Practice) -> str:
    from model.words import plural

    minutes = f", about {practice.minutes:.0f} min" if practice.made else ""
    return f"practice, {plural(practice.steps, 'check')}{minutes}"
