"""The driver of a terminal that is sent only what differs, and that is given back whatever has stopped the program."""

from __future__ import annotations

import asyncio
import os
import sys
from collections.abc import Callable
from typing import Any

from textual.app import App
from textual.drivers.linux_driver import LinuxDriver

from tui.outlet import Outlet
from tui.redraw import Drawn


class SparingDriver(LinuxDriver):
    """Knows what it has sent.

    Attributes
    ----------
    drawn
        What stands on the terminal.
    """

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

    def _sigtstp_application(self, *_: object) -> None:
        """Stop as soon as nothing is under way."""
        _soon(super()._sigtstp_application)

    def _sigcont_application(self, *_: object) -> None:
        """Go on as soon as nothing is under way."""
        _soon(self._go_on)

    def _go_on(self) -> None:
        """Go on; stopped by a signal that cannot be heard, give the terminal back first, then take it anew.

        Textual would take it a second time: two threads would share its keys, and it would never be put back.
        """
        if self._auto_restart and not self._must_signal_resume:
            if self._writer_thread is None or not self._app.is_running:
                return
            self.suspend_application_mode()
            self._must_signal_resume = True
        super()._sigcont_application()


def _soon(act: Callable[[], object]) -> None:
    """Do what a signal asks for once the event loop is free; at once where none runs.

    A signal comes in the midst of anything, of the writing to the terminal too: who writes then waits for himself.
    """
    try:
        asyncio.get_running_loop().call_soon_threadsafe(act)
    except RuntimeError:
        act()


def _window(number: int) -> tuple[int, int] | None:
    """Return columns and lines of the window of a terminal; None where it does not tell."""
    try:
        columns, lines = os.get_terminal_size(number)
    except OSError:
        return None
    return (columns, lines) if columns and lines else None
