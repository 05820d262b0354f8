"""Findings as text, Markdown, HTML, comma-separated values and JSON."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest

from model.circuit.bench import Bench
from model.harness.toml_file import read_harness
from model.review.finding import FindingRule, Gravity
from model.review.findings import find_all
from model.sheets.columns import cell_width
from model.sheets.findings_sheet import doubt_words, findings_csv, findings_json, findings_sheet
from model.sheets.review_html import review_html
from model.sheets.review_markdown import review_markdown
from model.sheets.review_text import review_text
from tests.model.html_tags import parsed
from tests.model.plan_rows import HOSTILE
from tests.model.review.looms import HEAD, loom, wires

BUILDS = Path(__file__).parents[2] / "demo_builds"
LABEL = json.dumps(HOSTILE)
BAD = f"""
fuses = [ {{ id = "F1", amps = 30, label = {LABEL} }} ]
loads = [ {{ id = "E1", kind = "lamp", watts = 21, label = {LABEL} }} ]
modules = [ {{ id = "A1", hazard = "restraint", feeds = [ {{ terminal = "15", amps = 0.5 }} ] }} ]
"""
BAD += wires("G1.+ F1.in", "F1.out E1.+", "F1.out A1.15", "G1.- CHASSIS", more="size = 0.5")


@pytest.mark.slow
def test_each_gravity_has_its_section_and_each_finding_its_line() -> None:
    """The gravest first, with how many there are; every finding is there once, with the part to go to."""
    harness = read_harness(BUILDS / "trail_buggy.toml")
    found = find_all(Bench(harness))
    sheet = findings_sheet(harness, found)
    counts = {gravity: sum(one.gravity is gravity for one in found) for gravity in Gravity}
    heads = [f"{gravity[:1].upper()}{gravity[1:]}: {count}" for gravity, count in counts.items() if count]
    assert [section.head for section in sheet.sections] == heads
    items = [item for section in sheet.sections for item in section.items]
    parts = [part for section in sheet.sections for part in section.item_parts]
    assert parts == [one.part_ids[0] for one in found]
    for item, one in zip(items, found, strict=True):
        assert one.sentence in item
        assert item.endswith(one.do)


def test_a_sheet_names_what_each_rule_rests_on() -> None:
    """Under each section stand the limits with their sources, each once."""
    harness = read_harness(BUILDS / "harbour_launch.toml")
    sheet = findings_sheet(harness, find_all(Bench(harness)))
    notes = [note for section in sheet.sections for note in section.notes]
    assert any("ISO 10133" in note for note in notes)
    assert any("JIS C 3406" in note for note in notes)
    assert all(len(set(section.notes)) == len(section.notes) for section in sheet.sections)


def test_cautions_stand_before_everything_that_is_to_be_done() -> None:
    """The order in which cables come off, and the airbag's caution, stand above the first finding."""
    harness = loom(HEAD + BAD)
    text = review_text(findings_sheet(harness, find_all(Bench(harness))))
    first = text.index("Can burn or hurt")
    assert -1 < text.index("Caution: Take the cable off") < first
    assert -1 < text.index("irbag") < first
    assert "No probe goes to A1.31, marked restraint." in text.replace("\n  ", " ")


def test_a_loom_without_findings_says_so_and_what_a_file_cannot_tell() -> None:
    """Nothing found is no promise."""
    harness = loom(HEAD)
    text = review_text(findings_sheet(harness, find_all(Bench(harness))))
    assert "no findings" in text
    assert "only eye and meter find" in text.replace("\n", " ")


def test_hostile_labels_are_disarmed_in_every_form() -> None:
    """Lines keep to 80 columns, HTML has no tag of a file's, and CSV no cell that a spreadsheet would run."""
    harness = loom(HEAD + BAD)
    found = find_all(Bench(harness))
    sheet = findings_sheet(harness, found)
    assert all(cell_width(line) <= 80 for line in review_text(sheet).splitlines())
    assert "<script>" not in review_markdown(sheet)
    assert "script" not in parsed(review_html(sheet)).tags
    rows = list(csv.DictReader(io.StringIO(findings_csv(harness, found))))
    assert len(rows) == len(found)
    assert not [cell for row in rows for cell in row.values() if cell.startswith(("=", "+", "-", "@"))]


@pytest.mark.first_few(1)
@pytest.mark.parametrize("name", ["field_tractor", "harbour_launch", "trail_buggy"])
def test_the_object_and_the_table_hold_every_finding_whole(name: str) -> None:
    """What a script reads is what the sheet says: rule, gravity, parts, points, figure, limit and source."""
    harness = read_harness(BUILDS / f"{name}.toml")
    found = find_all(Bench(harness))
    told = json.loads(json.dumps(findings_json(harness, found), allow_nan=False))
    rows = list(csv.DictReader(io.StringIO(findings_csv(harness, found))))
    assert told["format"] == "fusewalk findings"
    assert told["revision"] == harness.build.revision
    for one, item, row in zip(found, told["findings"], rows, strict=True):
        assert (item["rule"], item["gravity"]) == (row["rule"], row["gravity"]) == (str(one.rule), str(one.gravity))
        assert item["parts"] == row["parts"].split() == list(one.part_ids)
        assert item["points"] == row["points"].split() == list(one.points)
        assert item["value"] == one.value
        assert (float(row["value"]) if row["value"] else None) == one.value
        assert bool(item["source"]) == (one.rule_text is not None)


@pytest.mark.parametrize(
    ("more", "words"), [("size = 0.5", ("Of W3 the length is assumed.",)), ("size = 0.5, length = 2.0", ())]
)
def test_only_the_assumed_figure_that_a_finding_rests_on_is_told(more: str, words: tuple[str, ...]) -> None:
    """Wires of known size: a fuse above them rests on no guess, and a stretch without a fuse on their length."""
    rows = """fuses = [ { id = "F1", amps = 30 } ]
loads = [ { id = "E1", kind = "lamp", watts = 21 }, { id = "E2", kind = "lamp", watts = 21 } ]
"""
    ends = ("G1.+ F1.in", "F1.out E1.+", "G1.+ E2.+", "E1.- CHASSIS", "E2.- CHASSIS", "G1.- CHASSIS")
    harness = loom(HEAD + rows + wires(*ends, more=more))
    found = {one.rule: doubt_words(harness, one) for one in find_all(Bench(harness))}
    assert found[FindingRule.WIRE_BEARS_LESS] == ()
    assert found[FindingRule.NO_FUSE] == words
