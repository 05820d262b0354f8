"""Time to the first paint of our first screen, against a textual program with one label.

Both run on a pseudo-terminal in fresh processes, taking turns; the time is from the start of the process until the
words stand in what it has written. Usage: ``python tests/benchmarks/first_paint.py [ROUNDS]``; exit code 1 where the
ratio of the medians is over 1.5.
"""

import os
import statistics
import sys
import tempfile
import time
from pathlib import Path

import pexpect  # type: ignore[import-untyped]

ROOT = Path(__file__).parent.parent.parent
MOST = 1.5
LABEL = """
from textual.app import App
from textual.widgets import Label

class OneLabel(App):
    def compose(self):
        yield Label("first words")

OneLabel().run()
"""
OURS = """
from tui.app import run
from tui.terminal import Options

run(None, Options())
"""


def seconds_to_words(script: str, words: bytes, home: str) -> float:
    """Return the seconds from the start of a process until it has written the words."""
    environment = {
        "PATH": os.environ["PATH"],
        "HOME": home,
        "TERM": "xterm-256color",
        "COLORTERM": "truecolor",
        "LANG": "C.UTF-8",
        "PYTHONPATH": str(ROOT),
    }
    begun = time.perf_counter()
    child = pexpect.spawn(sys.executable, ["-c", script], dimensions=(24, 80), env=environment, cwd=home, timeout=30)
    child.expect_exact(words)
    taken = time.perf_counter() - begun
    child.sendcontrol("q")
    child.expect(pexpect.EOF)
    child.close()
    return taken


def main(rounds: int) -> int:
    """Measure in turns and print medians and ratio."""
    labels: list[float] = []
    ours: list[float] = []
    with tempfile.TemporaryDirectory() as home:
        for turn in range(rounds + 1):
            label = seconds_to_words(LABEL, b"first words", home)
            our = seconds_to_words(OURS, b"which harness?", home)
            if turn:
                labels.append(label)
                ours.append(our)
    ratio = statistics.median(ours) / statistics.median(labels)
    sys.stdout.write(
        f"one label   {statistics.median(labels):.3f} s  ({min(labels):.3f} to {max(labels):.3f})\n"
        f"our screen  {statistics.median(ours):.3f} s  ({min(ours):.3f} to {max(ours):.3f})\n"
        f"ratio       {ratio:.2f}  (at most {MOST})\n"
    )
    return 0 if ratio <= MOST else 1


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 9))
