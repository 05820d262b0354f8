"""The findings of a loom with the sentences alone, and what stands below the one that is looked at."""

from __future__ import annotations

from dataclasses import replace

from model.harness.harness import Harness
from model.harness.places import place_words
from model.review.finding import Finding, Gravity
from model.review.findings import finding_place
from model.sheets.findings_sheet import doubt_words, findings_sheet, rule_name, rule_words
from model.sheets.review_sheet import ReviewSheet


def findings_brief(harness: Harness, findings: tuple[Finding, ...]) -> ReviewSheet:
    """Give the sheet of the findings without what :func:`below_finding` says of each."""
    sheet = findings_sheet(harness, findings)
    if not findings:
        return sheet
    briefs = {gravity: [_brief(one) for one in findings if one.gravity is gravity] for gravity in Gravity}
    told = [tuple(items) for items in briefs.values() if items]
    sections = [replace(section, items=items, notes=()) for section, items in zip(sheet.sections, told, strict=True)]
    return replace(sheet, sections=tuple(sections))


def _brief(finding: Finding) -> str:
    return f"{rule_name(finding)}: {finding.sentence}"


def below_finding(harness: Harness, finding: Finding) -> tuple[tuple[str, str], ...]:
    """Give what there is to say of a finding besides its sentence, each under a word."""
    rule = finding.rule_text
    told = (
        ("do", finding.do),
        ("where", place_words(finding_place(harness, finding))),
        ("rests on", "" if rule is None else f"{rule_words(rule)}."),
        ("but", " ".join(doubt_words(harness, finding))),
    )
    return tuple((head, words) for head, words in told if words)
