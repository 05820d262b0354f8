"""The least that the posts of a battery may read while nothing charges it: under it the battery is charged first."""

from __future__ import annotations

from model.cautions import crank_keys
from model.circuit.bands import NARROWEST_VOLTS
from model.circuit.build import EMF_SHARE
from model.circuit.condition import charger_is_on
from model.circuit.settle import Settled
from model.harness.harness import Harness
from model.harness.parts import Battery
from model.harness.supply import battery_chain, battery_volts, grounded_post_of, least_rest_volts
from model.tracing.graph import hot_posts


def posts_floor_volts(settled: Settled, red: str, black: str) -> float | None:
    """Give the least volts, without their sign, of a good reading across the posts of a lead battery or chain.

    None of other points, while a charger or the starter is on, and with a fault: there the band is what counts.

    Notes
    -----
    What the battery's own ohms take while its loads are on comes off the limit at rest.
    """
    harness, condition = settled.net.harness, settled.condition
    if condition.faults or condition.key in crank_keys(harness):
        return None
    if any(charger_is_on(harness, condition, charger) for charger in harness.chargers):
        return None
    batteries = _batteries_between(harness, red, black) or _batteries_between(harness, black, red)
    if not batteries or any(battery.chemistry != "lead" for battery in batteries):
        return None
    nominal = battery_volts(harness)
    rest_volts = sum(battery.emf or EMF_SHARE * nominal[battery.id] for battery in batteries)
    on_volts = abs(float(settled.volts[settled.net.index[red]] - settled.volts[settled.net.index[black]]))
    fallen_volts = max(rest_volts - on_volts, 0.0)
    return min(least_rest_volts(harness, batteries) - fallen_volts, on_volts - NARROWEST_VOLTS)


def _batteries_between(harness: Harness, live: str, grounded: str) -> tuple[Battery, ...]:
    """Give the batteries from a live post to the grounded post of its chain; none of other points."""
    battery_id, _, _ = live.partition(".")
    if live not in hot_posts(harness) or grounded != grounded_post_of(harness, battery_id):
        return ()
    chain = battery_chain(harness, battery_id)
    place = chain.index(battery_id)
    inside = chain[: place + 1] if harness.build.ground_side == "positive" else chain[place:]
    return tuple(battery for battery in harness.batteries if battery.id in inside)
