"""The commands of the plans: forms, files that are written whole or not at all, and never over something else."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from model.errors import ArgumentError, FusewalkError, RecordError
from model.plans.plan import PlanKind
from model.record import Record, record_path
from model.record_text import HEADER
from tests.model.plan_rows import small_plan, some_answers
from tests.tui.hostile_build import hostile_build
from tests.tui.plan_command import run_small, two_fuses
from tui.__main__ import WRONG_ARGUMENTS, main
from tui.cli.forms import Form
from tui.cli.sheet_file import form_of

STARTS = {
    "text": "Fusewalk plan, Continuity",
    "markdown": "<!-- Fusewalk plan -->",
    "html": "<!DOCTYPE html>",
    "csv": "plan,state of the loom,row,",
    "json": '{"format": "fusewalk plan 1"',
}

PLANS = [str(kind).replace(" ", "-") for kind in PlanKind]


@pytest.fixture(name="file")
def _file(tmp_path: Path) -> Path:
    return two_fuses(tmp_path)


def asked(form: str) -> list[str]:
    """Give the option that asks for a form."""
    return [] if form == "text" else [f"--{form}"]


@pytest.mark.parametrize("form", STARTS)
def test_every_form_is_printed_and_written_alike(file: Path, capsys: pytest.CaptureFixture[str], form: str) -> None:
    """To standard output; with -o to a file, told where, byte for byte the same."""
    assert run_small(file, *asked(form)) == 0
    printed = capsys.readouterr()
    assert printed.out.startswith(STARTS[form])
    assert printed.err == ""
    output = file.with_name("sheet")
    assert run_small(file, *asked(form), "-o", str(output)) == 0
    assert capsys.readouterr().out == f"Written to {output}\n"
    assert output.read_bytes() == printed.out.encode()
    assert [one.name for one in file.parent.iterdir() if one.name.endswith(".part")] == []


def test_csv_keeps_its_line_ends_in_a_file(file: Path) -> None:
    """RFC 4180 wants CR LF."""
    output = file.with_name("plan.csv")
    assert run_small(file, "-o", str(output)) == 0
    content = output.read_bytes()
    assert content.count(b"\r\n") == content.count(b"\n") == 7


def test_the_ending_of_the_file_says_the_form() -> None:
    """Whatever its capitals; what is asked for wins; text for anything else."""
    assert form_of(None, Path("a.HTML")) is Form.HTML
    assert form_of(None, Path("a.md")) is Form.MARKDOWN
    assert form_of(None, Path("a.csv")) is Form.CSV
    assert form_of(None, Path("a.json")) is Form.JSON
    assert form_of(None, Path("a.txt")) is Form.TEXT
    assert form_of("csv", Path("a.html")) is Form.CSV


@pytest.mark.parametrize("form", ["text", "markdown", "html", "json"])
def test_a_sheet_is_written_over_an_older_one(file: Path, form: str) -> None:
    """Nobody types into those."""
    output = file.with_name("sheet")
    for _ in range(2):
        assert run_small(file, *asked(form), "-o", str(output)) == 0


@pytest.mark.parametrize("content", [b"my notes\n", b"plan,state of the loom,row,key of the row\r\n"])
def test_a_file_that_is_no_sheet_is_written_over_on_demand_alone(file: Path, content: bytes) -> None:
    """Values into which somebody may have typed are none either."""
    output = file.with_name("notes.csv")
    output.write_bytes(content)
    with pytest.raises(ArgumentError, match="--force"):
        run_small(file, "-o", str(output))
    assert output.read_bytes() == content
    assert run_small(file, "-o", str(output), "--force") == 0
    assert output.read_bytes() != content


def test_neither_the_harness_file_nor_its_record_is_ever_written_over(file: Path) -> None:
    """On demand neither, nor by a link."""
    with Record.open(file, some_answers(small_plan())[0].when) as record:
        record.append(some_answers(small_plan())[0])
    before = {path: path.read_bytes() for path in (file, record_path(file))}
    link = file.with_name("link.html")
    link.symlink_to(file)
    for output in (file, record_path(file), link):
        with pytest.raises(ArgumentError, match="Write the sheet to another file"):
            run_small(file, "-o", str(output), "--force")
    assert {path: path.read_bytes() for path in before} == before


def test_a_folder_is_no_file(file: Path) -> None:
    """It is told, with what to do."""
    with pytest.raises(ArgumentError, match="is a folder"):
        run_small(file, "-o", str(file.parent))


def test_a_file_that_cannot_be_written_is_told_and_stays_as_it_was(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the disk is full the old sheet is still there whole, and nothing beside it."""
    output = file.with_name("sheet.html")
    assert run_small(file, "-o", str(output)) == 0
    before = output.read_bytes()
    with pytest.raises(FusewalkError, match="cannot be written"):
        run_small(file, "-o", str(file.with_name("nowhere") / "sheet.html"))

    def full(_descriptor: int) -> None:
        raise OSError(28, os.strerror(28))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(FusewalkError, match="No space left"):
        run_small(file, "-o", str(output))
    assert output.read_bytes() == before
    assert sorted(one.name for one in file.parent.iterdir()) == ["sheet.html", "two_fuses.toml"]


def test_a_device_is_written_to_as_it_is(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing is put in its place."""
    assert run_small(file, "-o", os.devnull) == 0
    assert capsys.readouterr().out == f"Written to {os.devnull}\n"
    assert not Path(os.devnull).is_file()


def test_the_record_stands_in_the_sheet_and_its_trouble_is_told(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Answers in their rows; a torn block is told on standard error with where to read of it."""
    plan = small_plan()
    with Record.open(file, some_answers(plan)[0].when) as record:
        for entry in some_answers(plan):
            record.append(entry)
    with record_path(file).open("a", encoding="utf-8") as stream:
        stream.write(f"{HEADER}\nwhen = 20")
    assert run_small(file, "--json") == 0
    printed = capsys.readouterr()
    assert json.loads(printed.out)["counts"]["bad"] == 1
    assert "1 piece of the record passed over" in printed.err
    assert "fusewalk record" in printed.err


def test_a_record_that_cannot_be_read_is_told(file: Path) -> None:
    """A folder in its place is no record."""
    record_path(file).mkdir()
    with pytest.raises(RecordError, match="cannot be read"):
        run_small(file)


@pytest.mark.parametrize(
    "words",
    [
        ["continuity", "--state", "afloat"],
        ["grounds", "--amps", "0"],
        ["grounds", "--amps", "five"],
        ["first-power", "--lamp", "5000"],
        ["continuity", "--ambient", "hot"],
        ["continuity", "--html", "--csv"],
    ],
)
def test_wrong_arguments_are_told(file: Path, capsys: pytest.CaptureFixture[str], words: list[str]) -> None:
    """In one line that names the command and how it is used, with exit code 2."""
    with pytest.raises(SystemExit) as left:
        main([words[0], str(file), *words[1:]])
    assert left.value.code == WRONG_ARGUMENTS
    told = capsys.readouterr().err
    assert told.startswith(f"fusewalk {words[0]}: ")
    assert "Use: fusewalk" in told
    assert told.count("\n") == 1


def test_continuity_takes_the_state_of_the_loom(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Each gives a plan of its own; apart where none is typed."""
    states = {}
    for state in ("bench", "apart", "mated"):
        assert main(["continuity", str(file), "--state", state, "--json"]) == 0
        states[state] = json.loads(capsys.readouterr().out)["state"]
    assert states == {"bench": "on the bench", "apart": "fitted, all apart", "mated": "fitted and mated"}
    assert main(["continuity", str(file), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["state"] == states["apart"]


@pytest.mark.first_few(1)
@pytest.mark.parametrize("name", PLANS)
def test_nasty_labels_go_through_every_plan(tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str) -> None:
    """No sign that a terminal obeys in any form, no script in HTML, and a reading is kept by the key of its row."""
    file = tmp_path / "nasty.toml"
    file.write_text(hostile_build(), encoding="utf-8")
    for form in STARTS:
        assert main([name, str(file), *asked(form)]) == 0
        out = capsys.readouterr().out
        assert not any(ord(sign) < 32 or 0x7F <= ord(sign) < 0xA0 for sign in out.replace("\r\n", "").replace("\n", ""))
        assert "<script" not in out or form != "html"
        if form == "json":
            rows = json.loads(out)["rows"]
            assert rows or json.loads(out)["about"]
            for row in rows[:1]:
                assert main([name, str(file), "--read", f"{row['key']}=skipped"]) == 0
                assert ": SKIPPED." in capsys.readouterr().out


def test_a_hyphen_does_not_hide_a_slip_of_the_finger(capsys: pytest.CaptureFixture[str]) -> None:
    """The nearest command is named."""
    assert main(["first-powr", "a.toml"]) == WRONG_ARGUMENTS
    assert "Did you mean first-power?" in capsys.readouterr().err
