"""``fusewalk amend``: what was changed on a finished loom, put into its file with a new revision."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Any

from model.amending import Done, Why, amend_file, end_words, undo_file
from model.harness.amended_parts import table_of
from model.harness.amendment_kinds import added, found_different, ground_moved, removed, replaced, spliced
from model.harness.amendment_spare import moved_to_spare
from model.harness.amendments import Amendment, amended_text
from model.harness.file_read import FileRead, read_file
from model.harness.harness import Harness
from model.harness.typed_values import typed_values
from model.record_text import block_text
from model.units import number_typed
from model.words import clean
from tui.cli.output import write_json
from tui.clock import now

Make = Callable[[Harness, argparse.Namespace], Amendment]
_LONGEST = 2000


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", type=Path, help="harness file; the revision before is kept beside it")
    kinds = parser.add_subparsers(dest="work", required=True, metavar="WORK", title="what was done")
    spare = _kind(kinds, "spare", "the work of a conductor is moved to spare ones", _to_spare)
    spare.add_argument("wires", help="the wires that failed, in order: W2,W3")
    spare.add_argument("spares", help="the spares that do their work now, in order: W6,W7")
    spare.add_argument(
        "--left-on", metavar="END", action="append", default=[], help="an old end that stays on its terminal: W2.a"
    )
    splice = _kind(kinds, "splice", "a wire is cut and joined again", _splice)
    splice.add_argument("wire")
    splice.add_argument("splice", help="id of the splice: J7")
    splice.add_argument("--at", metavar="M", type=_metres, help="metres from the end that the file calls from")
    for name, words, make in (
        ("replaced", "a part or wire is replaced; say what differs, as size=2.5", _replaced),
        ("differs", "the loom is not as the file says; say how it is, as colour=GN/BU", _differs),
    ):
        kind = _kind(kinds, name, words, make)
        kind.add_argument("part")
        kind.add_argument(
            "values", nargs="*", default=[], metavar="KEY=VALUE", help="nothing behind = leaves the key out"
        )
    ground = _kind(kinds, "ground", "a ground is moved", _ground)
    ground.add_argument("part", help="a ground point, or a wire that ends on one")
    ground.add_argument("to", help="the new place of a ground point; the new ground of a wire")
    add = _kind(kinds, "add", "a part or wire is added", _add)
    add.add_argument("table", help="wires, loads, fuses …")
    add.add_argument("values", nargs="+", metavar="KEY=VALUE")
    remove = _kind(kinds, "remove", "a part or wire is taken out", _remove)
    remove.add_argument("part")
    _kind(kinds, "undo", "the last amendment is taken back: the file is as it was before, byte for byte", None)


def _kind(kinds: Any, name: str, words: str, make: Make | None) -> argparse.ArgumentParser:  # noqa: ANN401 (argparse names no type for it)
    parser: argparse.ArgumentParser = kinds.add_parser(name, help=words, description=f"{words[:1].upper()}{words[1:]}.")
    parser.set_defaults(make=make)
    parser.add_argument("--reason", default="", help="why")
    parser.add_argument("--reading", metavar="WHAT", action="append", default=[], help="what was read afterwards")
    parser.add_argument("--who", metavar="NAME", default="", help="who did it")
    parser.add_argument("--json", action="store_true", help="one JSON object in place of sentences")
    if make is not None:
        parser.add_argument("--try", dest="only_try", action="store_true", help="say what it would do; change nothing")
    return parser


def run(arguments: argparse.Namespace) -> int:
    """Put the amendment into effect, or take the last one back, and give the exit code.

    Raises
    ------
    ArgumentError
        Where it names something that the harness does not have.
    HarnessFileError
        Where the file would not read any more: nothing is changed then.
    """
    when = now()
    why = Why(arguments.reason, tuple(arguments.reading), arguments.who)
    if arguments.make is None:
        return _tell(undo_file(arguments.file, when, why), (), arguments)
    read = read_file(arguments.file)
    amendment: Amendment = arguments.make(read.harness, arguments)
    if arguments.only_try:
        return _try(read, amendment)
    return _tell(amend_file(arguments.file, amendment, when, why, read), amendment.remarks, arguments)


def _try(read: FileRead, amendment: Amendment) -> int:
    text = amended_text(read.text, amendment.changes, read.harness.build.revision + 1, "")
    read.harness_with(read.with_text(text))
    lines = [f"It would be so: {amendment.sentence}", *amendment.remarks, *map(end_words, amendment.old_ends)]
    print("\n".join(clean(line, _LONGEST) for line in lines))
    print("Nothing is changed.")
    return 0


def _tell(done: Done, remarks: tuple[str, ...], arguments: argparse.Namespace) -> int:
    entry = done.entry
    if arguments.json:
        found = entry.model_dump(mode="json", exclude_defaults=True)
        write_json({"format": "fusewalk amendment", **found, "recorded": done.unwritten is None})
    else:
        lines = [entry.sentence, *remarks, *(f"{words}." for words in entry.ends)]
        lines.append(f"The file is revision {entry.revision}; revision {entry.before} is kept in {entry.kept}.")
        print("\n".join(clean(line, _LONGEST) for line in lines))
    if done.unwritten is None:
        return 0
    if not arguments.json:
        print(f"\n# Not written: this entry was to be added at the end of the record.\n\n{block_text(entry)}")
    raise done.unwritten


def _to_spare(harness: Harness, arguments: argparse.Namespace) -> Amendment:
    old, spares = (tuple(filter(None, one.split(","))) for one in (arguments.wires, arguments.spares))
    return moved_to_spare(harness, old, spares, left_on=arguments.left_on)


def _splice(harness: Harness, arguments: argparse.Namespace) -> Amendment:
    return spliced(harness, arguments.wire, arguments.splice, from_end_m=arguments.at)


def _replaced(harness: Harness, arguments: argparse.Namespace) -> Amendment:
    return replaced(harness, arguments.part, typed_values(table_of(harness, arguments.part), arguments.values))


def _differs(harness: Harness, arguments: argparse.Namespace) -> Amendment:
    return found_different(harness, arguments.part, typed_values(table_of(harness, arguments.part), arguments.values))


def _ground(harness: Harness, arguments: argparse.Namespace) -> Amendment:
    return ground_moved(harness, arguments.part, arguments.to)


def _add(harness: Harness, arguments: argparse.Namespace) -> Amendment:
    from model.harness.harness import ROW_TYPES

    if arguments.table not in ROW_TYPES:
        return added(harness, arguments.table, {})
    values = typed_values(arguments.table, arguments.values)
    return added(harness, arguments.table, {key: value for key, value in values.items() if value is not None})


def _remove(harness: Harness, arguments: argparse.Namespace) -> Amendment:
    return removed(harness, arguments.part)


def _metres(typed: str) -> float:
    try:
        return number_typed(typed)
    except ValueError:
        raise argparse.ArgumentTypeError(f"“{clean(typed, 60)}” is no number of metres; write it as 0.4") from None
