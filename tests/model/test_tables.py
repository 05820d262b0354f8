"""The tables of published figures: each row honest, each figure as its source prints it."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import pytest

import model.tables
from model.tables import (
    SourceKind,
    conductor_ohms_per_km,
    fuse_figures,
    table_rows,
    wire_colour_names,
)

TABLES = sorted(path.stem for path in Path(model.tables.__file__).parent.glob("*.csv"))
CLASS_5 = "IEC 60228 class 5"


def test_all_tables_are_there() -> None:
    """None is left out of the tests below."""
    assert TABLES == [
        "batteries",
        "colour_words",
        "conductors",
        "draw_limits",
        "drop_limits",
        "fault_weights",
        "finding_limits",
        "fuse_colours",
        "fuse_times",
        "fuses",
        "hand_set",
        "lamps",
        "load_limits",
        "part_letters",
        "part_words",
        "proof_limits",
        "relays",
        "start_factors",
        "terminals",
        "trade_words",
        "wire_colours",
        "wire_list_words",
    ]


@pytest.mark.parametrize("table", TABLES)
def test_every_row_carries_unit_source_and_kind(table: str) -> None:
    """A figure without its source cannot be told to anyone; the kind is one of those there are."""
    rows = table_rows(table)
    assert rows
    for row in rows:
        assert list(row)[-3:] == ["unit", "source", "source_kind"]
        assert row["unit"]
        assert row["source"]
        assert row["source_kind"] in set(SourceKind)
        assert all(cell is not None and cell == cell.strip() for cell in row.values())


@pytest.mark.parametrize("table", TABLES)
def test_no_row_stands_twice(table: str) -> None:
    """Each line of a table says something of its own."""
    rows = [tuple(row.values()) for row in table_rows(table)]
    assert len(rows) == len(set(rows))


def test_a_table_cannot_be_changed_by_a_reader() -> None:
    """Rows are shared between callers."""
    with pytest.raises(TypeError):
        table_rows("fuses")[0]["value"] = "0"  # type: ignore[index]


def test_a_table_that_is_none_is_not_found() -> None:
    """There is no silent empty table."""
    with pytest.raises(FileNotFoundError):
        table_rows("feelings")


@pytest.mark.parametrize(
    ("area_mm2", "plain", "tinned"),
    [(0.5, 39.0, 40.1), (1.5, 13.3, 13.7), (2.5, 7.98, 8.21), (25, 0.780, 0.795), (120, 0.161, 0.164)],
)
def test_class_5_as_printed(area_mm2: float, plain: float, tinned: float) -> None:
    """IEC 60228 class 5 at 20 °C in Ω/km."""
    assert conductor_ohms_per_km(CLASS_5)[area_mm2] == plain
    assert conductor_ohms_per_km(CLASS_5, "tinned")[area_mm2] == tinned


def test_class_5_lies_above_solid_copper() -> None:
    """All 15 maxima stand 10 to 16 % above 17.241 Ω·mm²/km over the area; a misprinted line would not."""
    listed = conductor_ohms_per_km(CLASS_5)
    assert len(listed) == 15
    for area_mm2, ohms_per_km in listed.items():
        assert 1.10 <= ohms_per_km / (17.241 / area_mm2) <= 1.16


@pytest.mark.parametrize(
    ("standard", "least", "most"),
    [
        ("ISO 6722-1", 1.02, 1.15),
        ("JIS C 3406 AV", 1.05, 1.09),
        ("JIS C 3406 fine-strand", 1.05, 1.09),
        ("DIN VDE 0295", 1.04, 1.23),
    ],
)
def test_the_other_wires_lie_above_solid_copper_too(standard: str, least: float, most: float) -> None:
    """Maximum resistance times area over that of copper, 17.241 Ω·mm²/km."""
    ratios = [ohms * area / 17.241 for area, ohms in conductor_ohms_per_km(standard).items()]
    assert ratios
    assert least <= min(ratios)
    assert max(ratios) <= most


def test_thicker_wire_has_less_resistance_and_bears_more() -> None:
    """Within each standard ohms fall as the area grows, and the catalogue's amperes rise (JIS C 3406 AV)."""
    for standard in {row["standard"] for row in table_rows("conductors")}:
        ohms = [value for _, value in sorted(conductor_ohms_per_km(standard).items())]
        assert ohms == sorted(set(ohms), reverse=True)
    rated = [
        (float(row["area_mm2"]), float(row["catalogue_amps"]))
        for row in table_rows("conductors")
        if row["catalogue_amps"]
    ]
    assert len(rated) == 16
    assert [amps for _, amps in sorted(rated)] == sorted(amps for _, amps in rated)
    assert (1.287, 21) in rated


def test_iso_and_japanese_thin_wire_agree() -> None:
    """0.75: 24.7 and 24.4 mΩ/m; 0.5: 37.1 and 36.7 (ISO 6722-1, JIS C 3406 fine-strand)."""
    iso, jis = conductor_ohms_per_km("ISO 6722-1"), conductor_ohms_per_km("JIS C 3406 fine-strand")
    assert (iso[0.75], jis[0.763]) == (24.7, 24.4)
    assert (iso[0.5], jis[0.5087]) == (37.1, 36.7)


def test_fuses_drop_more_hot_than_cold() -> None:
    """Drop at rating over cold resistance times rating: 96 / 57.6 = 1.67 for 40 A, and 1.3 to 1.7 for 5 A and more."""
    cold, drop = fuse_figures("cold resistance"), fuse_figures("drop at rated current")
    assert list(cold) == list(drop) == [1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40]
    assert drop[40] / (cold[40] * 40) == pytest.approx(1.667, abs=0.001)
    for amps in (amps for amps in cold if amps >= 5):
        assert 0.0555 <= cold[amps] * amps / 1000 <= 0.0900
        assert 1.3 <= drop[amps] / (cold[amps] * amps) <= 1.7


def test_mini_and_medium_blades_are_near_each_other() -> None:
    """7.5 A: 10.85 and 10.9 mΩ; 15 A: 4.58 and 4.8 mΩ (makers' data)."""
    mini, medium = fuse_figures("cold resistance", "mini blade"), fuse_figures("cold resistance")
    assert mini == {7.5: 10.85, 15: 4.58}
    assert all(abs(mini[amps] / medium[amps] - 1) < 0.05 for amps in mini)


def fuse_colours(style: str) -> dict[float, str]:
    """Map the ratings of a style of fuse, in amperes, to their colours."""
    return {float(row["rating_amps"]): row["colour"] for row in table_rows("fuse_colours") if row["style"] == style}


def test_fuse_colours() -> None:
    """ISO 8820-3: 10 A red, 15 A blue, 20 A yellow, 30 A green; the maxi blade starts again at 20 A yellow."""
    colours = fuse_colours("medium blade")
    assert [colours[amps] for amps in (10, 15, 20, 25, 30)] == ["red", "blue", "yellow", "clear", "green"]
    assert (fuse_colours("maxi blade")[20], fuse_colours("maxi blade")[60]) == ("yellow", "blue")
    assert len(set(colours.values())) == len(colours) == 13


class OpeningBand(NamedTuple):
    """The time in seconds in which a fuse opens at a multiple of its rating."""

    percent_of_rating: float
    min_seconds: float
    max_seconds: float
    source: str
    source_kind: str


def opening_bands(style: str, amps: float) -> list[OpeningBand]:
    """List the opening times known for a fuse of a rating in amperes, the lowest current first."""
    bands = [
        OpeningBand(
            float(row["percent_of_rating"]),
            float(row["min_seconds"] or 0),
            float(row["max_seconds"] or "inf"),
            row["source"],
            row["source_kind"],
        )
        for row in table_rows("fuse_times")
        if row["style"] == style and float(row["from_amps"] or 0) <= amps <= float(row["to_amps"] or "inf")
    ]
    return sorted(bands, key=lambda band: band.percent_of_rating)


def test_no_single_opening_time_is_known_between_two_bands() -> None:
    """A 10 A fuse at 18.9 A (189 %) stands between 160 % (0.25 to 50 s) and 200 % (0.15 to 5 s): no band of its own."""
    bands = {(band.percent_of_rating, band.min_seconds, band.max_seconds) for band in opening_bands("medium blade", 10)}
    assert {(160, 0.25, 50), (200, 0.15, 5), (135, 0.75, 600)} <= bands
    assert 189 not in {percent for percent, _, _ in bands}


@pytest.mark.parametrize(
    ("style", "amps"),
    [("medium blade", 15), ("medium blade", 2), ("mini blade", 10), ("maxi blade", 50), ("medium blade", 40)],
)
def test_a_larger_current_opens_a_fuse_sooner(style: str, amps: float) -> None:
    """Along each source both bounds of the time fall, and the lower never lies above the upper."""
    bands = opening_bands(style, amps)
    assert bands
    for source in {band.source for band in bands}:
        along = [band for band in bands if band.source == source]
        assert all(band.min_seconds < band.max_seconds for band in along)
        assert [band.max_seconds for band in along] == sorted((band.max_seconds for band in along), reverse=True)


def test_a_fuse_bears_its_rating_for_a_hundred_hours() -> None:
    """At 110 % a medium blade holds 360 000 s and no upper bound is given (ISO 8820-3)."""
    held = opening_bands("medium blade", 15)[0]
    assert (held.percent_of_rating, held.min_seconds, held.max_seconds) == (110, 360_000, float("inf"))
    assert held.source_kind == SourceKind.FROM_MEMORY


def live_states() -> dict[str, set[str]]:
    """Map each terminal number to the words that say when it has volts."""
    return {row["terminal"]: set(row["live_in"].split("; ")) for row in table_rows("terminals")}


@pytest.mark.parametrize(
    ("terminal", "live_in"),
    [
        ("30", {"always"}),
        ("75", {"accessory", "ignition"}),
        ("15", {"ignition", "crank"}),
        ("50", {"crank"}),
        ("31", {"return"}),
        ("31b", {"return", "by switch"}),
    ],
)
def test_terminals_are_live_when_their_number_says(terminal: str, live_in: set[str]) -> None:
    """DIN 72552: 30 straight from the battery, 15 by the ignition, 50 to the starter, 31 the return."""
    assert live_states()[terminal] == live_in


def test_terminals_use_the_words_there_are() -> None:
    """Nothing outside the listed words says when a terminal is live, and no number stands twice."""
    words = {"always", "accessory", "ignition", "crank", "running", "by switch", "return"}
    live = live_states()
    assert all(states and states <= words for states in live.values())
    assert len(live) == len(table_rows("terminals"))
    assert {"30", "31", "49a", "53a", "56a", "56b", "58", "85", "86", "87", "87a"} <= set(live)


def test_wire_colours_have_names() -> None:
    """IEC 60757: two letters each, green and yellow together four."""
    names = wire_colour_names()
    assert (names["BN"], names["GY"], names["VT"], names["GNYE"]) == ("brown", "grey", "violet", "green and yellow")
    assert set(names) == {"BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "GD", "TQ", "SR", "GNYE"}


def test_relays_pull_in_well_under_nominal_and_drop_out_far_below() -> None:
    """Across the makers' sheets: pulled in by 58 to 67 % of nominal, let go at 4 to 14 %."""
    relays = table_rows("relays")
    pulled = [float(row["high"]) / float(row["nominal_volts"]) for row in relays if row["quantity"] == "pull-in volts"]
    let_go = [float(row["low"]) / float(row["nominal_volts"]) for row in relays if row["quantity"] == "drop-out volts"]
    assert len(pulled) >= 6
    assert 0.58 <= min(pulled) <= max(pulled) <= 0.67
    assert 0.04 <= min(let_go) <= max(let_go) <= 0.14


def test_a_battery_with_less_charge_shows_less() -> None:
    """Each source's volts and gravity fall with the charge; US Army TM 5-3805-262-20: 12.4 V at 75 %."""
    series: dict[tuple[str, str, str], list[tuple[float, float]]] = {}
    for row in table_rows("batteries"):
        if row["charge_percent"] and row["nominal_volts"] == "12":
            figure = float(row["low"] or row["high"])
            key = (row["chemistry"], row["quantity"], row["source"])
            series.setdefault(key, []).append((float(row["charge_percent"]), figure))
    assert len(series) == 6
    for points in series.values():
        assert [figure for _, figure in sorted(points)] == sorted({figure for _, figure in points})
    army = next(points for (_, _, source), points in series.items() if "TM 5-3805-262-20" in source)
    assert (75, 12.4) in army


def test_lamps_run_above_their_rated_watts() -> None:
    """A 21 W filament takes 26.5 W at 13.5 V (UN Regulation 37), 1.96 A, 6.88 Ω hot; none less than rated."""
    lamps = table_rows("lamps")
    rated = {
        (r["category"], r["nominal_volts"], r["filament"]): float(r["watts"]) for r in lamps if r["quantity"] == "rated"
    }
    others = [row for row in lamps if row["quantity"] != "rated"]
    assert {row["quantity"] for row in others} == {"maximum", "target"}
    for row in others:
        assert 1 < float(row["watts"]) / rated[row["category"], row["nominal_volts"], row["filament"]] <= 2.2
    stop = next(row for row in others if row["category"] == "PY21/5W" and row["filament"] == "1")
    amps = float(stop["watts"]) / float(stop["at_volts"])
    assert amps == pytest.approx(1.96, abs=0.005)
    assert float(stop["at_volts"]) / amps == pytest.approx(6.88, abs=0.005)
    assert stop["source_kind"] == "published"


def test_drop_limits_name_practice_as_practice() -> None:
    """What no manual or standard prints is told as common practice; the trucks' 0.1 V and 0.2 V are published."""
    limits = table_rows("drop_limits")
    practice = [row for row in limits if row["source_kind"] == "common practice"]
    assert {row["part"] for row in practice} >= {"connection", "relay contact", "feed side, starter"}
    assert all("practice" in row["source"] for row in practice)
    truck = {row["part"]: float(row["limit"]) for row in limits if row["source"] == "US Army TM 9-2320-211-20"}
    assert truck == {"ground path, battery to frame": 0.1, "battery + to solenoid cable": 0.2}
