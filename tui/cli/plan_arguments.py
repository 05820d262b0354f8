"""What the commands of all plans share: the form of the sheet, where it goes, and answers typed without a screen."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any, assert_never

from model.harness.harness import Harness
from model.harness.toml_file import read_harness
from model.plans.plan import Plan
from model.record import read_record
from model.record_entries import AnyEntry
from model.record_text import Contents
from model.sheets.plan_sheet import PlanSheet, plan_sheet
from model.words import clean, plural
from tui.cli.forms import Form, add_form_arguments, within_argument
from tui.cli.output import write_json
from tui.cli.picture_argument import add_picture_argument, picture_lines
from tui.cli.review_arguments import Review
from tui.cli.sheet_file import form_of, write_sheet

MakePlan = Callable[[Harness], Plan]
MakeHead = Callable[[Harness, Plan, Sequence[AnyEntry]], Review]


def add_plan_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments that every plan takes."""
    parser.add_argument("file", type=Path, help="harness file")
    add_form_arguments(parser)
    add_picture_argument(parser)
    parser.add_argument(
        "--read",
        metavar="ROW=VALUE",
        action="append",
        default=[],
        help="keep what was read in a row in the record, by the key of the row: 0.24, OL, good, bad, skipped; "
        "of millivolts also the amperes, “24 at 4.6”",
    )
    parser.add_argument(
        "--take-back", metavar="ROW", action="append", default=[], help="open a row of the record again"
    )
    parser.add_argument("--who", metavar="NAME", default="", help="with --read: who measured")
    parser.add_argument("--meter", metavar="NAME", default="", help="with --read: with which meter")
    parser.add_argument(
        "--ambient", metavar="°C", type=within_argument(-60, 80, "°C"), help="with --read: how warm it was"
    )


def run_plan(arguments: argparse.Namespace, make: MakePlan, make_head: MakeHead | None = None) -> int:
    """Print or write a plan, or keep what was read in it; give the exit code.

    Parameters
    ----------
    make_head
        Gives a review that stands before the plan, in JSON under ``review``; comma-separated values are the plan's own.

    Raises
    ------
    HarnessFileError, CircuitError, ArgumentError, AnswerError, RecordError
        Where the file, the circuit, an argument or the record is not as it must be.
    """
    harness = read_harness(arguments.file)
    plan = make(harness)
    if arguments.read or arguments.take_back:
        from tui.cli.plan_answers import keep_answers

        return keep_answers(harness, plan, arguments)
    contents = read_record(arguments.file)
    tell_trouble(arguments.file, contents)
    sheet = plan_sheet(harness, plan, contents.entries)
    head = None if make_head is None else make_head(harness, plan, contents.entries)
    form = form_of(arguments.form, arguments.output)
    pictures = picture_lines(arguments, form, harness, _parts_of(plan))
    if form is Form.JSON and arguments.output is None:
        write_json(_json(sheet, head))
        return 0
    return write_sheet(_text(form, sheet, head, pictures), arguments)


def tell_trouble(path: Path, contents: Contents) -> None:
    """Say on standard error that not all of a record could be read."""
    if contents.trouble:
        told = plural(len(contents.trouble), "piece")
        sys.stderr.write(
            f"fusewalk: {told} of the record passed over; “fusewalk record {clean(str(path))}” says which.\n"
        )


def _parts_of(plan: Plan) -> Iterator[str]:
    """Give the parts on which the probes of a plan stand, in the order of its rows."""
    for row in plan.rows:
        for point in row.points:
            yield point.partition(".")[0]


def _text(form: Form, sheet: PlanSheet, head: Review | None, pictures: Sequence[str]) -> str:
    # each form is imported where it is asked for: no start pays for all five
    match form:
        case Form.TEXT:
            from model.sheets.plan_text import plan_text
            from model.sheets.review_text import review_text

            return plan_text(sheet) if head is None else f"{review_text(head.sheet())}\n\n{plan_text(sheet)}"
        case Form.MARKDOWN:
            from model.sheets.plan_markdown import plan_markdown
            from model.sheets.review_markdown import review_markdown

            told = plan_markdown(sheet)
            return told if head is None else f"{review_markdown(head.sheet())}\n\n{told}"
        case Form.HTML:
            from model.sheets.plan_html import plan_html
            from model.sheets.review_html import review_body

            return plan_html(sheet, () if head is None else review_body(head.sheet()), pictures)
        case Form.CSV:
            from model.sheets.plan_csv import plan_csv

            return plan_csv(sheet)
        case Form.JSON:
            return json.dumps(_json(sheet, head), ensure_ascii=False, allow_nan=False)
    assert_never(form)


def _json(sheet: PlanSheet, head: Review | None) -> dict[str, Any]:
    from model.sheets.plan_json import plan_json

    found = plan_json(sheet)
    return found if head is None else {**found, "review": head.as_json()}
