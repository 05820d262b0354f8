"""Findings with the sentences alone, and what stands below each."""

from __future__ import annotations

from model.circuit.bench import Bench
from model.harness.toml_file import read_harness_text
from model.review.finding import FindingRule, Gravity
from model.review.findings import find_all
from model.sheets.findings_brief import below_finding, findings_brief
from model.sheets.findings_sheet import findings_sheet

LOOM = """format = 1
build = { name = "Rig", nominal_volts = 12 }
key_states = [ { name = "on" } ]
locations = [ { name = "tank", reach = "lift the seat" } ]
batteries = [ { id = "G1" } ]
fuses = [ { id = "F1", amps = 30 } ]
loads = [ { id = "M1", kind = "motor", amps = 4, location = "tank" } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", size = 6, length = 0.1 },
  { id = "W2", from = "F1.out", to = "M1.+", size = 0.5, length = 1 },
  { id = "W3", from = "M1.-", to = "G1.-", size = 6, length = 1 },
  { id = "W4", from = "F1.out", size = 0.5, length = 1 },
]
"""


def test_each_finding_is_told_between_its_sentence_and_what_stands_below() -> None:
    """Whatever the sheet says of a finding stands in its sentence or below it, in the same order and sections."""
    harness = read_harness_text(LOOM, "rig.toml")
    findings = find_all(Bench(harness))
    brief, sheet = findings_brief(harness, findings), findings_sheet(harness, findings)
    assert {FindingRule.WIRE_BEARS_LESS, FindingRule.FREE_END} <= {one.rule for one in findings}
    items = [words for section in brief.sections for words in section.items]
    assert [part for section in brief.sections for part in section.item_parts] == [one.part_ids[0] for one in findings]
    assert [section.head for section in brief.sections] == [section.head for section in sheet.sections]
    assert brief.cautions == sheet.cautions
    whole = [words for section in sheet.sections for words in section.items]
    for finding, words, told in zip(findings, items, whole, strict=True):
        below = dict(below_finding(harness, finding))
        assert words.endswith(finding.sentence)
        assert below["do"] == finding.do
        assert finding.sentence in told
        if finding.rule_text is not None:
            assert finding.rule_text.words in below["rests on"]
            assert finding.rule_text.source in below["rests on"]


def test_without_findings_the_sheet_is_the_same() -> None:
    """A loom with nothing to find says so, and what the rules cannot find."""
    harness = read_harness_text(LOOM, "rig.toml")
    assert findings_brief(harness, ()) == findings_sheet(harness, ())


def test_sections_keep_the_order_of_gravity() -> None:
    """Sentences of one gravity stand together, the gravest first."""
    harness = read_harness_text(LOOM, "rig.toml")
    findings = find_all(Bench(harness))
    heads = [section.head.partition(":")[0].casefold() for section in findings_brief(harness, findings).sections]
    assert heads == [str(gravity) for gravity in Gravity if any(one.gravity is gravity for one in findings)]
    assert len(heads) > 1
