"""The command ``fusewalk practice``: the person types, the vehicle answers."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from model.circuit.bench import Bench
from model.harness.toml_file import read_harness
from model.tracing.practice import Practice
from tui.__main__ import main
from tui.arguments import WRONG_ARGUMENTS
from tui.line_input import LineInput
from tui.practice_lines import NOT_RIGHT, RIGHT, answer_lines, run_practice

HARNESS = """format = 1
build = { name = "Two fuses [b]", nominal_volts = 12 }
key_states = [ { name = "off" }, { name = "ignition" } ]
locations = [ { name = "dash [on]" } ]
batteries = [ { id = "G1" } ]
fuses = [ { id = "F1", amps = 15, label = "Horn [/15A]", location = "dash [on]" }, { id = "F2", amps = 10 } ]
loads = [ { id = "P1", kind = "horn", amps = 5 }, { id = "E1", kind = "lamp", watts = 21 } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in" },
  { id = "W2", from = "F1.out", to = "P1.+" },
  { id = "W3", from = "P1.-", to = "G1.-" },
  { id = "W4", from = "G1.+", to = "F2.in" },
  { id = "W5", from = "F2.out", to = "E1.+" },
  { id = "W6", from = "E1.-", to = "G1.-" },
]
"""


def two_fuses(directory: Path) -> Path:
    """Write a harness with a horn and a lamp, and return where."""
    path = directory / "two_fuses.toml"
    path.write_text(HARNESS, encoding="utf-8")
    return path


@pytest.fixture
def practice(tmp_path: Path) -> Practice:
    """Give a practice on its horn or lamp."""
    return Practice(Bench(read_harness(two_fuses(tmp_path))), 4)


def typed(practice: Practice, *lines: str) -> tuple[int, list[str]]:
    """Run a practice with lines typed."""
    out = io.StringIO()
    code = run_practice(practice, LineInput(io.BytesIO("".join(f"{line}\n" for line in lines).encode())), out)
    return code, out.getvalue().splitlines()


def test_the_complaint_is_told_first(practice: Practice) -> None:
    """As a person would, before anything is asked; nothing of the fault is."""
    code, said = typed(practice)
    assert said[0].startswith("P1 ")
    assert practice.hidden.site not in " ".join(said)
    assert said[-2:] == ["The input ended before anything was named.", "The same fault again: --seed 4."]
    assert code == RIGHT


def test_the_right_part_ends_it_with_the_plan_beside(practice: Practice) -> None:
    """Checks and minutes of both, the plan's checks, and the seed."""
    code, said = typed(practice, "1", f"it is {practice.hidden.site} {practice.hidden.fault}")
    text = "\n".join(said)
    assert code == RIGHT
    assert "\nRight. It was " in text
    assert "\nYou: 1 check, about " in text
    assert "\nThe plan on the same vehicle: " in text
    assert text.endswith("The same fault again: --seed 4.")


@pytest.mark.parametrize("words", ["give up", "stop"])
def test_giving_up_tells_what_it_was(practice: Practice, words: str) -> None:
    """The exit code says that it was not found."""
    code, said = typed(practice, words)
    assert code == NOT_RIGHT
    assert any(line.startswith("It was ") for line in said)


def test_a_wrong_name_is_counted_and_another_may_follow(practice: Practice) -> None:
    """Nothing is told of the fault meanwhile; the count stands beside the checks in the end."""
    assert practice.hidden.site.partition(":")[0] != "P1"
    right = f"it is {practice.hidden.site} {practice.hidden.fault}"
    code, said = typed(practice, "it is P1", "it is P1", right)
    assert code == RIGHT
    wrong = [line for line in said if line.startswith("No: not ")]
    assert [line.partition(". ")[2] for line in wrong] == [
        "Look on; 1 wrong name so far.",
        "Look on; 2 wrong names so far.",
    ]
    assert any(line.startswith("Right. It was ") for line in said)
    assert any(line.startswith("You: ") and line.endswith(", with 2 wrong names.") for line in said)


def test_an_input_that_ends_after_a_wrong_name_has_not_found_it(practice: Practice) -> None:
    """The exit code says so, and the fault is not told."""
    code, said = typed(practice, "it is P1")
    assert code == NOT_RIGHT
    assert said[-2] == "The input ended before the fault was named."
    assert not any("It was " in line for line in said)


def test_a_terminal_wraps_at_words_and_a_script_gets_one_line(
    practice: Practice, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No word is broken at the edge; without a terminal each sentence stands on one line."""

    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    monkeypatch.setenv("COLUMNS", "40")
    out, plain = Terminal(), io.StringIO()
    for stream in (out, plain):
        run_practice(practice, LineInput(io.BytesIO(b"?\n")), stream)
    assert max(map(len, out.getvalue().splitlines())) <= 40
    assert max(map(len, plain.getvalue().splitlines())) > 40
    assert out.getvalue().split() == plain.getvalue().split()


def test_points_are_read_by_name_and_in_another_key_state(practice: Practice) -> None:
    """Against the grounded post, between two points, with the key elsewhere."""
    said = list(answer_lines(practice, "G1.+"))
    assert any(line.startswith("12.") and line.endswith(" V.") for line in said)
    list(answer_lines(practice, "f1.in f1.out"))
    list(answer_lines(practice, "G1.+ key ignition"))
    assert [one.check.red for one in practice.made] == ["G1.+", "F1.in", "G1.+"]
    assert practice.made[1].check.black == "F1.out"
    assert practice.made[2].check.condition.key == "ignition"


def test_cautions_stand_before_the_reading(practice: Practice) -> None:
    """As they would at the vehicle."""
    said = list(answer_lines(practice, "G1.+"))
    assert said[0].startswith("Caution: ")
    assert said[-1] == "1 check, about 1 minute so far."


def test_lists_are_by_place_and_by_word(practice: Practice) -> None:
    """Every check has its number once; a word leaves those that have it."""
    every = [line for line in answer_lines(practice, "list") if line[0].isdigit()]
    assert sorted(int(line.partition(".")[0]) for line in every) == list(range(1, len(practice.offered) + 1))
    volts = [line for line in answer_lines(practice, "list volts f1") if line[0].isdigit()]
    assert 0 < len(volts) < len(every)
    assert all("volts" in line and "F1" in line for line in volts)
    assert list(answer_lines(practice, "list elephants")) == ["No check that is offered has that word."]
    site = practice.suspects[0].site
    suspects = list(answer_lines(practice, f"suspects {site}"))
    assert 0 < len(suspects) < len(practice.suspects)


def test_hints_are_counted_and_why_would_spoil_it(practice: Practice) -> None:
    """The hint names the check as it is asked for."""
    assert next(iter(answer_lines(practice, "hint"))).endswith("?")
    assert practice.hints == 1
    assert list(answer_lines(practice, "why")) == ["That would spoil it. hint tells the next best check."]


def test_what_cannot_be_understood_is_told_and_it_goes_on(practice: Practice) -> None:
    """Whatever bytes come, until the input ends."""
    code, said = typed(
        practice, "", "999", "elephant", "a b c", "G1.+ key moon", "it is elephant", "\x1b[2J", "?", "made"
    )
    text = "\n".join(said)
    for words in (
        "There is no check 999.",
        "There is no point",
        "not understood",
        "no key state",
        "none of the suspects",
    ):
        assert words in text
    assert "\x1b" not in text
    assert code == RIGHT
    assert practice.made == ()


def test_bytes_that_are_no_text_are_told(practice: Practice) -> None:
    """The line is refused and the next one is read."""
    out = io.StringIO()
    assert run_practice(practice, LineInput(io.BytesIO(b"\xff\xfe\n1\n")), out) == RIGHT
    assert "UTF-8" in out.getvalue()
    assert len(practice.made) == 1


@pytest.mark.slow
def test_the_command_takes_a_seed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Twice the same with it; without it one that is told."""
    file = str(two_fuses(tmp_path))
    monkeypatch.setattr("sys.stdin", None)
    assert main(["practice", file, "--seed", "12"]) == 0
    first = capsys.readouterr().out
    assert main(["practice", file, "--seed", "12"]) == 0
    assert capsys.readouterr().out == first
    assert main(["practice", file]) == 0
    assert "The same fault again: --seed " in capsys.readouterr().out


@pytest.mark.parametrize("seed", ["x", "-1", "1.5", "9" * 40])
def test_a_seed_that_is_none_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str], seed: str) -> None:
    """With the exit code of a wrong argument."""
    assert main(["practice", str(two_fuses(tmp_path)), f"--seed={seed}"]) == WRONG_ARGUMENTS
    assert "no number" in capsys.readouterr().err
