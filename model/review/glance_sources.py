"""Which batteries stand behind the post of a source."""

from __future__ import annotations

from collections.abc import Iterable

from model.harness.harness import Harness
from model.harness.supply import battery_chain, battery_volts


def source_parts(harness: Harness, posts: Iterable[str]) -> tuple[str, ...]:
    """Name the batteries and chargers behind posts on one metal, those in series with them too."""
    found: dict[str, None] = {}
    for post in posts:
        part_id = post.partition(".")[0]
        is_battery = any(battery.id == part_id for battery in harness.batteries)
        found.update(dict.fromkeys(batteries_behind(harness, post) if is_battery else (part_id,)))
    return tuple(found)


def batteries_behind(harness: Harness, post: str) -> tuple[str, ...]:
    """Name the batteries in series between a post and the grounded one: of a tap those on the ground side of it."""
    part_id, _, sign = post.partition(".")
    chain = battery_chain(harness, part_id)
    at = chain.index(part_id)
    if harness.build.ground_side == "positive":
        return chain[: at + 1] if sign == "-" else chain[:at]
    return chain[at:] if sign == "+" else chain[at + 1 :]


def source_volts(harness: Harness, post: str) -> float:
    """Give the nominal volts of the batteries between a post and the grounded one."""
    volts = battery_volts(harness)
    return sum(volts[battery_id] for battery_id in batteries_behind(harness, post))
