"""Only what differs goes to the terminal, and what stands there is the same as if all of it had gone."""

import random

import pyte
import pytest

from tui.redraw import Drawn

COLUMNS, LINES = 30, 6
NARROW, WIDE = "ab  ●─Ω", "前e\u0301a"
STYLES = ("", "1;38;2;14;17;19", "38;5;4", "7")
WHOLE = "\x1b[1;1H\x1b[1mfuel pump\x1b[0m dead     \n\x1b[2;1Hcheck 3     \x1b[2;1H"


def screen_of(*written: str) -> list[tuple[str, bool, str]]:
    """Return sign, weight and hue of every cell of a terminal that was written to."""
    screen = pyte.Screen(COLUMNS, LINES)
    stream = pyte.Stream(screen)
    for one in written:
        stream.feed(one)
    cells = [screen.buffer[line][column] for line in range(LINES) for column in range(COLUMNS)]
    return [(cell.data, cell.bold, cell.fg) for cell in cells]


def anything(chance: random.Random) -> str:
    """Draw some lines as the screen program does: places, pieces with their style before and none behind them."""
    parts = []
    for line in chance.sample(range(1, LINES + 1), chance.randrange(1, LINES)):
        column = 1 if line == LINES else chance.choice((1, 1, 4, 11))
        parts.append(f"\x1b[{line};{column}H")
        signs_of_line = WIDE if line == LINES else NARROW
        for _ in range(chance.randrange(1, 4)):
            style = chance.choice(STYLES)
            signs = "".join(chance.choices(signs_of_line, k=chance.randrange(1, 4)))
            parts.append(f"\x1b[{style}m{signs}\x1b[0m" if style else signs)
        parts.append("\n" if line < LINES else "")
    return "".join([*parts, f"\x1b[{chance.randrange(1, LINES)};1H"])


def test_what_stands_there_already_is_not_sent() -> None:
    """The same again costs nothing, one other sign costs its place and itself, each in its style."""
    drawn = Drawn()
    assert drawn.changed(WHOLE) == "\x1b[1;1H\x1b[1mfuel pump\x1b[0m dead     \x1b[2;1Hcheck 3     \x1b[2;1H"
    assert drawn.changed(WHOLE) == ""
    assert drawn.changed(WHOLE.replace("3", "4")) == "\x1b[2;7H4\x1b[2;1H"
    assert drawn.changed(WHOLE.replace("dead", "weak")) == "\x1b[1;11Hweak\x1b[2;7H3\x1b[2;1H"
    assert drawn.changed(WHOLE.replace("\x1b[1m", "\x1b[4m").replace("dead", "weak")) == (
        "\x1b[1;1H\x1b[4mfuel pump\x1b[0m\x1b[2;1H"
    )


def test_what_is_no_drawing_goes_through() -> None:
    """Modes, a clipboard and the other screen go as they come; with the other screen all is drawn anew."""
    drawn = Drawn()
    drawn.changed(WHOLE)
    assert drawn.changed("\x1b[?1000h\x1b]52;c;YQ==\x07") == "\x1b[?1000h\x1b]52;c;YQ==\x07"
    assert drawn.changed(WHOLE) == ""
    assert drawn.changed("\x1b[?1049h") == "\x1b[?1049h"
    assert "fuel pump" in drawn.changed(WHOLE)


def test_what_is_forgotten_is_sent_whole() -> None:
    """After a change of the window nothing is taken for granted."""
    drawn = Drawn()
    sent = drawn.changed(WHOLE)
    drawn.forget()
    assert drawn.changed(WHOLE) == sent


def test_what_falls_beside_the_window_is_noticed() -> None:
    """A line or a column that the window does not have was drawn somewhere else than asked for."""
    drawn = Drawn()
    drawn.changed(WHOLE)
    assert not drawn.reaches_beyond(19, 2)
    assert drawn.reaches_beyond(18, 2)
    assert drawn.reaches_beyond(19, 1)


@pytest.mark.parametrize("column", [3, 10, 25])
def test_a_line_with_wide_signs_is_drawn_again_over_what_stood_in_it(column: int) -> None:
    """What was drawn into a line whose signs are not all one cell wide goes when that line is drawn once more."""
    drawn = Drawn()
    line = "\x1b[1;1H前後 fuel pump dead        \n\x1b[3;1H"
    written = [line, f"\x1b[1;{column}HXX\x1b[3;1H", line]
    sent = [drawn.changed(one) for one in written]
    assert screen_of(*sent) == screen_of(*written)
    assert drawn.changed(line) == ""


@pytest.mark.parametrize("seed", range(20))
def test_the_terminal_shows_what_was_drawn(seed: int) -> None:
    """Whatever is drawn over whatever, sign, weight and hue of every cell are those of a terminal that got it all."""
    chance = random.Random(seed)
    drawn = Drawn()
    written = [anything(chance) for _ in range(12)]
    sent = [drawn.changed(one) for one in written]
    assert screen_of(*sent) == screen_of(*written)
    assert len("".join(sent)) <= len("".join(written)) + 8 * len(sent)
