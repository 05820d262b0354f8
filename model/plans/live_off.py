"""The state in which grounds are proven: the grounded clamps on, every live clamp off its post, every fuse out."""

from __future__ import annotations

from model.circuit.condition import OFF, OUT, Condition
from model.harness.harness import Harness
from model.harness.metal import wire_points
from model.harness.points import resolve_point
from model.harness.supply import grounded_posts, series_links
from model.tracing.names import either, point_name


def live_posts(harness: Harness) -> tuple[str, ...]:
    """Name every battery post that is not grounded, those between batteries in series too."""
    grounded = grounded_posts(harness)
    posts = (f"{battery.id}.{sign}" for battery in harness.batteries for sign in "+-")
    return tuple(post for post in posts if post not in grounded)


def _is_link(harness: Harness, ends: tuple[str, str]) -> bool:
    """Tell whether two posts are those that a wire or joint puts in series."""
    return any({f"{low}.-", f"{high}.+"} == set(ends) for low, high in series_links(harness).items())


def live_joints(harness: Harness) -> tuple[str, ...]:
    """Name the joints that hold something on a live post, links in series aside."""
    posts = set(live_posts(harness))
    ends = {
        joint.id: (resolve_point(harness, joint.from_point), resolve_point(harness, joint.to_point))
        for joint in harness.joints
    }
    return tuple(name for name, pair in ends.items() if posts & set(pair) and not _is_link(harness, pair))


def live_side_off(harness: Harness) -> Condition:
    """Give the condition in which every fuse is out and every wire is off the live posts but those in series.

    What a joint holds on a live post has no setting of its own: it is off too, and the fuses behind it are out.
    """
    posts = set(live_posts(harness))
    settings = [(fuse.id, OUT) for fuse in harness.fuses]
    for wire in harness.wires:
        ends = wire_points(harness, wire)
        if not _is_link(harness, ends):
            settings += [(f"{wire.id}.{letter}", OFF) for letter, end in zip("ab", ends, strict=True) if end in posts]
    return Condition(harness.key_names[0], tuple(settings))


def live_off_words(harness: Harness) -> str:
    """Say how the batteries stand: what is on, what is off."""
    posts = grounded_posts(harness)
    clamps = "The grounded clamp alone is" if len(posts) == 1 else "The grounded clamps alone are"
    on = either([point_name(harness, post) for post in posts], "and")
    linked = ", the links in series aside," if series_links(harness) else ""
    return f"{clamps} on, at {on}; every live clamp{linked} is off its post and covered, every fuse out."
