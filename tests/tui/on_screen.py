"""What the screen tests share: nasty labels, the text on the screen, a small harness, waiting for a state."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from textual.app import App
from textual.pilot import Pilot

from tui.screens.frame import Framed

NASTY = [
    "S1 [on]",
    "F1 [/15A]",
    "[red]",
    "[/]",
    "x [b] y",
    "[@click=app.quit]x[/]",
    "[$error]x[/]",
    "\x1b]0;taken\x07\x1b[2J\x9b31mhorn",
    "a\u202eb\u2066c\u200fd",
    "x" * 60,
    "前照灯左ハイビーム",
    "Rückfahrscheinwerfer ß",
    "horn\ud800lamp",
    "tab\there\nline",
    "⚠️ hot",
    "",
]

SMALL_HARNESS = """format = 1
build = { name = "Ten wires [b]", nominal_volts = 12 }
key_states = [ { name = "off" }, { name = "ignition" } ]
batteries = [ { id = "G1" } ]
fuses = [ { id = "F1", amps = 15, label = "Horn [/15A]" } ]
loads = [ { id = "P1", kind = "horn", amps = 5 } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in" },
  { id = "W2", from = "F1.out", to = "P1.+" },
  { id = "W3", from = "P1.-", to = "G1.-" },
]
"""


def small_harness(directory: Path) -> Path:
    """Write a harness file that the shell can open, and return where."""
    path = directory / "ten_wires.toml"
    path.write_text(SMALL_HARNESS, encoding="utf-8")
    return path


def screen_text(app: App[Any]) -> str:
    """Return what stands on the screen, line by line."""
    strips = app.screen._compositor.render_strips()
    return "\n".join("".join(segment.text for segment in strip) for strip in strips)


async def until(pilot: Pilot[Any], holds: Callable[[], bool], tries: int = 3000) -> None:
    """Let the app run until something holds.

    Raises
    ------
    AssertionError
        Where it never does.
    """
    for _ in range(tries):
        if holds():
            return
        await pilot.pause(0.01)
    raise AssertionError("what was waited for did not come")


async def at_rest(pilot: Pilot[Any]) -> None:
    """Let the app run until nothing is done aside any more, and no outcome waits to be handed on.

    An outcome handed on may begin the next piece of work: all of them are waited for.
    """
    quiet = 0
    while quiet < 2:
        await pilot.pause()
        await until(pilot, lambda: not is_working(pilot.app))
        await pilot.pause()
        quiet = 0 if is_working(pilot.app) else quiet + 1


def is_working(app: App[Any]) -> bool:
    """Tell whether something is done aside, or its outcome still has to be handed on."""
    waits = any(screen._asides for screen in app.screen_stack if isinstance(screen, Framed))
    return waits or not all(worker.is_finished for worker in app.workers)
