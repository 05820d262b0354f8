"""``fusewalk circuit``: a new circuit after a pattern, proposed with reasons, and put into the file."""

from __future__ import annotations

import argparse
from pathlib import Path

from model.amending import Why, amend_file
from model.circuit.bench import Bench
from model.errors import ArgumentError
from model.harness.amendments import Amendment, amended_text
from model.harness.file_read import FileRead, read_file
from model.record_text import block_text
from model.review.pattern_choices import open_questions
from model.review.patterns import Pattern, ProposedCircuit, as_amendment, pattern_named, propose
from model.sheets.circuit_sheet import circuit_json, circuit_sheet, patterns_sheet, questions_json, questions_sheet
from model.sheets.review_text import review_text
from model.words import clean
from tui.cli.output import write_json
from tui.clock import now

_LONGEST = 2000


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", type=Path, help="harness file; the revision before is kept beside it")
    parser.add_argument("pattern", nargs="?", help=f"{', '.join(Pattern)}; without one they are told")
    parser.add_argument(
        "answers",
        nargs="*",
        default=[],
        metavar="KEY=VALUE",
        help="answers, and other values for proposals; without any what is asked",
    )
    parser.add_argument("--try", dest="only_try", action="store_true", help="say what it would be; change nothing")
    parser.add_argument("--reason", default="", help="why")
    parser.add_argument("--who", metavar="NAME", default="", help="who did it")
    parser.add_argument("--json", action="store_true", help="one JSON object in place of sentences")


def run(arguments: argparse.Namespace) -> int:
    """Propose the circuit, put it in where it is not only tried, and give the exit code.

    Raises
    ------
    ArgumentError
        Where something needed is not answered or does not fit.
    HarnessFileError
        Where the file would not read any more: nothing is changed then.
    """
    read = read_file(arguments.file)
    if arguments.pattern is None:
        print(review_text(patterns_sheet(read.harness)))
        return 0
    pattern = pattern_named(arguments.pattern)
    bench = Bench(read.harness)
    if not arguments.answers:
        return _ask(bench, pattern, as_json=arguments.json)
    circuit = propose(bench, pattern, _answers(arguments.answers))
    amendment = as_amendment(circuit)
    if arguments.only_try:
        return _try(arguments, read, circuit, amendment)
    return _put_in(arguments, read, circuit, amendment)


def _ask(bench: Bench, pattern: Pattern, *, as_json: bool) -> int:
    questions = open_questions(bench, pattern)
    if as_json:
        write_json(questions_json(pattern, questions))
    else:
        print(review_text(questions_sheet(bench.harness, pattern, questions)))
    return 0


def _answers(typed: list[str]) -> dict[str, str]:
    found: dict[str, str] = {}
    for one in typed:
        key, sign, value = one.partition("=")
        if not sign or not value.strip():
            raise ArgumentError(f"“{clean(one, 80)}” names no value.", do="Write it as key=value: watts=21.")
        if key.strip() in found:
            raise ArgumentError(f"{clean(key, 60)} is given twice.", do="Give it once.")
        found[key.strip()] = value.strip()
    return found


def _try(arguments: argparse.Namespace, read: FileRead, circuit: ProposedCircuit, amendment: Amendment) -> int:
    amended = amended_text(read.text, amendment.changes, read.harness.build.revision + 1, "")
    read.harness_with(read.with_text(amended))
    if arguments.json:
        write_json({**circuit_json(circuit), "put_in": False})
        return 0
    print(review_text(circuit_sheet(read.harness, circuit)))
    print("\nNothing is changed.")
    return 0


def _put_in(arguments: argparse.Namespace, read: FileRead, circuit: ProposedCircuit, amendment: Amendment) -> int:
    why = Why(arguments.reason, (), arguments.who)
    done = amend_file(arguments.file, amendment, now(), why, read)
    entry = done.entry
    if arguments.json:
        said = {"put_in": True, "revision": entry.revision, "kept": entry.kept, "recorded": done.unwritten is None}
        write_json({**circuit_json(circuit), **said})
    else:
        print(review_text(circuit_sheet(read.harness, circuit)))
        kept = f"revision {entry.before} is kept in {entry.kept}."
        print(f"\n{clean(f'The file is revision {entry.revision}; {kept}', _LONGEST)}")
    if done.unwritten is None:
        return 0
    if not arguments.json:
        print(f"\n# Not written: this entry was to be added at the end of the record.\n\n{block_text(entry)}")
    raise done.unwritten
