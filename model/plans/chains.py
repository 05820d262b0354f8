"""The two posts of a chain of batteries in series."""

from __future__ import annotations

from model.harness.harness import Harness
from model.harness.supply import battery_chain


def chain_posts(harness: Harness, battery_id: str) -> tuple[str, str]:
    """Give the live and the grounded post of a battery's chain."""
    chain = battery_chain(harness, battery_id)
    plus, minus = f"{chain[0]}.+", f"{chain[-1]}.-"
    return (minus, plus) if harness.build.ground_side == "positive" else (plus, minus)


def live_post_of(harness: Harness, grounded_post: str) -> str:
    """Name the live post of the chain that a grounded post ends."""
    return chain_posts(harness, grounded_post.partition(".")[0])[0]
