"""The command ``fusewalk`` itself: which words are commands, and what each start imports."""

from __future__ import annotations

import json
import subprocess
import sys
from io import BytesIO, StringIO, TextIOWrapper
from pathlib import Path

import pytest

from model.errors import ArgumentError
from tui import __main__ as command
from tui.__main__ import COMMANDS, main

ROOT = Path(__file__).parents[2]
TRACTOR = str(ROOT / "demo_builds" / "field_tractor.toml")
STARTS = {
    "amend": ["amend", TRACTOR, "remove", "E1", "--try"],
    "changes": ["changes", TRACTOR, TRACTOR],
    "check": ["check", TRACTOR],
    "circuit": ["circuit", TRACTOR, "permanent", "watts=3", "at=dash", "--try"],
    "connectors": ["connectors", TRACTOR],
    "continuity": ["continuity", TRACTOR],
    "crank-and-charge": ["crank-and-charge", TRACTOR],
    "cut-list": ["cut-list", TRACTOR],
    "draw": ["draw", TRACTOR],
    "feeds": ["feeds", TRACTOR],
    "find": ["find", TRACTOR, "F1"],
    "findings": ["findings", TRACTOR],
    "first-power": ["first-power", TRACTOR],
    "from-list": ["from-list", "LIST", "-o", "OUT"],
    "fuses": ["fuses", TRACTOR],
    "glance": ["glance", TRACTOR],
    "grounds": ["grounds", TRACTOR],
    "insulation": ["insulation", TRACTOR],
    "labels": ["labels", TRACTOR],
    "live": ["live", TRACTOR],
    "loads": ["loads", TRACTOR],
    "practice": ["practice", TRACTOR, "--seed", "1"],
    "record": ["record", TRACTOR],
    "trace": ["trace", TRACTOR, "E1", "--json"],
    "volts": ["volts", TRACTOR],
    "walk": ["walk", TRACTOR, "E1"],
    "wirelist": ["wirelist", TRACTOR],
}


TWO_WIRES = "id,from,to,colour,size\nW1,battery +,F1.in,red,2.5\nW2,F1.out,E1.+,green/white,1.5\n"


def start_of(name: str, folder: Path) -> list[str]:
    """Give a right use of a command; what it reads and writes besides lies in a folder."""
    wires = folder / "wires.csv"
    wires.write_text(TWO_WIRES, encoding="utf-8")
    places = {"LIST": str(wires), "OUT": str(folder / "loom.toml")}
    return [places.get(word, word) for word in STARTS[name]]


def run_process(*words: str, code: str = "") -> subprocess.CompletedProcess[str]:
    """Run the command, or some code, as a process of its own."""
    start = ["-c", code] if code else ["-m", "tui", *words]
    return subprocess.run(
        [sys.executable, *start],
        cwd=ROOT,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


@pytest.fixture(autouse=True)
def nothing_typed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Stand an empty standard input before the commands."""
    monkeypatch.setattr("sys.stdin", TextIOWrapper(BytesIO(), encoding="utf-8"))


def test_every_command_is_tried_here() -> None:
    """A command that is added is added to these tests."""
    assert STARTS.keys() == COMMANDS.keys()


@pytest.mark.first_few(6)
@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_answers_and_explains_itself(
    capsys: pytest.CaptureFixture[str], name: str, tmp_path: Path
) -> None:
    """Exit code 0 for a right use; ``--help`` says what it does."""
    assert main(start_of(name, tmp_path)) == 0
    assert capsys.readouterr().out
    with pytest.raises(SystemExit) as left:
        main([name, "--help"])
    assert left.value.code == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert shown.startswith(f"usage: fusewalk {name}")
    assert COMMANDS[name][1:] in shown


@pytest.mark.slow
@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_runs_as_a_process_of_its_own(name: str, tmp_path: Path) -> None:
    """Nothing on standard error, exit code 0."""
    done = run_process(*start_of(name, tmp_path))
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout


@pytest.mark.parametrize(
    ("name", "unused"), [("check", ["numpy", "scipy", "networkx"]), ("volts", ["scipy", "networkx"])]
)
def test_the_fast_commands_import_no_screen_and_nothing_slow(name: str, unused: list[str]) -> None:
    """``check`` needs no circuit, ``volts`` no graph; neither the screen."""
    words = json.dumps(STARTS[name])
    code = (
        f"import sys, io\nfrom tui.__main__ import main\nout, sys.stdout = sys.stdout, io.StringIO()\nmain({words})\n"
        f"sys.stdout = out\nprint([one for one in {[*unused, 'textual', 'rich']} if one in sys.modules])"
    )
    done = run_process(code=code)
    assert (done.stderr, done.stdout.strip()) == ("", "[]")


@pytest.mark.slow
def test_the_answer_is_the_same_each_time() -> None:
    """Two starts with other hashes print the same walk, byte for byte."""
    first, second = (run_process("walk", TRACTOR, "E1", "--json").stdout for _ in range(2))
    assert first == second


def test_without_a_terminal_the_commands_are_named(capsys: pytest.CaptureFixture[str]) -> None:
    """Asked for the screen where there is none: exit code 2 and what to use instead, with the file as typed."""
    assert main(["my loom.toml"]) == 2
    err = capsys.readouterr().err
    for name in COMMANDS:
        assert f"fusewalk {name} " in err
    assert "fusewalk check my loom.toml" in err
    assert "fusewalk from-list WIRES.csv -o my loom.toml" in err


@pytest.mark.parametrize("words", [["--colour"], ["a.toml", "b.toml"], ["--version", "--help"], ["--battery"]])
def test_wrong_options_of_the_screen_are_told(capsys: pytest.CaptureFixture[str], words: list[str]) -> None:
    """In a sentence, with exit code 2; help and version end with 0."""
    with pytest.raises(SystemExit) as left:
        main(words)
    assert left.value.code == (0 if "--version" in words else 2)
    out, err = capsys.readouterr()
    assert (out or err).startswith(("fusewalk: ", "fusewalk "))


def test_a_command_that_does_not_exist_is_told_with_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    """A plain word before a file is meant as a command; a file of two is argparse's to refuse."""
    assert main(["chek", "a.toml"]) == 2
    assert capsys.readouterr().err == "fusewalk: There is no command “chek”. Did you mean check?\n"


def test_an_error_of_the_family_ends_with_two_and_an_interrupt_with_its_own(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """One sentence on standard error; 130 for Ctrl+C, in silence."""

    def raising(error: BaseException) -> int:
        def fail(_name: str, _arguments: list[str]) -> int:
            raise error

        monkeypatch.setattr(command, "_run_command", fail)
        return main(["volts"])

    assert raising(ArgumentError("What is wrong.", do="What to do.")) == 2
    assert capsys.readouterr().err == "fusewalk: What is wrong. What to do.\n"
    assert raising(KeyboardInterrupt()) == 130
    assert capsys.readouterr() == ("", "")


@pytest.mark.slow
@pytest.mark.parametrize("closed", ["1>&-", "2>&-", "1>&- 2>&-"])
def test_a_stream_closed_before_the_start_is_no_trouble(closed: str) -> None:
    """The shell may take standard output or error away: the exit code is as ever."""
    line = f'"$0" -m tui volts "$1" {closed}'
    done = subprocess.run(["sh", "-c", line, sys.executable, TRACTOR], cwd=ROOT, capture_output=True, check=False)
    assert done.returncode == 0
    assert b"Traceback" not in done.stderr


def test_a_fault_of_our_own_is_one_sentence_and_a_note(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """No traceback: where the note is, and the exit code 70 of BSD's sysexits.h."""
    from tui.cli import check

    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    monkeypatch.setattr(check, "run", lambda arguments: 1 / 0)
    assert main(["check", "some.toml"]) == 70
    told = capsys.readouterr().err
    (note,) = (tmp_path / "fusewalk").glob("crash-*.txt")
    assert told.startswith(f"fusewalk: It stopped by a fault of its own. A note is in {note}\n")
    assert "Traceback" not in told
    assert "ZeroDivisionError" in note.read_text(encoding="utf-8")


def test_on_a_terminal_no_option_is_torn_apart(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is wrong is wrapped at words in sixty columns; into a file it stays one line."""

    class Terminal(StringIO):
        def isatty(self) -> bool:
            return True

    typed = ["trace", TRACTOR, "P1", "--symptom", "works-with-another", "--lines"]
    monkeypatch.setenv("COLUMNS", "60")
    shown, plain = Terminal(), StringIO()
    for stream in (shown, plain):
        monkeypatch.setattr(sys, "stderr", stream)
        assert main(typed) == 2
    assert max(map(len, shown.getvalue().splitlines())) <= 60
    assert "--with LOAD." in shown.getvalue().splitlines()[-1]
    assert plain.getvalue() == "fusewalk: Which other load it works with is not said. Add --with LOAD.\n"
