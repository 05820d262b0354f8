"""The record of a loom as a sheet: by plan and by date, what counts and what was measured again."""

from __future__ import annotations

import csv
import json
import re
from io import StringIO

import pytest

from model.plans.judging import Standing, Taken
from model.record_entries import AnyEntry, Reading
from model.record_text import HEADER, Contents, block_text, read_contents
from model.sheets.columns import cell_width
from model.sheets.record_paper import record_html, record_markdown, record_text
from model.sheets.record_rows import COLUMNS, record_csv, record_json
from model.sheets.record_sheet import AMENDMENTS, TRACES, RecordSheet, later_words, record_sheet
from tests.model.html_tags import parsed
from tests.model.plan_rows import HOSTILE, answered, hostile_plan, small_harness, small_plan, some_answers
from tests.model.record_rows import every_kind


def sheet_of(entries: tuple[AnyEntry, ...], held_by: str = "") -> RecordSheet:
    """Give the sheet of a record with these entries, as read from its file."""
    text = "format = 1\n\n" + "".join(block_text(entry) for entry in entries)
    contents = read_contents(text.encode())
    assert contents.trouble == ()
    return record_sheet(small_harness(), contents, held_by)


def test_entries_stand_by_plan_and_by_date() -> None:
    """The plan with its state of the loom, then traces, then amendments; in each the earliest first, as ever filed."""
    plan = small_plan()
    entries = (*every_kind(), *reversed(some_answers(plan)))
    sheet = sheet_of(entries)
    assert [section.head for section in sheet.sections] == ["continuity, fitted, all apart", TRACES, AMENDMENTS]
    whens = [row.when for row in sheet.sections[0].rows]
    assert whens == sorted(whens)
    assert len(whens) == 8


def test_a_row_says_value_verdict_limit_source_and_who() -> None:
    """0.31 Ω against at most 0.45 Ω, computed from what the plan said on its day."""
    plan = small_plan()
    row = sheet_of((answered(plan, "W2", Taken(0.31)),)).sections[0].rows[0]
    assert (row.what, row.state, row.read, row.verdict) == ("W2: F1.out to M1.+", "key on", "0.31 Ω", "good")
    assert "at most 0.45 Ω" in row.why
    assert "Computed from 1.2 m of 1.5 mm², two crimps." in row.why
    assert row.by == "Änne, the yellow one, 14.5 °C, revision 3"
    assert row.when == "2026-05-04 18:03"


def test_many_settings_are_told_together() -> None:
    """As on the sheet of the plan; what the harness no longer has is told as it was kept."""
    entry = answered(small_plan(), "W2", Taken(0.31)).model_copy(
        update={"settings": {"F1": "out", "F2": "out", "X99": "apart", "A9.7": "on"}}
    )
    row = sheet_of((entry,)).sections[0].rows[0]
    assert row.state == "key on, fuse F1 out, fuse F2 out, X99 apart, A9.7 on"


def test_only_the_last_answer_of_a_row_counts() -> None:
    """The earlier one says when it was measured again, one taken back when that was."""
    plan = small_plan()
    entries = some_answers(plan)
    later = later_words(entries)
    assert later[0] == "measured again 2026-05-04 18:04"
    assert later[6] == "taken back 2026-05-04 18:10"
    assert [words for place, words in enumerate(later) if place not in (0, 6)] == [""] * 6
    assert sheet_of(entries).counted == "5 rows of plans answered: 2 good, 1 unproven, 1 bad, 1 skipped"


def test_an_answer_in_another_state_of_the_loom_takes_no_place() -> None:
    """Continuity on the bench is another row than continuity in the vehicle."""
    plan = small_plan()
    first = answered(plan, "W2", Taken(0.31))
    other = first.model_copy(update={"state": "on the bench"})
    assert later_words((first, other)) == ("", "")


def test_readings_repairs_and_findings_of_traces_are_told() -> None:
    """What was asked, skipped or corrected is not."""
    rows = sheet_of(every_kind()).sections[0].rows
    kinds = {row.entry.kind for row in rows}
    assert kinds == {"reading", "changed", "repaired", "finding"}
    assert any(row.read == "12.00 V" and row.verdict == "good" for row in rows)
    assert any(row.read == "1.2 Ω to open" for row in rows)
    assert any(row.what == "W9 touches" and row.verdict == "cured" for row in rows)


def test_a_reading_in_doubt_is_told_so() -> None:
    """In the same words as in the trace."""
    reading = next(entry for entry in every_kind() if isinstance(entry, Reading) and entry.volts is not None)
    (row,) = sheet_of((reading.model_copy(update={"in_doubt": True}),)).sections[0].rows
    assert row.read == "12.00 V, in doubt"


@pytest.mark.parametrize("form", [record_text, record_markdown, record_html])
def test_every_form_says_who_holds_it_and_what_was_passed_over(form: object) -> None:
    """A torn block with its lines, and the program that writes."""
    assert callable(form)
    plan = small_plan()
    text = f"format = 1\n\n{block_text(answered(plan, 'W2', Taken(0.31)))}{HEADER}\nwhen = 2026-05"
    contents = read_contents(text.encode())
    assert len(contents.trouble) == 1
    sheet = record_sheet(small_harness(), contents, "process 12 on bench, since 2026-05-04 18:00")
    shown = " ".join(re.sub(r"\\(.)", r"\1", parsed(form(sheet)).text if form is record_html else form(sheet)).split())
    assert "It is being written by process 12 on bench, since 2026-05-04 18:00." in shown
    assert "cut off or damaged" in shown
    assert f"line{'s' if contents.trouble[0].line != contents.trouble[0].last_line else ''} " in shown
    assert "0.31 Ω" in shown
    assert "Computed from 1.2 m of 1.5 mm², two crimps." in shown


@pytest.mark.parametrize("form", [record_text, record_markdown, record_html])
def test_an_empty_record_says_so(form: object) -> None:
    """Nothing measured, nothing passed over."""
    assert callable(form)
    text = form(record_sheet(small_harness(), Contents(1, (), ())))
    assert "Nothing is in the record." in re.sub(r"\\(.)", r"\1", text)


def hostile_entries() -> tuple[AnyEntry, ...]:
    """Give answers to a plan whose every text is nasty, by somebody with a nasty name."""
    entry = answered(hostile_plan(), "second", Taken(0.31))
    return (entry.model_copy(update={"who": f"={HOSTILE}\x1b[2J", "meter": HOSTILE, "why": f"-{HOSTILE}"}),)


def test_nothing_in_a_record_is_taken_for_signs_of_a_form() -> None:
    """No tag, no cell too many, no formula, nothing that a terminal obeys."""
    sheet = sheet_of(hostile_entries())
    tags = parsed(record_html(sheet))
    assert HOSTILE in tags.text
    assert "script" not in tags.tags
    rows = [line for line in record_markdown(sheet).splitlines() if line.startswith("|")]
    assert {len(re.sub(r"\\.", "", row).split("|")) for row in rows} == {7}
    assert all(cell_width(line) <= 80 for line in record_text(sheet).splitlines())
    cells = next(csv.DictReader(StringIO(record_csv(sheet), newline="")))
    assert cells["who"].startswith("'=")
    assert cells["why"].startswith("'-")
    for text in (record_text(sheet), record_markdown(sheet), record_html(sheet), json.dumps(record_json(sheet))):
        assert "\x1b" not in text
        assert "\\u001b" not in text


def test_csv_has_a_row_a_reading() -> None:
    """Least and most in the unit, limits, source and who; a taken back answer too."""
    plan = small_plan()
    rows = list(csv.DictReader(StringIO(record_csv(sheet_of(some_answers(plan))), newline=""), strict=True))
    assert tuple(rows[0]) == COLUMNS
    assert len(rows) == 8
    assert (rows[1]["row"], rows[1]["least, in unit"], rows[1]["unit"]) == ("W2", "0.31", "Ω")
    assert (rows[1]["high limit, in unit"], rows[1]["limit source"]) == ("0.45", "computed")
    assert (rows[3]["unit"], rows[3]["at, A"]) == ("mV", "4.6")
    assert rows[4]["least, in unit"] == "open"
    assert rows[5]["read"] == "skipped"
    assert rows[7]["verdict"] == "taken back"
    assert rows[1]["when"] == "2026-05-04T18:04:11+02:00"


def test_csv_has_traces_too() -> None:
    """Expected volts and band of a reading."""
    rows = list(csv.DictReader(StringIO(record_csv(sheet_of(every_kind())), newline=""), strict=True))
    volts = next(row for row in rows if row["measure"] == "volts")
    assert (volts["expect, in unit"], volts["low limit, in unit"], volts["high limit, in unit"]) == (
        "12.31",
        "11.9",
        "12.6",
    )
    assert volts["settings"] == "S2=head; X 7.ü=apart"


def test_json_has_every_entry_in_full() -> None:
    """Of every kind, infinite as a word, when with its offset."""
    entries = (*every_kind(), *some_answers(small_plan()))
    found = json.loads(json.dumps(record_json(sheet_of(entries, "process 12")), allow_nan=False))
    assert [one["kind"] for one in found["entries"]] == [entry.kind for entry in entries]
    assert found["held_by"] == "process 12"
    assert found["entries"][-4]["ohms"] == "open"
    assert found["entries"][-7]["later"] is None
    assert found["entries"][-8]["later"] == "measured again 2026-05-04 18:04"
    assert found["entries"][0]["when"] == "2026-05-04T18:03:11+02:00"
    assert found["entries"][-5]["at_amps"] == 4.6


def test_a_word_that_is_the_verdict_is_said_once() -> None:
    """Skipped is no reading of its own."""
    plan = small_plan()
    text = record_text(sheet_of((answered(plan, "M1 on", Taken(said=Standing.SKIPPED)),)))
    assert "SKIPPED" in text
    assert "skipped SKIPPED" not in text
