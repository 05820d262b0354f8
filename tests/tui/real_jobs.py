"""The three main jobs done on a real terminal by keys alone: trace to cured, prove a plan, look a loom over."""

from __future__ import annotations

import re
import shutil
from dataclasses import dataclass
from functools import cache, partial
from pathlib import Path

from model.circuit.bench import Bench
from model.harness.toml_file import read_harness
from model.tracing.asking import Finding, Question, Read, Skip
from model.tracing.checks import MEASURED, WORDS_OF, seen
from model.tracing.complaint import Complaint
from model.tracing.trace import Trace
from model.tracing.typed_answer import read_answer
from tests.tui.builds import BUGGY
from tests.tui.faulty_vehicle import FaultyVehicle, keys_for
from tests.tui.real_terminal import RealTerminal
from tui.filters import in_ascii
from tui.trace_run import TraceRun
from tui.trace_step import question_step
from tui.walks import Walks

LOAD, FAULT, PART = "M2:load", "W26=open", "W26"
ESC, UP, DOWN = "\x1b", "\x1b[A", "\x1b[B"
ROWS = 291
"""Of the continuity plan of the trail buggy, all plugs apart."""
_CHECKS_MOST = 20
_SWATCH = re.compile("[▕|][▓#]+[▏|]")
"""The colours of a wire as they are painted before their letters."""


@dataclass(frozen=True)
class Asked:
    """One check of a trace: what has to stand on the screen, and the keys that answer it."""

    lines: tuple[str, ...]
    cautions: tuple[str, ...]
    keys: tuple[str, ...]


@dataclass(frozen=True)
class Script:
    """A trace of the buggy's dead fuel pump, a wire of which is broken, as the vehicle answers it."""

    asked: tuple[Asked, ...]
    finding: Finding
    cured: str


def empty_folder(directory: Path) -> Path:
    """Copy the trail buggy into an empty folder and return the file."""
    folder = directory / "buggy"
    folder.mkdir()
    return Path(shutil.copy(BUGGY, folder))


@cache
def trace_script() -> Script:
    """Trace the pump as the program does, and answer each check with what the circuit shows."""
    harness = read_harness(BUGGY)
    bench, vehicle = Bench(harness), FaultyVehicle(BUGGY, FAULT)
    trace = Trace(bench, Complaint((LOAD,)))
    run = TraceRun(trace, Walks(bench), None)
    asked: list[Asked] = []
    while isinstance(now := trace.next(), Question):
        assert len(asked) < _CHECKS_MOST
        step, keys = question_step(run.seen(), now), keys_for(now, vehicle)
        lines = tuple(f"{name} {words}" for name, words in step.lines)
        asked.append(Asked(lines, step.cautions, _sent(keys)))
        trace.reply(_reply(now, keys))
    assert now.prove is not None
    proof = trace.question_for(now.prove)
    vehicle.is_mended = True
    return Script(tuple(asked), now, "" if proof.check.kind not in MEASURED else _sent(keys_for(proof, vehicle))[0])


def _sent(keys: tuple[str, ...]) -> tuple[str, ...]:
    """Return keys as a terminal sends them: a number with its Enter in one."""
    return ("".join("\r" if key == "enter" else key for key in keys),)


def _reply(question: Question, keys: tuple[str, ...]) -> Read | Skip:
    kind = question.check.kind
    if keys == ("n",):
        return Skip()
    if kind in MEASURED:
        return Read(read_answer(kind, "".join(keys[:-1]), question.high))
    return Read(seen(WORDS_OF[kind][int(keys[0]) - 1]))


def shows(terminal: RealTerminal, words: str, seconds: float = 60) -> None:
    """Read until words stand on the screen, in however many lines, in ASCII where nothing else can be shown."""
    wanted = " ".join(words.split())
    terminal.until(lambda: _stands(terminal, wanted), seconds)


def _stands(terminal: RealTerminal, wanted: str) -> bool:
    shown = _SWATCH.sub("", terminal.words)
    return wanted in shown or in_ascii(wanted) in shown


def begin_trace(terminal: RealTerminal) -> None:
    """Find the pump by its name and start a trace of it, up to its first check."""
    shows(terminal, "OFF")
    terminal.press("/", "fuel pump", "\r")
    shows(terminal, "G1.+")
    terminal.press("t")
    shows(terminal, "what is wrong")
    terminal.press("\r")


def trace(terminal: RealTerminal) -> None:
    """Trace the pump from t to cured; each check stands on the screen whole before it is answered."""
    script = trace_script()
    begin_trace(terminal)
    for asked in script.asked:
        for line in asked.lines:
            shows(terminal, line)
        if asked.cautions:
            shows(terminal, f"Caution: {asked.cautions[0].partition('. ')[0]}")
        terminal.press(*asked.keys)
    shows(terminal, f"wire {PART}, RD/BU 2.5, broken")
    read_to_the_end(terminal)
    terminal.press("\r")
    shows(terminal, "prove it")
    if script.cured:
        terminal.press(script.cured)
    shows(terminal, "1 cured")
    terminal.press("1\r")
    shows(terminal, "Cured.")
    terminal.press("\r")


def read_to_the_end(terminal: RealTerminal) -> None:
    """Page through a finding with Enter until that would go on."""
    terminal.until(lambda: "Enter read on" in terminal.words or "Enter go on" in terminal.words)
    while "Enter read on" in terminal.words:
        before = terminal.words
        terminal.press("\r")
        terminal.until(partial(_has_changed, terminal, before))


def _has_changed(terminal: RealTerminal, before: str) -> bool:
    return terminal.words != before


def prove(terminal: RealTerminal) -> None:
    """Answer three rows of the continuity plan, one of them bad, and leave it."""
    open_continuity(terminal, 0)
    terminal.type_in("0.1")
    shows(terminal, f"1 of {ROWS}")
    terminal.type_in("OL")
    shows(terminal, f"2 of {ROWS}, 1 bad")
    shows(terminal, "outside at most 0.201 Ω")
    terminal.press(DOWN)
    terminal.type_in("0.1")
    shows(terminal, f"3 of {ROWS}, 1 bad")
    terminal.press(ESC)
    shows(terminal, f"{ROWS - 3} 2 1")
    terminal.press(ESC)
    shows(terminal, "Choose what does not work")


def prove_again(terminal: RealTerminal) -> None:
    """Open the plan again: it stands where it was left, and the rows say what was read."""
    open_continuity(terminal, 3)
    shows(terminal, "open bad")
    shows(terminal, "0.1 Ω good")
    terminal.type_in("0.1")
    shows(terminal, f"4 of {ROWS}, 1 bad")


def open_continuity(terminal: RealTerminal, answered: int) -> None:
    """Open the continuity plan of the loom in the vehicle, all plugs apart."""
    shows(terminal, "key OFF")
    terminal.press("v")
    in_all = "" if terminal.screen.columns < 60 else f"{ROWS} "
    shows(terminal, f"› continuity {in_all}{ROWS - answered}")
    terminal.press("\r")
    shows(terminal, f"{answered} of {ROWS}")
    shows(terminal, "Type ohms")


def review(terminal: RealTerminal) -> None:
    """Look at what is live and what is drawn with the key off, at the findings, and at the part of the first."""
    shows(terminal, "key OFF")
    terminal.press("o")
    shows(terminal, "› what is live 55 points live with the key off")
    terminal.press("\r")
    shows(terminal, "Caution: No fuse stands before this metal")
    back(terminal, "› what is live")
    down(terminal, "› draw with the key off 6.35 mA")
    terminal.press("\r")
    shows(terminal, "› The plan that measures the draw")
    back(terminal, "› draw with the key off")
    for name in ("fuses 28 fuses", "key feeds 41 load circuits", "findings 6 findings: 2 can burn or hurt"):
        down(terminal, f"› {name}")
    terminal.press("\r")
    terminal.until(lambda: "› findings" not in terminal.words and "6 findings" in terminal.words, 60)
    terminal.press(DOWN, UP)
    shows(terminal, "› Fuse above what the wire bears: Fuse F18")
    terminal.press("\r")
    shows(terminal, "blade fuse, 15 A")
    shows(terminal, "12.70")


def back(terminal: RealTerminal, words: str) -> None:
    """Go back to where words stand."""
    terminal.press(ESC)
    shows(terminal, words)


def down(terminal: RealTerminal, words: str) -> None:
    """Go one row down to where words stand."""
    terminal.press(DOWN)
    shows(terminal, words)
