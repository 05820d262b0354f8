"""What is decided from the environment before a screen is built."""

import subprocess
import sys

import pytest

from tui.terminal import Look, ascii_wanted, choose_look, colour_count, why_no_screen

TRUE = {"TERM": "xterm-256color", "COLORTERM": "truecolor"}


@pytest.mark.parametrize(
    ("environment", "count"),
    [
        (TRUE, 1 << 24),
        ({"TERM": "screen-256color"}, 256),
        ({"TERM": "xterm"}, 16),
        ({"TERM": "linux"}, 16),
        ({}, 16),
        (TRUE | {"TEXTUAL_COLOR_SYSTEM": "standard"}, 16),
    ],
)
def test_colours_a_terminal_says_it_has(environment: dict[str, str], count: int) -> None:
    """The forced system comes before COLORTERM, COLORTERM before TERM."""
    assert colour_count(environment) == count


@pytest.mark.parametrize(
    ("environment", "light", "remembered", "look"),
    [
        (TRUE, None, "dark", Look.DARK),
        (TRUE, None, "light", Look.LIGHT),
        (TRUE, True, "dark", Look.LIGHT),
        (TRUE, False, "light", Look.DARK),
        ({"TERM": "xterm"}, True, "light", Look.TERMINAL),
        (TRUE | {"NO_COLOR": "1"}, True, "light", Look.PLAIN),
        (TRUE | {"NO_COLOR": ""}, None, "dark", Look.DARK),
    ],
)
def test_look(environment: dict[str, str], light: bool | None, remembered: str, look: Look) -> None:
    """NO_COLOR that is not empty wins, then few colours, then the argument, then what is remembered."""
    assert choose_look(environment, light, remembered) is look


@pytest.mark.parametrize(
    ("environment", "encoding", "asked", "wanted"),
    [
        (TRUE, "utf-8", False, False),
        (TRUE, "UTF8", False, False),
        (TRUE, "utf_8", False, False),
        (TRUE, "utf-8", True, True),
        (TRUE, "ascii", False, True),
        (TRUE, "cp437", False, True),
        (TRUE, None, False, True),
        ({"TERM": "linux"}, "utf-8", False, True),
    ],
)
def test_ascii(environment: dict[str, str], encoding: str | None, asked: bool, wanted: bool) -> None:
    """ASCII alone where it is asked for, where the stream cannot carry more, and on the Linux console."""
    assert ascii_wanted(environment, encoding, asked) is wanted


@pytest.mark.parametrize(
    ("environment", "stdin", "stdout", "reason"),
    [
        (TRUE, True, True, ""),
        (TRUE, False, True, "Standard input"),
        (TRUE, True, False, "Standard output"),
        ({"TERM": "dumb"}, True, True, "TERM"),
        ({}, True, True, "TERM"),
    ],
)
def test_where_no_screen_can_be(environment: dict[str, str], stdin: bool, stdout: bool, reason: str) -> None:
    """A pipe or a dumb terminal is told as such; a terminal is none of them."""
    told = why_no_screen(environment, stdin, stdout)
    assert reason in told
    assert bool(told) == bool(reason)


def test_the_questions_cost_no_textual() -> None:
    """A command without a screen may ask them: neither textual nor rich is imported."""
    script = "import sys, tui.terminal, tui.glyphs; print(sorted({'textual', 'rich'} & set(sys.modules)))"
    told = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"
