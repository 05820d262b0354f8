"""A terminal of our own to run the program in: what it wrote, what stands on the screen, how it ended."""

import os
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pexpect  # type: ignore[import-untyped]
import pyte

ROOT = Path(__file__).parent.parent.parent
RUN = (
    "import sys; from pathlib import Path; from tui.app import run; from tui.terminal import Options; "
    "words = sys.argv[1:]; "
    "sys.exit(run(Path(words[0]) if words[0] else None, Options(ascii_only='--ascii' in words)))"
)


class RealTerminal:
    """The program on a pseudo-terminal.

    Parameters
    ----------
    home
        Where it keeps its files.
    file
        The harness to open, empty for none.
    arguments
        Further words, ``--ascii``.
    environment
        Variables that differ.
    before
        Python to run before the program starts.
    """

    def __init__(
        self,
        home: Path,
        file: str = "",
        arguments: tuple[str, ...] = (),
        environment: dict[str, str] | None = None,
        before: str = "",
    ) -> None:
        variables = {
            "PATH": os.environ["PATH"],
            "HOME": str(home),
            "TERM": "xterm-256color",
            "COLORTERM": "truecolor",
            "LANG": "C.UTF-8",
            "PYTHONPATH": str(ROOT),
            "TEXTUAL_ANIMATIONS": "none",
        } | (environment or {})
        self.written = b""
        self.screen = pyte.Screen(80, 24)
        self._stream = pyte.ByteStream(self.screen)
        self.child = pexpect.spawn(
            sys.executable,
            ["-c", before + RUN, file, *arguments],
            dimensions=(24, 80),
            env=variables,
            cwd=str(ROOT),
            timeout=20,
        )

    @property
    def text(self) -> str:
        """What stands on the screen."""
        return "\n".join(self.screen.display)

    def read(self) -> bool:
        """Take in what the program wrote since; false once it has closed the terminal."""
        try:
            part = self.child.read_nonblocking(65536, timeout=0.05)
        except pexpect.TIMEOUT:
            return True
        except pexpect.EOF:
            return False
        self.written += part
        self._stream.feed(part)
        return True

    def until(self, holds: Callable[[], bool], seconds: float = 20) -> None:
        """Read until something holds.

        Raises
        ------
        AssertionError
            Where it does not within the time.
        """
        end = time.monotonic() + seconds
        while not holds():
            open_still = self.read()
            assert time.monotonic() < end, self.text
            assert open_still or holds(), self.text

    def shows(self, words: str) -> None:
        """Read until words stand on the screen."""
        self.until(lambda: words in self.text)

    def end(self) -> int:
        """Read to the end and return the exit code; minus the number where a signal killed it."""
        end = time.monotonic() + 20
        while self.read():
            if time.monotonic() > end:
                self.child.kill(signal.SIGKILL)
                raise AssertionError(f"it does not end:\n{self.text}")
        self.child.wait()
        if self.child.signalstatus is not None:
            return -int(self.child.signalstatus)
        return int(self.child.exitstatus)
