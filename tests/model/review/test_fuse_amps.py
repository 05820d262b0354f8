"""Amperes of fuses beside hand calculation, and times of opening beside the standard."""

from __future__ import annotations

import pytest

from model.harness.parts import Fuse, FuseStyle
from model.review.fuse_amps import opening_band
from model.review.fuse_use import Concern
from tests.model.review.fuse_rigs import BEHIND, KEY_SWITCH, KEYS, short_wires, stiff_rig, uses_of
from tests.model.tracing.rigs import rig

LAMP_24 = 'fuses = [ { id = "F1", amps = 5 } ]\nloads = [ { id = "E1", kind = "lamp", watts = 21 } ]\n' + short_wires(
    "G1.+ F1.in", "F1.out E1.+", "E1.- G1.-"
)


def test_a_lamp_of_21_watts_at_12_volts_takes_one_and_three_quarter_amperes() -> None:
    """21 W / 12 V = 1.75 A through its fuse, and through the link before it."""
    uses = uses_of(stiff_rig(BEHIND))
    for name in ("F1", "F2"):
        most = uses[name].most
        assert most is not None
        assert most.amps == pytest.approx(1.75, rel=0.01)
    spare = uses["F3"].most
    assert spare is not None
    assert spare.amps == pytest.approx(0, abs=1e-9)


def test_on_24_volts_it_takes_half() -> None:
    """21 W / 24 V = 0.875 A."""
    most = uses_of(rig(LAMP_24, build="nominal_volts = 24", batteries='{ id = "G1", emf = 24, ohms = 1e-6 }'))[
        "F1"
    ].most
    assert most is not None
    assert most.amps == pytest.approx(0.875, rel=0.01)


def test_on_positive_ground_it_takes_the_same() -> None:
    """6 V, positive post grounded: 21 W / 6 V = 3.5 A, counted whichever way it flows."""
    harness = rig(
        'fuses = [ { id = "F1", amps = 10, style = "glass" } ]\nloads = [ { id = "E1", kind = "lamp", watts = 21 } ]\n'
        + short_wires("G1.- F1.in", "F1.out E1.-", "E1.+ G1.+"),
        build='nominal_volts = 6, ground_side = "positive"',
        batteries='{ id = "G1", emf = 6, ohms = 1e-6 }',
    )
    most = uses_of(harness)["F1"].most
    assert most is not None
    assert most.amps == pytest.approx(3.5, rel=0.01)


def test_what_a_switch_turns_on_counts_with_it_on() -> None:
    """A heater of 10 A behind a switch: 10 A with it on, in that condition."""
    harness = stiff_rig(
        'fuses = [ { id = "F1", amps = 15 } ]\nswitches = [ { id = "S1" } ]\n'
        'loads = [ { id = "E1", kind = "heater", amps = 10 } ]\n'
        + short_wires("G1.+ F1.in", "F1.out S1.1", "S1.2 E1.+", "E1.- G1.-")
    )
    most = uses_of(harness)["F1"].most
    assert most is not None
    assert most.amps == pytest.approx(10, rel=0.03)
    assert most.condition.by_name == {"S1": "on"}


def test_a_fuse_that_its_loads_open_is_told_with_what_they_ask_for() -> None:
    """10 A on a fuse of 5 A are 200 %, over the 1.35 times at which it opens: told as 10 A, not as none."""
    harness = stiff_rig(
        'fuses = [ { id = "F1", amps = 5 } ]\nloads = [ { id = "E1", kind = "heater", amps = 10 } ]\n'
        + short_wires("G1.+ F1.in", "F1.out E1.+", "E1.- G1.-")
    )
    use = uses_of(harness)["F1"]
    assert use.most is not None
    assert use.most.amps == pytest.approx(10, rel=0.03)
    assert Concern.LOADS_OPEN_IT in use.concerns


@pytest.mark.parametrize(("amps", "concern"), [(7.0, None), (9.0, Concern.OVER_SHARE), (11.0, Concern.OVER_RATING)])
def test_a_fuse_is_held_to_its_rating_and_to_what_workshops_load_one_with(amps: float, concern: Concern | None) -> None:
    """10 A: 7 A are nothing to tell, 9 A over 80 %, 11 A over its rating and under the 13.5 A that open it."""
    harness = stiff_rig(
        f'fuses = [ {{ id = "F1", amps = 10 }} ]\nloads = [ {{ id = "E1", kind = "heater", amps = {amps} }} ]\n'
        + short_wires("G1.+ F1.in", "F1.out E1.+", "E1.- G1.-")
    )
    told = [one for one in uses_of(harness)["F1"].concerns if one in (Concern.OVER_SHARE, Concern.OVER_RATING)]
    assert told == ([concern] if concern else [])


def test_cranking_counts_for_the_most_and_not_for_what_lasts() -> None:
    """A solenoid of 20 A on terminal 50 is the most of F1; for long it carries the 2 A of the lamp on 15."""
    harness = stiff_rig(
        f'fuses = [ {{ id = "F1", amps = 30 }} ]\nswitches = [ {KEY_SWITCH} ]\n'
        'loads = [ { id = "Y1", kind = "solenoid", amps = 20 }, { id = "E1", kind = "heater", amps = 2 } ]\n'
        + short_wires("G1.+ F1.in", "F1.out S0.30", "S0.50 Y1.+", "S0.15 E1.+", "Y1.- G1.-", "E1.- G1.-"),
        states=KEYS,
    )
    use = uses_of(harness)["F1"]
    assert use.most is not None
    assert use.lasting is not None
    assert (use.most.condition.key, use.lasting.condition.key) == ("crank", "ignition")
    assert use.most.amps == pytest.approx(22, rel=0.03)
    assert use.lasting.amps == pytest.approx(2, rel=0.03)


def test_a_start_is_as_the_file_gives_it_while_the_rest_runs() -> None:
    """A fan of 10 A that starts with 30 A beside a heater of 4 A: 34 A, and the fan is named."""
    harness = stiff_rig(
        'fuses = [ { id = "F1", amps = 20 } ]\n'
        'loads = [ { id = "M1", kind = "motor", amps = 10, start_amps = 30 }, '
        '{ id = "E1", kind = "heater", amps = 4 } ]\n'
        + short_wires("G1.+ F1.in", "F1.out M1.+", "F1.out E1.+", "M1.- G1.-", "E1.- G1.-")
    )
    start = uses_of(harness)["F1"].start
    assert start is not None
    assert (start.loads, start.is_given) == (("M1:load",), True)
    assert start.amps == pytest.approx(34, rel=0.02)


def test_a_filament_starts_with_twelve_times_its_current_where_nothing_holds_it_back() -> None:
    """12 × 1.75 A = 21 A cold (a twelfth of its hot resistance), a little less through the fuse; by its kind."""
    start = uses_of(stiff_rig(BEHIND))["F2"].start
    assert start is not None
    assert 17.5 < start.amps < 21.0
    assert not start.is_given


def test_a_fuse_of_10_amperes_at_18_9_opens_between_the_bounds_of_its_neighbours() -> None:
    """189 % stands between 160 % (0.25 to 50 s) and 200 % (0.15 to 5 s): no sooner than 0.15, no later than 50 s."""
    band = opening_band(Fuse(id="F1", amps=10), 18.9)
    assert band is not None
    assert band.percent == pytest.approx(189)
    assert (band.least_seconds, band.most_seconds) == (0.15, 50.0)


def test_no_time_is_told_where_a_fuse_bears_it_or_none_is_published() -> None:
    """At 110 % a blade fuse holds 100 hours (ISO 8820-3); a glass fuse has no band here."""
    assert opening_band(Fuse(id="F1", amps=10), 11.0) is None
    assert opening_band(Fuse(id="F1", amps=10, style=FuseStyle.GLASS), 50.0) is None
    assert opening_band(Fuse(id="F1", style=FuseStyle.THERMAL), 50.0) is None


def test_beyond_the_last_multiple_only_the_longest_time_is_known() -> None:
    """Over 600 % a blade fuse opens within 0.1 s, how soon the standard does not say (ISO 8820-3 type C)."""
    band = opening_band(Fuse(id="F1", amps=10), 80.0)
    assert band is not None
    assert (band.least_seconds, band.most_seconds) == (None, 0.1)
