"""Wire sizes, gauges, temperature and fuses as ohms."""

from __future__ import annotations

import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.units import (
    WireSize,
    awg_area_mm2,
    awg_diameter_mm,
    copper_factor,
    fuse_cold_ohms,
    number_typed,
    parse_size,
    wire_ohms_per_metre,
)

COPPER_OHM_M = 1.7241e-8
FT_1000_M = 304.8
GAUGES = ["4/0", "3/0", "2/0", "1/0", *(str(number) for number in range(1, 41))]


@pytest.mark.parametrize(
    ("gauge", "diameter_mm", "area_mm2", "ohms_per_1000_ft", "circular_mils"),
    [
        ("20", 0.8118, 0.5176, 10.15, 1_022),
        ("18", 1.0237, 0.8230, 6.385, 1_624),
        ("16", 1.2908, 1.3087, 4.016, 2_583),
        ("14", 1.6277, 2.0809, 2.525, 4_107),
        ("12", 2.0525, 3.3088, 1.588, 6_530),
        ("10", 2.5882, 5.2612, 0.9988, 10_380),
        ("4", 5.1894, 21.151, 0.2485, 41_740),
        ("1/0", 8.2515, 53.475, 0.0983, 105_500),
        ("2/0", 9.2658, 67.431, 0.0779, 133_100),
        ("4/0", 11.684, 107.22, 0.0490, 211_600),
    ],
)
def test_a_gauge_has_the_printed_size(
    gauge: str, diameter_mm: float, area_mm2: float, ohms_per_1000_ft: float, circular_mils: float
) -> None:
    """ASTM B258 by its formula; Ω/1000 ft of solid wire at 20 °C (NBS Handbook 100) and circular mils as printed.

    16 AWG: 0.127 × 92^(20/39) = 1.2908 mm; 17.241 / 1.3087 = 13.17 Ω/km × 0.3048 = 4.016 Ω/1000 ft.
    Circular mils: T. Kuphaldt, Lessons in Electric Circuits, vol. I DC, ch. 12.
    """
    assert awg_diameter_mm(gauge) == pytest.approx(diameter_mm, rel=1e-4)
    assert awg_area_mm2(gauge) == pytest.approx(area_mm2, rel=1e-4)
    assert COPPER_OHM_M * FT_1000_M / (awg_area_mm2(gauge) * 1e-6) == pytest.approx(ohms_per_1000_ft, rel=1e-3)
    assert (awg_diameter_mm(gauge) / 0.0254) ** 2 == pytest.approx(circular_mils, rel=1e-3)


@pytest.mark.parametrize(("thin", "thick"), list(zip(GAUGES[3:], GAUGES, strict=False)))
def test_three_gauges_double_the_area(thin: str, thick: str) -> None:
    """Three steps are 92^(6/39) = 2.005 times the area (Kuphaldt, Lessons in Electric Circuits, vol. I DC, ch. 12)."""
    assert awg_area_mm2(thick) / awg_area_mm2(thin) == pytest.approx(2.005, abs=0.0005)


@pytest.mark.parametrize("gauge", ["", "0", "00", "5/0", "0/0", "41", "-1", "16.5", "16 ", "１６", "1/0/0", "sixteen"])
def test_a_gauge_that_is_none_is_refused(gauge: str) -> None:
    """The message says which gauges there are."""
    with pytest.raises(ValueError, match="write 1 to 40, or 1/0 to 4/0"):
        awg_diameter_mm(gauge)


def test_sizes_are_read_as_typed() -> None:
    """A number is mm², text is a gauge after the letters AWG."""
    assert parse_size(1.5) == WireSize(1.5, is_awg=False)
    assert parse_size(2) == WireSize(2.0, is_awg=False)
    assert parse_size("AWG 16") == WireSize(awg_area_mm2("16"), is_awg=True)
    assert parse_size("AWG 1/0") == WireSize(awg_area_mm2("1/0"), is_awg=True)


@pytest.mark.parametrize("size", ["16 AWG", "awg 16", "AWG16", "1.5", "1.5 mm2", "", "AWG", "AWG  16"])
def test_text_that_is_no_size_is_refused(size: str) -> None:
    """The message shows both spellings, or the gauges there are."""
    with pytest.raises(ValueError, match=r"write mm² as a number|write 1 to 40"):
        parse_size(size)


@pytest.mark.parametrize("size", [0, -1.5, float("nan"), float("inf"), True])
def test_a_number_that_is_no_area_is_refused(size: float) -> None:
    """An area is finite and above zero, and a yes is no number."""
    with pytest.raises(ValueError, match="finite and above zero"):
        parse_size(size)


@pytest.mark.parametrize(("size", "drop_volts"), [(1.5, 1.330), (2.5, 0.798), (4, 0.495), (6, 0.330)])
def test_ten_amps_over_ten_metres_drop_by_class_5(size: float, drop_volts: float) -> None:
    """IEC 60228 class 5, plain: 13.3 Ω/km × 10 m × 10 A = 1.330 V for 1.5 mm², 5 m out and 5 m back."""
    assert wire_ohms_per_metre(size) * 10 * 10 == pytest.approx(drop_volts)


@pytest.mark.parametrize(
    ("size", "milliohms_per_m"),
    [(2.0, 9.75), (0.35, 55.714), (1.25, 15.6), (150, 0.13), (0.34, 57.353), ("AWG 16", 14.492), ("AWG 2/0", 0.28125)],
)
def test_sizes_outside_the_table_go_by_their_area(size: float | str, milliohms_per_m: float) -> None:
    """19.5 / 2.0 = 9.75 mΩ/m; 16 AWG 1.10 × 17.241 / 1.3087 = 14.492 mΩ/m (ASTM B258).

    0.34 mm² stands in DIN VDE 0295 with 53; the wire model leaves that table out, so 19.5 / 0.34 = 57.353.
    """
    assert wire_ohms_per_metre(size) * 1000 == pytest.approx(milliohms_per_m, rel=1e-4)


@given(area_mm2=st.floats(0.05, 300))
def test_no_metric_wire_is_better_than_copper_nor_far_worse(area_mm2: float) -> None:
    """Every size lies 10 to 16 % above solid copper of its area, as class 5 does (IEC 60228)."""
    assert 1.10 <= wire_ohms_per_metre(area_mm2) * area_mm2 * 1000 / 17.241 <= 1.16


@pytest.mark.parametrize(
    ("metric", "gauge"),
    [(0.5, "20"), (0.75, "18"), (1.0, "16"), (1.5, "14"), (2.5, "12"), (4, "10"), (6, "8"), (16, "4"), (25, "2")],
)
def test_the_metric_name_of_a_gauge_is_never_thicker(metric: float, gauge: str) -> None:
    """A workshop manual's conversion chart pairs names: 1.5 mm² with 14 AWG (2.08 mm²). They are no equal areas."""
    assert 0.70 <= metric / awg_area_mm2(gauge) <= 1.0
    assert wire_ohms_per_metre(metric) > wire_ohms_per_metre(f"AWG {gauge}")


@pytest.mark.parametrize(
    ("celsius", "to_20_celsius"),
    [(5, 1.064), (10, 1.042), (20, 1.0), (30, 0.962), (40, 0.926), (50, 0.893), (75, 0.820), (90, 0.781), (100, 0.758)],
)
def test_temperature_agrees_with_the_correction_of_the_cable_standard(celsius: float, to_20_celsius: float) -> None:
    """IEC 60228, annex: Kt brings a resistance to 20 °C; it is rounded there to 0.004 / K, hence 0.5 %."""
    assert copper_factor(celsius) * to_20_celsius == pytest.approx(1, abs=0.005)


def test_temperature_by_hand() -> None:
    """IEC 60028: at 85 °C 1 + 0.00393 × 65 = 1.25545; at −20 °C 1 − 0.00393 × 40 = 0.8428."""
    assert copper_factor(85) == pytest.approx(1.25545)
    assert copper_factor(-20) == pytest.approx(0.8428)


@pytest.mark.parametrize(
    ("amps", "style", "ohms"),
    [
        (1, "blade", 0.123),
        (7.5, "blade", 0.0109),
        (10, "glass", 0.0077),
        (15, "blade", 0.0048),
        (40, "link", 0.00144),
        (60, "link", 0.07 / 60),
        (12, "breaker", 0.07 / 12),
        (None, "thermal", 0.005),
        (10, "thermal", 0.005),
    ],
)
def test_a_fuse_has_its_cold_resistance(amps: float | None, style: str, ohms: float) -> None:
    """By rating from typical data of blade fuses, 70 mV over the rating for others, 5 mΩ for a thermal fuse."""
    assert fuse_cold_ohms(amps, style) == pytest.approx(ohms)


@given(amps=st.sampled_from([5, 7.5, 10, 15, 20, 25, 30, 35, 40]) | st.floats(5, 500))
def test_a_cold_fuse_drops_56_to_90_millivolts_at_its_rating(amps: float) -> None:
    """Cold resistance times rating, typical data of ISO 8820-3 type C: 10 A × 7.7 mΩ = 77 mV."""
    assert 0.0555 <= fuse_cold_ohms(amps) * amps <= 0.0900


@pytest.mark.parametrize("amps", [None, 0, -5, float("nan"), float("inf")])
def test_a_fuse_without_a_rating_is_refused(amps: float | None) -> None:
    """Only a thermal fuse goes without."""
    with pytest.raises(ValueError, match="needs a rating in amperes above zero"):
        fuse_cold_ohms(amps)


@pytest.mark.parametrize(
    ("typed", "number"), [("12.4", 12.4), ("12,4", 12.4), ("−3", -3.0), (" .5 ", 0.5), ("1e-3", 0.001), ("+7.", 7.0)]
)
def test_a_number_is_read_as_a_person_types_it(typed: str, number: float) -> None:
    """A point or a comma, a minus of either kind, a power of ten."""
    assert number_typed(typed) == number


@pytest.mark.parametrize(
    "typed",
    ["", " ", "1_0", "١٢", "１２", "infinity", "1.2.3", "1,2,3", "12.4 V", "1 2", "0x10", "--1", "1e9999", "9" * 5000],
)
def test_what_is_no_number_is_refused(typed: str) -> None:
    """Digits of another script and an underscore between digits are a slip: they would be read as another number."""
    with pytest.raises(ValueError, match="is no number"):
        number_typed(typed)


def test_the_fast_commands_get_units_without_the_heavy_libraries() -> None:
    """A fresh interpreter that asks for ohms has read no numpy, scipy, networkx, pydantic or textual."""
    script = (
        "import sys; from model.units import fuse_cold_ohms, wire_ohms_per_metre;"
        "fuse_cold_ohms(15); wire_ohms_per_metre(1.5);"
        "print(sorted({'numpy', 'scipy', 'networkx', 'pydantic', 'textual'} & set(sys.modules)))"
    )
    told = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"
