"""The program on a real terminal: signals, exit codes, what it writes and what it leaves behind."""

import os
import re
import signal
import termios
from pathlib import Path

import pytest

from tests.tui.on_screen import small_harness
from tests.tui.real_terminal import RealTerminal

FIRST_WORDS = "which harness?"
HUE = re.compile(rb"\x1b\[[0-9;:]*m")


def colours_in(written: bytes) -> set[bytes]:
    """Return the codes of colour in what was written: 30 to 38, 40 to 48, 90 to 107."""
    found = set()
    for sequence in HUE.findall(written):
        codes = sequence[2:-1].replace(b":", b";").split(b";")
        found |= {code for code in codes if re.fullmatch(rb"3[0-8]|4[0-8]|9[0-7]|10[0-7]", code)}
    return found


def assert_restored(terminal: RealTerminal, before: list[object]) -> None:
    """Check that the terminal is as it was: modes, screen, cursor, mouse, paste."""
    assert termios.tcgetattr(terminal.child.child_fd) == before
    for mode in (b"?1049", b"?1000", b"?1003", b"?1006", b"?2004", b"?1004"):
        assert terminal.written.rfind(b"\x1b[" + mode + b"l") > terminal.written.rfind(b"\x1b[" + mode + b"h"), mode
    assert terminal.written.rfind(b"\x1b[?25h") > terminal.written.rfind(b"\x1b[?25l")


@pytest.mark.slow
@pytest.mark.parametrize(("number", "code"), [(signal.SIGTERM, 143), (signal.SIGHUP, 129), (signal.SIGINT, 130)])
def test_a_signal_ends_it_in_order(tmp_path: Path, number: int, code: int) -> None:
    """The terminal is put back and the exit code names the signal (128 + its number)."""
    terminal = RealTerminal(tmp_path)
    before = termios.tcgetattr(terminal.child.child_fd)
    terminal.shows(FIRST_WORDS)
    terminal.child.kill(number)
    assert terminal.end() == code
    assert_restored(terminal, before)


def test_quitting_puts_the_terminal_back(tmp_path: Path) -> None:
    """Q ends with 0 and leaves nothing on the normal screen."""
    terminal = RealTerminal(tmp_path)
    before = termios.tcgetattr(terminal.child.child_fd)
    terminal.shows(FIRST_WORDS)
    terminal.child.send("q")
    assert terminal.end() == 0
    assert_restored(terminal, before)


def test_stopped_without_being_asked_it_goes_on(tmp_path: Path) -> None:
    """After a stop that no program can hear it draws all anew, takes keys, and puts the terminal back in the end."""
    terminal = RealTerminal(tmp_path)
    before = termios.tcgetattr(terminal.child.child_fd)
    terminal.shows(FIRST_WORDS)
    terminal.child.kill(signal.SIGSTOP)
    pid, status = os.waitpid(terminal.child.pid, os.WUNTRACED)
    assert (pid, os.WIFSTOPPED(status)) == (terminal.child.pid, True)
    terminal.drain()
    terminal.screen.reset()
    terminal.child.kill(signal.SIGCONT)
    terminal.shows(FIRST_WORDS)
    terminal.child.send("?")
    terminal.shows("opens the marked file")
    terminal.child.send("\x1b")
    terminal.shows(FIRST_WORDS)
    terminal.child.send("q")
    assert terminal.end() == 0
    assert_restored(terminal, before)


def test_a_terminal_that_goes_away_ends_it(tmp_path: Path) -> None:
    """Where the terminal itself is closed the program goes with it, and says SIGHUP."""
    terminal = RealTerminal(tmp_path)
    terminal.shows(FIRST_WORDS)
    terminal.child.ptyproc.fileobj.close()
    _, status = os.waitpid(terminal.child.pid, 0)
    terminal.child.closed = terminal.child.ptyproc.closed = True
    assert os.waitstatus_to_exitcode(status) == 129


@pytest.mark.first_few(1)
@pytest.mark.parametrize(("value", "coloured"), [("1", False), ("", True)])
def test_no_color_means_no_colour(tmp_path: Path, value: str, coloured: bool) -> None:
    """With NO_COLOR set and not empty not one code of colour is written; an empty one counts as unset."""
    terminal = RealTerminal(tmp_path, environment={"NO_COLOR": value})
    terminal.shows(FIRST_WORDS)
    terminal.child.send("?")
    terminal.shows("opens the marked file")
    terminal.child.send("\x1b")
    terminal.shows(FIRST_WORDS)
    terminal.child.send("q")
    assert terminal.end() == 0
    assert bool(colours_in(terminal.written)) == coloured


def test_the_marked_row_is_seen_without_colour(tmp_path: Path) -> None:
    """Reverse video and the sign mark it."""
    terminal = RealTerminal(tmp_path, environment={"NO_COLOR": "1"})
    terminal.shows("› ")
    row = next(number for number, line in enumerate(terminal.screen.display) if "› " in line)
    assert terminal.screen.buffer[row][4].reverse
    assert not terminal.screen.buffer[row + 1][4].reverse
    terminal.child.send("q")
    assert terminal.end() == 0


@pytest.mark.first_few(1)
@pytest.mark.parametrize(
    ("arguments", "environment"),
    [(("--ascii",), {}), ((), {"TERM": "linux", "COLORTERM": ""}), ((), {"PYTHONIOENCODING": "ascii"})],
)
def test_ascii_means_ascii(tmp_path: Path, arguments: tuple[str, ...], environment: dict[str, str]) -> None:
    """Where ASCII is asked for, or nothing else can be shown, no other byte is written."""
    terminal = RealTerminal(tmp_path, arguments=arguments, environment=environment)
    terminal.shows(FIRST_WORDS)
    terminal.shows("> ")
    terminal.child.send("?")
    terminal.shows("Signs here")
    terminal.child.send("\r")
    terminal.shows("> ")
    terminal.child.send("q")
    assert terminal.end() == 0
    assert terminal.written.isascii()


def test_sixteen_colours_are_the_terminals_own(tmp_path: Path) -> None:
    """On a terminal with sixteen colours none is mixed: no 256-colour or 24-bit code is written."""
    terminal = RealTerminal(tmp_path, environment={"TERM": "xterm", "COLORTERM": ""})
    terminal.shows(FIRST_WORDS)
    terminal.child.send("q")
    assert terminal.end() == 0
    assert not colours_in(terminal.written) & {b"38", b"48"}


def test_a_harness_cannot_speak_to_the_terminal(tmp_path: Path) -> None:
    """Escape sequences in a build's name reach no title, no screen and no clipboard."""
    path = small_harness(tmp_path)
    evil = r"\u001b]0;taken\u0007\u001b]52;c;dGFrZW4=\u0007\u001b[2J\u009b31mbuggy"
    path.write_text(path.read_text(encoding="utf-8").replace("Ten wires [b]", evil), encoding="utf-8")
    terminal = RealTerminal(tmp_path, str(path))
    terminal.shows("]0;taken]52;c;dGFrZW4=[2J31mbuggy")
    terminal.child.send("q")
    assert terminal.end() == 0
    assert b"\x1b]0;" not in terminal.written
    assert b"\x1b]52" not in terminal.written
    assert b"\x1b[2J" not in terminal.written


def test_c_sends_by_osc_52(tmp_path: Path) -> None:
    """The page goes to the terminal as base64 in an OSC 52 sequence."""
    terminal = RealTerminal(tmp_path, str(small_harness(tmp_path)))
    terminal.shows("3 wires")
    terminal.child.send("c")
    terminal.until(lambda: b"\x1b]52;c;" in terminal.written)
    terminal.shows("Sent to terminal.")
    terminal.child.send("q")
    assert terminal.end() == 0


def test_a_fault_of_our_own_says_one_line(tmp_path: Path) -> None:
    """After a crash the terminal is whole, the exit code is 1, and one line names the note; no traceback is shown."""
    break_it = "from tui.screens.help import HelpScreen; HelpScreen.on_mount = lambda self: 1 / 0; "
    terminal = RealTerminal(tmp_path, before=break_it)
    modes = termios.tcgetattr(terminal.child.child_fd)
    terminal.shows(FIRST_WORDS)
    terminal.child.send("?")
    assert terminal.end() == 1
    assert_restored(terminal, modes)
    left = terminal.written[terminal.written.rfind(b"\x1b[?1049l") :].decode()
    note = next((tmp_path / ".local" / "state" / "fusewalk").glob("crash-*.txt"))
    assert f"Fusewalk stopped by a fault of its own. A note is in {note}" in left
    assert "Traceback" not in left
    assert "ZeroDivisionError" in note.read_text(encoding="utf-8")
