"""The frame of every screen: a line on top, a body, a line at the bottom, and work done aside."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar

from textual.app import ComposeResult
from textual.events import Key
from textual.reactive import reactive
from textual.widget import Widget
from textual.worker import Worker, WorkerState

from tui.commands import Place, commands_of, foot_of
from tui.fault_words import fault_words
from tui.pages import Page, write_page
from tui.screens.left_once import LeftOnce
from tui.step_words import step_keys, step_words
from tui.widgets.bars import BarFacts, BottomBar, FaultLine, TopBar
from tui.widgets.line import Line

if TYPE_CHECKING:
    from tui.app import FusewalkApp

Result = TypeVar("Result")
Done = TypeVar("Done")


@dataclass(frozen=True, slots=True)
class Findable:
    """Something that the search can lead to.

    Attributes
    ----------
    words
        What it is called.
    note
        A word on what or where it is.
    go
        What leads to it.
    """

    words: str
    note: str
    go: Callable[[], object]


class Framed(LeftOnce[Result]):
    """A screen between the two lines.

    A subclass names its place, takes its keys from the registry (``BINDINGS = bindings_of(PLACE)``) and gives its
    `body`.
    """

    PLACE: ClassVar[Place]
    facts: reactive[BarFacts] = reactive(BarFacts(), init=False)

    def __init__(self, facts: BarFacts) -> None:
        super().__init__()
        self.set_reactive(Framed.facts, facts)
        self._asides: dict[str, tuple[Worker[Any], Callable[[Any], None]]] = {}

    @property
    def fusewalk(self) -> "FusewalkApp":
        """The app, as what it is."""
        from tui.app import FusewalkApp

        app = self.app
        assert isinstance(app, FusewalkApp)
        return app

    @property
    def has_search(self) -> bool:
        """Whether the search opens from here."""
        return any(command.id == "find" for command in commands_of(self.PLACE))

    def hears(self, event: Key) -> bool:
        """Take a key before it goes its usual way; True where it has been taken."""
        return False

    def compose(self) -> ComposeResult:
        """Put the body between the lines."""
        top = TopBar()
        top.set_reactive(TopBar.facts, self.facts)
        yield top
        yield FaultLine()
        yield from self.body()
        yield BottomBar(foot_of(self.PLACE))

    def body(self) -> Iterable[Widget]:
        """Return the widgets between the lines."""
        return ()

    def page(self) -> Page | None:
        """Return what is shown as text, for the clipboard and for a file; None where there is nothing to take."""
        return None

    def on_mount(self) -> None:
        """Say on every screen of a harness which fault is put in, and the first steps on those that have one."""
        if self.PLACE is Place.OPEN:
            return
        self.watch(self.app, "standing", self._tell_fault)
        self.watch(self.app, "step", self._tell_step)

    def fit(self) -> None:
        """Fit what is shown to a body that has become higher or lower."""

    def _tell_step(self) -> None:
        bar, step = self.query_one(BottomBar), self.fusewalk.step
        words = step_words(step, self.PLACE)
        if words == bar.step:
            return
        bar.step = words
        bar.keys = tuple(step_keys(step, self.PLACE, foot_of(self.PLACE)))
        self.set_class(bool(words), "-steps")
        self.call_after_refresh(self.fit)

    def _tell_fault(self) -> None:
        standing = self.fusewalk.standing
        faults = () if standing is None else standing.condition.faults
        self.query_one(FaultLine).fault = ", ".join(fault_words(fault) for fault in faults)

    def watch_facts(self, facts: BarFacts) -> None:
        """Hand the facts to the line on top."""
        self.query_one(TopBar).facts = facts

    def say(self, sentence: str) -> None:
        """Say one thing in the bottom line; it stays until the next key."""
        self.query_one(BottomBar).said = sentence

    def on_line_refused(self, event: Line.Refused) -> None:
        """Say that an entry has no room."""
        self.say(event.sentence)

    def aside(self, work: Callable[[], Done], then: Callable[[Done], None], group: str = "aside") -> None:
        """Do something slow in a thread, then go on here with what it gave.

        Work of the same group begun before is dropped, its outcome too, even where it has come and only waits to be
        handed on: what is stale must not begin more work in this one's place. An error becomes a dialog.

        Parameters
        ----------
        work : callable
            Touches no widget.
        then : callable
            Called on the screen's own thread with what `work` returned.
        group : str
            Work of one group follows on itself.
        """
        worker = self.run_worker(work, group=group, thread=True, exclusive=True, exit_on_error=False)
        self._asides[group] = worker, then

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """Go on with what came of work done aside, or tell its error."""
        if event.state in {WorkerState.PENDING, WorkerState.RUNNING}:
            return
        latest, then = self._asides.get(event.worker.group, (None, None))
        is_latest = latest is event.worker
        if is_latest:
            del self._asides[event.worker.group]
        if event.state is WorkerState.ERROR and event.worker.error is not None:
            self.fusewalk.tell(event.worker.error)
        elif event.state is WorkerState.SUCCESS and is_latest and then is not None and not self.is_left:
            with self.fusewalk.telling():
                then(event.worker.result)

    def action_back(self) -> None:
        """Go back to the screen below; where there is none, say how to leave."""
        if self.fusewalk.has_below(self):
            self.dismiss(None)
            return
        self.say("Press q to quit.")

    def action_copy(self) -> None:
        """Send what is shown to the terminal's clipboard."""
        page = self.page()
        if page is None:
            self.say("There is nothing here to send.")
            return
        self.app.copy_to_clipboard(page.text)
        self.say("Sent to terminal. Where the terminal does not take it, press w to write it to a file.")

    def action_write(self) -> None:
        """Write what is shown to a new file, and say where it is."""
        page = self.page()
        if page is None:
            self.say("There is nothing here to write.")
            return
        self.say(f"Written to {write_page(page, self.fusewalk.path)}")
