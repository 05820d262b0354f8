"""The walk-through of the guide, done to the letter: what the page types is typed, what it shows is printed."""

from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import dataclass
from difflib import SequenceMatcher
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from tui.commands import COMMANDS, Place

GUIDE = Path(__file__).parents[2] / "demo_builds" / "README.md"
HEADING = "## From a list to a first trace\n"
BLOCK = re.compile(r"^```(?P<mark>[^\n]+)\n(?P<text>.*?)^```$", re.DOTALL | re.MULTILINE)
LEFT_OUT = "…"
WORDS_A_MINUTE, SIGNS_A_MINUTE = 200, 120
"""Reading with care, and typing with two fingers."""


@dataclass(frozen=True, slots=True)
class Step:
    """A command of the page: what is typed, what the page shows of it, and what was really printed."""

    command: str
    answers: tuple[str, ...]
    shown: str
    printed: str
    code: int


@dataclass(frozen=True, slots=True)
class Walked:
    """The whole page walked through: its steps, the signs that were typed, the files that stand there at the end."""

    steps: tuple[Step, ...]
    signs: int
    files: tuple[str, ...]


def section() -> str:
    """Give the section of the guide."""
    return GUIDE.read_text(encoding="utf-8").partition(HEADING)[2].partition("\n## ")[0]


@cache
def walked() -> Walked:
    """Do what the page says, block after block, in a directory of its own."""
    steps: list[Step] = []
    signs = 0
    with TemporaryDirectory() as name:
        place = Path(name)
        for block in BLOCK.finditer(section()):
            mark, text = block["mark"], block["text"]
            if mark == "console":
                done = [run(one, place) for one in re.split(r"^\$ ", text, flags=re.MULTILINE)[1:]]
                steps += done
                signs += sum(len(line) + 1 for step in done for line in (step.command, *step.answers))
            elif mark == "toml rows":
                signs += put_in(text, place / "cart.toml")
            else:
                signs += len(text)
                (place / mark.removeprefix("csv ")).write_text(text, encoding="utf-8")
        files = tuple(sorted(one.name for one in place.iterdir()))
    return Walked(tuple(steps), signs, files)


def run(text: str, place: Path) -> Step:
    """Run one command of a block with the answers that stand behind ``>``."""
    command, *lines = text.splitlines()
    answers = tuple(line.removeprefix("> ") for line in lines if line.startswith("> "))
    program, *arguments = command.split()
    assert program == "fusewalk"
    done = subprocess.run(
        [sys.executable, "-c", f"import sys; sys.path.insert(0, {str(GUIDE.parents[1])!r}); "
         "from tui.__main__ import main; sys.exit(main(sys.argv[1:]))", *arguments],
        cwd=place, input="".join(f"{one}\n" for one in answers), capture_output=True, text=True, encoding="utf-8",
        check=False,
    )  # fmt: skip
    shown = "\n".join(line for line in lines if not line.startswith("> "))
    return Step(command, answers, shown, done.stdout + done.stderr, done.returncode)


def put_in(rows: str, path: Path) -> int:
    """Put rows of a block in place of those with the same id, and give the signs that an editor is given for it."""
    text = path.read_text(encoding="utf-8")
    signs = 0
    for row in rows.splitlines():
        start = re.match(r'  \{ id = "\w+",|build = ', row)
        if start is None:
            continue
        old = next(line for line in text.splitlines() if line.startswith(start[0]))
        text = text.replace(old, row)
        changed = [one for one in SequenceMatcher(None, old, row, autojunk=False).get_opcodes() if one[0] != "equal"]
        # what is taken out is marked and deleted, at two strokes
        signs += sum(2 + after - before for _, _, _, before, after in changed)
    path.write_text(text, encoding="utf-8")
    return signs


def pattern_of(shown: str) -> str:
    """Give what the page shows as a pattern: a line ``…`` is any lines, the sign within a line any words of it."""
    lines = [
        r"(?:[^\n]*\n)*?" if line == LEFT_OUT else re.escape(line).replace(LEFT_OUT, r"[^\n]*") + r"\n"
        for line in shown.rstrip("\n").splitlines()
    ]
    return "".join(lines)


@pytest.mark.slow
@pytest.mark.parametrize("number", range(8))
def test_the_page_shows_what_the_program_prints(number: int) -> None:
    """Each command ends well, and all lines of the page stand in what it prints, in their order."""
    step = walked().steps[number]
    assert step.code == 0, step.printed
    assert step.shown.strip()
    assert re.fullmatch(pattern_of(step.shown), step.printed.rstrip("\n") + "\n"), step.printed


@pytest.mark.slow
def test_every_command_of_the_page_is_tried() -> None:
    """No command of the section, and no block, escapes."""
    text = section()
    assert len(walked().steps) == 8 == len(re.findall(r"^\$ ", text, re.MULTILINE))
    assert len(BLOCK.findall(text)) * 2 == len(re.findall(r"^```", text, re.MULTILINE))


@pytest.mark.slow
def test_the_page_leads_from_a_list_of_ten_wires_to_a_record() -> None:
    """Ten wires go in, seven questions come out and none is left, and the trace ends in the record."""
    made, again = walked().steps[:2]
    assert "made; 10 wires" in made.printed
    assert "(7)" in made.printed
    assert "answered" not in again.printed
    assert walked().files == ("cart.csv", "cart.list.json", "cart.record.toml", "cart.toml")


@pytest.mark.slow
def test_the_answers_of_the_trace_are_what_the_meter_shows() -> None:
    """What is typed into the trace is the difference of the volts that the page prints with the fault in.

    By hand: K1.87 stands at 0.00 against the negative post; K1.86 12.66 less K1.85 12.66 is 0; K1.85 12.66 less
    GND1 0.00 is 12.66.
    """
    faulty, trace = walked().steps[-2:]
    volts = dict(re.findall(r"^(\S+)\s+(-?\d+\.\d\d)$", faulty.shown, re.MULTILINE))
    pairs = (("K1.87", "G1.-"), ("K1.86", "K1.85"), ("K1.85", "GND1"))
    answers = [float(answer.removesuffix(" V")) for answer in trace.answers[:-1]]
    assert answers == [pytest.approx(float(volts[red]) - float(volts.get(black, 0.0))) for red, black in pairs]


@pytest.mark.slow
def test_the_page_takes_less_than_a_quarter_of_an_hour() -> None:
    """All its words at 200 a minute and all that is typed at 120 signs a minute are less than fifteen minutes."""
    minutes = len(section().split()) / WORDS_A_MINUTE + walked().signs / SIGNS_A_MINUTE
    assert 5 < minutes < 15


@pytest.mark.parametrize(("key", "action"), [("f", "needs"), ("t", "trace"), ("p", "practise")])
def test_the_keys_of_the_page_do_what_it_says(key: str, action: str) -> None:
    """On the list of loads these keys answer the questions, trace and practise."""
    assert f"`{key}`" in section()
    found = [one.action for one in COMMANDS if key in one.keys and Place.LOADS in one.where]
    assert found == [action]


@pytest.mark.parametrize(
    ("shown", "printed"), [("a\nb", "a\nx\nb\n"), ("a …", "a\n"), ("…\nb", "b\nc\n"), ("12.6 V", "12a6 V\n")]
)
def test_what_the_page_does_not_show_as_left_out_is_missed(shown: str, printed: str) -> None:
    """A line too many, a line too few and another figure are told: the comparing can fail."""
    assert re.fullmatch(pattern_of(shown), printed) is None
