"""A check beside the load's own way says what on that way it tells about."""

from pathlib import Path

import pytest

from model.circuit.bench import Bench
from model.harness.toml_file import read_harness
from model.tracing.checks import Check, CheckKind
from model.tracing.complaint import Complaint
from model.tracing.inquiry import Inquiry, open_inquiry
from model.tracing.off_way import off_way_words

DEMOS = Path(__file__).parents[3] / "demo_builds"


@pytest.fixture(scope="module")
def pump() -> Inquiry:
    """Give what is worked out for the buggy's dead fuel pump."""
    return open_inquiry(Bench(read_harness(DEMOS / "trail_buggy.toml")), Complaint(("M2:load",)))


def test_instrument_feed_tells_of_the_bus_that_feeds_the_pump_relay(pump: Inquiry) -> None:
    """X1.7 hangs on F43, and F43 on the ignition bus BB4, from which the relay's coil is fed."""
    check = Check(CheckKind.VOLTS, pump.condition, red="X1.cab.7", black="G1.-")
    assert check in pump.off_way
    assert off_way_words(pump, check) == "It tells whether busbar BB4 (Ignition bus) is live."


def test_another_load_tells_of_what_both_hang_on(pump: Inquiry) -> None:
    """The charge lamp is fed from the same bus."""
    check = Check(CheckKind.OBSERVE, pump.condition, load="E20:load")
    assert off_way_words(pump, check) == "It tells whether busbar BB4 (Ignition bus) is live."


def test_point_on_the_way_needs_no_reason(pump: Inquiry) -> None:
    """The relay's pin 86 is where one would look anyway."""
    check = Check(CheckKind.VOLTS, pump.condition, red="K7.86", black="G1.-")
    assert check not in pump.off_way
    assert off_way_words(pump, check) == ""


def test_what_the_check_itself_makes_dead_is_not_called_grounded() -> None:
    """With the fuse of the cabin lights out and the lamp unplugged, K4.30 on its feed side has no volts."""
    launch = open_inquiry(Bench(read_harness(DEMOS / "harbour_launch.toml")), Complaint(("E15:load",)))
    lamp = next(one for one in launch.checks if one.kind is CheckKind.LAMP and one.black == "K4.87a")
    assert lamp.condition.by_name["F31"] == "out"
    assert off_way_words(launch, lamp) == ""


def test_a_point_on_the_ground_side_is_called_grounded(pump: Inquiry) -> None:
    """Where the pump is grounded other loads are too: a reading at one of these tells whether that point is."""
    told = {off_way_words(pump, one) for one in pump.off_way}
    assert any(words.endswith(" is grounded.") for words in told)
