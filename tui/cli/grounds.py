"""``fusewalk grounds``: every lug, strap and body under a current that is known."""

from __future__ import annotations

import argparse

from model.plans.every_plan import GROUND_AMPS, make_plan
from model.plans.plan import PlanKind
from tui.cli.forms import within_argument
from tui.cli.plan_arguments import add_plan_arguments, run_plan

_LEAST_AMPS, _MOST_AMPS = 0.1, 100.0


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    add_plan_arguments(parser)
    parser.add_argument(
        "--amps",
        metavar="A",
        type=within_argument(_LEAST_AMPS, _MOST_AMPS, "A"),
        default=GROUND_AMPS,
        help="current that the lamp or load at hand lets through (%(default)s)",
    )


def run(arguments: argparse.Namespace) -> int:
    """Print the plan, or keep answers to it, and give the exit code."""
    return run_plan(arguments, lambda harness: make_plan(harness, PlanKind.GROUNDS, ground_amps=arguments.amps))
