"""Colours of blade fuses as ISO 8820-3 has them."""

from __future__ import annotations

import pytest

from model.harness.parts import Fuse, FuseStyle
from model.review.fuse_use import colour_of
from model.tables import table_rows

TYPES_C_AND_F = {
    1: "black",
    2: "grey",
    3: "violet",
    4: "pink",
    5: "tan",
    7.5: "brown",
    10: "red",
    15: "blue",
    20: "yellow",
    25: "clear",
    30: "green",
    35: "blue-green",
    40: "orange",
}
TYPE_E = {20: "yellow", 30: "green", 40: "orange", 50: "red", 60: "blue", 70: "tan", 80: "clear", 100: "violet"}


def colours(style: str) -> dict[float, str]:
    """Give the colours of a style in the table, by rating."""
    return {float(row["rating_amps"]): row["colour"] for row in table_rows("fuse_colours") if row["style"] == style}


def test_the_table_has_the_colours_of_the_standard() -> None:
    """Type C (medium) and F (miniature) share theirs; type E (high current) has its own from 20 A on."""
    assert colours("medium blade") == colours("mini blade") == TYPES_C_AND_F
    assert colours("maxi blade") == TYPE_E


@pytest.mark.parametrize(("amps", "colour"), [*TYPES_C_AND_F.items(), *list(TYPE_E.items())[3:]])
def test_a_blade_fuse_is_named_by_the_colour_of_its_rating(amps: float, colour: str) -> None:
    """Up to 40 A by types C and F, beyond by type E."""
    assert colour_of(Fuse(id="F1", amps=amps)) == colour


@pytest.mark.parametrize("style", [style for style in FuseStyle if style is not FuseStyle.BLADE])
def test_no_other_style_has_a_colour_of_the_standard(style: FuseStyle) -> None:
    """ISO 8820-3 is about blades: a glass fuse, link, breaker or thermal fuse of 10 A has none."""
    assert colour_of(Fuse(id="F1", amps=10, style=style)) == ""
