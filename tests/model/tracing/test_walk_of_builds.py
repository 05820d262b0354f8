"""The walks of every load of the demo builds: whole, joined, and with volts that fall as they should."""

from __future__ import annotations

from itertools import pairwise

import pytest

from model.circuit.bench import Bench
from model.harness.harness import Harness, all_elements
from model.harness.supply import grounded_posts
from model.tracing.graph import charger_posts, hot_posts
from model.tracing.walk import Side, Stretch, Walk, Walker
from tests.model.tracing.rigs import DEMO_NAMES, demo, points


def check_joined(harness: Harness, stretch: Stretch) -> None:
    """Check that each pair of points in a row is joined by the link told."""
    for before, step in pairwise(stretch.steps):
        assert step.link is not None
        assert {before.point, step.point} == {step.link.one, step.link.other}, step
        assert step.link.part_id in harness.parts
    assert stretch.steps[0].link is None


def check_ends(harness: Harness, walk: Walk, stretch: Stretch) -> None:
    """Check that a stretch leads from a post to what it feeds, or from there to a post, or joins one told above."""
    hot = (*hot_posts(harness), *charger_posts(harness, hot=True))
    ground = (*grounded_posts(harness), *charger_posts(harness, hot=False))
    far = stretch.steps[0].point if stretch.side is Side.FEED else stretch.steps[-1].point
    near = stretch.steps[-1].point if stretch.side is Side.FEED else stretch.steps[0].point
    if stretch.joins_at:
        assert far == stretch.joins_at
        told = [step.point for one in walk.stretches() for step in one.steps if one is not stretch]
        assert far in told
    else:
        assert far in (hot if stretch.side is Side.FEED else ground)
    assert near.partition(".")[0] == stretch.of.partition(":")[0]


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_load_of_the_demo_builds_has_a_whole_walk(name: str) -> None:
    """Feed from a post to the load, ground back to a post, every link true, every relay and driver with its control."""
    harness = demo(name)
    walker = Walker(Bench(harness))
    for element in all_elements(harness):
        walk = walker.walk(element)
        assert walk.feed is not None
        assert walk.ground is not None
        assert {points(walk.feed)[-1], points(walk.ground)[0]} == {element.from_point, element.to_point}
        assert walk.feed.switched
        assert walk.ground.switched
        switched = {step.link for one in walk.stretches() for step in one.steps if step.link is not None}
        driven_by = {link.part_id for link in switched if link.kind == "relay"}
        driven_by |= {link.site for link in switched if link.kind in ("driver", "output")}
        assert driven_by == {one.of for one in walk.controls}
        for stretch in walk.stretches():
            check_joined(harness, stretch)
            check_ends(harness, walk, stretch)
        for one in walk.controls:
            assert one.feed is not None
            assert one.ground is not None
            if one.needs_on:
                assert one.feed.switched
                assert one.ground.switched


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_volts_fall_along_the_feed_and_rise_along_the_ground(name: str) -> None:
    """In the working condition current runs one way: no point is further from ground than the one upstream of it.

    While the engine charges, current runs into the battery's post as well; the stretch next to it is left out.
    """
    harness = demo(name)
    bench = Bench(harness)
    charging = {state.name for state in harness.key_states if state.charging}
    for element in all_elements(harness):
        walk = Walker(bench).walk(element)
        settled = bench.survey(walk.working.condition).settled
        volts = {point: settled.volts_at(point) for point in (*points(walk.feed), *points(walk.ground))}
        away = {point: abs(one - (volts[walk.black] or 0.0)) for point, one in volts.items() if one is not None}
        assert away.keys() == volts.keys()
        near_post = 2 if walk.working.condition.key in charging else 0
        for row in (points(walk.feed)[near_post:], points(walk.ground)[: len(points(walk.ground)) - near_post]):
            falls = [away[before] - away[after] for before, after in pairwise(row)]
            assert min(falls, default=0.0) > -1e-6, (element.name, row)
