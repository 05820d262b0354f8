"""Time to the first paint of our first screens, against a textual program with one label.

They run on a pseudo-terminal in fresh processes, taking turns; the time is from the start of the process until the
words stand in what it has written. One of our screens asks for a file, the other names the loads of a build. Usage:
``python tests/benchmarks/first_paint.py [ROUNDS]``; exit code 1 where the worst ratio of medians is over 1.5.
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
ASKING = """
from tui.app import run
from tui.terminal import Options

run(None, Options())
"""
NAMING = f"""
from pathlib import Path
from tui.app import run
from tui.terminal import Options

run(Path({str(ROOT / "demo_builds" / "trail_buggy.toml")!r}), Options())
"""
SCREENS = {
    "one label": (LABEL, b"first words"),
    "which file": (ASKING, b"which harness?"),
    "its loads": (NAMING, b"Engine controller 30"),
}


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
    """Measure in turns and print medians and ratios."""
    seconds: dict[str, list[float]] = {name: [] for name in SCREENS}
    with tempfile.TemporaryDirectory() as home:
        for turn in range(rounds + 1):
            for name, (script, words) in SCREENS.items():
                taken = seconds_to_words(script, words, home)
                if turn:
                    seconds[name].append(taken)
    least = statistics.median(seconds["one label"])
    worst = 0.0
    for name, taken_each in seconds.items():
        ratio = statistics.median(taken_each) / least
        worst = max(worst, ratio)
        sys.stdout.write(
            f"{name:<11} {ratio * least:.3f} s  ({min(taken_each):.3f} to {max(taken_each):.3f})  {ratio:.2f}\n"
        )
    sys.stdout.write(f"worst ratio {worst:.2f}  (at most {MOST})\n")
    return 0 if worst <= MOST else 1


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 9))
