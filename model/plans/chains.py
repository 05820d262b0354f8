"""Batteries in series, and the two posts of a chain."""

from __future__ import annotations

from model.harness.harness import Harness
from model.harness.supply import series_links


def chain_of(harness: Harness, battery_id: str) -> tuple[str, ...]:
    """List the batteries in series with one, from plus to minus."""
    links = series_links(harness)
    back = {low: high for high, low in links.items()}
    chain = [battery_id]
    while chain[-1] in links and links[chain[-1]] not in chain:
        chain.append(links[chain[-1]])
    while chain[0] in back and back[chain[0]] not in chain:
        chain.insert(0, back[chain[0]])
    return tuple(chain)


def chain_posts(harness: Harness, battery_id: str) -> tuple[str, str]:
    """Give the live and the grounded post of a battery's chain."""
    chain = chain_of(harness, battery_id)
    plus, minus = f"{chain[0]}.+", f"{chain[-1]}.-"
    return (minus, plus) if harness.build.ground_side == "positive" else (plus, minus)


def live_post_of(harness: Harness, grounded_post: str) -> str:
    """Name the live post of the chain that a grounded post ends."""
    return chain_posts(harness, grounded_post.partition(".")[0])[0]
