"""What the terminal can show, decided from the environment before a screen is built.

Nothing here imports textual: the commands without a screen ask the same questions.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

TERMINALS_WITH_FEW_SIGNS = frozenset({"linux", "vt100", "vt220", "ansi"})


@dataclass(frozen=True, slots=True)
class Options:
    """How the screen was asked for on the command line.

    Attributes
    ----------
    ascii_only
        Draw with ASCII alone, whatever the terminal says of itself.
    light
        Dark signs on a light ground where true, the other way round where false; None leaves it to what is remembered.
    mouse
        Take the mouse; where false the terminal keeps it for selecting text.
    first_steps
        Show the first steps where nothing is remembered of an earlier start.
    """

    ascii_only: bool = False
    light: bool | None = None
    mouse: bool = True
    first_steps: bool = False


class Look(Enum):
    """The four ways in which the screen is coloured."""

    DARK = "dark"
    LIGHT = "light"
    TERMINAL = "terminal"
    """The sixteen colours of the terminal's own palette."""
    PLAIN = "plain"
    """No colour at all."""


def colour_count(environment: Mapping[str, str]) -> int:
    """Return how many colours the terminal says it has: 16, 256 or 16777216.

    ``TEXTUAL_COLOR_SYSTEM`` overrules ``COLORTERM``, which overrules ``TERM``.
    """
    forced = environment.get("TEXTUAL_COLOR_SYSTEM", "auto").strip().lower()
    counts = {"standard": 16, "256": 256, "truecolor": 1 << 24}
    if forced in counts:
        return counts[forced]
    if environment.get("COLORTERM", "").strip().lower() in {"truecolor", "24bit"}:
        return 1 << 24
    return 256 if environment.get("TERM", "").strip().lower().endswith("256color") else 16


def choose_look(environment: Mapping[str, str], light: bool | None, remembered: str) -> Look:
    """Return how to colour the screen.

    Parameters
    ----------
    environment : mapping
        The process's variables; a ``NO_COLOR`` that is not empty forbids colour (no-color.org).
    light : bool, optional
        What the command line asked for.
    remembered : str
        The look chosen last time, ``dark`` or ``light``.
    """
    if environment.get("NO_COLOR"):
        return Look.PLAIN
    if colour_count(environment) == 16:
        return Look.TERMINAL
    if light is None:
        light = remembered == Look.LIGHT.value
    return Look.LIGHT if light else Look.DARK


def ascii_wanted(environment: Mapping[str, str], encoding: str | None, asked: bool = False) -> bool:
    """Return whether only ASCII can be trusted to show.

    Parameters
    ----------
    environment : mapping
        The process's variables.
    encoding : str or None
        Of the stream that is written to.
    asked : bool
        Whether the command line asked for ASCII.
    """
    if asked or environment.get("TERM", "").lower() in TERMINALS_WITH_FEW_SIGNS:
        return True
    return (encoding or "").lower().replace("_", "-") not in {"utf-8", "utf8"}


def why_no_screen(environment: Mapping[str, str], input_is_terminal: bool, output_is_terminal: bool) -> str:
    """Return why no screen can be drawn here, as a sentence; empty where one can."""
    if not input_is_terminal:
        return "Standard input is no terminal, so no screen can be shown."
    if not output_is_terminal:
        return "Standard output or standard error is no terminal, so no screen can be shown."
    if environment.get("TERM", "").lower() in {"dumb", "unknown", ""}:
        return "This terminal cannot place text (TERM says so), so no screen can be shown."
    return ""
