"""The one road to a plan by its kind."""

from __future__ import annotations

from typing import assert_never

from model.harness.harness import Harness
from model.plans.plan import LAMP_WATTS, LoomState, Plan, PlanKind

GROUND_AMPS = 5.0
"""About what a lamp of 55 W draws at 12 V: it shows a bad ground and warms no meter lead."""


def make_plan(
    harness: Harness,
    kind: PlanKind,
    state: LoomState = LoomState.APART,
    *,
    ground_amps: float = GROUND_AMPS,
    lamp_watts: float = LAMP_WATTS,
) -> Plan:
    """Make a plan of a harness.

    Parameters
    ----------
    state
        In which the loom is; of a continuity plan alone.
    ground_amps
        Current in amperes with which the grounds are proven.
    lamp_watts
        The lamp that stands in series at first power, in watts at nominal volts.

    Raises
    ------
    CircuitError
        Where a circuit finds no rest.
    """
    # each maker is imported with its first plan: some take longer to import than a small plan takes
    match kind:
        case PlanKind.CONTINUITY:
            from model.plans.continuity import continuity_plan

            return continuity_plan(harness, state)
        case PlanKind.INSULATION:
            from model.plans.insulation import insulation_plan

            return insulation_plan(harness)
        case PlanKind.GROUNDS:
            from model.plans.grounds import grounds_plan

            return grounds_plan(harness, ground_amps)
        case PlanKind.FIRST_POWER:
            from model.plans.first_power import first_power_plan

            return first_power_plan(harness, lamp_watts)
        case PlanKind.LOADS:
            from model.plans.loads import loads_plan

            return loads_plan(harness)
        case PlanKind.CRANK_AND_CHARGE:
            from model.plans.crank_and_charge import crank_and_charge_plan

            return crank_and_charge_plan(harness)
        case PlanKind.DRAW:
            from model.plans.draw_plan import draw_plan

            return draw_plan(harness)
    assert_never(kind)
