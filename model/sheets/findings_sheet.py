"""The findings of a loom as a sheet, as comma-separated values and as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from model.caution_words import CAUTIONS, CautionKind
from model.cautions import cautions_for
from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.harness.hazards import may_be_probed
from model.harness.places import place_words
from model.harness.records import Wire
from model.harness.supply import assumed_of
from model.review.finding import Finding, Gravity, Rule
from model.review.findings import finding_place
from model.sheets.plan_csv import csv_text
from model.sheets.review_sheet import ReviewSheet, Section
from model.tracing.names import either
from model.words import clean, plural

COLUMNS = (
    "gravity",
    "rule",
    "parts",
    "points",
    "place",
    "sentence",
    "do",
    "value",
    "unit",
    "limit",
    "limit unit",
    "rests on",
    "source",
    "source kind",
    "assumed wires",
    "no probe at",
)
_ALWAYS = frozenset({CautionKind.POWER_OFF, CautionKind.BATTERY_ORDER, CautionKind.LOCAL_RULES})
_GRAVE = frozenset(
    {
        CautionKind.RESTRAINT,
        CautionKind.HIGH_VOLTAGE,
        CautionKind.MAINS,
        CautionKind.FUEL,
        CautionKind.FUEL_VAPOUR,
        CautionKind.IGNITION,
        CautionKind.UNFUSED,
        CautionKind.BATTERY_GAS,
        CautionKind.LITHIUM,
    }
)
"""What stands at the head where a finding is near it; a measurement has its own before it."""


def findings_sheet(harness: Harness, findings: tuple[Finding, ...]) -> ReviewSheet:
    """Give the findings as a sheet: a section for each gravity that there is, the gravest first."""
    build = harness.build
    about = [
        "What the file shows of the design, worked out from the file alone: nothing here was measured.",
    ]
    about.append(
        f"{plural(len(findings), 'finding')}, the gravest first, each with what it rests on."
        if findings
        else "There are no findings."
    )
    sections = tuple(
        _section(harness, gravity, those)
        for gravity in Gravity
        if (those := [finding for finding in findings if finding.gravity is gravity])
    )
    return ReviewSheet(
        "findings",
        f"{clean(build.name)}, revision {build.revision}",
        tuple(about),
        sections or (_nothing(),),
        _cautions(harness, findings),
    )


def _nothing() -> Section:
    words = (
        "None of the rules of this sheet finds anything. Chafed insulation, bad crimps and what the file leaves out "
        "only eye and meter find."
    )
    return Section(words=(words,))


def _cautions(harness: Harness, findings: tuple[Finding, ...]) -> tuple[str, ...]:
    """Choose what stands at the head: what always holds, and what the points of the findings are grave for."""
    points = dict.fromkeys(point for finding in findings for point in finding.points)
    near = {caution.kind for caution in cautions_for(harness, points, Condition(harness.key_names[0]))}
    kinds = _ALWAYS | (near & _GRAVE)
    return tuple(caution.text for kind, caution in CAUTIONS.items() if kind in kinds) if findings else ()


def _section(harness: Harness, gravity: Gravity, findings: list[Finding]) -> Section:
    rests = dict.fromkeys(
        _rests_on(finding, finding.rule_text) for finding in findings if finding.rule_text is not None
    )
    head = f"{gravity[:1].upper()}{gravity[1:]}: {len(findings)}"
    return Section(
        head,
        items=tuple(_item(harness, finding) for finding in findings),
        item_parts=tuple(finding.part_ids[0] for finding in findings),
        notes=tuple(rests),
    )


def _item(harness: Harness, finding: Finding) -> str:
    """Say a finding in one paragraph: what it is about and where, what is so, what rests on a guess, what to do."""
    place = finding_place(harness, finding)
    where = f", {place_words(place)}" if place else ""
    words = [f"{rule_name(finding)}{where}. {finding.sentence}", *doubt_words(harness, finding)]
    return " ".join((*words, finding.do))


def doubt_words(harness: Harness, finding: Finding) -> tuple[str, ...]:
    """Say what of a finding rests on a guess, and where no probe goes; nothing where neither is so."""
    words = [*_assumed_words(harness, finding)]
    refused = _refused(harness, finding)
    if refused:
        words.append(f"No probe goes to {either(refused, 'or')}.")
    return tuple(words)


def _assumed_words(harness: Harness, finding: Finding) -> Iterator[str]:
    """Say which figures of which wires are assumed, of those that the finding rests on."""
    wires = [harness.part_of(wire_id, Wire) for wire_id in finding.assumed]
    for kind in finding.assumed_kinds:
        lacking = [wire.id for wire in wires if kind in assumed_of(harness, wire)]
        if lacking:
            yield f"Of {either(lacking, 'and')} the {kind} {'is' if len(lacking) == 1 else 'are'} assumed."


def _refused(harness: Harness, finding: Finding) -> list[str]:
    """Name the points of a finding at which no probe ever goes, each with why."""
    refusals = (may_be_probed(harness, point) for point in finding.points)
    return [f"{clean(one.point)}, marked {one.hazard}" for one in refusals if one is not None]


def _rests_on(finding: Finding, rule: Rule) -> str:
    return f"{rule_name(finding)}: {rule_words(rule)}."


def rule_name(finding: Finding) -> str:
    """Name what a finding is about, as a sentence begins."""
    return f"{finding.rule[:1].upper()}{finding.rule[1:]}"


def rule_words(rule: Rule) -> str:
    """Say what a finding rests on, with the source and its kind."""
    kind = str(rule.source_kind)
    return f"{rule.words} ({rule.source if kind in rule.source else f'{rule.source}; {kind}'})"


def findings_csv(harness: Harness, findings: tuple[Finding, ...]) -> str:
    """Give the findings as comma-separated values, a row each; ids parted by blanks."""
    return csv_text(COLUMNS, (_row(harness, finding) for finding in findings))


def _row(harness: Harness, finding: Finding) -> tuple[str | float | None, ...]:
    rule = finding.rule_text
    return (
        str(finding.gravity),
        str(finding.rule),
        " ".join(finding.part_ids),
        " ".join(finding.points),
        place_words(finding_place(harness, finding)),
        finding.sentence,
        finding.do,
        finding.value,
        finding.unit,
        *(_rule_cells(rule) if rule is not None else (None, "", "", "", "")),
        " ".join(finding.assumed),
        "; ".join(_refused(harness, finding)),
    )


def _rule_cells(rule: Rule) -> tuple[str | float | None, ...]:
    return rule.value, rule.unit, rule.words, rule.source, str(rule.source_kind)


def findings_json(harness: Harness, findings: tuple[Finding, ...]) -> dict[str, Any]:
    """Give the findings as one JSON object."""
    return {
        "format": "fusewalk findings",
        "vehicle": clean(harness.build.name),
        "revision": harness.build.revision,
        "findings": [_object(harness, finding) for finding in findings],
    }


def _object(harness: Harness, finding: Finding) -> dict[str, Any]:
    rule = finding.rule_text
    return {
        "gravity": str(finding.gravity),
        "rule": str(finding.rule),
        "sentence": finding.sentence,
        "do": finding.do,
        "parts": list(finding.part_ids),
        "points": list(finding.points),
        "place": clean(finding_place(harness, finding).name),
        "value": finding.value,
        "unit": finding.unit,
        "limit": None if rule is None else rule.value,
        "limit_unit": "" if rule is None else rule.unit,
        "rests_on": "" if rule is None else rule.words,
        "source": "" if rule is None else rule.source,
        "source_kind": "" if rule is None else str(rule.source_kind),
        "assumed": list(finding.assumed),
        "no_probe": [point for point in finding.points if may_be_probed(harness, point) is not None],
    }
