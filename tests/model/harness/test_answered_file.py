"""Answers written into a harness file at once."""

from pathlib import Path

import pytest

from model.errors import FusewalkError, HarnessFileError
from model.harness.answered_file import answer_in_file
from model.harness.file_read import ChangedOutsideError, FileRead, read_file
from model.harness.wire_list_questions import Question, questions

TEXT = """format = 1
build = { name = "Cart", nominal_volts = 12, revision = 3 }
key_states = [ { name = "off" }, { name = "on" } ]
batteries = [ { id = "G1" } ]
fuses = [ { id = "F1", amps = 10, note = "Assumed: amps." } ]  # behind the seat
loads = [ { id = "E1", kind = "lamp", watts = 21 } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", colour = "RD", size = 4, length = 1 },
  { id = "W2", from = "F1.out", to = "E1.+", colour = "RD", size = 1 },
  { id = "W3", from = "E1.-", to = "G1.-", size = 1, length = 1 },
]
"""


def file_of(folder: Path) -> FileRead:
    """Write the file and read it."""
    path = folder / "cart.toml"
    path.write_text(TEXT, encoding="utf-8")
    return read_file(path)


def asked(read: FileRead, question_id: str) -> Question:
    """Give one of the questions of a file."""
    return next(one for one in questions(read.harness) if one.id == question_id)


def test_each_answer_is_in_the_file_at_once_and_the_first_state_is_kept_once(tmp_path: Path) -> None:
    """Two answers are written one after the other; what is kept is the file before the first, the revision stays."""
    read = file_of(tmp_path)
    once = answer_in_file(read, asked(read, "fuses.F1.amps"), "15")
    assert "amps = 15" in read.path.read_text(encoding="utf-8")
    assert "# behind the seat" in read.path.read_text(encoding="utf-8")
    twice = answer_in_file(once, asked(once, "wires.W2.length"), "150 cm")
    assert twice.harness.parts["W2"].length == 1.5  # type: ignore[attr-defined]
    assert twice.harness.build.revision == 3
    assert read_file(read.path) == FileRead(read.path, twice.content, twice.harness)
    assert once.kept == twice.kept == "cart.rev3.unanswered.toml"
    assert (tmp_path / twice.kept).read_text(encoding="utf-8") == TEXT
    assert {one.id for one in questions(twice.harness)} == {"wires.W3.colour"}


def test_a_file_changed_outside_is_never_written_over(tmp_path: Path) -> None:
    """Where one byte differs from what was read the answer is refused, and the file stays as it is."""
    read = file_of(tmp_path)
    read.path.write_text(TEXT + "# a word more\n", encoding="utf-8")
    with pytest.raises(ChangedOutsideError):
        answer_in_file(read, asked(read, "fuses.F1.amps"), "15")
    assert read.path.read_text(encoding="utf-8") == TEXT + "# a word more\n"
    assert sorted(one.name for one in tmp_path.iterdir() if one.is_file()) == ["cart.toml"]


@pytest.mark.parametrize(("question_id", "typed"), [("fuses.F1.amps", "plenty"), ("wires.W3.colour", "zebra")])
def test_a_wrong_answer_changes_nothing(tmp_path: Path, question_id: str, typed: str) -> None:
    """What cannot be read is refused in words, and the file is byte for byte what it was."""
    read = file_of(tmp_path)
    with pytest.raises(FusewalkError):
        answer_in_file(read, asked(read, question_id), typed)
    assert read.path.read_bytes() == read.content


def test_an_answer_that_breaks_a_rule_is_told_as_of_the_answer(tmp_path: Path) -> None:
    """A wire cannot end on a part that is not there: the breach is told, nothing is written."""
    read = file_of(tmp_path)
    question = Question("wires.W2.to", "wires", "W2", "to", "On which point does W2 end?", row={})
    with pytest.raises(HarnessFileError, match="as it would be"):
        answer_in_file(read, question, "Q9.1")
    assert read.path.read_bytes() == read.content


def test_a_byte_order_mark_stays(tmp_path: Path) -> None:
    """A file that begins with a byte order mark still does after an answer."""
    read = file_of(tmp_path)
    read.path.write_bytes("\ufeff".encode() + read.content)
    read = read_file(read.path)
    answer_in_file(read, asked(read, "fuses.F1.amps"), "15")
    assert read.path.read_bytes().startswith("\ufeff".encode())


def test_other_positions_of_the_key_take_the_place_of_those_assumed(tmp_path: Path) -> None:
    """They are typed in the order in which the key turns; fewer than two are refused."""
    path = tmp_path / "cart.toml"
    text = TEXT.replace('{ name = "off" }, { name = "on" }', '{ name = "at rest" }')
    path.write_text(text.replace("revision = 3", 'revision = 3, note = "Assumed: key_states."'), encoding="utf-8")
    read = read_file(path)
    question = asked(read, "build.key_states")
    assert question.asks.startswith("Has it a key?")
    for typed in ("off", "yes"):
        with pytest.raises(FusewalkError, match="fewer than two"):
            answer_in_file(read, question, typed)
    found = answer_in_file(read, question, "off, ignition, off, crank")
    assert found.harness.key_names == ("off", "ignition", "crank")
    assert "build.key_states" not in {one.id for one in questions(found.harness)}


def test_a_build_without_a_key_stays_without(tmp_path: Path) -> None:
    """No is the answer that was assumed: it is never asked again, and no position is put in."""
    path = tmp_path / "cart.toml"
    text = TEXT.replace('{ name = "off" }, { name = "on" }', '{ name = "at rest" }')
    path.write_text(text.replace("revision = 3", 'revision = 3, note = "Assumed: key_states."'), encoding="utf-8")
    read = read_file(path)
    question = asked(read, "build.key_states")
    assert question.assumed == "no"
    found = answer_in_file(read, question, "No")
    assert found.harness.key_names == ("at rest",)
    assert "build.key_states" not in {one.id for one in questions(found.harness)}


@pytest.mark.parametrize(
    "build",
    [
        'build = { name = "Cart", nominal_volts = 12, note = "Assumed: nominal_volts." }',
        'build = { note = "Assumed: nominal_volts.", name = "Cart", nominal_volts = 12 }  # mine',
        'build.name = "Cart"\nbuild.note = "Assumed: nominal_volts."\nbuild.nominal_volts = 12',
        'build.name = "Cart"\nbuild.nominal_volts = 12\nbuild.note = "Assumed: nominal_volts."',
    ],
)
def test_the_last_answer_takes_the_note_of_the_build_out(tmp_path: Path, build: str) -> None:
    """Nothing is assumed of the build any more: its note is not left behind empty, whichever way it is spelled."""
    path = tmp_path / "cart.toml"
    old = 'build = { name = "Cart", nominal_volts = 12, revision = 3 }'
    path.write_text(TEXT.replace(old, build), encoding="utf-8")
    read = read_file(path)
    found = answer_in_file(read, asked(read, "build.nominal_volts"), "24")
    text = path.read_text(encoding="utf-8")
    assert found.harness.build.nominal_volts == 24
    assert "note" not in text.partition("key_states")[0]
    assert ("# mine" in text) is ("# mine" in build)


@pytest.mark.parametrize(
    ("question_id", "answer", "written"),
    [
        ("fuses.F1.amps", "60", "amps = 60 "),
        ("fuses.F1.amps", "7,5", "amps = 7.5 "),
        ("wires.W2.length", "2 m", "length = 2 "),
        ("wires.W2.length", "250 cm", "length = 2.5 "),
        ("loads.E1.watts", "21 W", "watts = 21 "),
        ("loads.E1.watts", "2 A", "amps = 2 "),
    ],
)
def test_a_figure_is_written_as_it_was_typed(tmp_path: Path, question_id: str, answer: str, written: str) -> None:
    """Sixty is no 60.0 in the file; decimals stay, and a unit goes into the name of the key."""
    path = tmp_path / "cart.toml"
    path.write_text(TEXT.replace("watts = 21 }", 'watts = 15, note = "Assumed: watts." }'), encoding="utf-8")
    read = read_file(path)
    answer_in_file(read, asked(read, question_id), answer)
    assert written in path.read_text(encoding="utf-8").replace(",", " ")
