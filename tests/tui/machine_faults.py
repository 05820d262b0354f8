"""What the tests of faults of the machine share: a small loom, where something goes wrong, what is left."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from model.record import read_record
from model.record_entries import AnyEntry
from tests.tui.planned import RIG
from tests.tui.real_terminal import RealTerminal

ESC = "\x1b"
FULL_DISK = (
    "import resource, signal; signal.signal(signal.SIGXFSZ, signal.SIG_IGN); "
    "resource.setrlimit(resource.RLIMIT_FSIZE, (0, resource.RLIM_INFINITY)); "
)
"""Every write into a file fails from the start on."""


def loom(directory: Path) -> Path:
    """Write a small harness into a folder of its own, and return the file."""
    folder = directory / "loom"
    folder.mkdir()
    path = folder / "rig.toml"
    path.write_text(RIG, encoding="utf-8")
    return path


def started(home: Path, file: Path, before: str = "", size: tuple[int, int] = (80, 24)) -> RealTerminal:
    """Start the program on a harness, up to its loads."""
    terminal = RealTerminal(home, str(file), before=before, size=size)
    terminal.until(lambda: "2 loads" in terminal.words, 60)
    terminal.until(lambda: " V" in terminal.words, 60)
    return terminal


def to_walk(terminal: RealTerminal) -> None:
    """Open the walk of the pump."""
    terminal.press("\r")
    terminal.until(lambda: "G1.+" in terminal.words, 60)


def to_trace(terminal: RealTerminal) -> None:
    """Trace the pump up to its second check, the first one answered."""
    first_check(terminal)
    answer(terminal)
    terminal.until(lambda: "check 2" in terminal.words, 60)


def first_check(terminal: RealTerminal) -> None:
    """Trace the pump up to its first check."""
    terminal.press("t")
    terminal.until(lambda: "what is wrong" in terminal.words, 60)
    terminal.press("\r")
    terminal.until(lambda: is_asking(terminal), 60)


def is_asking(terminal: RealTerminal) -> bool:
    """Tell whether a check waits for its answer."""
    return "Type what the meter shows," in terminal.words or "then Enter" in terminal.words


def answer(terminal: RealTerminal) -> None:
    """Answer a check with the first word, or a number that says nothing is wrong there."""
    if "then Enter" in terminal.words:
        terminal.press("1", "\r")
    else:
        terminal.type_in("12.6")


def to_plan(terminal: RealTerminal) -> None:
    """Open the continuity plan, answer its first row, and begin to type at the second."""
    terminal.press("v")
    terminal.until(lambda: "› continuity 1" in terminal.words, 60)
    terminal.press("\r")
    terminal.until(lambda: "Type lowest ohms" in terminal.words, 60)
    terminal.type_in("OL")
    terminal.until(lambda: "GOOD, kept" in terminal.words, 60)
    terminal.press("0.2")
    terminal.until(lambda: "Enter takes it" in terminal.words, 60)


def to_needs(terminal: RealTerminal) -> None:
    """Open the questions of what the file still needs."""
    terminal.press("f")
    terminal.until(lambda: "7 to answer" in terminal.words, 60)
    terminal.press("GN/WH")
    terminal.until(lambda: "assumed for it. GN/WH" in terminal.words, 60)


def to_amend(terminal: RealTerminal) -> None:
    """Open the form of what was done to the battery."""
    to_walk(terminal)
    terminal.press("\r")
    terminal.until(lambda: "lead battery" in terminal.words, 60)
    terminal.press("e")
    terminal.until(lambda: "What was done?" in terminal.words, 60)
    terminal.press("\r")
    terminal.until(lambda: "Tab last row" in terminal.words, 60)


def to_practice(terminal: RealTerminal) -> None:
    """Hide a fault to practise on."""
    terminal.press("p")
    terminal.until(lambda: "Hiding a fault." not in terminal.words and "practice" in terminal.words, 60)


PLACES: dict[str, Callable[[RealTerminal], None]] = {
    "walk": to_walk, "trace": to_trace, "plan": to_plan, "needs": to_needs, "amend": to_amend,
    "practice": to_practice,
}  # fmt: skip
KEPT = {"trace": ["trace", "reading"], "plan": ["measured"]}
"""What stands in the record at each place; nothing at the others."""


def entries_of(file: Path) -> tuple[AnyEntry, ...]:
    """Return what stands in the record of a harness."""
    return read_record(file).entries


def kinds_of(file: Path) -> list[str]:
    """Return the kinds of what stands in the record of a harness."""
    return [entry.kind for entry in entries_of(file)]


def hang_up(terminal: RealTerminal) -> int:
    """Close the terminal itself, and return how the program ended."""
    terminal.child.ptyproc.fileobj.close()
    _, status = os.waitpid(terminal.child.pid, 0)
    terminal.child.closed = terminal.child.ptyproc.closed = True
    return os.waitstatus_to_exitcode(status)


def give_up(terminal: RealTerminal) -> None:
    """End the program whatever it does, so that a test that fails leaves none behind."""
    with suppress(ProcessLookupError, OSError):
        os.kill(terminal.child.pid, signal.SIGKILL)
