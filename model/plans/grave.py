"""Restraint and high-voltage wiring in a plan: what stays plugged, and which measurements would reach it."""

from __future__ import annotations

from collections.abc import Callable

from model.circuit.settle import settle
from model.harness.harness import Harness
from model.harness.hazards import NEVER_PROBED, hazards_of_part, may_be_probed
from model.harness.points import points_of
from model.harness.records import Connector, Wire
from model.harness.supply import grounded_posts
from model.plans.loom_state import state_condition
from model.plans.plan import LoomState
from model.plans.runs import Run
from model.tracing.graph import closed_links
from model.tracing.nets import bodies_of, flood, neighbours_of


def reach_grave(harness: Harness, state: LoomState) -> Callable[[Run], str]:
    """Give what says why a run is not measured: a part that nobody may probe hangs on it through closed metal.

    Ground points and the body hold what is on them: nothing is reached through them.

    Raises
    ------
    CircuitError
        Where the harness cannot be solved at all.
    """
    if not any(NEVER_PROBED.intersection(hazards_of_part(harness, part.id)) for part in harness.each_part()):
        return lambda _run: ""
    neighbours = neighbours_of(closed_links(harness, settle(harness, state_condition(harness, state))))
    ends_at = bodies_of(harness) | {ground.id for ground in harness.grounds} | set(grounded_posts(harness))

    def why(run: Run) -> str:
        held = {point for point in (run.red, run.black) if point in ends_at}
        free = [point for point in (run.red, run.black) if point not in held]
        for point in (*held, *flood(neighbours, free, ends_at, lambda _link, _point: True)):
            refusal = may_be_probed(harness, point)
            if refusal is not None:
                return f"{refusal.origin} hangs on it, and stays plugged: {refusal.reason}"
        return ""

    return why


def grave_words(harness: Harness) -> tuple[str, ...]:
    """Say which parts stay plugged and untouched whatever a plan takes apart; nothing where there are none."""
    named = [
        part.id
        for part in harness.each_part()
        if not isinstance(part, Wire | Connector)
        and any(may_be_probed(harness, point.name) is not None for point in points_of(part))
    ]
    if not named:
        return ()
    return (
        f"{', '.join(named)}: restraint or high voltage. Nobody but a licensed person plugs or unplugs it, and "
        "nothing on it is measured.",
    )
