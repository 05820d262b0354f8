"""Every finding of a loom, the gravest first."""

from __future__ import annotations

from dataclasses import replace
from itertools import chain

from model.circuit.bench import Bench
from model.harness.harness import Harness
from model.harness.places import Place, end_place, place_of
from model.harness.records import Wire
from model.review.defects.every_defect import DEFECTS, ON_PAPER
from model.review.defects.shorted import battery_shorted
from model.review.defects.telling import do_unless_hazard
from model.review.finding import Finding, FindingRule, Gravity
from model.review.review_scene import ReviewScene

_GRAVITY_RANK = {gravity: rank for rank, gravity in enumerate(Gravity)}
_RULE_RANK = {rule: rank for rank, rule in enumerate(FindingRule)}
_BEFORE_OTHERS = (FindingRule.ADRIFT, FindingRule.HEAVY_AT_REST)
"""What stands before all that is as grave, wherever it is."""


def find_all(bench: Bench) -> tuple[Finding, ...]:
    """Look for every kind of defect in the design of a loom.

    Of a loom whose battery metal shorts only that is told, and what holds whatever its volts are.

    Returns
    -------
    tuple[Finding, ...]
        The gravest first, of equals what has no way home, since others follow from it, and what takes its amperes as
        soon as the battery is on, then by the place of the first part in the order of the file, then by rule and part;
        none twice.
    """
    scene = ReviewScene(bench)
    found: dict[tuple[FindingRule, tuple[str, ...], tuple[str, ...]], Finding] = {}
    shorted = tuple(battery_shorted(scene))
    defects = ON_PAPER if shorted else DEFECTS
    for finding in chain(shorted, *(defect(scene) for defect in defects)):
        found.setdefault(_identity(finding), _minding_hazards(bench.harness, finding))
    places = {location.name: rank for rank, location in enumerate(bench.harness.locations)}
    return tuple(sorted(found.values(), key=lambda finding: _rank(scene, finding, places)))


def finding_place(harness: Harness, finding: Finding) -> Place:
    """Give the place to go to for a finding: that of its first part; of a wire its first end that has one."""
    part = harness.parts.get(finding.part_ids[0])
    if isinstance(part, Wire):
        ends = (end_place(harness, part, end) for end in "ab")
        return next((place for place in ends if place), place_of(harness, part.id))
    return place_of(harness, finding.part_ids[0])


def _minding_hazards(harness: Harness, finding: Finding) -> Finding:
    """Give a finding that has nothing done on what no probe may touch."""
    owners = [point.partition(".")[0] for point in finding.points]
    return replace(finding, do=do_unless_hazard(harness, (*finding.part_ids, *owners), finding.do))


def _identity(finding: Finding) -> tuple[FindingRule, tuple[str, ...], tuple[str, ...]]:
    return finding.rule, finding.part_ids, finding.points


def _rank(
    scene: ReviewScene, finding: Finding, places: dict[str, int]
) -> tuple[int, int, int, int, tuple[int, ...], str]:
    is_before = finding.rule in _BEFORE_OTHERS
    return (
        _GRAVITY_RANK[finding.gravity],
        _BEFORE_OTHERS.index(finding.rule) if is_before else len(_BEFORE_OTHERS),
        places.get(finding_place(scene.harness, finding).name, len(places)),
        _RULE_RANK[finding.rule],
        tuple(scene.place_of_id.get(part_id, -1) for part_id in finding.part_ids),
        finding.sentence,
    )
