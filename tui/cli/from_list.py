"""``fusewalk from-list``: a wire list out of a spreadsheet becomes a harness file, or is merged into it."""

from __future__ import annotations

import argparse
from pathlib import Path

from model.errors import ArgumentError, RecordError
from model.harness.harness import Harness
from model.harness.parts_list_read import PartsList, read_parts_list
from model.harness.wire_list_cells import number_of
from model.harness.wire_list_questions import Question
from model.harness.wire_list_remark import ListRefusedError
from model.harness.wire_list_rows import read_wire_list
from model.harness.wire_list_sheet import read_list_bytes
from model.harness.wire_list_taken import Taken, take_in
from model.review.finding import Finding, Gravity
from model.review.heavy_loads import has_heavy_load
from model.words import clean
from tui.cli.output import write_json
from tui.clock import now
from tui.count_words import count_words

_MOST_REMARKS = 200
_MANY = 4
_OF_MANY = {
    "size": "What size are these wires, in mm² or as AWG 16?",
    "length": "How long are these wires, in metres? Until then: 1.5 each, or their trunks.",
    "colour": "What colour are these wires, as a code such as GN/WH?",
}
"""Asked once for many wires that lack the same."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("wires", type=Path, help="wire list as CSV: from, to, colour, size; comma, semicolon or tab")
    parser.add_argument("parts", type=Path, nargs="?", help="parts list as CSV: id, label, kind, watts, amps, location")
    parser.add_argument(
        "-o", "--output", metavar="FILE", type=Path, required=True,
        help="harness file to make; one that is there is merged with, and the one before kept beside it",
    )  # fmt: skip
    parser.add_argument("--volts", metavar="V", type=_volts, help="nominal volts of the vehicle: 6, 12, 24")
    parser.add_argument("--fill-down", action="store_true", help="an empty end, trunk or place repeats the one above")
    parser.add_argument("--drop-missing", action="store_true", help="a merge takes out what the list no longer has")
    parser.add_argument("--json", action="store_true", help="one JSON object in place of text")


def _volts(typed: str) -> float:
    try:
        return number_of(typed)
    except ListRefusedError:
        raise argparse.ArgumentTypeError(f"“{clean(typed, 40)}” is no number of volts; write it as 12") from None


def run(arguments: argparse.Namespace) -> int:
    """Make or merge the file, say what was found and what is still asked, and give the exit code.

    Raises
    ------
    FusewalkError
        Where nothing can be read, or the file cannot be written.
    """
    output: Path = arguments.output
    for given in (arguments.wires, arguments.parts):
        if given is not None and output.exists() and given.exists() and output.samefile(given):
            raise ArgumentError("The harness file is to be written over the list.", do="Give another name behind -o.")
    if arguments.volts is not None and not 4 <= arguments.volts <= 60:
        raise ArgumentError(f"--volts {arguments.volts:g} is no vehicle's.", do="Write 4 to 60, such as 12.")
    content = read_list_bytes(arguments.wires)
    wires = read_wire_list(content, clean(arguments.wires.name), arguments.fill_down)
    parts = PartsList()
    if arguments.parts is not None:
        parts = read_parts_list(read_list_bytes(arguments.parts), clean(arguments.parts.name))
    taken = take_in(wires, parts, output, arguments.volts, arguments.drop_missing)
    unwritten = _record(taken, output) if taken.was_there and taken.is_changed else None
    if arguments.json:
        write_json(as_json(taken, output))
    else:
        print("\n".join(lines_of(taken, output)))
    if unwritten is not None:
        raise unwritten
    return 0


def _record(taken: Taken, output: Path) -> RecordError | None:
    """Tell the record of a merge, and give why it could not be told."""
    from model.amending import record_merge

    return record_merge(output, taken.harness, taken.added, now())


def lines_of(taken: Taken, output: Path) -> list[str]:
    """Give the report: what was made, what is said of the list, what is still asked, and what may burn."""
    name = clean(str(output), 500)
    done = "made"
    if taken.was_there:
        done = "merged" if taken.is_changed else "nothing to change"
    lines = [f"{name}: {done}; {count_words(taken.harness)}"]
    if taken.remarks:
        lines += ["", "Said of the list:"]
        lines += [f"  {clean(one.text(), 400)}" for one in taken.remarks[:_MOST_REMARKS]]
        if len(taken.remarks) > _MOST_REMARKS:
            lines.append(f"  and {len(taken.remarks) - _MOST_REMARKS} more")
    if taken.questions:
        lines += ["", f"Still to be answered ({len(taken.questions)}), in the file or on screen:"]
        lines += [f"  {line}" for line in _asked(taken.questions)]
    grave = _grave(taken.harness)
    if grave:
        lines += ["", f"{Gravity.DANGER.capitalize()}:"]
        lines += [f"  {one.sentence} {one.do}" for one in grave]
    return lines


def _grave(harness: Harness) -> tuple[Finding, ...]:
    """Give what may burn as soon as power comes on; the circuit is solved only where a load is large enough for it."""
    if not has_heavy_load(harness):
        return ()
    from model.review.defects.at_rest import heavy_loads_at_rest

    return heavy_loads_at_rest(harness)


def _asked(questions: tuple[Question, ...]) -> list[str]:
    """Spell each question; where many wires lack the same, in one line with the line of each."""
    lines: list[str] = []
    by_key: dict[str, list[Question]] = {}
    for one in questions:
        if one.table == "wires" and one.key in _OF_MANY:
            by_key.setdefault(one.key, []).append(one)
        else:
            lines.append(_question(one))
    for key, several in by_key.items():
        if len(several) < _MANY:
            lines += [_question(one) for one in several]
            continue
        wires = ", ".join(f"{one.part} (line {one.line})" if one.line else one.part for one in several)
        lines.append(f"{_OF_MANY[key]} {wires}")
    return lines


def _question(one: Question) -> str:
    line = f"line {one.line}: " if one.line else ""
    assumed = f" Until then: {clean(one.assumed, 80)}." if one.assumed else ""
    return f"{line}{one.asks}{assumed}"


def as_json(taken: Taken, output: Path) -> dict[str, object]:
    """Give the report as one JSON object."""
    return {
        "format": "fusewalk from-list 1",
        "file": str(output),
        "merged": taken.was_there,
        "changed": taken.is_changed,
        "remarks": [{"line": one.line, "in_parts": one.in_parts, "says": one.says} for one in taken.remarks],
        "questions": [
            {
                "id": one.id,
                "part": one.part,
                "asks": one.asks,
                "line": one.line,
                "choices": list(one.choices),
                "assumed": one.assumed,
            }
            for one in taken.questions
        ],
        "grave": [{"parts": list(one.part_ids), "says": one.sentence, "do": one.do} for one in _grave(taken.harness)],
    }
