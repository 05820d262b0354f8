"""Leaving in order when the system asks for it."""

import asyncio
import contextlib
import os
import select
import signal
import sys
from collections.abc import Callable
from threading import Thread

STANDARD_INPUT = 0
"""Its file number: where the keys come from."""

_ASKING_TO_LEAVE = ("SIGTERM", "SIGHUP", "SIGINT")


def on_signal(leave: Callable[[int], None]) -> None:
    """Call `leave` with 128 + the number of a signal that asks the program to end.

    Textual puts the terminal back only when it leaves by itself, so the signals may not kill the process.
    Called from the running loop; where the platform or thread takes no handlers, nothing changes.
    """
    loop = asyncio.get_running_loop()
    for name in _ASKING_TO_LEAVE:
        number = getattr(signal, name, None)
        if number is not None:
            with contextlib.suppress(NotImplementedError, RuntimeError, ValueError):
                loop.add_signal_handler(number, leave, 128 + number)


def end_on_signal() -> None:
    """Let a signal that asks the program to end unwind it, with 128 + its number as exit code: what is open is closed.

    For what runs without a loop, in the main thread alone.
    """

    def end(number: int, _: object) -> None:
        sys.exit(128 + number)

    for name in _ASKING_TO_LEAVE[:2]:
        number = getattr(signal, name, None)
        if number is not None:
            with contextlib.suppress(ValueError):
                signal.signal(number, end)


def on_hang_up(number: int, leave: Callable[[int], None]) -> None:
    """Call `leave` as for SIGHUP once the terminal behind a file number is gone.

    Where no signal tells of it (a container, a program that is not the leader of its session) textual would read the
    end of its input for ever. Called from the running loop; the thread that waits costs nothing and ends with the
    process.
    """
    loop = asyncio.get_running_loop()

    def wait() -> None:
        poller = select.poll()
        poller.register(number, 0)
        with contextlib.suppress(OSError, RuntimeError):
            told = poller.poll()
            if any(event & select.POLLHUP for _, event in told):
                loop.call_soon_threadsafe(leave, 128 + signal.SIGHUP)

    if hasattr(select, "poll"):
        Thread(target=wait, name="hang-up", daemon=True).start()


def say_last(words: str) -> None:
    """Write the last words to standard error, and let go of a terminal that is no longer there.

    Python ends with code 120 where it cannot empty its streams; then the code of the signal would be lost.
    """
    for stream, text in ((sys.stderr, words), (sys.stdout, "")):
        try:
            stream.write(text)
            stream.flush()
        except OSError:
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, stream.fileno())
            os.close(nowhere)
