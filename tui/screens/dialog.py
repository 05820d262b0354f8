"""Something to read, or a question to answer, before going on."""

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from model.errors import FusewalkError, HarnessFileError
from tui.commands import Place, bindings_of
from tui.screens.left_once import LeftOnce
from tui.text import assembled, plain
from tui.widgets.bars import bottom_line


class MessageDialog(LeftOnce[None], ModalScreen[None]):
    """A message in sentences; Enter or Esc goes on.

    Parameters
    ----------
    title
        What it is about.
    sentences
        One paragraph each; a long list scrolls. All are one widget: a file may have thousands of breaches.
    """

    PLACE: ClassVar[Place] = Place.DIALOG
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.DIALOG)]
    AUTO_FOCUS = "#sentences"

    def __init__(self, title: str, sentences: Sequence[str]) -> None:
        super().__init__()
        self.heading = title
        self.sentences = tuple(sentence for sentence in sentences if sentence)

    def compose(self) -> ComposeResult:
        """Put the sentences under the title."""
        yield Static(assembled((self.heading, "bold")), classes="heading")
        with VerticalScroll(id="sentences"):
            yield Static(Content("\n\n").join(map(plain_paragraph, self.sentences)), classes="paragraph")
        yield Static(bottom_line([("Enter", "go on")], 40), classes="foot")

    def action_back(self) -> None:
        """Go on."""
        self.dismiss(None)


class QuestionDialog(LeftOnce[bool], ModalScreen[bool]):
    """A question that Enter answers with yes and Esc with no.

    Parameters
    ----------
    title
        What it is about.
    question
        The question, in a sentence that names what Enter will do.
    yes, no
        The words behind Enter and Esc.
    """

    PLACE: ClassVar[Place] = Place.DIALOG
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "answer(True)", show=False),
        Binding("escape", "answer(False)", show=False),
    ]

    def __init__(self, title: str, question: str, yes: str, no: str = "go back") -> None:
        super().__init__()
        self.heading = title
        self.question = question
        self.words = [("Enter", yes), ("Esc", no)]

    def compose(self) -> ComposeResult:
        """Put the question under the title."""
        yield Static(assembled((self.heading, "bold")), classes="heading")
        with VerticalScroll(id="sentences"):
            yield Static(plain_paragraph(self.question), classes="paragraph")
        yield Static(bottom_line(self.words, 60), classes="foot")

    def action_answer(self, yes: bool) -> None:
        """Go back with the answer."""
        self.dismiss(yes)


class CarefulDialog(QuestionDialog, inherit_bindings=False):
    """A question that only y answers with yes: Enter and Esc go on as if nothing had been asked."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter,escape", "answer(False)", show=False),
        Binding("y", "answer(True)", show=False),
    ]

    def __init__(self, title: str, question: str, yes: str, no: str = "go on") -> None:
        super().__init__(title, question, yes, no)
        self.words = [("Enter", no), ("y", yes)]


def error_dialog(error: FusewalkError) -> MessageDialog:
    """Return the dialog of an error that a person can mend: what is wrong, where, what to do."""
    sentences = [error.where, error.do]
    if isinstance(error, HarnessFileError):
        sentences += [breach.text(error.file_name) for breach in error.breaches]
    return MessageDialog(error.what, sentences)


def plain_paragraph(sentence: str) -> Content:
    """Return a sentence that may be long as content."""
    return plain(sentence) if len(sentence) <= 200 else assembled(sentence)
