"""The trace on paper: two checks deep, each reading with what it leads to."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from model.circuit.bench import Bench
from model.circuit.faults import parse_fault
from model.harness.harness import Harness
from model.harness.toml_file import read_harness
from model.sheets.trace_html import trace_html
from model.sheets.trace_markdown import trace_markdown
from model.sheets.trace_sheet import Box, Exit, SheetRepair, TraceSheet, trace_sheet
from model.tracing.asking import Finding, Question, Read, Take, Unsure
from model.tracing.check_words import CheckLine, LineName
from model.tracing.checks import Check, CheckKind, measured
from model.tracing.complaint import Complaint
from model.tracing.trace import Trace
from model.tracing.vehicle import Vehicle
from tests.model.html_tags import parsed
from tests.model.tracing.rigs import DEMO_BUILDS, rig, wires

GOLDEN = Path(__file__).parents[1] / "golden" / "trace_sheet.md"
HOSTILE = r"<b>P</b> [on] [/15A] *x* _y_ `z`|# ![i](u) <script>alert(1)</script> &amp;"


WIRES = ("G1.+ F1.in", "F1.out M1.+", "M1.- CHASSIS", "G1.+ F2.in", "F2.out P1.+", "P1.- CHASSIS", "G1.- CHASSIS")


def pump(label: str = "Fuel pump", place: str = "tail") -> Harness:
    """Give a pump behind a fuse and a switch, a horn beside it."""
    return rig(
        f"locations = [ {{ name = '{place}' }} ]\n"
        'fuses = [ { id = "F1", amps = 15 }, { id = "F2", amps = 10 } ]\n'
        f"loads = [ {{ id = \"M1\", kind = \"motor\", amps = 6, label = '{label}', location = '{place}' }},\n"
        '  { id = "P1", kind = "horn", amps = 4 } ]\n' + wires(*WIRES)
    )


@cache
def pump_trace() -> Trace:
    """Give a trace of the pump, dead."""
    return Trace(Bench(pump()), Complaint(("M1:load",)))


@cache
def tractor_sheet() -> TraceSheet:
    """Give the sheet of the tractor's left head lamp, dead."""
    bench = Bench(read_harness(DEMO_BUILDS / "field_tractor.toml"))
    return trace_sheet(Trace(bench, Complaint(("E1:load",))))


@pytest.mark.slow
def test_the_first_box_is_what_the_trace_asks() -> None:
    """Its place, probes, meter and band are those of the question; the trace stands where it stood."""
    trace = pump_trace()
    asked, replies = trace.next(), trace.replies
    sheet = trace_sheet(trace)
    assert isinstance(asked, Question)
    assert sheet.boxes[0].number == 1
    assert sheet.boxes[0].reached == ""
    assert sheet.boxes[0].cautions == asked.cautions
    assert trace.replies == replies
    assert trace.next() == asked


@pytest.mark.slow
def test_what_was_said_of_other_loads_stands_on_paper() -> None:
    """It weighs like a reading, so whoever goes on from the sheet has to know of it."""
    sheet = trace_sheet(Trace(Bench(pump()), Complaint(("M1:load",), weak=("P1:load",))))
    assert "Of the others P1 works weakly." in sheet.about


@pytest.mark.slow
def test_a_box_names_the_load_that_is_looked_at() -> None:
    """For its picture: the horn, at which no probe stands."""
    trace = Trace(Bench(pump()), Complaint(("M1:load",)))
    trace.reply(Take(Check(CheckKind.OBSERVE, trace.condition, load="P1:load")))
    assert trace_sheet(trace).boxes[0].parts == ("P1",)


@pytest.mark.slow
@pytest.mark.parametrize("make", [lambda: trace_sheet(pump_trace()), tractor_sheet])
def test_every_exit_leads_somewhere(make: object) -> None:
    """To a box that is there and names the reading it was reached by, to a repair, or to what is most suspect."""
    assert callable(make)
    sheet: TraceSheet = make()
    boxes = {box.number: box for box in sheet.boxes}
    letters = {repair.letter for repair in sheet.repairs}
    led_to = [one.box for box in sheet.boxes for one in box.exits if one.box is not None]
    assert sorted(led_to) == sorted(set(boxes) - {1})
    for box in sheet.boxes:
        assert len({one.reading for one in box.exits}) == len(box.exits)
        for one in box.exits:
            if one.box is not None:
                assert boxes[one.box].reached == f"from box {box.number}, {one.reading}"
            elif one.repair:
                assert one.repair in letters
            else:
                assert "Most suspect: " in one.then


@pytest.mark.slow
def test_a_box_behind_a_reading_is_what_the_trace_asks_then() -> None:
    """The second level agrees with a trace that was really answered so."""
    trace = pump_trace()
    sheet = trace_sheet(trace)
    asked = trace.next()
    assert isinstance(asked, Question)
    fork = trace.copy()
    fork.reply(Read(asked.outlooks[0].outcome))
    then = fork.next()
    assert isinstance(then, Question)
    steps = [box for box in sheet.boxes if box.cautions == then.cautions and box.step == then.step]
    assert any(then.check.red in box.title or then.check.part in box.title for box in steps)


def test_a_trace_that_was_answered_goes_on_from_there_to_its_repairs() -> None:
    """One check before its end a reading leads to a repair with its cautions and its proof."""
    bench = Bench(pump())
    trace = Trace(bench, Complaint(("M1:load",)))
    vehicle = Vehicle(trace.harness, [parse_fault(trace.harness, "F1=blown")], ("M1:load",), trace.condition, slips=0.0)
    while isinstance(asked := trace.next(), Question):
        trace.reply(Read(vehicle.answer(asked.check)))
    assert isinstance(asked, Finding)
    trace.undo()
    sheet = trace_sheet(trace)
    assert any(f"{len(trace.answers)} answer" in sentence.lower() for sentence in sheet.about) or not trace.answers
    assert sheet.repairs
    repair = sheet.repairs[0]
    assert repair.letter == "A"
    assert repair.work
    assert repair.prove
    assert any(one.repair == "A" for box in sheet.boxes for one in box.exits)


def test_paper_doubts_the_leads_where_all_readings_are_zero() -> None:
    """Zeros alone may be a lead off the meter: said of the exit before its repair, and of a trace that ended so."""
    words = "All volts read are about zero, as with a lead off the meter:"
    trace = Trace(Bench(pump()), Complaint(("M1:load",)))
    while isinstance(asked := trace.next(), Question):
        is_read = asked.check.kind in (CheckKind.VOLTS, CheckKind.DROP)
        trace.reply(Read(measured(0.0)) if is_read else Unsure())
    assert asked.leads.startswith(words)
    assert trace_sheet(trace).ended.startswith(words)
    trace.undo()
    last = trace.next()
    assert isinstance(last, Question)
    exits = {one.reading: one.then for one in trace_sheet(trace).boxes[0].exits if one.repair}
    assert [reading for reading, then in exits.items() if then.startswith(words)]
    assert all(" found, see repair " in f" {then}" for then in exits.values())


def test_a_flat_battery_is_charged_first() -> None:
    """No check is on the sheet, which says why."""
    trace = Trace(Bench(pump()), Complaint(("M1:load",), posts_volts=11.2))
    sheet = trace_sheet(trace)
    assert sheet.boxes == ()
    assert sheet.ended == "Charge the battery first."
    assert "Charge the battery first" in trace_markdown(sheet)
    assert "Charge the battery first" in parsed(trace_html(sheet)).text


@pytest.mark.slow
def test_the_posts_of_a_six_volt_vehicle_are_asked_for_at_half_of_twelve() -> None:
    """12.0 V per 12 V at rest; on a positive ground the sign is left aside."""
    sheet = tractor_sheet()
    assert "at least 6.00 V" in sheet.posts
    assert "sign of volts is left aside" in sheet.posts
    assert not any("-" in one.reading for box in sheet.boxes for one in box.exits)


@pytest.mark.slow
def test_the_same_trace_gives_the_same_sheet() -> None:
    """Nothing in it hangs on chance."""
    again = trace_sheet(Trace(Bench(pump()), Complaint(("M1:load",))))
    assert trace_html(again) == trace_html(trace_sheet(pump_trace()))


@pytest.mark.slow
def test_nothing_in_a_label_is_taken_for_html_or_markdown() -> None:
    """The label stands there as it is; no tag, link or script comes of it."""
    sheet = trace_sheet(Trace(Bench(pump(HOSTILE, HOSTILE)), Complaint(("M1:load",))))
    tags = parsed(trace_html(sheet))
    assert HOSTILE in tags.text
    assert "script" not in tags.tags
    assert tags.links == []
    markdown = trace_markdown(sheet)
    assert re.search(r"(?<!\\)<", markdown) is None
    assert re.sub(r"\\(.)", r"\1", markdown.splitlines()[0]).startswith(f"# Trace on paper: {HOSTILE[:50].strip()}")
    rows = [line for line in markdown.splitlines() if line.startswith("|")]
    assert {len(re.sub(r"\\.", "", row).split("|")) for row in rows} == {4, 5}


def test_control_bytes_do_not_reach_the_sheet() -> None:
    """What a terminal would obey is gone from Markdown and HTML."""
    sheet = TraceSheet("a\x1b[2Jb", "r\x07", "t\u202e", ("x\x9b",), "", (), "", (), (), ())
    for text in (trace_markdown(sheet), trace_html(sheet)):
        assert not any(
            ord(sign) < 32 or 0x7F <= ord(sign) < 0xA0 or sign == "\u202e" for sign in text.replace("\n", "")
        )


@pytest.mark.slow
def test_the_html_stands_alone_and_prints() -> None:
    """No file is fetched; a box is not torn over two pages."""
    html = trace_html(tractor_sheet())
    assert parsed(html).links == []
    assert "url(" not in html
    assert "@import" not in html
    assert "size: A4" in html
    assert "break-inside: avoid" in html


SHEET = TraceSheet(
    "Trail buggy",
    "revision 3",
    "Trace on paper: Fuel pump (M2)",
    ("Fuel pump (M2) does nothing.", "Seen with key in ignition."),
    "Read the posts first: at least 12.00 V.",
    ("Under a lifted vehicle: stands on firm ground, never a jack alone.",),
    "",
    (
        Box(
            1,
            1,
            "",
            "K7.30 to G1.-, key ignition",
            ("Fuel is near.",),
            (CheckLine(LineName.PLACE, "rear box"), CheckLine(LineName.RED, "K7 (Fuel pump) pin 30")),
            "12.10 V, good is 11.60 V to 12.60 V",
            (
                Exit("under 11.60 V", False, "sets aside K7; 5 suspects left", 2, "", ""),
                Exit("over 11.60 V", True, "sets aside F5; 7 suspects left", None, "", "Most suspect: relay K7 60 %."),
            ),
        ),
        Box(
            2,
            2,
            "from box 1, under 11.60 V",
            "Look at F5",
            (),
            (CheckLine(LineName.TOOL, "your eyes: pull fuse F5"),),
            "good",
            (Exit("it looks bad", False, "4 suspects left", None, "A", "found, see repair A"),),
        ),
    ),
    (SheetRepair("A", "Fuse F5 blown, at fuse box.", ("Same rating.",), "Find why first.", "K7.30: 11.60 V"),),
    (("60 %", "fuse F5 blown; fuse box"), ("40 %", "7 others")),
)


def test_the_markdown_of_a_sheet() -> None:
    """Cautions stand before each step and each repair, the reading has a blank, each reading says where to go."""
    assert trace_markdown(SHEET) + "\n" == GOLDEN.read_text(encoding="utf-8")


def test_html_and_markdown_say_the_same() -> None:
    """Every box, exit, repair and suspect is in both."""
    text = " ".join(parsed(trace_html(SHEET)).text.split())
    for words in ("Box 2, check 2: Look at F5", "over 11.60 V (good)", "go to box 2", "Find why first.", "7 others"):
        assert words in text
    assert text.index("Fuel is near.") < text.index("K7 (Fuel pump) pin 30")
    assert text.index("Same rating.") < text.index("Find why first.")
