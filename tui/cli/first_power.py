"""``fusewalk first-power``: the battery through a lamp, one fuse at a time."""

from __future__ import annotations

import argparse

from model.plans.every_plan import make_plan
from model.plans.plan import LAMP_WATTS, PlanKind
from tui.cli.forms import within_argument
from tui.cli.plan_arguments import add_plan_arguments, run_plan

_LEAST_WATTS, _MOST_WATTS = 1.0, 100.0


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    add_plan_arguments(parser)
    parser.add_argument(
        "--lamp",
        metavar="W",
        type=within_argument(_LEAST_WATTS, _MOST_WATTS, "W"),
        default=LAMP_WATTS,
        help="lamp in series, in watts at nominal volts (%(default)s)",
    )


def run(arguments: argparse.Namespace) -> int:
    """Print the plan, or keep answers to it, and give the exit code."""
    return run_plan(arguments, lambda harness: make_plan(harness, PlanKind.FIRST_POWER, lamp_watts=arguments.lamp))
