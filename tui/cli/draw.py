"""``fusewalk draw``: what the battery loses with the key off, as computed, and the plan that measures it."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from model.circuit.bench import Bench
from model.harness.harness import Harness
from model.harness.toml_file import read_harness
from model.plans.every_plan import make_plan
from model.plans.plan import Plan, PlanKind
from model.record import read_record
from model.record_entries import AnyEntry
from tui.cli.plan_arguments import add_plan_arguments, run_plan, tell_trouble
from tui.cli.review_arguments import Review, print_review


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    add_plan_arguments(parser)
    parser.add_argument(
        "--review", action="store_true", help="the draw as computed alone, without the plan; with --csv fuse by fuse"
    )


def run(arguments: argparse.Namespace) -> int:
    """Print the draw and its plan, or keep answers to the plan, and give the exit code."""
    if not arguments.review or arguments.read or arguments.take_back:
        return run_plan(arguments, _plan, head_of)
    harness = read_harness(arguments.file)
    contents = read_record(arguments.file)
    tell_trouble(arguments.file, contents)
    return print_review(head_of(harness, _plan(harness), contents.entries), arguments)


def _plan(harness: Harness) -> Plan:
    return make_plan(harness, PlanKind.DRAW)


def head_of(harness: Harness, plan: Plan, entries: Sequence[AnyEntry]) -> Review:
    """Give what stands before the plan: the draw as computed, and where to look next by what was read."""
    from model.plans.draw_next import look_next
    from model.plans.draw_read import read_words
    from model.plans.kept import kept_answers
    from model.review.draw import draw_review
    from model.sheets.draw_sheet import draw_csv, draw_json, draw_sheet

    review = draw_review(Bench(harness))
    kept = kept_answers(plan, entries)
    next_words, read = look_next(harness, plan, kept), read_words(harness, review, plan, kept)
    return Review(
        sheet=lambda: draw_sheet(harness, review, next_words, read),
        csv=lambda: draw_csv(harness, review),
        as_json=lambda: draw_json(harness, review, next_words),
    )
