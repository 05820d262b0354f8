"""Small hostile files, each run through every command that reads such a file: taken, or refused in words."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.fuzz.commands import Told, assert_lawful, command_lines, run

CORPUS = Path(__file__).parent / "corpus"
HARNESSES, LISTS, RECORDS = (sorted(CORPUS.glob(f"*.{ending}")) for ending in ("toml", "csv", "record"))
FIRST = ("check", "volts", "wirelist")
SOUND = CORPUS / "byte_order_mark.toml"
TAKEN = frozenset(
    {"byte_order_mark", "crlf", "dead_short", "paths", "escapes", "wide_letters", "sixty_thousand_letters", "buzzer"}
    | {"large_numbers", "small_numbers"}
)
"""Harness files of the corpus that break no rule."""
STRANGE = frozenset({"dead_short", "paths", "escapes", "wide_letters", "buzzer", "large_numbers", "small_numbers"})
"""Those of them in which more is strange than how the file is spelled."""


def name_of(path: Path) -> str:
    """Name a file of the corpus in a test's name."""
    return path.stem


def lawful(arguments: list[str]) -> Told:
    """Run a command, hold what it writes against the laws, and see that a refusal says where, what and what to do."""
    told = run(arguments)
    assert_lawful(arguments, told)
    if told.code == 2:
        assert told.err.startswith("fusewalk: ")
        assert len(told.err) > 30
    return told


@pytest.mark.parametrize("path", HARNESSES, ids=name_of)
def test_a_hostile_harness_is_taken_or_refused_in_words(tmp_path: Path, path: Path) -> None:
    """The quickest commands agree on whether a file is one, and write nothing but words, and no file."""
    file = Path(shutil.copy(path, tmp_path / path.name))
    before = file.read_bytes()
    codes = {lawful([command, str(file)]).code for command in FIRST}
    assert codes == {0 if path.stem in TAKEN else 2}
    assert file.read_bytes() == before
    assert [one.name for one in tmp_path.iterdir()] == [path.name]


@pytest.mark.slow
@pytest.mark.parametrize("path", [path for path in HARNESSES if path.stem in STRANGE], ids=name_of)
def test_every_command_bears_a_hostile_harness(tmp_path: Path, path: Path) -> None:
    """Whatever a harness that breaks no rule has in it, each command writes words, and no file."""
    file = Path(shutil.copy(path, tmp_path / path.name))
    for arguments in command_lines(file, "E1", ("",)):
        lawful(arguments)
    assert [one.name for one in tmp_path.iterdir()] == [path.name]


@pytest.mark.parametrize("path", LISTS, ids=name_of)
def test_a_hostile_list_is_taken_or_refused_in_words(tmp_path: Path, path: Path) -> None:
    """As wires and as parts; what is made of it breaks no rule, and stands where it was asked for alone."""
    made = tmp_path / "made.toml"
    wires = tmp_path / "wires.csv"
    wires.write_text("from,to\nG1.+,F1.in\n", encoding="utf-8")
    for lists in ([str(path)], [str(wires), str(path)]):
        made.unlink(missing_ok=True)
        if lawful(["from-list", *lists, "-o", str(made)]).code == 0:
            assert lawful(["check", str(made)]).code == 0
            assert lawful(["wirelist", str(made), "--csv"]).code == 0
    assert {one.name for one in tmp_path.iterdir()} <= {"wires.csv", "made.toml", "made.list.json"}


@pytest.mark.parametrize("path", RECORDS, ids=name_of)
def test_a_hostile_record_is_taken_or_refused_in_words(tmp_path: Path, path: Path) -> None:
    """The record is shown in each form, and neither a walk nor an undoing does more with it than with a sound one."""
    file = Path(shutil.copy(SOUND, tmp_path / "cart.toml"))
    record = Path(shutil.copy(path, tmp_path / "cart.record.toml"))
    before = record.read_bytes()
    for form in ("", "--markdown", "--html", "--csv", "--json"):
        lawful(["record", str(file), *form.split()])
    assert lawful(["walk", str(file), "E1"]).code == 0
    assert lawful(["amend", str(file), "undo"]).code == 2
    assert (file.read_bytes(), record.read_bytes()) == (SOUND.read_bytes(), before)
    assert {one.name for one in tmp_path.iterdir()} <= {"cart.toml", "cart.record.toml"}
