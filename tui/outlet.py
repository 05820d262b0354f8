"""The way to the terminal: only what differs is sent, and one that has gone away is written to no more."""

from __future__ import annotations

import sys
from contextlib import suppress
from typing import IO

from textual.app import App
from textual.driver import Driver

from tui.redraw import Drawn


class Outlet:
    """A stream that a terminal may be gone from: what cannot be written is let go, and nobody waits for it.

    Parameters
    ----------
    stream
        Where the terminal is.
    """

    def __init__(self, stream: IO[str]) -> None:
        self._stream = stream

    def write(self, text: str) -> None:
        """Write a text."""
        with suppress(OSError, ValueError):
            self._stream.write(text)

    def flush(self) -> None:
        """Send what has been written."""
        with suppress(OSError, ValueError):
            self._stream.flush()

    def fileno(self) -> int:
        """Return the number of the stream."""
        return self._stream.fileno()

    def isatty(self) -> bool:
        """Tell whether it is a terminal."""
        return self._stream.isatty()


def sparing(driver: type[Driver]) -> type[Driver]:
    """Return a driver of a terminal that sends only what differs from what stands there."""
    if sys.platform == "win32":
        return driver

    # imported here: Windows has none of it
    from textual.drivers.linux_driver import LinuxDriver

    from tui.sparing_driver import SparingDriver

    return SparingDriver if issubclass(driver, LinuxDriver) else driver


class Sparing(App[int]):
    """An app that sends its terminal only what differs, and all of it again where that may have lost something."""

    def get_driver_class(self) -> type[Driver]:
        """Return the driver of this platform, made sparing where it is one of a terminal."""
        return sparing(super().get_driver_class())

    def on_resize(self) -> None:
        """Send all again: what a terminal keeps when its window changes is its own affair."""
        self.call_after_refresh(self.draw_anew)

    def on_app_focus(self) -> None:
        """Send all again: a terminal that comes back may have been written to by others."""
        self.draw_anew()

    def draw_anew(self) -> None:
        """Send the screen whole, nothing of what was sent taken for granted."""
        drawn = getattr(self._driver, "drawn", None)
        if isinstance(drawn, Drawn):
            drawn.forget()
            self.screen.refresh()
