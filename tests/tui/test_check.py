"""``fusewalk check``: one line where nothing is wrong, the whole report where something is."""

import argparse
from pathlib import Path

import pytest

from model.errors import HarnessFileError
from model.harness.toml_file import read_harness, read_harness_text
from model.harness.wire_list_questions import questions
from tui.__main__ import main
from tui.cli import check
from tui.count_words import assumed_words, count_words
from tui.screens.loads import counts
from tui.standing import stand

BUILDS = Path(__file__).parents[2] / "demo_builds"
SMALL = """format = 1
build = { name = "Two wires", nominal_volts = 12 }
key_states = [ { name = "off" } ]
batteries = [ { id = "G1" } ]
loads = [ { id = "E1", kind = "lamp", watts = 5 } ]
wires = [
  { id = "W1", from = "G1.+", to = "E1.+", size = 1, length = 1, colour = "RD" },
  { id = "W2", from = "E1.-", to = "G1.-" },
]
"""


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """Give the path of a small file with nothing wrong."""
    path = tmp_path / "two wires.toml"
    path.write_text(SMALL, encoding="utf-8")
    return path


def test_a_file_with_nothing_wrong_is_one_line(small: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What the file holds is counted, and so are the wires with assumed values."""
    assert main(["check", str(small)]) == 0
    out, err = capsys.readouterr()
    assert out == (
        "two wires.toml: 2 wires, 1 load, 1 other part, 1 key state; breaks no rule of the format; "
        "1 wire has an assumed value\n"
    )
    assert err == ""


def test_nothing_is_said_of_assumed_values_where_there_are_none(
    small: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A fully known loom needs no remark."""
    small.write_text(SMALL.replace('"G1.-" }', '"G1.-", size = 1, length = 1, colour = "BK" }'), encoding="utf-8")
    assert main(["check", str(small)]) == 0
    assert capsys.readouterr().out.endswith("breaks no rule of the format\n")


def test_every_breach_goes_to_standard_error(small: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The report has a line for each breach, begins each with file and line, and ends with exit code 2."""
    small.write_text(SMALL.replace("size = 1,", "size = -1,").replace('"G1.-" }', '"G2.-" }'), encoding="utf-8")
    assert main(["check", str(small)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    report = err.splitlines()
    assert report[0] == "fusewalk: two wires.toml: 2 things to put right in the harness file."
    assert report[1].startswith("two wires.toml:7: wires W1 size: size = -1; a size is above zero")
    assert report[2].startswith('two wires.toml:8: wires W2 to: to = "G2.-"; there is no part with this id')


def test_the_command_leaves_breaches_to_its_caller(small: Path) -> None:
    """Run by itself the command raises what is wrong."""
    small.write_text("format = 2\n", encoding="utf-8")
    with pytest.raises(HarnessFileError, match="a newer program"):
        check.run(argparse.Namespace(file=small))


@pytest.mark.parametrize("path", sorted(BUILDS.glob("*.toml")), ids=lambda path: path.stem)
def test_the_demo_builds_pass(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Each demo build is counted, with nothing wrong."""
    assert main(["check", str(path)]) == 0
    assert "; breaks no rule of the format" in capsys.readouterr().out


def test_the_list_of_loads_counts_as_the_check_does() -> None:
    """The same harness is counted in the same words on the screen and by the command."""
    path = BUILDS / "trail_buggy.toml"
    harness = read_harness(path)
    said = check.summary(harness)
    assert count_words(harness) in said
    assert assumed_words(harness) == "2 wires have assumed values"
    assert said.endswith(assumed_words(harness))
    assert counts(stand(path, harness)) == f"{count_words(harness)}; {assumed_words(harness)}, f asks for them."


def test_circuits_are_counted_where_they_are_not_the_loads() -> None:
    """28 loads and 2 control units of the buggy are listed as 41 circuits; a load alone is one circuit."""
    buggy = read_harness(BUILDS / "trail_buggy.toml")
    assert "28 loads, 112 other parts, 41 circuits, 5 key states" in count_words(buggy)
    assert count_words(read_harness_text(SMALL, "lone.toml")) == "2 wires, 1 load, 1 other part, 1 key state"


def test_all_that_a_harness_from_a_list_leaves_open_is_counted(tmp_path: Path) -> None:
    """Check and list of loads say how many answers are missing, as many as are asked; then none."""
    text = (
        'format = 1\nbuild = { name = "Cart", nominal_volts = 12 }\nkey_states = [{ name = "off" }]\n'
        'batteries = [{ id = "G1" }]\nfuses = [{ id = "F1", amps = 10, note = "Assumed: amps." }]\n'
        'wires = [{ id = "W1", from = "G1.+", to = "F1.in", size = 2.5, length = 1 }]\n'
    )
    harness = read_harness_text(text, "cart.toml")
    assert len(questions(harness)) == 2
    assert assumed_words(harness) == "2 answers are missing"
    assert check.summary(harness).endswith("; 2 answers are missing")
    said = counts(stand(tmp_path / "cart.toml", harness))
    assert said == f"{count_words(harness)}; 2 answers are missing, f asks for them."
    colour = text.replace("length = 1", 'length = 1, colour = "RD"')
    assert assumed_words(read_harness_text(colour, "cart.toml")) == "1 answer is missing"
    assert assumed_words(read_harness_text(text.replace("Assumed: amps.", ""), "cart.toml")) == (
        "1 wire has an assumed value"
    )
    assert assumed_words(read_harness_text(colour.replace("Assumed: amps.", ""), "cart.toml")) == ""
