"""Who measures, with which meter, and how warm it is: three lines to type."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from model.plans.kept import Measuring
from model.units import number_typed
from tui.commands import Place
from tui.screens.dialog import QuestionDialog
from tui.screens.left_once import LeftOnce
from tui.text import assembled
from tui.widgets.bars import bottom_line
from tui.widgets.line import Line

_LINES = (
    ("who", "Who measures", "a name, or letters of it"),
    ("meter", "Meter", "maker and model, or its number"),
    ("ambient", "Air, °C", "such as 18: ohms of copper rise 4 % in 10 °C"),
)
_LEAST_CELSIUS, _MOST_CELSIUS = -50.0, 80.0


class WhoScreen(LeftOnce[Measuring], ModalScreen[Measuring]):
    """Gives back what was typed; nothing where it was left.

    Parameters
    ----------
    measuring
        As it was said last.
    """

    PLACE: ClassVar[Place] = Place.DIALOG
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", show=False)]
    AUTO_FOCUS = "#who"

    def __init__(self, measuring: Measuring) -> None:
        super().__init__()
        self.measuring = measuring

    def compose(self) -> ComposeResult:
        """Put each name over its line."""
        said = said_words(self.measuring)
        yield Static(assembled(("Measured by", "bold")), classes="heading")
        for (name, words, hint), value in zip(_LINES, said, strict=True):
            yield Static(assembled(words), classes="name")
            yield Line(value, placeholder=hint, id=name, most=60)
        yield Static(assembled(""), id="wrong")
        yield Static(bottom_line([("Enter", "next line, then take"), ("Esc", "back")], 60), classes="foot")

    def on_mount(self) -> None:
        """Keep the cursor still."""
        for entry in self.query(Input):
            entry.cursor_blink = False
        self.query_one("#wrong").display = False

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Go to the next line; from the last take what stands there."""
        names = [name for name, _, _ in _LINES]
        place = names.index(event.input.id or names[-1])
        if place + 1 < len(names):
            self.query_one(f"#{names[place + 1]}", Input).focus()
            return
        self.take()

    def take(self) -> None:
        """Take what stands in the lines, or say what cannot be read."""
        who, meter, degrees = self.typed()
        ambient = read_celsius(degrees)
        if degrees and ambient is None:
            self.show_wrong("That is no temperature: type degrees Celsius, such as 18.")
            return
        self.dismiss(Measuring(who, meter, ambient))

    def show_wrong(self, sentence: str) -> None:
        """Say why something cannot be taken."""
        wrong = self.query_one("#wrong", Static)
        wrong.display = True
        wrong.update(assembled((sentence, "bold $caution")))

    def on_line_refused(self, event: Line.Refused) -> None:
        """Say that there is no room."""
        self.show_wrong(event.sentence)

    def typed(self) -> tuple[str, ...]:
        """Return what stands in the lines."""
        return tuple(self.query_one(f"#{name}", Input).value.strip() for name, _, _ in _LINES)

    def action_leave(self) -> None:
        """Go back; where something was typed ask first whether it is kept."""
        if self.typed() == said_words(self.measuring):
            self.dismiss(None)
            return

        def answer(keeps: bool | None) -> None:
            if keeps:
                self.take()
            else:
                self.dismiss(None)

        question = "Something has been typed that is not taken yet. Enter keeps it, Esc drops it."
        self.app.push_screen(QuestionDialog("Keep what was typed?", question, "keep it", "drop it"), answer)


def said_words(measuring: Measuring) -> tuple[str, str, str]:
    """Give who, meter and degrees as they stand in the lines."""
    ambient = measuring.ambient_celsius
    return measuring.who.strip(), measuring.meter.strip(), "" if ambient is None else f"{ambient:g}"


def read_celsius(typed: str) -> float | None:
    """Read degrees Celsius, a comma or a point before the decimals; None of anything else and of no weather."""
    try:
        celsius = number_typed(typed.strip().removesuffix("C").rstrip(" °"))
    except ValueError:
        return None
    return celsius if _LEAST_CELSIUS <= celsius <= _MOST_CELSIUS else None
