"""Faults of the machine under the running program: nothing answered is lost, and the terminal is left as it was."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from model.record import record_path
from model.record_entries import Measured
from tests.tui.machine_faults import (
    ESC,
    FULL_DISK,
    KEPT,
    PLACES,
    answer,
    entries_of,
    first_check,
    give_up,
    hang_up,
    is_asking,
    kinds_of,
    loom,
    started,
    to_plan,
    to_trace,
)
from tests.tui.real_terminal import ROOT, RealTerminal

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform == "win32", reason="signals and terminals of POSIX"),
]


def at_places(once: str) -> pytest.MarkDecorator:
    """Try it at every place, but at one only where not every one is asked for."""
    marked = [pytest.param(name, marks=[] if name == once else pytest.mark.thorough) for name in PLACES]
    return pytest.mark.parametrize("place", marked)


@at_places("plan")
@pytest.mark.parametrize(
    ("number", "code"),
    [
        (signal.SIGTERM, 143),
        pytest.param(signal.SIGHUP, 129, marks=pytest.mark.thorough),
        pytest.param(signal.SIGINT, 130, marks=pytest.mark.thorough),
    ],
)
def test_a_signal_ends_it_wherever_it_is(tmp_path: Path, place: str, number: int, code: int) -> None:
    """What was answered stands in the record, what was half typed does not; terminal and file are whole."""
    file = loom(tmp_path)
    before = file.read_bytes()
    terminal = started(tmp_path, file)
    PLACES[place](terminal)
    terminal.child.kill(number)
    assert terminal.end() == code
    assert terminal.is_left_clean()
    assert kinds_of(file) == KEPT.get(place, [])
    assert file.read_bytes() == before


@at_places("trace")
def test_a_terminal_that_is_closed_ends_it_wherever_it_is(tmp_path: Path, place: str) -> None:
    """Nobody is left to talk to: it ends, and what was answered stands in the record."""
    file = loom(tmp_path)
    terminal = started(tmp_path, file)
    PLACES[place](terminal)
    assert hang_up(terminal) == 129
    assert kinds_of(file) == KEPT.get(place, [])


def test_it_is_stopped_and_goes_on(tmp_path: Path) -> None:
    """Stopped it gives the terminal back; going on it draws all of it again and takes the next answer."""
    file = loom(tmp_path)
    terminal = started(tmp_path, file)
    to_trace(terminal)
    os.kill(terminal.child.pid, signal.SIGTSTP)
    terminal.until(terminal.is_left_clean)
    pid, status = os.waitpid(terminal.child.pid, os.WUNTRACED)
    assert (pid, os.WIFSTOPPED(status)) == (terminal.child.pid, True)
    terminal.drain()
    terminal.screen.reset()
    os.kill(terminal.child.pid, signal.SIGCONT)
    terminal.until(lambda: "check 2" in terminal.words and is_asking(terminal))
    answer(terminal)
    terminal.until(lambda: "check 3" in terminal.words or "ended" in terminal.words)
    terminal.child.kill(signal.SIGTERM)
    assert terminal.end() == 143
    assert terminal.is_left_clean()
    assert kinds_of(file)[:3] == ["trace", "reading", "reading"]


def beside_the_walk(terminal: RealTerminal) -> list[str]:
    """Return the lines of a trace above and below its walk, which may stand at another row."""
    lines = list(terminal.screen.display)
    heads = next((place for place, line in enumerate(lines) if "expect, V" in line), 0)
    return [*lines[:heads], *lines[-2:]]


@pytest.mark.parametrize("seed", [1, *(pytest.param(seed, marks=pytest.mark.thorough) for seed in range(2, 6))])
def test_a_storm_of_sizes_leaves_the_trace_as_it_was(tmp_path: Path, seed: int) -> None:
    """After sixty sizes in a burst, tiny and huge, the check and what was half typed stand there, each line whole."""
    chance = random.Random(seed)
    file = loom(tmp_path)
    terminal = started(tmp_path, file)
    to_trace(terminal)
    terminal.press("1")
    terminal.until(lambda: "1_" in terminal.words)
    shown = beside_the_walk(terminal)
    for _ in range(60):
        terminal.resize(chance.randint(1, 250), chance.randint(1, 70))
        terminal.read()
    terminal.screen.reset()
    terminal.resize(81, 24)
    terminal.resize(80, 24)
    terminal.until(lambda: beside_the_walk(terminal) == shown)
    terminal.press("2.6\r")
    terminal.until(lambda: "check 3" in terminal.words or "ended" in terminal.words)
    assert kinds_of(file)[:3] == ["trace", "reading", "reading"]
    give_up(terminal)


@pytest.mark.parametrize("ends_by", ["q", pytest.param("a signal", marks=pytest.mark.thorough)])
def test_what_a_full_disk_does_not_take_is_printed(tmp_path: Path, ends_by: str) -> None:
    """The trace says that nothing is written; what is printed at the end, put into the record, is gone on with."""
    file = loom(tmp_path)
    terminal = started(tmp_path, file, FULL_DISK)
    to_trace(terminal)
    terminal.until(lambda: "Not written down: the record cannot be written: File too large." in terminal.words)
    if ends_by == "q":
        terminal.press("q")
        terminal.until(lambda: "printed when the program ends" in terminal.words)
        terminal.press("\r")
    else:
        terminal.child.kill(signal.SIGTERM)
    assert terminal.end() == (0 if ends_by == "q" else 143)
    assert terminal.is_left_clean()
    _, says, blocks = terminal.left().partition("put these lines at its end:")
    assert says
    assert kinds_of(file) == []
    record_path(file).write_text(blocks.replace("\r", ""), encoding="utf-8")
    assert kinds_of(file) == ["trace", "reading"]
    again = started(tmp_path, file)
    again.press("t")
    again.until(lambda: "go on with the trace of" in again.words and "1 answer" in again.words)
    again.press("\r")
    again.until(lambda: "check 2" in again.words)
    give_up(again)


def test_a_folder_that_is_moved_away_is_told_and_what_is_answered_is_printed(tmp_path: Path) -> None:
    """The plan says what is wrong with the record; all that was answered is printed at the end."""
    file = loom(tmp_path)
    terminal = started(tmp_path, file)
    to_plan(terminal)
    file.parent.rename(tmp_path / "away")
    terminal.press("\r")
    terminal.until(lambda: "the record cannot be written: No such file or directory" in terminal.words)
    terminal.press("q")
    terminal.until(lambda: "printed when the program ends" in terminal.words)
    terminal.press("\r")
    assert terminal.end() == 0
    blocks = terminal.left().partition("put these lines at its end:")[2]
    assert blocks.count("[[entry]]") == 2
    assert "ohms = 0.2" in blocks
    assert kinds_of(tmp_path / "away" / file.name) == ["measured"]


@pytest.mark.parametrize("file_does", ["goes", pytest.param("changes", marks=pytest.mark.thorough)])
def test_a_record_and_a_harness_that_go_meanwhile(tmp_path: Path, file_does: str) -> None:
    """The trace goes on with the loom that it has; a record that was deleted has all its entries again."""
    file = loom(tmp_path)
    terminal = started(tmp_path, file)
    to_trace(terminal)
    record_path(file).unlink()
    if file_does == "goes":
        file.unlink()
    else:
        file.write_text(file.read_text(encoding="utf-8").replace('"Rig"', '"Other"'), encoding="utf-8")
    answer(terminal)
    terminal.until(lambda: "2 entries that had gone were written again" in terminal.words)
    assert kinds_of(file)[:3] == ["trace", "reading", "reading"]
    terminal.child.kill(signal.SIGTERM)
    assert terminal.end() == 143


CLOCK = (
    "import datetime as d; import tui.plan_keeper as k; "
    "times = iter([2026, 1970, 2036, 1999] * 99); "
    "k.now = lambda: d.datetime(next(times), 5, 4, 18, 3, tzinfo=d.timezone.utc); "
)


@pytest.mark.thorough
def test_a_clock_that_jumps_loses_no_reading(tmp_path: Path) -> None:
    """To 1970, forward ten years, back: the last answer of each row counts, in the order in which they were given."""
    file = loom(tmp_path)
    terminal = started(tmp_path, file, CLOCK)
    to_plan(terminal)
    terminal.press("\r")
    terminal.until(lambda: "2 of 1" in terminal.words)
    terminal.type_in("0.3")
    terminal.until(lambda: "3 of 1" in terminal.words or "2 bad" in terminal.words)
    terminal.child.kill(signal.SIGTERM)
    assert terminal.end() == 143
    measured = [entry for entry in entries_of(file) if isinstance(entry, Measured)]
    assert [entry.ohms for entry in measured] == [float("inf"), 0.2, 0.3]
    assert len({entry.when.year for entry in measured}) > 1


MOUSE = (
    "\x1b[<0;999999;999999M", "\x1b[<0;0;0M", "\x1b[<35;5;5M\x1b[<35;6;5M", "\x1b[<64;10;10M",
    "\x1b[<0;10;12M\x1b[<0;10;12m",
    "\x1b[<0;10;12M", "\x1b[<0;10", ";12M", "\x1b[<", "\x1b[M", "\x1b[<-1;-1;-1M", "\x1b[<99999999999999999999;1;1m",
    "\x1b[200~12.6\x1b[201~", "\x1b[I", "\x1b[O",
)  # fmt: skip
"""Clicks, wheels and moves as terminals send them: whole, torn, at no place that there is."""


@pytest.mark.parametrize("seed", [1, *(pytest.param(seed, marks=pytest.mark.thorough) for seed in range(2, 6))])
def test_a_mouse_gone_wild_breaks_nothing(tmp_path: Path, seed: int) -> None:
    """Whole and torn sequences at any moment of a trace: it goes on, and an answer is taken as ever."""
    chance = random.Random(seed)
    file = loom(tmp_path)
    terminal = started(tmp_path, file)
    terminal.press("t")
    for _ in range(20):
        terminal.press(chance.choice(MOUSE[:5]))
    terminal.until(lambda: "what is wrong" in terminal.words, 60)
    terminal.press("\r")
    for _ in range(40):
        terminal.press(chance.choice(MOUSE))
        terminal.read()
    terminal.press("\x1b[<0;1;1m")
    terminal.until(lambda: is_asking(terminal) or "Enter takes it" in terminal.words or "card" in terminal.words, 60)
    terminal.child.kill(signal.SIGTERM)
    assert terminal.end() == 143
    assert terminal.is_left_clean()


NO_SIGNAL = "import signal; signal.pthread_sigmask(signal.SIG_BLOCK, [signal.SIGHUP]); "


def test_a_terminal_that_goes_without_a_signal_ends_it(tmp_path: Path) -> None:
    """Where no signal tells that the terminal is gone, as in a container, it is seen all the same."""
    file = loom(tmp_path)
    terminal = RealTerminal(tmp_path, str(file), before=NO_SIGNAL)
    terminal.until(lambda: "2 loads" in terminal.words, 60)
    first_check(terminal)
    answer(terminal)
    terminal.until(lambda: "check 2" in terminal.words, 60)
    assert hang_up(terminal) == 129
    assert kinds_of(file) == ["trace", "reading"]


@pytest.mark.thorough
def test_killed_outright_it_takes_up_where_it_was(tmp_path: Path) -> None:
    """The trace is offered again, with its answer; Esc from there leaves it for later still."""
    file = loom(tmp_path)
    terminal = started(tmp_path, file)
    to_trace(terminal)
    terminal.child.kill(signal.SIGKILL)
    assert terminal.end() == -signal.SIGKILL
    again = started(tmp_path, file)
    again.press("t")
    again.until(lambda: "go on with the trace of" in again.words and "1 answer" in again.words)
    again.press(ESC)
    again.until(lambda: "2 loads" in again.words)
    again.press("q")
    assert again.end() == 0
    assert kinds_of(file) == ["trace", "reading"]


@pytest.mark.parametrize("ends_by", ["a signal", pytest.param("the end of the input", marks=pytest.mark.thorough)])
def test_sentences_print_what_a_full_disk_does_not_take(tmp_path: Path, ends_by: str) -> None:
    """In line mode too, what could not be written is printed at the end, whatever ends it."""
    file = loom(tmp_path)
    run = f"{FULL_DISK}import sys; from tui.__main__ import main; sys.exit(main(sys.argv[1:]))"
    command = [sys.executable, "-c", run, "trace", str(file), "M1", "--lines"]
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    with subprocess.Popen(command, cwd=ROOT, encoding="utf-8", **pipes) as process:  # type: ignore[call-overload]
        process.stdin.write("unsure\n")
        process.stdin.flush()
        said = ""
        while "Not written down" not in said:
            line = process.stdout.readline()
            assert line, said
            said += line
        if ends_by == "a signal":
            process.send_signal(signal.SIGTERM)
        rest, _ = process.communicate()
    assert process.returncode == (143 if ends_by == "a signal" else 0)
    record_path(file).write_text(rest.partition("put these lines at its end:")[2], encoding="utf-8")
    assert kinds_of(file)[:2] == ["trace", "unsure"]
