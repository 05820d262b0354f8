"""The looks: contrast, and eyes that mix red and green."""

import itertools

import pytest
from rich.color import Color as RichColor
from rich.color import ColorSystem
from textual.color import Color

from tui.terminal import Look
from tui.theme import HUES, THEMES

PAINTED = [Look.DARK, Look.LIGHT]
EYES = {
    "protan": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)),
    "deutan": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)),
}


def linear(channel: float) -> float:
    """Return a channel of sRGB (0 to 1) as light (IEC 61966-2-1)."""
    return channel / 12.92 if channel <= 0.04045 else ((channel + 0.055) / 1.055) ** 2.4


def luminance(colour: Color) -> float:
    """Return the relative luminance of WCAG 2.2."""
    red, green, blue = (linear(channel) for channel in colour.normalized)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Color, other: Color) -> float:
    """Return the contrast ratio of WCAG 2.2."""
    dark, bright = sorted((luminance(one), luminance(other)))
    return (bright + 0.05) / (dark + 0.05)


def in_256(colour: str) -> Color:
    """Return the colour of a 256-colour terminal that a colour is shown as."""
    triplet = RichColor.parse(colour).downgrade(ColorSystem.EIGHT_BIT).get_truecolor()
    return Color(*triplet)


def texts(look: Look) -> dict[str, str]:
    """Return every colour of text of a look by its name."""
    theme = THEMES[look]
    assert theme.foreground
    return {"foreground": theme.foreground} | {hue: theme.variables[hue] for hue in HUES}


@pytest.mark.parametrize("look", PAINTED)
def test_text_has_contrast(look: Look) -> None:
    """Every text has 4.5:1 on the ground (WCAG 2.2, 1.4.3), in full colour and in 256 colours; the marked row too."""
    theme = THEMES[look]
    assert theme.background
    for name, colour in texts(look).items():
        assert contrast(Color.parse(colour), Color.parse(theme.background)) >= 4.5, name
        assert contrast(in_256(colour), in_256(theme.background)) >= 4.5, name
    assert contrast(Color.parse(theme.variables["mark"]), Color.parse(theme.variables["mark-text"])) >= 7


@pytest.mark.parametrize("look", PAINTED)
def test_rules_can_be_seen(look: Look) -> None:
    """Lines that part the screen have 3:1 (WCAG 2.2, 1.4.11)."""
    theme = THEMES[look]
    assert theme.background
    assert contrast(Color.parse(theme.variables["rule"]), Color.parse(theme.background)) >= 3


@pytest.mark.parametrize("look", PAINTED)
@pytest.mark.parametrize("eye", EYES)
def test_hues_stay_apart_for_every_eye(look: Look, eye: str) -> None:
    """Feed, ground and suspect differ for eyes without red or green cones (Machado, Oliveira and Fernandes 2009)."""

    def seen(colour: str) -> tuple[float, ...]:
        light = [linear(channel) for channel in Color.parse(colour).normalized]
        return tuple(sum(weight * value for weight, value in zip(row, light, strict=True)) for row in EYES[eye])

    variables = THEMES[look].variables
    for one, other in itertools.combinations(("feed", "ground", "suspect"), 2):
        apart = max(abs(a - b) for a, b in zip(seen(variables[one]), seen(variables[other]), strict=True))
        assert apart >= 0.08, (one, other)


@pytest.mark.parametrize("look", Look)
def test_every_look_names_the_same_variables(look: Look) -> None:
    """A style sheet that works in one look works in all."""
    assert {*HUES, "rule", "mark", "mark-text"} <= set(THEMES[look].variables)
    assert THEMES[look].ansi == (look in {Look.TERMINAL, Look.PLAIN})
