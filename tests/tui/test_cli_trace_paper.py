"""The command ``fusewalk trace --sheet``."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.record import record_path
from tests.tui.test_cli_practice import two_fuses
from tui.__main__ import main
from tui.arguments import WRONG_ARGUMENTS


@pytest.mark.slow
def test_prints_markdown(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """To standard output, nothing beside it."""
    file = str(two_fuses(tmp_path))
    assert main(["trace", file, "P1", "--sheet"]) == 0
    printed = capsys.readouterr()
    assert printed.out.startswith("# Trace on paper: P1\n")
    assert "## Box 1, check 1" in printed.out
    assert printed.err == ""


@pytest.mark.slow
def test_a_file_named_html_gets_html(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It is said where it was written, and the same comes with ``--html``."""
    file, output = str(two_fuses(tmp_path)), tmp_path / "sheet.HTML"
    assert main(["trace", file, "P1", "--sheet", "-o", str(output)]) == 0
    assert capsys.readouterr().out == f"Written to {output}\n"
    assert main(["trace", file, "P1", "--html"]) == 0
    assert capsys.readouterr().out == output.read_text(encoding="utf-8")
    assert output.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")


def test_the_harness_file_is_never_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It is refused, and the file stays as it was."""
    file = two_fuses(tmp_path)
    before = file.read_bytes()
    assert main(["trace", str(file), "P1", "--sheet", "-o", str(file)]) == WRONG_ARGUMENTS
    assert "harness file itself" in capsys.readouterr().err
    assert file.read_bytes() == before


@pytest.mark.slow
def test_the_record_is_never_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It is refused even by force, and every reading stays."""
    file = two_fuses(tmp_path)
    record = record_path(file)
    record.write_text("# read over a year\n", encoding="utf-8")
    for more in ([], ["--force"]):
        assert main(["trace", str(file), "P1", "--sheet", "-o", str(record), *more]) == WRONG_ARGUMENTS
        assert "That is the record of the loom." in capsys.readouterr().err
    assert record.read_text(encoding="utf-8") == "# read over a year\n"


@pytest.mark.slow
@pytest.mark.parametrize("name", ["sheet.md", "sheet.html"])
def test_an_older_sheet_is_written_over_and_nothing_else(tmp_path: Path, name: str) -> None:
    """What somebody may have typed stays, unless it is forced; a sheet of ours gives way to the next."""
    file, output = two_fuses(tmp_path), tmp_path / name
    output.write_text("typed by somebody\n", encoding="utf-8")
    written = ["trace", str(file), "P1", "--sheet", "-o", str(output)]
    assert main(written) == WRONG_ARGUMENTS
    assert output.read_text(encoding="utf-8") == "typed by somebody\n"
    assert main([*written, "--force"]) == 0
    assert main(written) == 0
    assert "Trace on paper: P1" in output.read_text(encoding="utf-8")


def test_a_file_that_cannot_be_written_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """In one sentence, with the exit code of a wrong argument."""
    output = tmp_path / "nowhere" / "sheet.md"
    assert main(["trace", str(two_fuses(tmp_path)), "P1", "--sheet", "-o", str(output)]) == WRONG_ARGUMENTS
    assert "cannot be written" in capsys.readouterr().err


def test_a_sheet_is_one_form_among_others(tmp_path: Path) -> None:
    """Not both sentences and paper."""
    with pytest.raises(SystemExit) as left:
        main(["trace", str(two_fuses(tmp_path)), "P1", "--lines", "--sheet"])
    assert left.value.code == WRONG_ARGUMENTS
    assert main(["trace", str(two_fuses(tmp_path)), "P1", "--lines", "-o", str(tmp_path / "a.md")]) == WRONG_ARGUMENTS


def test_pictures_are_for_the_sheet_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Beside sentences and lines they are refused, and without HTML it is said what they go into."""
    file = str(two_fuses(tmp_path))
    for form, words in (("--lines", "for the sheet alone"), ("--json", "for the sheet alone"), ("", "HTML alone")):
        assert main(["trace", file, "P1", "--pictures", *([form] if form else [])]) == WRONG_ARGUMENTS
        assert words in capsys.readouterr().err


def test_a_flat_battery_has_no_check(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The sheet says to charge first."""
    assert main(["trace", str(two_fuses(tmp_path)), "P1", "--sheet", "--battery", "11.5"]) == 0
    printed = capsys.readouterr().out
    assert "Charge the battery first." in printed
    assert "## Box" not in printed
