"""``fusewalk continuity``: every conductor end to end, and apart from its neighbours."""

from __future__ import annotations

import argparse

from model.plans.every_plan import make_plan
from model.plans.plan import LoomState, PlanKind
from tui.cli.plan_arguments import add_plan_arguments, run_plan

STATES = {state.name.casefold(): state for state in LoomState}
"""How a state is typed."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    add_plan_arguments(parser)
    said = "; ".join(f"{name}: {state}" for name, state in STATES.items())
    parser.add_argument("--state", choices=STATES, default="apart", help=f"in which the loom is; {said} (%(default)s)")


def run(arguments: argparse.Namespace) -> int:
    """Print the plan, or keep answers to it, and give the exit code."""
    state = STATES[arguments.state]
    return run_plan(arguments, lambda harness: make_plan(harness, PlanKind.CONTINUITY, state))
