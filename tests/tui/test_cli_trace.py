"""The command ``fusewalk trace``, as a process that is answered by a vehicle with a fault in it."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from io import BytesIO, TextIOWrapper
from pathlib import Path

import pytest

from tests.tui.builds import BUGGY, BUILDS, TRACTOR, build
from tests.tui.faulty_vehicle import ROOT, FaultyVehicle, trace_in_process
from tests.tui.small_loom import SMALL_LOOM
from tui.__main__ import main

LAUNCH = BUILDS / "harbour_launch.toml"


def typed(monkeypatch: pytest.MonkeyPatch, *lines: str) -> None:
    """Give the command these lines on its standard input."""
    text = "".join(f"{line}\n" for line in lines)
    monkeypatch.setattr("sys.stdin", TextIOWrapper(BytesIO(text.encode()), encoding="utf-8"))


@pytest.mark.slow
@pytest.mark.parametrize(
    ("fault", "site", "kind"),
    [
        ("W3=open", "W3", "open"),
        ("W2=open", "W2", "open"),
        ("W4=open", "W4", "open"),
        ("S1:1-2=open", "S1:1-2", "open"),
        ("E1:load=open", "E1:load", "open"),
        ("F1=missing", "F1", "missing"),
    ],
)
def test_a_fault_of_a_small_loom_is_found(tmp_path: Path, fault: str, site: str, kind: str) -> None:
    """The lamp behind the key is dead: the group of the finding holds what is really wrong."""
    path = build(tmp_path, SMALL_LOOM)
    found = trace_in_process(path, ["E1"], FaultyVehicle(path, fault))
    assert (found.code, found.errors) == (0, "")
    assert (site, kind) in found.found()
    assert found.last["steps"] == len({asked["step"] for asked in found.asked}) > 0
    assert found.last["group_probability"] >= 0.95
    assert "stopped" not in found.last
    assert not list(tmp_path.glob("*.record.toml"))


@pytest.mark.slow
def test_a_weak_lamp_leads_to_the_resistance(tmp_path: Path) -> None:
    """2 ohms in the ground wire of a 55 W lamp leave it half of its volts."""
    path = build(tmp_path, SMALL_LOOM)
    found = trace_in_process(path, ["E1", "--symptom", "weak"], FaultyVehicle(path, "W4=2"))
    assert found.code == 0
    assert ("W4", "high") in found.found()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("path", "words", "fault", "site"),
    [
        (BUGGY, ["M2"], "K7:30-87=open", "K7:30-87"),
        (BUGGY, ["E1:dip"], "W57=open", "W57"),
        (TRACTOR, ["E1"], "W10=open", "W10"),
        (LAUNCH, ["M1"], "X4.1=open", "X4.1"),
    ],
)
def test_a_fault_of_a_demo_build_is_found(path: Path, words: list[str], fault: str, site: str) -> None:
    """Answered by the faulty circuit solved one question at a time."""
    found = trace_in_process(path, words, FaultyVehicle(path, fault))
    assert (found.code, found.errors) == (0, "")
    assert site in {part for part, _ in found.found()}


def test_low_posts_end_the_trace_at_once(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Under 12.0 V at rest the last line is the first; exit code 1."""
    typed(monkeypatch)
    assert main(["trace", str(build(tmp_path, SMALL_LOOM)), "E1", "--json", "--battery", "11,9"]) == 1
    last = json.loads(capsys.readouterr().out)
    assert (last["finding"], last["stopped"]) == ([], "charge the battery first")


def test_the_condition_is_the_one_typed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The end of input stops it with exit code 0."""
    typed(monkeypatch)
    words = ["--key", "ignition", "--battery", "12.5", "--loom", "new", "--no-helper"]
    assert main(["trace", str(build(tmp_path, SMALL_LOOM)), "lamp", "--json", *words]) == 0
    first, last = (json.loads(line) for line in capsys.readouterr().out.splitlines())
    if first["key"] == "ignition":
        assert first["posts"] == 12.5
    assert last["stopped"]


@pytest.mark.slow
def test_the_first_checks_are_printed_for_paper(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """As Markdown and as HTML, with the check that is asked first; no record is kept."""
    path = build(tmp_path, SMALL_LOOM)
    assert main(["trace", str(path), "E1", "--sheet"]) == 0
    markdown = capsys.readouterr().out
    assert main(["trace", str(path), "E1", "--html"]) == 0
    html = capsys.readouterr().out
    assert markdown.startswith("# ")
    assert html.lower().startswith("<!doctype html>")
    assert "Lamp" in markdown
    assert "Lamp" in html
    assert not list(tmp_path.glob("*.record.toml"))


WRONG = {
    "an unknown load": (["E9"], "There is no load “E9”."),
    "an unknown symptom": (["E1", "--symptom", "ded"], "Did you mean dead?"),
    "an unknown age": (["E1", "--loom", "odl"], "Did you mean old?"),
    "an unknown key state": (["E1", "--key", "igntion"], "Did you mean ignition?"),
    "an unknown setting": (["E1", "--set", "F9=out"], "There is nothing “F9” to set."),
    "a battery out of reach": (["E1", "--battery", "90"], "cannot read 90 V"),
    "a fuse that nothing blows": (["E1", "--fuse", "F1"], "Add --symptom blows-fuse."),
    "an unknown load that works": (["E1", "--works", "E9"], "There is no load “E9”."),
    "another load that is missing": (["E1", "--symptom", "works-with-another"], "Add --with LOAD."),
    "no terminal": (["E1"], "Add --lines to be asked in sentences, --json for a script, or --sheet for paper."),
}


@pytest.mark.parametrize("case", WRONG)
def test_wrong_arguments_end_with_code_2_and_what_to_type(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, case: str
) -> None:
    """Nothing on standard output, one sentence on standard error."""
    words, said = WRONG[case]
    typed(monkeypatch)
    form = [] if case == "no terminal" else ["--json"]
    assert main(["trace", str(build(tmp_path, SMALL_LOOM)), *words, *form]) == 2
    out, err = capsys.readouterr()
    assert (out, err.count("\n")) == ("", 1)
    assert said in err


@pytest.mark.parametrize("words", [[], ["E1", "--json", "--lines"], ["E1", "--battery", "x", "--json"]])
def test_a_mistyped_command_says_how_it_is_typed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], words: list[str]
) -> None:
    """Exit code 2 and how it is written."""
    with pytest.raises(SystemExit) as left:
        main(["trace", str(build(tmp_path, SMALL_LOOM)), *words])
    assert left.value.code == 2
    assert capsys.readouterr().err.startswith("fusewalk trace: ")


@pytest.mark.slow
def test_a_reader_that_goes_away_is_no_trouble(tmp_path: Path) -> None:
    """The rig closes its end after the first question: nothing is said about it."""
    command = [sys.executable, "-m", "tui", "trace", str(build(tmp_path, SMALL_LOOM)), "E1", "--json"]
    pipe = subprocess.PIPE
    with subprocess.Popen(command, cwd=ROOT, stdin=pipe, stdout=pipe, stderr=pipe) as process:
        assert process.stdout is not None
        assert process.stdin is not None
        assert process.stderr is not None
        assert json.loads(process.stdout.readline())["step"] == 1
        process.stdout.close()
        process.stdin.write(b'{"unsure": true}\n' * 3)
        process.stdin.close()
        assert process.stderr.read() == b""
        assert process.wait() == 0


@pytest.mark.slow
def test_an_interrupt_ends_it_in_silence(tmp_path: Path) -> None:
    """With 130, as every command."""
    command = [sys.executable, "-m", "tui", "trace", str(build(tmp_path, SMALL_LOOM)), "E1", "--json"]
    pipe = subprocess.PIPE

    def hear() -> None:
        # what a shell starts in the background ignores the interrupt, and so does all that it starts
        signal.signal(signal.SIGINT, signal.SIG_DFL)

    with subprocess.Popen(command, cwd=ROOT, stdin=pipe, stdout=pipe, stderr=pipe, preexec_fn=hear) as process:
        assert process.stdout is not None
        process.stdout.readline()
        os.kill(process.pid, signal.SIGINT)
        _, errors = process.communicate()
        assert (process.returncode, errors) == (130, b"")


def talked(capsys: pytest.CaptureFixture[str], path: Path, *words: str, code: int = 0) -> list[str]:
    """Run the trace in sentences on what is typed, and give them."""
    assert main(["trace", str(path), *words, "--lines"]) == code
    captured = capsys.readouterr()
    assert captured.err == ""
    return captured.out.splitlines()


@pytest.mark.slow
def test_in_sentences_a_record_is_kept_and_picked_up_again(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A trace that is cut off is asked for at the next start, and goes on with its next check."""
    path = build(tmp_path, SMALL_LOOM)
    typed(monkeypatch, "unsure")
    monkeypatch.setattr("tui.line_words.Conversation._stop", lambda self: 0)
    first = talked(capsys, path, "E1")
    monkeypatch.undo()
    second_question = [line for line in first if line.startswith("Check ")][1]
    assert (tmp_path / "build.record.toml").exists()
    typed(monkeypatch, "perhaps", "yes", "stop")
    again = talked(capsys, path, "E1")
    asked = [line for line in again if line.startswith("A trace of this was left on")]
    assert len(asked) == 2
    assert [line for line in again if line.startswith("Check ")] == [second_question]
    typed(monkeypatch, "stop")
    assert not [line for line in talked(capsys, path, "E1") if line.startswith("A trace of this was left")]


def test_in_sentences_a_record_that_cannot_be_written_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The trace goes on all the same."""
    path = build(tmp_path, SMALL_LOOM)
    (tmp_path / "build.record.toml").mkdir()
    typed(monkeypatch, "unsure", "stop")
    said = talked(capsys, path, "E1")
    assert any(line.startswith("Nothing is written down: ") for line in said)
    assert "The trace is stopped." in said
