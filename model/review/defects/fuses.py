"""Defects of fuses: larger than the wires behind them bear, and one for functions that must not fail together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from model.harness.fuse_tables import standard_ratings
from model.harness.harness import Element
from model.harness.parts import Fuse
from model.harness.records import Wire
from model.harness.supply import assumed_of
from model.review.defects.telling import some_of
from model.review.element_said import element_said
from model.review.finding import Finding, FindingRule, Gravity, roles_of, rule_of
from model.review.fuse_ratings import bears_in_loom_amps, largest_rating
from model.review.review_scene import ReviewScene
from model.tracing.fuse_words import bears_amps
from model.tracing.names import either, id_and_label, wire_code
from model.tracing.rated import role_of
from model.tracing.wire_bears import guards_of
from model.words import amps_text, clean


def fuse_above_wire(scene: ReviewScene) -> Iterator[Finding]:
    """Give the fuses that are larger than a wire behind them bears, no other fuse between; once for a fuse.

    A wire that runs through a trunk is taken to bear less than one in free air. Where the size of every such wire is
    assumed, that is to be cleared up first.
    """
    found: dict[str, list[tuple[float, bool, Wire]]] = {}
    ratings = {fuse.id: fuse.amps for fuse in scene.harness.fuses}
    for wire in scene.harness.wires:
        here_amps = bears_in_loom_amps(scene.harness, wire)
        for fuse_id in guards_of(scene.harness, wire):
            rated_amps = ratings.get(fuse_id)
            if rated_amps is not None and rated_amps > here_amps:
                found.setdefault(fuse_id, []).append((here_amps, "size" in assumed_of(scene.harness, wire), wire))
    for fuse_id, wires in found.items():
        yield _above(scene, scene.harness.part_of(fuse_id, Fuse), wires)


def _above(scene: ReviewScene, fuse: Fuse, wires: list[tuple[float, bool, Wire]]) -> Finding:
    """Give the finding of a fuse and the wires that bear less: those of known size where there are any."""
    known = [row for row in wires if not row[1]] or wires
    least_amps, is_assumed, thinnest = min(known, key=lambda row: row[0])
    alone_amps = bears_amps(scene.harness, thinnest)
    rated_amps = fuse.amps or 0.0
    in_free_air = rated_amps > alone_amps
    rule = rule_of("wire in a bundle" if thinnest.via else "wire in free air")
    wire_ids = tuple(row[2].id for row in known)
    bundled = f" in the bundle {either(map(clean, thinnest.via), 'and')} ({amps_text(alone_amps)} in free air)"
    others = f"; so with {some_of(one for one in wire_ids if one != thinnest.id)}" if len(wire_ids) > 1 else ""
    return Finding(
        FindingRule.WIRE_BEARS_LESS,
        Gravity.ASK if is_assumed else Gravity.DANGER if in_free_air else Gravity.WEARS,
        f"Fuse {id_and_label(scene.harness, fuse.id)} of {rated_amps:g} A guards wire {thinnest.id} "
        f"({wire_code(scene.harness, thinnest)}), which bears {amps_text(least_amps)}"
        f"{bundled if thinnest.via else ''}: shorted it may glow before the fuse opens{others}.",
        _what_to_fit(scene, fuse, least_amps),
        (fuse.id, *wire_ids),
        value=rated_amps,
        unit="A",
        rule_text=replace(rule, value=round(least_amps, 1), unit="A"),
        assumed=scene.assumed_among(wire_ids, ("size",)),
        assumed_kinds=("size",),
    )


def _what_to_fit(scene: ReviewScene, fuse: Fuse, least_amps: float) -> str:
    """Say which fuse or wire to fit; no fuse that would not carry what its loads take for long."""
    fitting_amps = largest_rating(least_amps)
    carried_amps = max((survey.fuse_amps[fuse.id] for survey in scene.usual), default=0.0)
    if fitting_amps is not None and carried_amps > fitting_amps:
        return (
            f"Fit a thicker wire, or a fuse of its own of at most {fitting_amps:g} A for the thin branch: "
            f"{amps_text(carried_amps)} go through {id_and_label(scene.harness, fuse.id)} for long."
        )
    return f"{_fitting(least_amps)}, or a smaller one of its own for the thin branch."


def _fitting(least_amps: float) -> str:
    """Say which fuse may be fitted: the largest that is made and that the wire bears; beyond those what it bears."""
    fitting_amps = largest_rating(least_amps)
    if fitting_amps is None:
        return "Fit a thicker wire: no fuse is made as small as this one asks"
    is_beyond = fitting_amps == standard_ratings()[-1]
    return f"Fit a fuse of at most {amps_text(least_amps) if is_beyond else f'{fitting_amps:g} A'}"


def must_not_fail_together(scene: ReviewScene) -> Iterator[Finding]:
    """Give the fuses on which two functions hang alone that must not go out together; once for a fuse."""
    by_fuse: dict[str, list[tuple[str, Element]]] = {}
    for element in scene.elements:
        role = role_of(scene.harness, element)
        labels = _fuses_of(scene, element)
        if role and len(labels) == 1:
            by_fuse.setdefault(labels[0], []).append((role, element))
    pairs = [tuple(pair.split("+")) for pair in sorted(roles_of("must not fail together"))]
    for fuse_id, rows in by_fuse.items():
        elements = {element.name: (role, element) for pair in pairs for role, element in _both(rows, pair)}
        if elements:
            yield _together(scene, fuse_id, list(elements.values()))


def _fuses_of(scene: ReviewScene, element: Element) -> list[str]:
    """Name all that an element may be fed by: the nearest fuses, and posts without one."""
    ends = (element.from_point, element.to_point)
    labels: set[str] = set()
    return sorted(labels.union(*(scene.nets.feeds.get(end, frozenset()) for end in ends)))


def _both(rows: list[tuple[str, Element]], pair: tuple[str, ...]) -> list[tuple[str, Element]]:
    """Give the elements of two roles on one fuse; none where the fuse has one of the two alone."""
    one, other = pair
    has_both = {one, other} <= {role for role, _ in rows}
    parts = {element.part_id for role, element in rows if role == one}
    if not has_both or (one == other and len(parts) < 2):
        return []
    return [row for row in rows if row[0] in pair]


def _together(scene: ReviewScene, fuse_id: str, rows: list[tuple[str, Element]]) -> Finding:
    harness = scene.harness
    part_ids = tuple(dict.fromkeys(element.part_id for _, element in rows))
    named = [f"{element_said(harness, element.name)} ({clean(role, 20)})" for role, element in rows]
    is_fuse = fuse_id in harness.parts
    on = f"fuse {id_and_label(harness, fuse_id)}" if is_fuse else f"the post {fuse_id} with no fuse"
    return Finding(
        FindingRule.FAIL_TOGETHER,
        Gravity.DANGER,
        f"{either(named, 'and')} hang on {on} alone: they go out together.",
        "Give one of the functions a fuse of its own.",
        (fuse_id, *part_ids) if is_fuse else part_ids,
        rule_text=rule_of("must not fail together"),
    )
