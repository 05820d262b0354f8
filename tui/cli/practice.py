"""``fusewalk practice``: a fault is hidden, and the vehicle answers what is checked."""

from __future__ import annotations

import argparse
import gc
import sys
from pathlib import Path
from random import SystemRandom

from model.circuit.bench import Bench
from model.errors import ArgumentError
from model.harness.toml_file import read_harness
from model.tracing.practice import Practice
from tui.line_input import LineInput
from tui.practice_lines import run_practice

SEEDS = 1_000_000


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", type=Path, help="harness file")
    parser.add_argument("--seed", metavar="N", help="hides the same fault again; without it any")


def run(arguments: argparse.Namespace) -> int:
    """Practise, and give the exit code: 0 where the fault was named, 1 where another was named or it was given up."""
    # practice lives long, unlike the commands that answer at once
    gc.enable()
    seed = SystemRandom().randrange(SEEDS) if arguments.seed is None else seed_typed(arguments.seed)
    practice = Practice(Bench(read_harness(arguments.file)), seed)
    answers = LineInput(None if sys.stdin is None else sys.stdin.buffer)
    return run_practice(practice, answers, sys.stdout)


def seed_typed(typed: str) -> int:
    """Read a seed.

    Raises
    ------
    ArgumentError
        Where it is no whole number from 0 up.
    """
    if not (typed.isascii() and typed.isdigit() and len(typed) <= 18):
        raise ArgumentError("The seed is no number.", do="Give the whole number that was told at the end.")
    return int(typed)
