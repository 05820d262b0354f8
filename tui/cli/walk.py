"""``fusewalk walk``: the walk of a load, printed or written to a file, in all forms of a sheet."""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.errors import RecordError
from model.harness.toml_file import read_harness
from model.record import read_record
from model.record_entries import AnyEntry
from model.sheets.walk_as_built import walk_as_built
from model.sheets.walk_json import walk_json
from model.sheets.walk_paper import walk_csv, walk_paper
from model.sheets.walk_sheet import walk_text
from model.tracing.rows import tell_walk
from model.tracing.walk import Walker, find_element
from tui.cli.forms import add_form_arguments
from tui.cli.review_arguments import Review, print_review
from tui.cli.volts import add_condition_arguments, condition_of


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", type=Path, help="harness file")
    parser.add_argument(
        "load", help="id of a load, of one of its circuits (E1:dip), of a module's feed (A2:75), or a label"
    )
    add_condition_arguments(parser)
    add_form_arguments(parser)


def run(arguments: argparse.Namespace) -> int:
    """Print the walk and give the exit code."""
    harness = read_harness(arguments.file)
    typed = condition_of(harness, arguments)
    bench = Bench(harness)
    walk = Walker(bench).walk(find_element(harness, arguments.load))
    told = tell_walk(bench, walk, _over(walk.working.condition, typed, key=arguments.key))
    as_built = walk_as_built(harness, told, _entries(arguments.file))
    review = Review(
        sheet=lambda: walk_paper(harness, told, as_built),
        csv=lambda: walk_csv(harness, told, as_built),
        as_json=lambda: {"format": "fusewalk walk", **walk_json(harness, told, as_built)},
        text=lambda: walk_text(harness, told, as_built),
        title="walk",
    )
    return print_review(review, arguments)


def _entries(path: Path) -> tuple[AnyEntry, ...]:
    """Give what the record of a harness file holds; nothing where it cannot be read: a walk needs none."""
    try:
        return read_record(path).entries
    except RecordError:
        return ()


def _over(working: Condition, typed: Condition, *, key: str | None) -> Condition:
    """Give the working condition with what is typed put over it; its key state where none is typed."""
    condition = replace(working, key=key or working.key, faults=typed.faults, posts_volts=typed.posts_volts)
    for name, value in typed.settings:
        condition = condition.with_setting(name, value)
    return condition
