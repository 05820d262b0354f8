"""What a hostile file costs: seconds of a core and peak memory of a command on each large file of the fuzz tests.

Every file must be taken or refused with exit code 0 or 2 and not one line of a traceback, within 2 seconds and 500 MB;
the exit code is 1 where one is not.

    python -m tests.benchmarks.hostile_files
    python -m tests.benchmarks.hostile_files --only brackets --command volts
"""

from __future__ import annotations

import argparse
import os
import resource
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from tests.fuzz.big_files import HARNESSES, HEAD, LISTS, PARTS, RECORDS, Pieces, write_pieces

ROOT = Path(__file__).parents[2]
MOST_SECONDS = 2.0
MOST_MEGABYTES = 500.0
GIVEN_UP_SECONDS = 60.0
LONGEST_SAID = 60


@dataclass(frozen=True)
class Cost:
    """What a command took on a file: seconds of a core, peak megabytes, its exit code, the first line that it said."""

    seconds: float
    peak_megabytes: float
    code: int
    said: str
    is_traceback: bool

    def is_within(self) -> bool:
        """Tell whether the command ended in words, in time, and within its memory."""
        is_small = self.seconds <= MOST_SECONDS and self.peak_megabytes <= MOST_MEGABYTES
        return is_small and self.code in (0, 2) and not self.is_traceback


def main() -> int:
    """Print a line for each file and give the exit code."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", default="", help="files with these words in their name alone")
    parser.add_argument("--command", default="check", help="the command for harness files")
    asked = parser.parse_args()
    is_good = True
    sys.stdout.write(f"{'kind':<8} {'file':<30} {'MB':>6} {'seconds':>8} {'peak MB':>8} {'exit':>5}  said\n")
    with tempfile.TemporaryDirectory() as directory:
        for kind, name, pieces in every_file():
            if asked.only not in f"{kind} {name}":
                continue
            arguments, size_bytes = command_line(kind, pieces(), Path(directory), asked.command)
            cost = cost_of(arguments, Path(directory))
            is_good &= cost.is_within()
            mark = "" if cost.is_within() else "  <-- too much"
            sys.stdout.write(
                f"{kind:<8} {name:<30} {size_bytes / 1e6:>6.1f} {cost.seconds:>8.2f} {cost.peak_megabytes:>8.0f}"
                f" {cost.code:>5}  {cost.said}{mark}\n"
            )
            sys.stdout.flush()
    return int(not is_good)


def every_file() -> Iterator[tuple[str, str, Callable[[], Pieces]]]:
    """Give kind, name and maker of each file."""
    for kind, files in (("harness", HARNESSES), ("wires", LISTS), ("parts", PARTS), ("record", RECORDS)):
        for name, pieces in files.items():
            yield kind, name, pieces


def command_line(kind: str, pieces: Pieces, directory: Path, command: str) -> tuple[list[str], int]:
    """Write what a command reads, and give its arguments and how many bytes the hostile file has."""
    for old in directory.iterdir():
        old.unlink()
    sound = write_pieces(directory / "sound.toml", [HEAD])
    wires = write_pieces(directory / "wires.csv", ["from,to\nG1.+,F1.in\n"])
    made = str(directory / "made.toml")
    match kind:
        case "harness":
            path = write_pieces(directory / "hostile.toml", pieces)
            arguments = [*command.split(), str(path)]
        case "wires":
            path = write_pieces(directory / "hostile.csv", pieces)
            arguments = ["from-list", str(path), "-o", made]
        case "parts":
            path = write_pieces(directory / "hostile.csv", pieces)
            arguments = ["from-list", str(wires), str(path), "-o", made]
        case _:
            path = write_pieces(directory / "sound.record.toml", pieces)
            arguments = ["record", str(sound)]
    return arguments, path.stat().st_size


def cost_of(arguments: list[str], directory: Path) -> Cost:
    """Run a command and give what it cost; one that does not end is given up after a minute."""
    out, err = directory / "out.txt", directory / "err.txt"
    with out.open("wb") as told, err.open("wb") as wrong:
        child = subprocess.Popen([sys.executable, "-m", "tui", *arguments], cwd=ROOT, stdout=told, stderr=wrong)
        giving_up = threading.Timer(GIVEN_UP_SECONDS, child.kill)
        giving_up.start()
        _, status, usage = os.wait4(child.pid, 0)
        giving_up.cancel()
    child.returncode = os.waitstatus_to_exitcode(status)
    wrong_bytes = err.read_bytes()
    said = (out.read_bytes()[:4000] + wrong_bytes[:4000]).decode(errors="replace").strip().partition("\n")[0]
    return Cost(
        usage.ru_utime + usage.ru_stime,
        _megabytes(usage),
        child.returncode,
        said.replace(str(directory), "")[:LONGEST_SAID],
        b"Traceback" in wrong_bytes,
    )


def _megabytes(usage: resource.struct_rusage) -> float:
    """Give the peak of a process in megabytes; the system tells kilobytes."""
    return usage.ru_maxrss * 1024 / 1e6


if __name__ == "__main__":
    sys.exit(main())
