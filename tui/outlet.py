"""The way to the terminal: only what differs is sent, and one that has gone away is written to no more."""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from typing import IO, Any

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

    from textual.drivers.linux_driver import LinuxDriver

    if not issubclass(driver, LinuxDriver):
        return driver

    class SparingDriver(LinuxDriver):
        """Knows what it has sent."""

        def __init__(
            self, app: App[Any], *, debug: bool = False, mouse: bool = True, size: tuple[int, int] | None = None
        ) -> None:
            super().__init__(app, debug=debug, mouse=mouse, size=size)
            assert sys.__stderr__ is not None
            self._file: Any = Outlet(sys.__stderr__)
            self.drawn = Drawn()
            self._drawn_on: tuple[int, int] | None = None

        def write(self, data: str) -> None:
            """Send what differs; of a window that has changed nothing is known, nor once something fell beside it."""
            window = _window(self.fileno)
            if window != self._drawn_on:
                self.drawn.forget()
                self._drawn_on = window
            changed = self.drawn.changed(data)
            if window is not None and self.drawn.reaches_beyond(*window):
                self.drawn.forget()
            if changed:
                super().write(changed)

        def _sigcont_application(self, *_: object) -> None:
            """Go on; stopped by a signal that cannot be heard, give the terminal back first, then take it anew.

            Textual would take it a second time: two threads would share its keys, and it would never be put back.
            """
            if self._auto_restart and not self._must_signal_resume:
                if self._writer_thread is None or not self._app.is_running:
                    return
                self.suspend_application_mode()
                self._must_signal_resume = True
            super()._sigcont_application()

    return SparingDriver


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


def _window(number: int) -> tuple[int, int] | None:
    """Return columns and lines of the window of a terminal; None where it does not tell."""
    try:
        columns, lines = os.get_terminal_size(number)
    except OSError:
        return None
    return (columns, lines) if columns and lines else None
