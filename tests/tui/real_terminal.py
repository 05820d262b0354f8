"""A terminal of our own to run the program in: what it wrote, what stands on the screen, how it ended."""

import os
import select
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pexpect  # type: ignore[import-untyped]
import pyte

ROOT = Path(__file__).parent.parent.parent
MODES = (b"?1049", b"?1000", b"?1003", b"?1006", b"?1015", b"?2004", b"?1004")
"""The modes that the program may not leave on: other screen, mouse, paste, focus."""
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
    size
        Columns and rows.
    folder
        Where it is started.
    link
        Bytes that come through at a time, and the seconds until the next do; None where nothing slows it down.
    """

    def __init__(
        self,
        home: Path,
        file: str = "",
        arguments: tuple[str, ...] = (),
        environment: dict[str, str] | None = None,
        before: str = "",
        size: tuple[int, int] = (80, 24),
        folder: Path = ROOT,
        link: tuple[int, float] | None = None,
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
        self.screen = pyte.Screen(*size)
        self._link = link
        self._stream = pyte.ByteStream(self.screen)
        self.child = pexpect.spawn(
            sys.executable,
            ["-c", before + RUN, file, *arguments],
            dimensions=(size[1], size[0]),
            env=variables,
            cwd=str(folder),
            timeout=20,
        )

    @property
    def text(self) -> str:
        """What stands on the screen."""
        return "\n".join(self.screen.display)

    @property
    def words(self) -> str:
        """What stands on the screen in one line, each gap one space."""
        return " ".join(self.text.split())

    def read(self) -> bool:
        """Take in what the program wrote since; false once it has closed the terminal."""
        most = 65536
        if self._link is not None:
            most, seconds = self._link
            select.select([], [], [], seconds)
        try:
            part = self.child.read_nonblocking(most, timeout=0.05)
        except pexpect.TIMEOUT:
            return True
        except pexpect.EOF:
            return False
        self.written += part
        self._stream.feed(part)
        return True

    def drain(self) -> None:
        """Take in all that a program that is stopped has written."""
        before = -1
        while before < len(self.written):
            before = len(self.written)
            self.read()

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

    def press(self, *keys: str) -> None:
        """Send keys, one after the other."""
        for key in keys:
            self.child.send(key)

    def type_in(self, words: str) -> None:
        """Type a reading, and press Enter once it stands in its entry."""
        self.child.send(words)
        self.until(lambda: f"{words}_" in self.words, 60)
        self.child.send("\r")

    def resize(self, columns: int, rows: int) -> None:
        """Change the size of the window."""
        self.screen.resize(rows, columns)
        self.child.setwinsize(rows, columns)

    def is_left_clean(self) -> bool:
        """Tell whether the program has taken back every mode that it switched on, and shows the cursor."""
        modes = [(b"\x1b[%bh" % mode, b"\x1b[%bl" % mode) for mode in MODES] + [(b"\x1b[?25l", b"\x1b[?25h")]
        return all(self.written.rfind(off) >= self.written.rfind(on) for on, off in modes)

    def left(self) -> str:
        """Give what stands on the usual screen once the program has ended."""
        return self.written[self.written.rfind(b"\x1b[?1049l") :].decode(errors="replace")

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
