"""What the screen tests share: nasty labels, the text on the screen, a small harness, waiting for a state."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from textual.app import App
from textual.pilot import Pilot

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
