"""What a monkey does: keys, words, pastes, the mouse, the window, chosen by a random number generator."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from random import Random
from typing import Any, assert_never

from textual.app import App
from textual.events import (
    AppBlur,
    AppFocus,
    Key,
    MouseDown,
    MouseEvent,
    MouseMove,
    MouseScrollDown,
    MouseScrollLeft,
    MouseScrollRight,
    MouseScrollUp,
    MouseUp,
    Paste,
    Resize,
)
from textual.geometry import Size
from textual.keys import _character_to_key
from textual.pilot import Pilot

from tui.app import FusewalkApp
from tui.commands import Place, commands_of
from tui.screens.too_small import TooSmall

READINGS = (
    "12.4",
    "0.3 mV",
    "4.7k",
    "OL",
    "0",
    "-12.4",
    "12,4",
    "0.24",
    "24 at 4.6",
    "0.1..12.3",
    ".",
    "−3",
    "O",
    "1e9",
)
STRANGE = (
    "١٢٫٤",
    "１２．４",
    "12.4\u202e",
    "1\u0301\u0301\u0301",
    "\x1b[2J\x1b]0;taken\x07",
    "[/]",
    "[red]x",
    "[@click=app.quit]go[/]",
    "12\n13\n14",
    "a\x00b",
    "🔋⚠️",
    "S1 [on]",
    "\u2028",
    "\ud800",
    "前照灯",
    "\t",
    "W9=0.24\r\nW10=OL",
    "x" * 100_000,
    "1" * 100_000,
)
"""What is typed or pasted by mistake: other digits, wide and joined signs, escape sequences, markup, several lines."""

WORDS = ("lamp", "W1", "K1.86", "F1", "nose", "green white", "open", "21", "box", "1 to 2", "2.5", "quit", "trace")
STEERING = (
    "up",
    "down",
    "left",
    "right",
    "pageup",
    "pagedown",
    "home",
    "end",
    "enter",
    "escape",
    "tab",
    "shift+tab",
    "space",
    "backspace",
)
OTHERS = (
    "f1",
    "f5",
    "ctrl+a",
    "ctrl+u",
    "ctrl+w",
    "ctrl+k",
    "ctrl+c",
    "ctrl+p",
    "ctrl+z",
    "ctrl+l",
    "delete",
    "insert",
    "ctrl+v",
)
LEAVING = frozenset({"q", "ctrl+q"})
SIZES = (
    (80, 24),
    (80, 24),
    (120, 40),
    (60, 20),
    (40, 12),
    (1, 1),
    (3, 200),
    (400, 100),
    (200, 3),
    (39, 12),
    (80, 11),
    (2, 2),
    (100, 30),
)


class Act(StrEnum):
    """Kinds of what a monkey does."""

    COMMAND = "command"
    STEER = "steer"
    TYPE = "type"
    ANSWER = "answer"
    PASTE = "paste"
    CLICK = "click"
    DOUBLE = "double click"
    DRAG = "drag"
    WHEEL = "wheel"
    HOVER = "hover"
    RESIZE = "resize"
    FOCUS = "focus"
    OTHER = "other key"
    WAIT = "wait"


HARMLESS = frozenset({Act.HOVER, Act.RESIZE, Act.FOCUS, Act.WAIT})
"""What changes nothing that somebody has typed, marked or set."""

_GROWS = 0.6
"""How often a window that is too small grows again at once, and how often any steering key is pressed."""

_OFTEN = {
    Act.COMMAND: 26,
    Act.STEER: 22,
    Act.TYPE: 8,
    Act.ANSWER: 8,
    Act.PASTE: 4,
    Act.CLICK: 12,
    Act.DOUBLE: 3,
    Act.DRAG: 2,
    Act.WHEEL: 3,
    Act.HOVER: 2,
    Act.RESIZE: 6,
    Act.FOCUS: 2,
    Act.OTHER: 3,
    Act.WAIT: 5,
}


@dataclass(frozen=True)
class Done:
    """One thing to do.

    Attributes
    ----------
    words
        The keys, or what is typed or pasted.
    cells
        Where the mouse is, or the size of the window.
    """

    act: Act
    words: tuple[str, ...] = ()
    cells: tuple[tuple[int, int], ...] = ()

    def __str__(self) -> str:
        """Say it in a line."""
        said = [ascii(word if len(word) < 40 else f"{word[:12]}… {len(word)} signs") for word in self.words]
        return " ".join([str(self.act), *said, *(f"{x},{y}" for x, y in self.cells)])


def chosen(app: FusewalkApp, dice: Random) -> Done:
    """Choose what to do next on the screen that is on top."""
    if isinstance(app.screen, TooSmall) and dice.random() < _GROWS:
        return Done(Act.RESIZE, (), (dice.choice(SIZES[:4]),))
    act = dice.choices(list(_OFTEN), list(_OFTEN.values()))[0]
    match act:
        case Act.COMMAND:
            return Done(act, (dice.choice(command_keys(app)),))
        case Act.STEER:
            return Done(act, (dice.choice(STEERING) if dice.random() < _GROWS else dice.choice(STEERING[:9]),))
        case Act.OTHER:
            return Done(act, (dice.choice(OTHERS),))
        case Act.TYPE:
            words = dice.choice((*READINGS, *READINGS, *WORDS, *(word for word in STRANGE if len(word) < 100)))
            return Done(act, tuple(words))
        case Act.ANSWER:
            return Done(act, (*dice.choice(READINGS[:9]), "enter"))
        case Act.PASTE:
            return Done(act, (dice.choice((*READINGS, *STRANGE)),))
        case Act.CLICK | Act.DOUBLE | Act.HOVER | Act.WHEEL:
            return Done(act, (dice.choice(("up", "down", "left", "right")),), (_cell(app, dice),))
        case Act.DRAG:
            return Done(act, (), (_cell(app, dice), _cell(app, dice)))
        case Act.RESIZE:
            return Done(act, (), (dice.choice(SIZES),))
        case Act.FOCUS | Act.WAIT:
            return Done(act)
    assert_never(act)


def command_keys(app: FusewalkApp) -> Sequence[str]:
    """Return the keys of the commands of the screen on top, those that quit left out."""
    place = getattr(app.screen, "PLACE", Place.DIALOG)
    keys = [key for command in commands_of(place) for key in command.keys if key not in LEAVING | {"escape"}]
    return keys or STEERING


async def do(pilot: Pilot[Any], done: Done, *, hurries: bool = False) -> None:
    """Do one thing; in a hurry without waiting for what it does."""
    app = pilot.app
    match done.act:
        case Act.COMMAND | Act.STEER | Act.OTHER | Act.TYPE | Act.ANSWER:
            for word in done.words:
                app.post_message(key_event(word))
        case Act.PASTE:
            app.post_message(Paste(done.words[0]))
        case Act.CLICK:
            _mouse(app, [MouseMove, MouseDown, MouseUp], done.cells * 3)
        case Act.DOUBLE:
            _mouse(app, [MouseMove, MouseDown, MouseUp, MouseDown, MouseUp], done.cells * 5)
        case Act.DRAG:
            start, end = done.cells
            _mouse(app, [MouseMove, MouseDown, MouseMove, MouseUp], [start, start, end, end])
        case Act.WHEEL:
            wheels = {"up": MouseScrollUp, "down": MouseScrollDown, "left": MouseScrollLeft, "right": MouseScrollRight}
            _mouse(app, [wheels[done.words[0]]], done.cells)
        case Act.HOVER:
            _mouse(app, [MouseMove], done.cells)
        case Act.RESIZE:
            await resize(pilot, done.cells[0])
        case Act.FOCUS:
            app.post_message(AppBlur())
            app.post_message(AppFocus())
        case Act.WAIT:
            await pilot.pause(0.02)
    if not hurries:
        await pilot.pause()


def key_event(word: str) -> Key:
    """Return the event of a key, as a terminal sends it."""
    key = _character_to_key(word) if len(word) == 1 else word
    special = {"space": " ", "enter": "\r", "tab": "\t", "escape": "\x1b", "backspace": "\x7f"}
    names = {"question_mark": "?", "slash": "/"}
    character = word if len(word) == 1 else special.get(word) or names.get(word)
    return Key(key, character)


async def resize(pilot: Pilot[Any], cells: tuple[int, int]) -> None:
    """Change the size of the window and let that arrive."""
    app = pilot.app
    size = Size(*cells)
    if app._driver is not None:
        app._driver._size = cells
    app.post_message(Resize(size, size))
    await pilot.pause()


def _cell(app: FusewalkApp, dice: Random) -> tuple[int, int]:
    return dice.randrange(max(app.size.width, 1)), dice.randrange(max(app.size.height, 1))


def _mouse(app: App[Any], kinds: Sequence[type[MouseEvent]], cells: Sequence[tuple[int, int]]) -> None:
    for kind, (x, y) in zip(kinds, cells, strict=True):
        button = 1 if kind in (MouseDown, MouseUp) else 0
        app.post_message(
            kind(None, x, y, 0, 0, button, shift=False, meta=False, ctrl=False, screen_x=x, screen_y=y, style=None)
        )
