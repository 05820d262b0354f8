"""Answers to rows of a plan without a screen: judged, kept, told; where they cannot be kept, printed whole."""

from __future__ import annotations

import errno
import json
import os
import stat
from pathlib import Path

import pytest

from model.errors import AnswerError, ArgumentError, RecordError
from model.record import Record, read_record, record_path
from model.record_entries import Measured, TakenBack
from model.record_text import read_contents
from tests.model.plan_rows import ROWS, WHEN, small_plan
from tests.tui.plan_command import run_small, two_fuses
from tui.__main__ import WRONG_ARGUMENTS, main


@pytest.fixture(name="file")
def _file(tmp_path: Path) -> Path:
    return two_fuses(tmp_path)


def kept(file: Path) -> list[Measured]:
    """Give the readings of the record."""
    return [entry for entry in read_record(file).entries if isinstance(entry, Measured)]


def test_a_reading_is_judged_and_kept(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """0.24 Ω of at most 0.45 Ω is good: verdict, limit and what it was computed from, by whom, with what."""
    by = ["--who", "Änne", "--meter", "the yellow one", "--ambient=-4,5"]
    assert run_small(file, "--read", "W2=0,24", *by) == 0
    out = capsys.readouterr().out
    assert out == (
        "W2: GOOD. 0.24 Ω, within at most 0.45 Ω. Limit: computed, a judgement. "
        "Computed from 1.2 m of 1.5 mm², two crimps.\n"
    )
    (entry,) = kept(file)
    assert (entry.row, entry.ohms, entry.verdict, entry.state) == ("W2", 0.24, "good", "fitted, all apart")
    assert (entry.who, entry.meter, entry.ambient_celsius, entry.revision) == ("Änne", "the yellow one", -4.5, 3)
    assert entry.when.tzinfo is not None


def test_several_answers_are_kept_in_their_order(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Numbers, words, open, millivolts with amperes; a row that cannot fail stays unproven."""
    typed = ["W2=0.9", "W5=good", "F1.out open=OL", "G1.-=24 at 4.6", "M1 on=skipped", "F1=35 mA"]
    assert run_small(file, *(word for one in typed for word in ("--read", one))) == 0
    said = [
        line.split(".")[-4:] and line.partition(": ")[2].partition(".")[0]
        for line in capsys.readouterr().out.splitlines()
    ]
    assert said == ["BAD", "UNPROVEN", "GOOD", "BAD", "SKIPPED", "BAD"]
    entries = kept(file)
    assert [entry.row for entry in entries] == [row.key for row in ROWS]
    assert (entries[3].millivolts, entries[3].at_amps) == (24.0, 4.6)
    assert entries[5].amps == 0.035


def test_an_answer_can_be_taken_back(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The row is open again; the record keeps both."""
    assert run_small(file, "--read", "W2=0.24") == 0
    assert run_small(file, "--take-back", "W2") == 0
    assert capsys.readouterr().out.endswith("W2: open again.\n")
    assert isinstance(read_record(file).entries[-1], TakenBack)
    assert run_small(file, "--json") == 0
    assert json.loads(capsys.readouterr().out)["counts"]["open"] == 6


def test_json_tells_the_verdicts(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One object, with what was kept."""
    assert run_small(file, "--read", "W2=0.24", "--take-back", "W5", "--json") == 0
    told = json.loads(capsys.readouterr().out)
    assert told["kept"] is True
    assert told["not_written"] == []
    assert [(one["row"], one["verdict"]) for one in told["answers"]] == [("W5", "open"), ("W2", "good")]


@pytest.mark.parametrize(
    ("typed", "error", "words"),
    [
        ("W22=0.24", ArgumentError, "no row “W22”. Did you mean W2?"),
        ("zz top=0.24", ArgumentError, "no row “zz top”. The sheet"),
        ("W2", ArgumentError, "Write it as ROW=VALUE"),
        ("W2=", AnswerError, "W2: Nothing was typed"),
        ("W2=12 V", AnswerError, "W2: “12 V” cannot be read as ohms"),
        ("M1 on=3", AnswerError, "M1 on: “3” is no answer"),
    ],
)
def test_one_wrong_answer_keeps_none(file: Path, typed: str, error: type[Exception], words: str) -> None:
    """It is told with its row, and nothing is written: half a line of answers would have to be sorted out by hand."""
    with pytest.raises(error) as raised:
        run_small(file, "--read", "W5=0.2", "--read", typed)
    assert words in str(raised.value)
    assert not record_path(file).exists()


def test_answers_are_no_sheet(file: Path) -> None:
    """Neither a form nor a file goes with them."""
    for words in (["--html"], ["-o", "x.html"]):
        with pytest.raises(ArgumentError, match="Leave the form out"):
            run_small(file, "--read", "W2=0.24", *words)


def read_from(out: str) -> list[Measured]:
    """Read the entries that were printed to be typed in."""
    contents = read_contents(out[out.index("[[entry]]") :].encode())
    assert contents.trouble == () or all("format" in one.what for one in contents.trouble)
    return [entry for entry in contents.entries if isinstance(entry, Measured)]


def test_a_record_that_is_held_is_told_with_who_holds_it(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The file stays as it is; the entries are printed as they go into it."""
    with Record.open(file, WHEN):
        with pytest.raises(RecordError, match=f"process {os.getpid()}") as raised:
            run_small(file, "--read", "W2=0.24", "--read", "W5=0.2")
        assert not record_path(file).exists()
    assert "add the entries printed here" in str(raised.value)
    out = capsys.readouterr().out
    assert out.startswith("W2: GOOD.")
    assert "# Not written: these 2 entries were to be added at the end of the record." in out
    assert [(entry.row, entry.ohms) for entry in read_from(out)] == [("W2", 0.24), ("W5", 0.2)]


def test_what_was_printed_can_be_put_into_the_record(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It is read as if it had been written."""
    with Record.open(file, WHEN), pytest.raises(RecordError):
        run_small(file, "--read", "W2=0.24")
    out = capsys.readouterr().out
    assert run_small(file, "--read", "W5=0.2") == 0
    with record_path(file).open("a", encoding="utf-8") as stream:
        stream.write(out[out.index("[[entry]]") :])
    assert [entry.row for entry in kept(file)] == ["W5", "W2"]
    assert read_record(file).trouble == ()


def test_a_full_disk_loses_nothing(
    file: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was in the record is there, what was to be added is printed, and JSON has it too."""
    assert run_small(file, "--read", "W2=0.24") == 0
    before = record_path(file).read_bytes()
    capsys.readouterr()

    def full(_descriptor: int, _content: bytes) -> int:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with monkeypatch.context() as patch:
        patch.setattr(os, "write", full)
        with pytest.raises(RecordError, match="No space left"):
            run_small(file, "--read", "W5=0.2")
        told = capsys.readouterr().out
        with pytest.raises(RecordError, match="No space left"):
            run_small(file, "--read", "W5=0.2", "--json")
    assert record_path(file).read_bytes() == before
    assert [entry.row for entry in read_from(told)] == ["W5"]
    found = json.loads(capsys.readouterr().out)
    assert found["kept"] is False
    assert [entry.row for entry in read_from(found["not_written"][0])] == ["W5"]


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser writes into any folder")
def test_a_folder_that_may_not_be_written_is_told(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The entries are printed."""
    folder = file.parent
    mode = folder.stat().st_mode
    folder.chmod(stat.S_IRUSR | stat.S_IXUSR)
    try:
        with pytest.raises(RecordError, match="Permission denied"):
            run_small(file, "--read", "W2=0.24")
    finally:
        folder.chmod(mode)
    assert [entry.row for entry in read_from(capsys.readouterr().out)] == ["W2"]


def test_a_lock_that_cannot_be_made_is_told(
    file: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """As in a folder that may not be written, for whomever: nothing goes into the record, all is printed."""

    def forbidden(_path: Path, _holder: object) -> None:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    monkeypatch.setattr("model.record.take_lock", forbidden)
    with pytest.raises(RecordError, match="Permission denied"):
        run_small(file, "--read", "W2=0.24")
    assert not record_path(file).exists()
    assert [entry.row for entry in read_from(capsys.readouterr().out)] == ["W2"]


def test_a_folder_in_place_of_the_record_is_told(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The entries are printed, whoever runs it."""
    record_path(file).mkdir()
    with pytest.raises(RecordError, match="cannot be read"):
        run_small(file, "--read", "W2=0.24")
    assert [entry.row for entry in read_from(capsys.readouterr().out)] == ["W2"]


def test_the_real_command_keeps_an_answer(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A row of the continuity plan by its key; exit code 2 and one sentence for a row that is not there."""
    assert main(["continuity", str(file), "--json"]) == 0
    keys = [row["key"] for row in json.loads(capsys.readouterr().out)["rows"]]
    assert main(["continuity", str(file), "--read", f"{keys[0]}=good"]) == 0
    assert capsys.readouterr().out.startswith(f"{keys[0]}: ")
    assert [entry.row for entry in kept(file)] == [keys[0]]
    assert main(["continuity", str(file), "--read", "nothing=1"]) == WRONG_ARGUMENTS
    assert "of the loom fitted, all apart has no row “nothing”" in capsys.readouterr().err


def test_the_plan_keeps_its_own_rows_apart(file: Path) -> None:
    """The key of a row that another plan has is not taken."""
    with pytest.raises(ArgumentError):
        run_small(file, "--read", "W5=0.2", plan=small_plan(ROWS[:1]))
