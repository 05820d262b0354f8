"""What was done on a finished loom, filled in and put into its file as a new revision."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType

from tui.amend_lines import READING, REASON, WHO, Told, amend_lines, outcome_of, why_of
from tui.commands import Place, bindings_of
from tui.form_rows import FormLine
from tui.screens.form import FormScreen
from tui.widgets.bars import BarFacts

if TYPE_CHECKING:
    from model.amending import Done
    from model.harness.amendments import Amendment
    from model.harness.file_read import FileRead
    from model.harness.harness import Harness
    from model.tracing.amendment_forms import AmendForm
    from tui.standing import Standing

_CARE = (
    "It is the file alone that changes here: the work on the loom is yours, with the battery off, by the rules where "
    "you are."
)
Beside = Callable[[Callable[[], "Done"]], "Done"]
"""Does something with the record let go by whatever else writes it."""


class AmendScreen(FormScreen):
    """Asks what was done with a part.

    Parameters
    ----------
    standing
        The harness that is amended.
    form
        What is asked, filled in as far as it is known.
    told
        Why, and what was read, as far as it is known.
    then
        Called with what was done, once this screen is gone.
    beside
        Lets the record go while it is written here; None where nothing holds it.
    """

    PLACE = Place.AMEND
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.AMEND)]

    def __init__(
        self,
        standing: Standing,
        form: AmendForm,
        told: Told,
        then: Callable[[Done], None],
        beside: Beside | None = None,
    ) -> None:
        super().__init__(BarFacts(standing.harness.build.name, f"{form.part_id}: {form.kind}"))
        self.before = standing
        self.form = form
        self.told = told
        self.then = then
        self.beside = beside
        self.read: FileRead | None = None
        self.stood: dict[str, str] = {}

    @property
    def harness(self) -> Harness:
        """The harness as it is before."""
        return self.before.harness

    def on_mount(self) -> None:
        """Read the file aside, so that a change of it by something else is noticed."""
        from model.tracing.amendment_forms import form_of
        from tui.putting_in import read_for

        self.stood = {one.key: one.value for one in form_of(self.harness, self.form.kind, self.form.part_id).fields}
        self.show()
        self.aside(partial(read_for, self.before.path, self.harness), self.keep_read, group="file")

    def keep_read(self, read: FileRead) -> None:
        """Keep what the file held."""
        self.read = read

    def lead(self) -> str:
        """Say what kind of work it is."""
        from model.tracing.amendment_forms import DOES
        from model.tracing.names import id_and_label

        does = DOES[self.form.kind]
        return f"{id_and_label(self.harness, self.form.part_id)}: {does}."

    def form_lines(self) -> list[FormLine]:
        """Return what is asked."""
        return amend_lines(self.form, self.stood, self.values, self.told)

    def check(self, key: str, typed: str) -> None:
        """Refuse a value that the key of a row cannot have."""
        from model.harness.amended_parts import table_of
        from model.harness.typed_values import typed_values

        if self.form.is_row and key not in (REASON, READING, WHO):
            typed_values(table_of(self.harness, self.form.part_id), [f"{key}={typed}"])

    def after(self) -> str:
        """Say what it comes to."""
        return outcome_of(self.harness, self.form, self.values).words

    def put_in(self) -> None:
        """Ask, then put it into the file."""
        from tui.putting_in import question_words

        found = outcome_of(self.harness, self.form, self.values)
        amendment = found.amendment
        if amendment is None or self.read is None:
            self.show_wrong(found.words if amendment is None else "The file is still being read.")
            return
        question = f"{_CARE} {question_words(amendment, self.harness.build.revision)}"
        self.ask_first("Put this into the file?", question, partial(self.work, amendment))

    def work(self, amendment: Amendment) -> Done:
        """Put the amendment in; touches no widget."""
        from tui.putting_in import put_in

        work = partial(put_in, self.before.path, amendment, why_of(self.values, self.told), self.read)
        return work() if self.beside is None else self.beside(work)

    def written(self, done: Done) -> None:
        """Leave, and go on."""
        self.dismiss(None)
        self.app.call_later(self.then, done)
