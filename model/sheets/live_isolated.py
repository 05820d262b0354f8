"""What stays live with the isolators open, isolator by isolator."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from model.harness.harness import Harness
from model.harness.metal import same_metal
from model.harness.supply import grounded_posts, series_links
from model.review.live_isolators import Isolator, IsolatorsOpen
from model.review.live_points import LivePoint
from model.review.live_review import LiveReview
from model.review.live_words import fuse_words, through_words
from model.sheets.review_sheet import Section
from model.tracing.graph import hot_posts
from model.tracing.names import either, id_and_label, part_name, point_name
from model.words import clean, plural

_NAMED_AT_MOST = 6
_HEAD = "With the isolators open"

_Line = tuple[str, str]
"""Words, and the part or point to go to."""


def isolators_section(harness: Harness, review: LiveReview) -> Section:
    """Tell what is live while every isolator is open, or that there is none."""
    found = review.isolators
    if found is None:
        words = "The circuit cannot be solved so." if review.has_isolator else _no_isolator_words(harness)
        return Section(_HEAD, words=(words,))
    names = either((part_name(harness, one.switch_id) for one in found.isolators), "and")
    all_of = "that open" if len(found.isolators) == 1 else "all of that open"
    is_closed = "it is closed" if len(found.isolators) == 1 else "they are closed"
    words = (
        f"Found by where {'it stands' if len(found.isolators) == 1 else 'they stand'}: {names}. With key "
        f"{clean(found.condition.key, 40)} and {all_of}, {plural(len(found.made_dead), 'point')} that have volts when "
        f"{is_closed} are dead. These stay live."
    )
    lines = [line for one in found.isolators for line in _isolator_lines(harness, found, one)]
    lines += _past_lines(harness, found.past)
    items, parts = (tuple(one[place] for one in lines) for place in (0, 1))
    return Section(_HEAD, words=(words,), items=items, item_parts=parts)


def _isolator_lines(harness: Harness, found: IsolatorsOpen, one: Isolator) -> Iterator[_Line]:
    """Say of one isolator what dies behind it, and what stays live behind and before it."""
    named = id_and_label(harness, one.switch_id)
    dead = sum(point in one.behind for point in found.made_dead)
    behind = [point for point in found.behind if point.point in one.behind]
    before = [point for point in found.before if point.point in one.before]
    yield f"{named}: {plural(dead, 'point')} behind it {'is' if dead == 1 else 'are'} dead.", one.switch_id
    for where, points in ((f"Behind {named}, and live all the same", behind), (f"Before {named}", before)):
        yield from ((f"{where}: {line}", part) for line, part in _feed_lines(harness, points))


def _past_lines(harness: Harness, points: Iterable[LivePoint]) -> Iterator[_Line]:
    """Say what no isolator parts: links within a bank, what lies bare on the posts, and feeds of their own."""
    links = {same_metal(harness, f"{low}.-"): (low, high) for low, high in series_links(harness).items()}
    posts = {same_metal(harness, post): post for post in hot_posts(harness)}
    on_link: dict[tuple[str, str], list[LivePoint]] = {}
    on_post: dict[str, list[LivePoint]] = {}
    others: list[LivePoint] = []
    for one in points:
        metal = same_metal(harness, one.point)
        if metal in links:
            on_link.setdefault(links[metal], []).append(one)
        elif metal in posts:
            on_post.setdefault(posts[metal], []).append(one)
        else:
            others.append(one)
    for (low, high), here in on_link.items():
        ends = f"{id_and_label(harness, high)} and {id_and_label(harness, low)}"
        yield f"The link between {ends}, inside their bank: {_some(here)}.", here[0].point
    for post, here in on_post.items():
        yield f"On {clean(point_name(harness, post))} itself: {_some(here)}.", here[0].point
    yield from (
        (f"Past every isolator, by a feed of its own: {line}", part) for line, part in _feed_lines(harness, others)
    )


def _some(points: list[LivePoint]) -> str:
    named = [clean(one.point) for one in points[:_NAMED_AT_MOST]]
    more = len(points) - _NAMED_AT_MOST
    return f"{', '.join(named)}{f' and {more} more' if more > 0 else ''}"


def _no_isolator_words(harness: Harness) -> str:
    posts = either([point_name(harness, post) for post in grounded_posts(harness)], "and")
    return (
        "No switch of this file parts a battery post from several fuses or loads: what hangs on a battery stays "
        f"live until the cable is off {posts}."
    )


def _feed_lines(harness: Harness, points: Iterable[LivePoint]) -> Iterator[_Line]:
    groups: dict[str | None, list[LivePoint]] = {}
    for one in points:
        groups.setdefault(one.fused_by, []).append(one)
    for fuse_id, group in groups.items():
        feed = "no fuse" if fuse_id is None else fuse_words(harness, fuse_id)
        through = through_words(harness, group[0].own_path) if all(one.through for one in group) else ""
        yield f"{feed}: {_some(group)}{f', {through}' if through else ''}.", fuse_id or group[0].point
