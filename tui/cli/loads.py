"""``fusewalk loads``: what works in which key state, with the volts that say so."""

from __future__ import annotations

import argparse

from model.plans.every_plan import make_plan
from model.plans.plan import PlanKind
from tui.cli.plan_arguments import add_plan_arguments, run_plan


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    add_plan_arguments(parser)


def run(arguments: argparse.Namespace) -> int:
    """Print the plan, or keep answers to it, and give the exit code."""
    return run_plan(arguments, lambda harness: make_plan(harness, PlanKind.LOADS))
