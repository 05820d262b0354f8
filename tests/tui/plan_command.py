"""A harness file on disk and the commands of its plan, run in the same process."""

from __future__ import annotations

import argparse
from pathlib import Path

from model.plans.plan import Plan
from tests.model.plan_rows import small_plan
from tests.tui.test_cli_practice import two_fuses
from tui.cli.plan_arguments import add_plan_arguments, run_plan

__all__ = ["run_small", "two_fuses"]


def run_small(file: Path, *words: str, plan: Plan | None = None) -> int:
    """Run the command of a plan made by hand."""
    parser = argparse.ArgumentParser()
    add_plan_arguments(parser)
    found = small_plan() if plan is None else plan
    return run_plan(parser.parse_args([str(file), *words]), lambda harness: found)
