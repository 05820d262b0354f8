"""The draw with the key off: fuse by fuse, past every fuse, awake and asleep, and how long it is borne."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import OFF
from model.harness.harness import Harness
from model.harness.toml_file import read_harness
from model.review.battery_time import CapacityFrom
from model.review.draw import DrawReview, draw_review
from model.review.draw_figures import figures
from model.review.draw_flow import Flow
from model.sheets.draw_sheet import draw_sheet
from model.sheets.review_text import review_text
from tests.model.tracing.rigs import rig, wires

BUILDS = sorted((Path(__file__).parents[3] / "demo_builds").glob("*.toml"))
FLAT = '{ id = "G1", emf = 12, ohms = 1e-6, amp_hours = 60 }'
CLOCK = '{ id = "E1", kind = "heater", ohms = 1200, label = "Clock" }'


def reviewed(loom: Harness) -> DrawReview:
    """Review the draw of a harness."""
    return draw_review(Bench(loom))


def fused(*ends: str, loads: str, more: str = "", batteries: str = FLAT, build: str = "nominal_volts = 12") -> Harness:
    """Give a loom with the fuses F1 and F2 of 10 A, loads, more tables, and wires between points."""
    fuses = 'fuses = [ { id = "F1", amps = 10 }, { id = "F2", amps = 10 } ]\n'
    return rig(f"{fuses}loads = [ {loads} ]\n{more}{wires(*ends)}", batteries=batteries, build=build)


def asleep_milliamps(review: DrawReview) -> dict[str, float]:
    """Give what each fuse that carries anything carries asleep, in milliamperes to a hundredth."""
    return {one.fuse_id: round(1000 * one.asleep_amps, 2) for one in review.fuses if abs(one.asleep_amps) > 1e-6}


def test_a_clock_on_a_permanent_feed_is_all_that_draws() -> None:
    """12 V over 1200 Ω are 10 mA through F1; F2 carries nothing, and no electronics: 0 to 5 mA would be right."""
    review = reviewed(fused("G1.+ F1.in", "F1.out E1.+", "E1.- CHASSIS", "G1.- CHASSIS", "G1.+ F2.in", loads=CLOCK))
    assert asleep_milliamps(review) == {"F1": 10.0}
    assert review.asleep_amps == pytest.approx(0.01, rel=1e-3)
    assert [one.name for one in review.fuses[0].drawers] == ["E1:load"]
    assert (review.limit.low, review.limit.high, review.limit.unit) == (0.0, 5.0, "mA")
    assert (review.wait_minutes, review.wait_source) == (0.0, "")


def test_electronics_behind_the_key_leave_a_clock_the_larger_limit() -> None:
    """A control unit that draws nothing with the key off is still there: 50 mA are usual then, not 5."""
    module = 'modules = [ { id = "A1", feeds = [ { terminal = "15", amps = 0.5 } ] } ]\n'
    ends = ("G1.+ F1.in", "F1.out E1.+", "E1.- CHASSIS", "A1.31 CHASSIS", "G1.- CHASSIS")
    review = reviewed(fused(*ends, loads=CLOCK, more=module))
    assert review.asleep_amps == pytest.approx(0.01, rel=1e-3)
    assert review.limit_amps == 0.05
    assert review.wait_minutes == 0.0


def test_a_control_unit_draws_less_asleep_and_the_others_go_on() -> None:
    """50 mA awake, 2 mA asleep, the clock its 10 mA: 60 and 12 mA. It sleeps after 15 min by the file."""
    module = (
        'modules = [ { id = "A1", feeds = [ { terminal = "30", amps = 0.05, asleep_amps = 0.002 } ], '
        "asleep_after_minutes = 15 } ]\n"
    )
    ends = ("G1.+ F1.in", "F1.out E1.+", "F1.out A1.30", "E1.- CHASSIS", "A1.31 CHASSIS", "G1.- CHASSIS")
    review = reviewed(fused(*ends, loads=CLOCK, more=module))
    assert review.fuses[0].awake_amps == pytest.approx(0.060, rel=1e-3)
    assert review.fuses[0].asleep_amps == pytest.approx(0.012, rel=1e-3)
    assert [one.name for one in review.fuses[0].drawers] == ["A1:30", "E1:load"]
    assert review.sleepers == ("A1",)
    assert review.wait_minutes == 15.0
    assert review.limit.value == 50.0


def test_a_unit_that_gives_no_minutes_is_waited_for_as_a_maker_says() -> None:
    """20 min, with the maker's manual as the source; one that never sleeps draws the same awake and asleep."""
    module = (
        'modules = [ { id = "A1", feeds = [ { terminal = "30", amps = 0.05, asleep_amps = 0.002 } ] }, '
        '{ id = "A2", feeds = [ { terminal = "30", amps = 0.03 } ] } ]\n'
    )
    ends = ("G1.+ F1.in", "F1.out A1.30", "F1.out A2.30", "A1.31 CHASSIS", "A2.31 CHASSIS", "G1.- CHASSIS")
    review = reviewed(fused(*ends, loads=CLOCK, more=module))
    assert review.wait_minutes == 20.0
    assert review.wait_source.startswith("Jeep")
    assert review.sleepers == ("A1",)
    assert review.fuses[0].asleep_amps == pytest.approx(0.032, rel=1e-3)


def test_what_hangs_past_every_fuse_is_told_and_counted() -> None:
    """A heater of 600 Ω on the post draws 20 mA by no fuse: 30 mA in all with the clock."""
    review = reviewed(
        fused(
            "G1.+ F1.in", "F1.out E1.+", "E1.- CHASSIS", "G1.- CHASSIS", "G1.+ E2.+", "E2.- CHASSIS",
            loads=CLOCK + ', { id = "E2", kind = "heater", ohms = 600 }',
        )
    )  # fmt: skip
    (bank,) = review.banks
    assert [(one.name, round(one.asleep_amps, 5)) for one in bank.unfused] == [("E2:load", 0.02)]
    assert bank.asleep_amps == pytest.approx(0.03, rel=1e-3)
    assert bank.fuses == ("F1",)


def test_through_a_diode_the_load_is_found_behind_the_fuse() -> None:
    """12 V less 0.7 V over 1130 Ω are 10 mA; the diode passes on, the lamp side draws."""
    diode = 'diodes = [ { id = "V1" } ]\n'
    ends = ("G1.+ F1.in", "F1.out V1.anode", "V1.cathode E1.+", "E1.- CHASSIS", "G1.- CHASSIS")
    review = reviewed(fused(*ends, loads='{ id = "E1", kind = "heater", ohms = 1130 }', more=diode))
    assert asleep_milliamps(review) == {"F1": 10.0}
    assert [one.name for one in review.fuses[0].drawers] == ["E1:load"]


def test_a_fuse_behind_a_fuse_is_not_counted_twice() -> None:
    """10 mA through F1 and on through F2 are 10 mA in all; F2 stands behind F1, and the clock on F2."""
    ends = ("G1.+ F1.in", "F1.out F2.in", "F2.out E1.+", "E1.- CHASSIS", "G1.- CHASSIS")
    review = reviewed(fused(*ends, loads=CLOCK))
    assert asleep_milliamps(review) == {"F1": 10.0, "F2": 10.0}
    assert review.asleep_amps == pytest.approx(0.01, rel=1e-3)
    assert [one.behind for one in review.fuses] == ["", "F1"]
    assert [[one.name for one in draw.drawers] for draw in review.fuses] == [[], ["E1:load"]]


def test_on_positive_ground_what_is_drawn_counts_as_drawn() -> None:
    """Current comes in from the body and goes through F1 to the negative post: 10 mA all the same, no minus sign."""
    ends = ("G1.- F1.in", "F1.out E1.-", "E1.+ CHASSIS", "G1.+ CHASSIS")
    review = reviewed(fused(*ends, loads=CLOCK, build='nominal_volts = 12, ground_side = "positive"'))
    assert asleep_milliamps(review) == {"F1": 10.0}
    assert review.banks[0].asleep_amps == pytest.approx(0.01, rel=1e-3)
    assert [one.name for one in review.fuses[0].drawers] == ["E1:load"]


def test_without_a_body_two_batteries_are_two_banks() -> None:
    """G1 gives 10 mA through F1, G2 nothing: each bears its own draw."""
    two = f'{FLAT}, {{ id = "G2", emf = 12, ohms = 1e-6, amp_hours = 40 }}'
    ends = ("G1.+ F1.in", "F1.out E1.+", "E1.- G1.-", "G1.- G2.-", "G2.+ F2.in")
    review = reviewed(fused(*ends, loads=CLOCK, batteries=two, build="nominal_volts = 12, chassis = false"))
    assert [(bank.batteries, round(bank.asleep_amps, 5)) for bank in review.banks] == [(("G1",), 0.01), (("G2",), 0.0)]
    assert [bank.time.capacity.amp_hours for bank in review.banks] == [60.0, 40.0]


def test_of_batteries_in_series_the_one_with_the_tap_is_empty_first() -> None:
    """24 V of two: 10 mA by the clock over both, 10 mA more by a load on the lower one's tap, which gives 20 mA."""
    two = '{ id = "G1", emf = 12, ohms = 1e-6, amp_hours = 60 }, { id = "G2", emf = 12, ohms = 1e-6, amp_hours = 60 }'
    ends = ("G1.+ F1.in", "F1.out E1.+", "E1.- CHASSIS", "G2.- CHASSIS", "G1.- G2.+", "G2.+ F2.in", "F2.out E2.+",
            "E2.- CHASSIS")  # fmt: skip
    loads = '{ id = "E1", kind = "heater", ohms = 2400 }, { id = "E2", kind = "heater", ohms = 1200 }'
    review = reviewed(fused(*ends, loads=loads, batteries=two, build="nominal_volts = 24"))
    (bank,) = review.banks
    assert bank.batteries == ("G1", "G2")
    assert asleep_milliamps(review) == {"F1": 10.0, "F2": 10.0}
    assert bank.time.draw_amps == pytest.approx(0.02, rel=1e-3)
    assert bank.time.hours == pytest.approx(30.0 / (0.02 + 60.0 * 0.05 / 730.0), rel=1e-3)


@pytest.mark.parametrize(("wire", "shorted"), [("F1.out CHASSIS", ()), ("G1.+ CHASSIS", ("G1",))])
def test_a_battery_whose_posts_metal_joins_is_named(wire: str, shorted: tuple[str, ...]) -> None:
    """From post to post the current passes no load: no draw is told. Behind a fuse it opens that, no more."""
    review = reviewed(fused("G1.+ F1.in", wire, "G1.- CHASSIS", loads=CLOCK))
    assert review.shorted == shorted
    assert review.unsettled == (() if shorted else ("F1",))
    words = review_text(draw_sheet(fused("G1.+ F1.in", wire, "G1.- CHASSIS", loads=CLOCK), review))
    assert ("Metal joins the posts of G1, with no load between" in words) is bool(shorted)
    assert ("G1: " in words) is not bool(shorted)


def test_of_batteries_in_series_that_lose_at_one_rate_the_smaller_is_named() -> None:
    """Nothing drawn: each loses 5 % of its own a month, so that both last as long; the chain is no more than 80 Ah."""
    loom = rig(
        wires("G1.- G2.+", "G2.- CHASSIS"),
        build="nominal_volts = 24",
        batteries='{ id = "G1", amp_hours = 100 }, { id = "G2", amp_hours = 80 }',
    )
    (bank,) = draw_review(Bench(loom)).banks
    assert bank.time.capacity.amp_hours == 80


def test_batteries_side_by_side_are_one_bank_with_both_capacities() -> None:
    """60 and 40 Ah on one bar: 100 Ah bear the 10 mA together."""
    two = f'{FLAT}, {{ id = "G2", emf = 12, ohms = 1e-6, amp_hours = 40 }}'
    ends = ("G1.+ F1.in", "F1.out E1.+", "E1.- CHASSIS", "G1.- CHASSIS", "G1.+ G2.+", "G2.- CHASSIS")
    (bank,) = reviewed(fused(*ends, loads=CLOCK, batteries=two)).banks
    assert bank.batteries == ("G1", "G2")
    assert bank.time.capacity.amp_hours == 100.0
    assert bank.time.draw_amps == pytest.approx(0.01, rel=1e-2)


def test_a_charger_that_would_hide_the_draw_is_taken_as_off() -> None:
    """A solar charger that is on with the key off: off for the review, and named."""
    charger = 'chargers = [ { id = "G2", volts = 13.8, active = ["off"] } ]\n'
    ends = ("G1.+ F1.in", "F1.out E1.+", "E1.- CHASSIS", "G1.- CHASSIS", "G2.+ G1.+", "G2.- CHASSIS")
    review = reviewed(fused(*ends, loads=CLOCK, more=charger))
    assert review.chargers_off == ("G2",)
    assert review.awake.by_name == {"G2": OFF}
    assert asleep_milliamps(review) == {"F1": 10.0}
    assert review.banks[0].time.draw_amps == pytest.approx(0.01, rel=1e-3)


def test_what_blows_at_rest_is_named() -> None:
    """0.1 Ω across 12 V blow F1 whatever the key does: the figures are of no use, and it says whose fault it is."""
    ends = ("G1.+ F1.in", "F1.out E1.+", "E1.- CHASSIS", "G1.- CHASSIS")
    review = reviewed(fused(*ends, loads='{ id = "E1", kind = "heater", ohms = 0.1 }'))
    assert review.unsettled == ("F1",)
    assert asleep_milliamps(review) == {}


def test_a_large_draw_empties_the_battery_faster_than_its_capacity_says() -> None:
    """Nearly 6 A are above 60 Ah / 20 h = 3 A: half of 20 x (60 / (20 x current)) ** 1.25 h, less than 30 Ah give."""
    ends = ("G1.+ F1.in", "F1.out E1.+", "E1.- CHASSIS", "G1.- CHASSIS")
    (bank,) = reviewed(fused(*ends, loads='{ id = "E1", kind = "heater", ohms = 2 }')).banks
    assert bank.time.is_fast
    amps = bank.time.draw_amps + 60.0 * 0.05 / 730.0
    assert 5.5 < amps < 6.0
    assert bank.time.hours == pytest.approx(0.5 * 20.0 * (60.0 / (20.0 * amps)) ** 1.25)
    assert bank.time.hours < 0.9 * 30.0 / amps


@pytest.mark.parametrize(
    ("battery", "amp_hours", "known_from", "share"),
    [
        ("amp_hours = 70, reserve_minutes = 60", 70.0, CapacityFrom.GIVEN, 0.5),
        ("reserve_minutes = 100", 66.0, CapacityFrom.RESERVE, 0.5),
        ('chemistry = "lithium", amp_hours = 20', 20.0, CapacityFrom.GIVEN, 0.8),
        ("ohms = 0.01", 60.0, CapacityFrom.ASSUMED, 0.5),
    ],
)
def test_the_capacity_is_what_the_file_gives_or_is_said_to_be_none(
    battery: str, amp_hours: float, known_from: CapacityFrom, share: float
) -> None:
    """Given before estimated before assumed; lithium may give four fifths (a judgement)."""
    loom = rig(wires("G1.+ G1.-").replace("G1.-", "CHASSIS"), batteries=f'{{ id = "G1", {battery} }}')
    (bank,) = reviewed(loom).banks
    assert bank.time.capacity.amp_hours == amp_hours
    assert bank.time.capacity.known_from is known_from
    assert bank.time.usable_share == share


def test_the_limits_are_those_that_makers_print() -> None:
    """Ford 25 to 50 mA after 75 min, Lincoln 50 mA after 40 min, Saturn 10 to 30 mA after 5 min."""
    printed = [(one.low, one.high, one.source.split()[0]) for one in figures("draw")]
    assert printed[:3] == [(25.0, 50.0, "Ford"), (None, 50.0, "Lincoln"), (10.0, 30.0, "Saturn")]
    assert [str(one.source_kind) for one in figures("draw")] == ["published"] * 3 + ["judgement"]


@pytest.mark.parametrize("path", BUILDS, ids=lambda path: path.stem)
def test_fuses_and_what_hangs_on_none_give_all_that_the_battery_gives(path: Path) -> None:
    """Kirchhoff: the sum of a bank is what its batteries give, awake and asleep."""
    bench = Bench(read_harness(path))
    review = draw_review(bench)
    for condition, attribute in ((review.awake, "awake_amps"), (review.asleep, "asleep_amps")):
        flow = Flow(bench.survey(condition).settled)
        for bank in review.banks:
            given = max(flow.battery_amps(name) for name in bank.batteries)
            assert getattr(bank, attribute) == pytest.approx(given, abs=1e-6)


def test_the_buggy_draws_what_its_memories_draw() -> None:
    """12.7 V over 240 and 600 Ω: 53 and 21 mA awake; 1/25 and 1/5 of it asleep, 6.3 mA in all."""
    review = draw_review(Bench(read_harness(next(path for path in BUILDS if path.stem == "trail_buggy"))))
    assert {one.fuse_id: round(1000 * one.awake_amps, 1) for one in review.fuses if one.awake_amps > 1e-3} == {
        "F1": 74.0,
        "F19": 21.2,
        "F22": 52.9,
    }
    assert round(1000 * review.asleep_amps, 2) == 6.35
    assert review.wait_minutes == 10.0
