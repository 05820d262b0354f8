"""Whatever texts a harness file holds, no command passes on more of them than words."""

from __future__ import annotations

import csv
from io import StringIO
from pathlib import Path

import pytest

from model.harness.toml_file import read_harness_text
from tests.fuzz.commands import FORMS, OTHERS, SHEETS, assert_lawful, assert_no_markdown, run
from tests.fuzz.hostile_loom import hostile_loom

QUICK = (
    "check", "walk LOAD --markdown", "find lamp front", "glance --svg", "connectors --markdown", "connectors --html",
    "cut-list", "feeds --csv", "findings --markdown", "fuses --card --html", "glance --json", "labels --csv",
    "labels --html", "live --by place", "wirelist --csv", "wirelist --parts --csv", "wirelist --parts --markdown",
)  # fmt: skip
"""Commands that take little time, each form and each writer among them."""
LOADS = {"field_tractor": "E1", "harbour_launch": "E1", "trail_buggy": "E1:dip"}


def hold(folder: Path, build: str, words: str) -> None:
    """Run a command on a hostile build and hold what it writes against the laws."""
    file = folder / f"{build}.toml"
    file.write_text(hostile_loom(build), encoding="utf-8")
    name, *rest = words.split()
    arguments = [name, str(file), *({"FILE": str(file), "LOAD": LOADS[build]}.get(word, word) for word in rest)]
    told = run(arguments)
    assert told.code == 0 or name == "circuit", told.err
    assert_lawful(arguments, told)


@pytest.mark.parametrize("words", QUICK)
def test_no_command_passes_hostile_texts_on(tmp_path: Path, words: str) -> None:
    """No escape, no markup, no formula, no tag of a file gets through a command."""
    hold(tmp_path, "field_tractor", words)


@pytest.mark.slow
@pytest.mark.parametrize("words", [*OTHERS, *SHEETS])
def test_no_command_passes_hostile_texts_on_in_any_form(tmp_path: Path, words: str) -> None:
    """Each command in each form."""
    for form in FORMS if words in SHEETS else ("",):
        hold(tmp_path, "field_tractor", f"{words} {form}")


@pytest.mark.thorough
@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("build", ["harbour_launch", "trail_buggy"])
def test_no_command_passes_hostile_texts_on_of_any_build(tmp_path: Path, build: str, form: str) -> None:
    """Each command in each form, on each build."""
    for words in (*OTHERS, *SHEETS):
        hold(tmp_path, build, f"{words} {form}" if words in SHEETS else words)


def test_what_is_armed_for_a_spreadsheet_comes_back_as_it_was(tmp_path: Path) -> None:
    """Lists of a hostile loom, taken in again, make the same wires and parts; numbers in them are numbers."""
    before = read_harness_text(hostile_loom("field_tractor"), "before.toml")
    file = tmp_path / "before.toml"
    file.write_text(hostile_loom("field_tractor"), encoding="utf-8")
    wires, parts, made = tmp_path / "wires.csv", tmp_path / "parts.csv", tmp_path / "made.toml"
    assert run(["wirelist", str(file), "-o", str(wires)]).code == 0
    assert run(["wirelist", str(file), "--parts", "-o", str(parts)]).code == 0
    assert run(["from-list", str(wires), str(parts), "-o", str(made)]).code == 0
    after = read_harness_text(made.read_text(encoding="utf-8"), "after.toml")
    assert [wire.id for wire in after.wires] == [wire.id for wire in before.wires]
    assert [(part.id, part.label, part.note) for part in after.each_part()] == [
        (part.id, part.label.strip(), part.note.strip()) for part in before.each_part()
    ]
    rows = list(csv.DictReader(StringIO(wires.read_text(encoding="utf-8"))))
    assert [float(row["size mm2"]) for row in rows if row["size mm2"]]
    assert all(float(row["length m"]) >= 0 for row in rows if row["length m"])


@pytest.mark.parametrize(
    "line",
    ["<b>", "\\\\<b>", "`x`", "[a](b)", "![a](b)", "- one\n\n    <b>", "```text\n```x\n```", "| a |\n| b | c |"],
)
def test_the_law_of_markdown_sees_what_breaks_it(line: str) -> None:
    """Each kind of markup that may get through is seen by what the other tests rest on."""
    with pytest.raises(AssertionError):
        assert_no_markdown(line)
