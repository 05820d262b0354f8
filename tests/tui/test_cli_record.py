"""The command ``fusewalk record``."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from model.record import Record, record_path
from model.record_text import HEADER
from tests.model.plan_rows import WHEN, small_plan, some_answers
from tests.tui.plan_command import two_fuses
from tui.__main__ import WRONG_ARGUMENTS, main
from tui.cli.record import holder_words


@pytest.fixture(name="file")
def _file(tmp_path: Path) -> Path:
    path = two_fuses(tmp_path)
    with Record.open(path, WHEN) as record:
        for entry in some_answers(small_plan()):
            record.append(entry)
    return path


@pytest.mark.parametrize(
    ("form", "start"),
    [
        ([], "Fusewalk record, Two fuses [b], revision 1 of the file\n"),
        (["--markdown"], "<!-- Fusewalk record -->\n"),
        (["--html"], "<!DOCTYPE html>\n"),
        (["--csv"], "plan,state of the loom,row,measure,"),
        (["--json"], '{"format": "fusewalk record 1"'),
    ],
)
def test_every_form_is_printed_and_written_alike(
    file: Path, capsys: pytest.CaptureFixture[str], form: list[str], start: str
) -> None:
    """And an older one is written over, but for values somebody may have typed into."""
    before = record_path(file).read_bytes()
    assert main(["record", str(file), *form]) == 0
    printed = capsys.readouterr()
    assert printed.out.startswith(start)
    assert printed.err == ""
    output = file.with_name("sheet")
    assert main(["record", str(file), *form, "-o", str(output)]) == 0
    assert output.read_bytes() == printed.out.encode()
    assert main(["record", str(file), *form, "-o", str(output)]) == (2 if form == ["--csv"] else 0)
    assert record_path(file).read_bytes() == before


def test_trouble_is_told_and_who_holds_it(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A torn block by its lines; the program that writes by its process; afterwards nobody."""
    with record_path(file).open("a", encoding="utf-8") as stream:
        stream.write(f"{HEADER}\nwhen = 20")
    with Record.open(file, WHEN):
        assert main(["record", str(file)]) == 0
        out = " ".join(capsys.readouterr().out.split())
    assert f"It is being written by process {os.getpid()}" in out
    assert "Passed over in the file, lines" in out
    assert main(["record", str(file), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["held_by"] is None
    assert len(told["trouble"]) == 1


def test_a_lock_left_behind_holds_nobody(file: Path) -> None:
    """The file of a program that was killed says nothing, and is taken away."""
    left = file.with_name(".two_fuses.record.lock")
    left.write_text('pid = 1\nhost = "bench"\n', encoding="utf-8")
    assert holder_words(file) == ""
    assert not left.exists()


def test_looking_leaves_nothing_behind(file: Path) -> None:
    """No lock file is made where none is."""
    before = sorted(file.parent.iterdir())
    assert main(["record", str(file)]) == 0
    assert sorted(file.parent.iterdir()) == before


def test_a_loom_without_a_record_has_an_empty_one(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Which is said; nothing is made."""
    path = two_fuses(tmp_path)
    assert main(["record", str(path)]) == 0
    assert "Nothing is in the record." in capsys.readouterr().out
    assert not record_path(path).exists()


def test_a_record_of_a_later_program_is_told(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With exit code 2, as it stands."""
    record_path(file).write_text("format = 9\n", encoding="utf-8")
    assert main(["record", str(file)]) == WRONG_ARGUMENTS
    assert "format 9" in capsys.readouterr().err
