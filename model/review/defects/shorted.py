"""A battery whose posts metal joins: nothing else about its volts is worth telling until that is mended."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import networkx as nx

from model.harness.harness import Harness
from model.harness.supply import battery_chain
from model.review.element_said import sentence_start
from model.review.finding import Finding, FindingRule, Gravity
from model.review.review_scene import ReviewScene
from model.tracing.graph import METAL_KINDS, links_of
from model.tracing.names import part_name


def battery_shorted(scene: ReviewScene) -> Iterator[Finding]:
    """Give each chain of batteries whose outer posts wires and plain metal join, with no fuse and no switch between."""
    harness = scene.harness
    told: set[tuple[str, ...]] = set()
    for battery in harness.batteries:
        chain = battery_chain(harness, battery.id)
        if chain in told:
            continue
        told.add(chain)
        parts = _between(harness, f"{chain[0]}.+", f"{chain[-1]}.-")
        if parts:
            yield Finding(
                FindingRule.SHORTED,
                Gravity.DANGER,
                f"{sentence_start(part_name(harness, chain[0]))} is shorted: {', '.join(parts)} lead from its plus "
                f"post to its minus post with no fuse, switch or load between.",
                "Take the grounded cable off, or leave it off, and look which end of them is on the wrong point. What "
                "the volts say of this loom is not told before that.",
                parts,
            )


def _between(harness: Harness, one: str, other: str) -> tuple[str, ...]:
    """Name the parts of the shortest way of bare metal between two points; none where there is no such way."""
    apart = {connector.id for connector in harness.connectors if connector.rest == "apart"}
    graph: nx.Graph = nx.Graph()
    for link in links_of(harness):
        if link.kind in METAL_KINDS and link.part_id not in apart:
            graph.add_edge(link.one, link.other, part=link.part_id)
    if one not in graph or other not in graph or not nx.has_path(graph, one, other):
        return ()
    way = nx.shortest_path(graph, one, other)
    return tuple(dict.fromkeys(graph.edges[pair]["part"] for pair in pairwise(way)))


def feed_not_searched(scene: ReviewScene) -> Iterator[Finding]:
    """Say which loads have no feed with everything on and were not looked into further."""
    for element in scene.elements:
        scene.feeding(element)
    if scene.unsearched:
        names = scene.unsearched
        rest = f" and {len(names) - 4} more" if len(names) > 4 else ""
        yield Finding(
            FindingRule.NOT_SEARCHED,
            Gravity.ASK,
            f"{', '.join(names[:4])}{rest} have no feed with everything switched on, like others before them; whether "
            f"some setting feeds them was not looked into.",
            "Mend what is told of the others first, then look again.",
            tuple(name.partition(":")[0].partition(".")[0] for name in names),
        )
