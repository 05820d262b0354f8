"""The command ``fusewalk``: arguments, and the commands that answer without a screen."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Callable, Sequence
from importlib import import_module
from pathlib import Path

from model.errors import ArgumentError, FusewalkError
from model.words import clean, nearest
from tui.arguments import WRONG_ARGUMENTS, Arguments
from tui.cli.output import drop_output, ready_streams

COMMANDS = {
    "amend": "what was changed on a finished loom: a new revision of its file, or the last one taken back",
    "changes": "two revisions of a loom compared: rows of the file, loads, volts",
    "check": "read a harness file and say all that is wrong with it",
    "circuit": "a new circuit after a pattern: wires, fuse and colours proposed with reasons, and put into the file",
    "connectors": "each plug with its face from both sides, cavity by cavity",
    "continuity": "a new loom: every conductor end to end, and apart from its neighbours",
    "crank-and-charge": "a new loom: the battery, the starter and the charger at work",
    "cut-list": "what wire to buy and cut, by size and colour",
    "draw": "what the battery loses with the key off, and the plan that finds it",
    "feeds": "in which key states each load has feed, beside what the file asks for",
    "find": "find parts and points the way one asks: id, label, colour, size, place, cavity",
    "findings": "what in the design of a loom can hurt, fails, works badly or has to be cleared up",
    "first-power": "a new loom: the battery through a lamp, one fuse at a time",
    "fuses": "what each fuse feeds, carries and guards; with --card a card for the lid of the box",
    "from-list": "a wire list out of a spreadsheet: made into a harness file, or merged into it",
    "glance": "the power distribution at a glance: from the battery through fuses and relays to each load",
    "grounds": "a new loom: every lug, strap and body under a current that is known",
    "insulation": "a new loom: from feed to ground before the battery comes on",
    "labels": "labels for both ends of every wire",
    "live": "what has volts with the key off, or in any other state, and why",
    "loads": "a new loom: what works in which key state, with the volts that say so",
    "practice": "a fault is hidden in the vehicle: look for it, and see how the program would have",
    "record": "everything measured on a loom, by plan and by date",
    "trace": "a load does not work: asked check by check, what is wrong with it",
    "volts": "volts at every point in one key state",
    "walk": "the walk of a load: every point back to the battery, with the volts to expect",
    "wirelist": "the wires or parts of a harness file as a list for a spreadsheet, and for the way back",
}
_LINE_CHARACTERS = 2000
OWN_FAULT = 70
_WORDS_LEAST = 36
_BELOW = " " * 6
_TAKES = {
    "amend": "{file} WORK",
    "changes": "OLD {file}",
    "circuit": "{file} PATTERN",
    "find": "{file} WORDS",
    "from-list": "WIRES.csv -o {file}",
    "trace": "{file} LOAD --lines",
    "walk": "{file} LOAD",
}
"""What a command takes, where that is not its file alone."""


def main(typed: Sequence[str] | None = None) -> int:
    """Run the command and give its exit code.

    0; 1 for a trace without a finding; 2 for a wrong file or argument; 70 (``EX_SOFTWARE`` of BSD's ``sysexits.h``)
    for a fault of the program itself.
    """
    arguments = list(sys.argv[1:] if typed is None else typed)
    ready_streams()
    try:
        if arguments and arguments[0] in COMMANDS:
            return _run_command(arguments[0], arguments[1:])
        return _open_screen(arguments)
    except FusewalkError as error:
        sys.stdout.flush()
        _say_on_stderr(told(error))
        return WRONG_ARGUMENTS
    except BrokenPipeError:
        drop_output()
        return 0
    except KeyboardInterrupt:
        return 130
    except Exception as error:
        _say_on_stderr(_own_fault(error, arguments))
        return OWN_FAULT


def _say_on_stderr(words: str) -> None:
    """Write what is wrong: on a terminal wrapped at words, so that no option is torn apart at the end of a line."""
    from tui.line_out import wrapped

    lines = f"fusewalk: {words}".split("\n")
    sys.stderr.write("".join(f"{wrapped(line, sys.stderr)}\n" for line in lines))


def _own_fault(error: Exception, arguments: Sequence[str]) -> str:
    """Say that the program itself failed, and where the note of it is."""
    import shutil

    from tui.crash import keep_note

    columns, rows = shutil.get_terminal_size()
    kept = keep_note(error, [clean(word, _LINE_CHARACTERS) for word in arguments], (columns, rows))
    return f"It stopped by a fault of its own. {kept}\nWhat was kept before is in the record."


def told(error: FusewalkError) -> str:
    """Say an error on lines of its own, without what a terminal obeys: an argument may hold anything."""
    return "\n".join(clean(line, _LINE_CHARACTERS) for line in str(error).split("\n"))


def _run_command(name: str, arguments: list[str]) -> int:
    module = import_module(f"tui.cli.{name.replace('-', '_')}")
    parser = Arguments(prog=f"fusewalk {name}", description=_sentence(COMMANDS[name]))
    module.add_arguments(parser)
    # a command ends before garbage is worth collecting, and collecting costs a tenth of a large one
    gc.disable()
    run: Callable[[argparse.Namespace], int] = module.run
    try:
        code = run(parser.parse_args(arguments))
        sys.stdout.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        drop_output()
        raise FusewalkError(
            f"The answer cannot be written: {error.strerror or error}.",
            do="See that the disk has room, then run it again.",
        ) from error
    return code


def _refuse_unknown_command(arguments: list[str]) -> None:
    """Say that there is no such command where a plain word that is no file is followed by more."""
    words = [argument for argument in arguments if not argument.startswith("-")]
    if len(words) < 2 or not words[0].replace("-", "").isalpha() or os.path.lexists(words[0]):
        return
    near = nearest(words[0], COMMANDS)
    do = f"Did you mean {near}?" if near else f"There are: {', '.join(COMMANDS)}."
    raise ArgumentError(f"There is no command “{words[0]}”.", do=do)


class WithCommands(Arguments):
    """Arguments of the screen, whose help lists the commands too."""

    def format_help(self) -> str:
        """Return the help with every command behind it."""
        return (
            f"{super().format_help()}\nWithout a screen there are:\n{_uses(None)}\nMore of one: fusewalk walk --help.\n"
        )


def _open_screen(arguments: list[str]) -> int:
    parser = WithCommands(
        prog="fusewalk",
        description="Walk a hand-built vehicle loom from a dead load back to the battery.",
    )
    parser.add_argument("file", nargs="?", type=Path, help="harness file to open; without one a list to choose from")
    parser.add_argument("--light", action="store_true", default=None, help="dark letters on light ground")
    parser.add_argument("--dark", action="store_false", dest="light", help="light letters on dark ground")
    parser.add_argument("--ascii", action="store_true", help="plain ASCII characters only")
    parser.add_argument("--no-mouse", action="store_true", help="leave the mouse to the terminal")
    parser.add_argument("--version", action="version", version=f"fusewalk {_version()}")
    _refuse_unknown_command(arguments)
    options = parser.parse_args(arguments)
    from tui.terminal import Options, why_no_screen

    reason = why_no_screen(os.environ, sys.stdin.isatty(), sys.stdout.isatty() and sys.stderr.isatty())
    if reason:
        sys.stderr.write(f"fusewalk: {clean(reason)} Without a screen there are:\n{_uses(options.file)}\n")
        return WRONG_ARGUMENTS
    if options.file is not None and not os.path.lexists(options.file):
        raise _no_file(options.file)
    from tui.app import run

    looks = Options(options.ascii, options.light, mouse=not options.no_mouse, first_steps=True)
    return run(options.file, looks)


def _uses(file: Path | None) -> str:
    """List how each command is written, and what it is for, for the width of the terminal."""
    import shutil
    import textwrap

    uses = {
        clean(f"fusewalk {name} {_TAKES.get(name, '{file}').format(file=file or 'FILE')}", _LINE_CHARACTERS): words
        for name, words in COMMANDS.items()
    }
    cells = shutil.get_terminal_size().columns
    column = max(map(len, uses)) + 4
    lines: list[str] = []
    for use, words in uses.items():
        if column > cells - _WORDS_LEAST:
            lines += [
                f"  {use}",
                *textwrap.wrap(words, max(cells, _WORDS_LEAST), initial_indent=_BELOW, subsequent_indent=_BELOW),
            ]
            continue
        first, *rest = textwrap.wrap(words, cells - column)
        lines += [f"  {use:<{column - 2}}{first}", *(f"{'':<{column}}{line}" for line in rest)]
    return "\n".join(lines)


def _no_file(path: Path) -> FusewalkError:
    """Say that a file is not there; a word that is nearly a command was meant as one."""
    from model.harness.near_file import no_such_file

    near = nearest(str(path), COMMANDS)
    if near is None or path.suffix:
        return no_such_file(path)
    what = f"There is neither a file nor a command “{clean(str(path), 60)}”."
    return ArgumentError(what, do=f"Did you mean fusewalk {near} {_TAKES.get(near, '{file}').format(file='FILE')}?")


def _version() -> str:
    from importlib.metadata import PackageNotFoundError, version

    try:
        return version("fusewalk")
    except PackageNotFoundError:
        return "from a checkout"


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:] + "."


if __name__ == "__main__":
    sys.exit(main())
