"""Bytes sent to the terminal: for a first screen, for each key of a walk, a plan and a trace, and while nobody types.

Run ``python -m tests.benchmarks.bytes_a_key`` from the root; with ``60x20`` for a window of another size.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

from tests.tui.real_jobs import DOWN, ESC, empty_folder
from tests.tui.real_terminal import RealTerminal

SETTLED_SECONDS = 1.5
KEYS = (
    ("loads: down", DOWN), ("loads: key on", "k"), ("loads: key back", "K"), ("walk: open", "\r"), ("walk: down", DOWN),
    ("walk: key on", "k"), ("loads again", ESC), ("plans: open", "v"), ("plan: open", "\r"), ("plan: a sign", "0"),
    ("plan: a sign", "."), ("plan: a sign", "1"), ("plan: take it", "\r"), ("plan: down", DOWN), ("plans again", ESC),
    ("loads again", ESC), ("trace: questions", "t"), ("trace: begin", "\r"), ("trace: a sign", "1"),
    ("trace: a sign", "2"), ("trace: take it", "\r"), ("trace: down", DOWN),
)  # fmt: skip


def settle(terminal: RealTerminal, seconds: float = SETTLED_SECONDS, most: float = 30.0) -> int:
    """Read until nothing has come for a while, and return how many bytes came."""
    before, end = len(terminal.written), time.monotonic() + most
    quiet, count = time.monotonic() + seconds, before
    while time.monotonic() < min(quiet, end):
        terminal.read()
        if len(terminal.written) != count:
            quiet, count = time.monotonic() + seconds, len(terminal.written)
    return len(terminal.written) - before


def main() -> None:
    """Print the table."""
    columns, lines = map(int, (sys.argv[1] if len(sys.argv) > 1 else "80x24").split("x"))
    with tempfile.TemporaryDirectory() as directory:
        file = empty_folder(Path(directory))
        terminal = RealTerminal(Path(directory), file.name, size=(columns, lines), folder=file.parent)
        terminal.until(lambda: "key OFF" in terminal.words, 60)
        said = [("first screen", len(terminal.written)), ("loads: filled in", settle(terminal, 3.0))]
        for name, key in KEYS:
            terminal.press(key)
            said.append((name, settle(terminal)))
        terminal.child.kill(9)
        terminal.end()
    sys.stdout.write(f"trail buggy, {columns}x{lines}, 16 million colours\n")
    for name, count in said:
        sys.stdout.write(f"{name:<20}{count:>8} bytes\n")


if __name__ == "__main__":
    main()
