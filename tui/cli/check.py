"""``fusewalk check``: whether a harness file can be used, and all that is wrong with it."""

from __future__ import annotations

import argparse
from pathlib import Path

from model.harness.harness import Harness
from model.harness.supply import assumed_of
from model.harness.toml_file import read_harness
from model.words import plural


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", type=Path, help="harness file")


def run(arguments: argparse.Namespace) -> int:
    """Print one line about a file with nothing wrong, and give the exit code.

    Raises
    ------
    HarnessFileError
        With every breach of the format.
    FusewalkError
        Where the file cannot be read.
    """
    print(summary(read_harness(arguments.file)))
    return 0


def summary(harness: Harness) -> str:
    """Say in one line what a harness holds, and how much of it is assumed."""
    others = len(harness.parts) - len(harness.wires) - len(harness.loads)
    counts = [
        plural(len(harness.wires), "wire"),
        plural(len(harness.loads), "load"),
        plural(others, "other part"),
        plural(len(harness.key_states), "key state"),
    ]
    assumed = sum(bool(assumed_of(harness, wire)) for wire in harness.wires)
    held = "has an assumed value" if assumed == 1 else "have assumed values"
    remark = f"; {plural(assumed, 'wire')} {held}" if assumed else ""
    return f"{harness.source}: {', '.join(counts)}; breaks no rule of the format{remark}"
