"""A fuzz job of any length: bytes changed at random, guided by what code they reach where atheris is installed.

    python -m tests.fuzz.long_job --minutes 10
    python -m tests.fuzz.long_job --minutes 10 --target record

Without atheris (``pip install atheris``) the same changes are made without guidance, and that is said. What breaks a
law is written to a file, and the job ends with exit code 1; `--again FILE` reads one of those once more.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
import time
import traceback
import warnings
from importlib.util import find_spec
from pathlib import Path
from random import Random

from tests.fuzz.mutations import mutated_harness
from tests.fuzz.targets import TARGETS, noise, seeds

LONGEST_BYTES = 60_000
SLOW_SECONDS = 20
LEAST_TRIED = 1


def main() -> int:
    """Run each target for its share of the time and give the exit code."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--target", choices=TARGETS, action="append", help="all where none is named")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--plain", action="store_true", help="without atheris, though it is installed")
    parser.add_argument("--again", type=Path, metavar="FILE", help="read one file once more")
    parser.add_argument("--found", type=Path, default=Path(tempfile.gettempdir()), help="where what breaks is written")
    asked = parser.parse_args()
    warnings.simplefilter("error")
    targets = asked.target or list(TARGETS)
    if asked.again is not None:
        for target in targets:
            TARGETS[target](asked.again.read_bytes())
        return 0
    is_guided = find_spec("atheris") is not None and not asked.plain
    if not is_guided:
        sys.stdout.write("not guided by coverage: atheris is not installed, or not asked for\n")
    run = _guided if is_guided else _plain
    seconds = asked.minutes * 60 / len(targets)
    good = [run(target, seconds, asked.seed, asked.found) for target in targets]
    return int(not all(good))


def _plain(target: str, seconds: float, seed: int, found: Path) -> bool:
    """Change bytes at random until the time is up; tell whether nothing broke."""
    random = Random(seed)
    end = time.monotonic() + seconds
    tried, broken = 0, set[str]()
    while time.monotonic() < end or tried < LEAST_TRIED:
        is_harness = target == "harness" and random.random() < 0.5
        content = mutated_harness(random).encode() if is_harness else noise(target, random)
        tried += 1
        try:
            TARGETS[target](content)
        except Exception as error:
            place = traceback.extract_tb(error.__traceback__)[-1]
            what = f"{type(error).__name__} at {Path(place.filename).name}:{place.lineno}"
            if what not in broken:
                broken.add(what)
                file = found / f"fuzz_{target}_{tried}.bin"
                file.write_bytes(content)
                sys.stdout.write(f"{target}: {what}: {file}\n")
                traceback.print_exc(limit=-4)
    sys.stdout.write(f"{target}: {tried} tried, {len(broken)} broke a law\n")
    return not broken


def _guided(target: str, seconds: float, seed: int, found: Path) -> bool:
    """Let atheris run a target in a process of its own, since it never returns; tell whether nothing broke."""
    with tempfile.TemporaryDirectory() as directory:
        for number, content in enumerate(seeds(target)):
            (Path(directory) / f"seed{number}").write_bytes(content[:LONGEST_BYTES])
        options = [
            directory, f"-max_total_time={max(1, int(seconds))}", f"-seed={seed}", f"-max_len={LONGEST_BYTES}",
            f"-timeout={SLOW_SECONDS}", "-rss_limit_mb=2000", f"-artifact_prefix={found}/fuzz_{target}_",
            "-print_final_stats=1", "-verbosity=0",
        ]  # fmt: skip
        ended = subprocess.run([sys.executable, "-m", "tests.fuzz.guided", target, *options], check=False)
    sys.stdout.write(f"{target}: {'nothing broke a law' if ended.returncode == 0 else 'a law was broken'}\n")
    return ended.returncode == 0


if __name__ == "__main__":
    sys.exit(main())
