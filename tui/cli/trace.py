"""``fusewalk trace``: a load does not work; check by check to what is wrong with it."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from pathlib import Path

from model.circuit.bench import Bench
from model.errors import ArgumentError
from model.harness.toml_file import read_harness
from model.tracing.complaint import Complaint, LoomAge, Symptom
from model.tracing.complaint_words import Said, complaint_of
from model.tracing.trace import Trace
from tui.cli.forms import Form
from tui.cli.picture_argument import add_picture_argument, picture_lines
from tui.cli.sheet_file import form_of, write_sheet
from tui.cli.volts import volts_argument
from tui.line_input import LineInput
from tui.line_mode import run_json
from tui.terminal import Options, why_no_screen


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", type=Path, help="harness file")
    parser.add_argument(
        "loads",
        metavar="LOAD",
        nargs="+",
        help="what does not work: a load, one of its circuits (E1:dip), a module's feed (A2:75), a battery or a "
        "charger, by id or label; several are one complaint",
    )
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--lines", action="store_true", help="ask in plain sentences, without a screen")
    form.add_argument("--json", action="store_true", help="JSON Lines, for a script or a bench rig; no record is kept")
    form.add_argument("--sheet", action="store_true", help="the first checks on paper, as Markdown")
    form.add_argument("--html", action="store_true", help="the same as one HTML file, to print")
    add_picture_argument(parser)
    parser.add_argument("-o", "--output", metavar="FILE", type=Path, help="write the sheet there; FILE.html gets HTML")
    parser.add_argument("--force", action="store_true", help="with -o: write over a file that is there already")
    words = ", ".join(Symptom)
    parser.add_argument("--symptom", metavar="WORD", default=str(Symptom.DEAD), help=f"{words} (%(default)s)")
    ages = ", ".join(LoomAge)
    parser.add_argument("--loom", metavar="AGE", default=str(LoomAge.OLD), help=f"{ages}: has it worked? (%(default)s)")
    parser.add_argument("--key", metavar="K", help="key state in which it was seen")
    parser.add_argument(
        "--set", metavar="X=Y", action="append", default=[], help="set when it was seen: a switch, part"
    )
    parser.add_argument(
        "--battery", metavar="V", type=volts_argument, help="volts read across the posts of the first battery then"
    )
    parser.add_argument("--works", metavar="LOAD", action="append", default=[], help="another load, seen to work")
    parser.add_argument("--dead", metavar="LOAD", action="append", default=[], help="another load, seen dead")
    parser.add_argument("--weak", metavar="LOAD", action="append", default=[], help="another load, seen to work weakly")
    parser.add_argument("--fuse", metavar="F", default="", help="with blows-fuse: which")
    parser.add_argument("--with", metavar="LOAD", default="", dest="other_load", help="with works-with-another: which")
    parser.add_argument("--no-helper", action="store_true", help="nobody can hold a switch meanwhile")


def run(arguments: argparse.Namespace) -> int:
    """Trace, and give the exit code: 0 with a finding, stopped on request or printed, 1 without a finding."""
    # a trace lives long, unlike the commands that answer at once
    gc.enable()
    asks_sheet = bool(arguments.output or arguments.pictures)
    if asks_sheet and (arguments.json or arguments.lines):
        raise ArgumentError("-o and --pictures are for the sheet alone.", do="Leave out --json and --lines.")
    harness = read_harness(arguments.file)
    bench = Bench(harness)
    complaint = complaint_of(bench, said_of(arguments))
    if arguments.json:
        return run_json(Trace(bench, complaint), answers(), sys.stdout)
    if arguments.lines:
        from tui.line_record import run_lines
        from tui.signals import end_on_signal

        end_on_signal()
        return run_lines(bench, complaint, arguments.file, answers(), sys.stdout)
    if arguments.sheet or arguments.html or asks_sheet:
        return print_sheet(Trace(bench, complaint), arguments)
    return open_screen(arguments.file, complaint)


def print_sheet(trace: Trace, arguments: argparse.Namespace) -> int:
    """Print the first checks of a trace for a bay without a computer, or write them where that is said.

    Raises
    ------
    ArgumentError
        Where they would be written over the harness file, its record, or a file that is none of Fusewalk's sheets.
    FusewalkError
        Where they cannot be written.
    """
    from model.sheets.trace_html import trace_html
    from model.sheets.trace_markdown import trace_markdown
    from model.sheets.trace_sheet import trace_sheet

    sheet = trace_sheet(trace)
    in_html = arguments.html or form_of(None, arguments.output) is Form.HTML
    form = Form.HTML if in_html else Form.MARKDOWN
    parts = (part for box in sheet.boxes for part in box.parts)
    pictures = picture_lines(arguments, form, trace.harness, parts)
    return write_sheet(trace_html(sheet, pictures) if in_html else trace_markdown(sheet), arguments)


def answers() -> LineInput:
    """Give the lines of standard input; none where it was closed before the start."""
    return LineInput(None if sys.stdin is None else sys.stdin.buffer)


def said_of(arguments: argparse.Namespace) -> Said:
    """Give the complaint as it was typed."""
    return Said(
        tuple(arguments.loads),
        arguments.symptom,
        arguments.loom,
        arguments.key,
        tuple(arguments.set),
        arguments.battery,
        tuple(arguments.works),
        tuple(arguments.dead),
        arguments.fuse,
        arguments.other_load,
        not arguments.no_helper,
        tuple(arguments.weak),
    )


def open_screen(path: Path, complaint: Complaint) -> int:
    """Trace on the screen.

    Raises
    ------
    ArgumentError
        Where no screen can be shown.
    """
    reason = why_no_screen(os.environ, sys.stdin.isatty(), sys.stdout.isatty() and sys.stderr.isatty())
    if reason:
        raise ArgumentError(
            reason, do="Add --lines to be asked in sentences, --json for a script, or --sheet for paper."
        )
    from tui.app import run as run_app

    return run_app(path, Options(), complaint)
