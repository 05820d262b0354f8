"""The looks: contrast, and eyes without one kind of cones."""

import itertools
import math
from collections.abc import Sequence

import pytest
from textual.color import Color

from tests.tui.looked_at import contrast, in_256, linear
from tui.terminal import Look
from tui.theme import HUES, THEMES

PAINTED = [Look.DARK, Look.LIGHT]
EYES = {
    "protan": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)),
    "deutan": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)),
    "tritan": ((1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.303900)),
}


LEAST_APART = 10.0
"""In CIELAB: beside each other such colours are told apart at a glance; judgement."""


def lab(light: Sequence[float]) -> tuple[float, float, float]:
    """Return lightness, a and b of CIE 15 for light in the primaries of sRGB, under D65 (IEC 61966-2-1)."""
    red, green, blue = (min(max(channel, 0.0), 1.0) for channel in light)
    x = (0.4124564 * red + 0.3575761 * green + 0.1804375 * blue) / 0.95047
    y = 0.2126729 * red + 0.7151522 * green + 0.0721750 * blue
    z = (0.0193339 * red + 0.1191920 * green + 0.9503041 * blue) / 1.08883
    roots = [ratio ** (1 / 3) if ratio > 216 / 24389 else (24389 / 27 * ratio + 16) / 116 for ratio in (x, y, z)]
    return 116 * roots[1] - 16, 500 * (roots[0] - roots[1]), 200 * (roots[1] - roots[2])


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
        assert contrast(in_256(Color.parse(colour)), in_256(Color.parse(theme.background))) >= 4.5, name
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
    """All hues and the plain text differ for eyes without one kind of cones (Machado, Oliveira and Fernandes 2009)."""

    def seen(colour: str) -> tuple[float, float, float]:
        light = [linear(channel) for channel in Color.parse(colour).normalized]
        return lab([sum(weight * value for weight, value in zip(row, light, strict=True)) for row in EYES[eye]])

    for one, other in itertools.combinations(texts(look).items(), 2):
        assert math.dist(seen(one[1]), seen(other[1])) >= LEAST_APART, (one, other)


def test_lightness_is_that_of_the_standard() -> None:
    """White is 100, 0, 0; the red primary of sRGB 53.24, 80.09, 67.20 (CIE 15 and IEC 61966-2-1, by hand)."""
    assert lab((1.0, 1.0, 1.0)) == pytest.approx((100.0, 0.0, 0.0), abs=0.01)
    assert lab((1.0, 0.0, 0.0)) == pytest.approx((53.24, 80.09, 67.20), abs=0.01)


@pytest.mark.parametrize("look", Look)
def test_every_look_names_the_same_variables(look: Look) -> None:
    """A style sheet that works in one look works in all."""
    assert {*HUES, "rule", "mark", "mark-text"} <= set(THEMES[look].variables)
    assert THEMES[look].ansi == (look in {Look.TERMINAL, Look.PLAIN})
