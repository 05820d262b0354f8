"""Volts as they are typed."""

import pytest

from tui.typed import typed_volts


@pytest.mark.parametrize(
    ("typed", "volts"),
    [
        ("12.4", 12.4),
        ("12,4", 12.4),
        (" 12.40 V ", 12.4),
        ("12400 mV", 12.4),
        ("350mv", 0.35),
        (",5", 0.5),
        ("12.", 12.0),
        ("+6.3v", 6.3),
        ("0", 0.0),
        ("-6.1", 6.1),
        ("\u22126,1 V", 6.1),
        ("- 6100 mV", 6.1),
    ],
)
def test_a_reading_is_understood(typed: str, volts: float) -> None:
    """Comma or point parts the decimals; the unit may stand behind; of a minus the amount counts."""
    assert typed_volts(typed) == pytest.approx(volts)


@pytest.mark.parametrize(
    "typed",
    ["", " ", "-", "--12", "12.4.1", "1,200.5", "1e3", "12 A", "OL", "V", ".", "0x10", "1_000", "nan", "inf", "12 4"],
)
def test_what_is_no_reading_is_none(typed: str) -> None:
    """Nothing is guessed: two points, powers of ten, other units and other digits are no reading."""
    assert typed_volts(typed) is None
