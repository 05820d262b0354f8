"""``fusewalk check``: whether a harness file can be used, and all that is wrong with it."""

from __future__ import annotations

import argparse
from pathlib import Path

from model.harness.harness import Harness
from model.harness.toml_file import read_harness
from tui.count_words import assumed_words, count_words


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
    assumed = assumed_words(harness)
    remark = f"; {assumed}" if assumed else ""
    return f"{harness.source}: {count_words(harness)}; breaks no rule of the format{remark}"
