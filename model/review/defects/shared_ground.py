"""A defect of the ground side: a ground that several loads share is lifted by their current."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from model.circuit.survey import Survey
from model.harness.harness import CHASSIS, Element
from model.harness.hazards import may_be_probed
from model.harness.points import all_points
from model.review.condition_said import condition_said
from model.review.defects.pairs import FED_SHARE
from model.review.finding import Finding, FindingRule, Gravity, rule_of
from model.review.review_scene import ReviewScene
from model.review.way_trees import SurveyWays
from model.tracing.graph import Link, LinkKind
from model.tracing.names import either, id_and_label, point_name
from model.words import amps_text, clean, volts_text

_RULE_VOLTS = 12.0
_NAMED_AT_MOST = 8
_BY_DESIGN = frozenset({LinkKind.DIODE, LinkKind.RESISTOR, LinkKind.EXCITER, LinkKind.DRIVER})


@dataclass
class _Grounds:
    """The ground side of a survey as a tree from the grounded posts.

    Attributes
    ----------
    amps
        Point → part → amperes that it sends through there.
    towards_post
        Point → the next one towards the post, and the link between.
    """

    amps: dict[str, dict[str, float]] = field(default_factory=dict)
    towards_post: dict[str, tuple[str, Link]] = field(default_factory=dict)

    def add(self, ways: SurveyWays, element: Element, amps: float) -> None:
        """Take in the ground way of an element as far as its volts are none by design."""
        cold_end = ways.cold_end(element)
        way = ways.ground_way(cold_end)
        if way is None:
            return
        point = ways.start_of(way, cold_end)
        for link in way:
            if link.kind in _BY_DESIGN:
                return
            other = link.other if link.one == point else link.one
            self.towards_post[other] = (point, link)
            parts = self.amps.setdefault(other, {})
            parts[element.part_id] = parts.get(element.part_id, 0.0) + amps
            point = other

    def where_more_share(self, point: str) -> str | None:
        """Name the first point towards the post that more parts share; None where none does before the post."""
        parts = self.amps[point].keys()
        while point in self.towards_post:
            point = self.towards_post[point][0]
            if self.amps.get(point, {}).keys() > parts:
                return point
        return None

    def way_from(self, point: str) -> tuple[Link, ...]:
        """Give the links from a point to the post."""
        links = []
        while point in self.towards_post:
            point, link = self.towards_post[point]
            links.append(link)
        return tuple(links)


@dataclass(frozen=True, slots=True)
class _Shared:
    """A point that several parts share and lift, in a survey; amperes by part, and the way to the post."""

    point: str
    volts: float
    survey: Survey
    amps: dict[str, float]
    way: tuple[Link, ...]


def ground_lifted(scene: ReviewScene) -> Iterator[Finding]:
    """Give the grounds that several parts share and that all together lift by more than 0.1 V at 12 V.

    Of points one behind another that the same parts share it is the one lifted most; a point behind another that more
    parts share is told only where the stretch between lifts it by as much again. Cranking is left aside.
    """
    best: dict[str, _Shared] = {}
    for survey in scene.usual:
        for shared in _lifted(scene, survey):
            known = best.get(shared.point)
            if known is None or shared.volts > known.volts:
                best[shared.point] = shared
    for shared in best.values():
        yield _finding(scene, shared)


def _lifted(scene: ReviewScene, survey: Survey) -> Iterator[_Shared]:
    """Give the points that are lifted by too much in a survey, one for each set of parts that share one."""
    limit_volts = _limit_volts(scene)
    ways, grounds = scene.ways(survey), _Grounds()
    for element in scene.elements:
        reading = survey.loads[element.name]
        if reading.volts >= FED_SHARE * element.at_volts:
            grounds.add(ways, element, reading.amps)
    farthest: dict[frozenset[str], str] = {}
    for point, amps in grounds.amps.items():
        parts = frozenset(amps)
        if len(parts) > 1 and _is_told(scene, point):
            other = farthest.get(parts)
            if other is None or ways.volts_away(point) > ways.volts_away(other):
                farthest[parts] = point
    for point in farthest.values():
        joined = grounds.where_more_share(point)
        volts = ways.volts_away(point)
        gained_volts = volts if joined is None else volts - ways.volts_away(joined)
        if volts > limit_volts and gained_volts > limit_volts:
            yield _Shared(point, volts, survey, grounds.amps[point], grounds.way_from(point))


def _limit_volts(scene: ReviewScene) -> float:
    return rule_of("shared ground").figure * scene.harness.build.nominal_volts / _RULE_VOLTS


def _is_told(scene: ReviewScene, point: str) -> bool:
    return point in all_points(scene.harness) and may_be_probed(scene.harness, point) is None


def _finding(scene: ReviewScene, shared: _Shared) -> Finding:
    harness = scene.harness
    ranked = sorted(shared.amps.items(), key=lambda row: (-row[1], row[0]))
    shares = [f"{id_and_label(harness, part_id)} {amps_text(amps)}" for part_id, amps in ranked[:_NAMED_AT_MOST]]
    if len(ranked) > _NAMED_AT_MOST:
        shares.append(f"{len(ranked) - _NAMED_AT_MOST} more")
    said = condition_said(harness, shared.survey.settled.condition)
    wire_ids = tuple(link.part_id for link in shared.way if link.kind is LinkKind.WIRE)
    part_id = shared.point.partition(".")[0]
    first = part_id if part_id in harness.parts or not wire_ids else wire_ids[0]
    name = "the body" if shared.point == CHASSIS else clean(point_name(harness, shared.point))
    return Finding(
        FindingRule.GROUND_LIFTED,
        Gravity.WEARS,
        f"The ground at {name} stands {volts_text(shared.volts)} V off the battery post ({said}), lifted by "
        f"{amps_text(sum(shared.amps.values()))} that share it: {either(shares, 'and')}.",
        "Give the heaviest of them a ground of its own, or a thicker wire from there to the post.",
        (first, *(one for one, _ in ranked[:_NAMED_AT_MOST] if one != first)),
        (shared.point,),
        value=round(shared.volts, 3),
        unit="V",
        rule_text=replace(rule_of("shared ground"), value=round(_limit_volts(scene), 3), unit="V"),
        assumed=scene.assumed_among(wire_ids),
    )
