"""When a load should work: as the file says, else as it is found by searching."""

from __future__ import annotations

import pytest

from model.circuit.bench import Bench
from model.harness.harness import Harness, all_elements
from model.tracing.by_hand import metal_by_hand
from model.tracing.walk import find_element
from model.tracing.working import WORKS_AT_SHARE, Working, working_condition
from tests.model.tracing.rigs import DEMO_NAMES, demo, rig, wires

KEYED = """
switches = [
  { id = "S0", key = true, terminals = [30, 15], positions = { off = [], on = [[30, 15]], running = [[30, 15]] } },
  { id = "S1", label = "Lamp switch", terminals = [1, 2], positions = { off = [], side = [[1, 2]], head = [[1, 2]] } },
  { id = "S2" }, { id = "S3" },
]
"""
LAMP = 'loads = [ { id = "E1", kind = "lamp", watts = 21%s } ]\n'


def keyed(ends: tuple[str, ...], more: str = "") -> Harness:
    """Give a lamp behind what the wires say, with a key switch and three switches at hand."""
    return rig(KEYED + LAMP % more + wires(*ends, "E1.- G1.-"))


def found(harness: Harness, load: str = "E1") -> Working:
    """Find the working condition of a load."""
    return working_condition(Bench(harness), find_element(harness, load))


def asked(working: Working) -> tuple[str, dict[str, str]]:
    """Give the key state and what is set."""
    return working.condition.key, working.condition.by_name


BEHIND_S1 = ("G1.+ S1.1", "S1.2 E1.+")
BEHIND_KEY = ("G1.+ S0.30", "S0.15 E1.+")
BEHIND_BOTH = ("G1.+ S0.30", "S0.15 S1.1", "S1.2 E1.+")


@pytest.mark.parametrize(
    ("ends", "expected"),
    [
        (("G1.+ E1.+",), ("off", {})),
        (BEHIND_S1, ("off", {"S1": "side"})),
        (BEHIND_KEY, ("on", {})),
        (BEHIND_BOTH, ("on", {"S1": "side"})),
        (("G1.+ S2.1", "S2.2 S3.1", "S3.2 E1.+"), ("off", {"S2": "on", "S3": "on"})),
        # by the key alone, or by S2 at any key: a turn of the key is no switch moved
        (("G1.+ S0.30", "S0.15 E1.+", "G1.+ S2.1", "S2.2 E1.+"), ("on", {})),
        # by S3 alone or by S1 and S2: the fewest
        (("G1.+ S1.1", "S1.2 S2.1", "S2.2 E1.+", "G1.+ S3.1", "S3.2 E1.+"), ("off", {"S3": "on"})),
    ],
)
def test_the_fewest_switches_are_moved_then_the_earliest_key_state(
    ends: tuple[str, ...], expected: tuple[str, dict[str, str]]
) -> None:
    """Without a word in the file the settings are searched for."""
    working = found(keyed(ends))
    assert asked(working) == expected
    assert (working.given, working.reached) == (False, True)


@pytest.mark.parametrize(
    ("ends", "more", "expected", "given"),
    [
        (BEHIND_BOTH, ', works_in = ["running"], works_with = { S1 = "head" }', ("running", {"S1": "head"}), True),
        (BEHIND_BOTH, ', works_in = ["running"]', ("running", {"S1": "side"}), False),
        (BEHIND_BOTH, ', works_with = { S1 = "head" }', ("on", {"S1": "head"}), False),
        (BEHIND_S1, ', works_in = ["running", "on"]', ("on", {"S1": "side"}), False),
        # the file is silent of S2, which is searched for
        (("G1.+ S2.1", "S2.2 S1.1", "S1.2 E1.+"), ', works_in = ["off"], works_with = { S1 = "side" }',
         ("off", {"S1": "side", "S2": "on"}), False),
        # any row of a list serves; the first that needs the least besides is taken
        (BEHIND_S1, ', works_in = ["off"], works_with = [ { S1 = "head" }, { S1 = "side" } ]',
         ("off", {"S1": "head"}), True),
        (BEHIND_S1, ', works_with = [ { S2 = "on" }, { S1 = "side" } ]', ("off", {"S1": "side"}), False),
    ],
)  # fmt: skip
def test_what_the_file_says_stands_and_the_rest_is_searched(
    ends: tuple[str, ...], more: str, expected: tuple[str, dict[str, str]], given: bool
) -> None:
    """``works_in`` alone, ``works_with`` alone, both, and lists of tables; *given* only where nothing was searched."""
    working = found(keyed(ends, more))
    assert asked(working) == expected
    assert (working.given, working.reached) == (given, True)


def test_an_element_takes_over_what_its_load_says() -> None:
    """An element without its own ``works_in`` works when its load does; one with its own keeps it."""
    elements = (
        '[ { name = "tail", from = "58", to = "31", watts = 5 }, '
        '{ name = "stop", from = "54", to = "31", watts = 21, works_in = ["running"] } ]'
    )
    harness = rig(
        f'loads = [ {{ id = "E1", kind = "lamp", works_in = ["on"], elements = {elements} }} ]\n'
        + wires("G1.+ E1.58", "G1.+ E1.54", "E1.31 G1.-")
    )
    assert asked(found(harness, "E1:tail"))[0] == "on"
    assert asked(found(harness, "E1:stop"))[0] == "running"


def test_a_load_that_nothing_feeds_is_told_as_not_reached() -> None:
    """The far side of S1 is loose: the first key state, nothing set, not reached; S1 cannot reach it."""
    working = found(keyed(("G1.+ S1.1",)))
    assert asked(working) == ("off", {})
    assert (working.reached, working.switches) == (False, ())


def test_a_load_that_starves_in_every_setting_is_not_reached() -> None:
    """21 W at 12 V is 6.9 Ω; behind 7 Ω it never has 80 % of its volts, though metal leads there."""
    harness = rig(
        'switches = [ { id = "S1" } ]\nloads = [ { id = "E1", kind = "heater", watts = 21 } ]\n'
        'resistors = [ { id = "R1", elements = [ { name = "r", from = "a", to = "b", ohms = 7 } ] } ]\n'
        + wires("G1.+ S1.1", "S1.2 R1.a", "R1.b E1.+", "E1.- G1.-")
    )
    working = found(harness)
    assert (working.reached, working.switches) == (False, ("S1",))


def test_eighty_percent_of_the_rated_volts_is_enough() -> None:
    """10 Ω behind 2.4 Ω has 0.806 of what stands there, 12.7 V: 10.2 V of 12 V are 85 %; behind 4.5 Ω, 73 %."""
    for ohms, reached in ((2.4, True), (4.5, False)):
        harness = rig(
            'loads = [ { id = "E1", kind = "heater", ohms = 10 } ]\n'
            f'resistors = [ {{ id = "R1", elements = [ {{ name = "r", from = "a", to = "b", ohms = {ohms} }} ] }} ]\n'
            + wires("G1.+ R1.a", "R1.b E1.+", "E1.- G1.-")
        )
        assert found(harness).reached is reached
    assert WORKS_AT_SHARE == 0.80


def test_something_is_plugged_into_a_socket() -> None:
    """A socket works with a load in it, which is part of the condition."""
    harness = rig('loads = [ { id = "E1", kind = "socket", amps = 5 } ]\n' + wires("G1.+ E1.+", "E1.- G1.-"))
    assert asked(found(harness)) == ("off", {"E1": "on"})


FOLLOWED = """
switches = [
  { id = "S1", label = "Oil pressure switch", follows = { running = "on" } },
  { id = "S2" },
]
"""


def test_a_switch_that_follows_the_key_is_turned_by_the_key() -> None:
    """The lamp works once the engine runs, with nothing set."""
    harness = rig(FOLLOWED + LAMP % "" + wires("G1.+ S1.1", "S1.2 E1.+", "E1.- G1.-"))
    assert asked(found(harness)) == ("running", {})


def test_a_hand_moves_a_switch_that_follows_the_key_only_where_nothing_else_serves() -> None:
    """In ``off`` the switch by hand is taken though the other would serve too; alone that one is set, as if bridged."""
    both_ways = wires("G1.+ S1.1", "S1.2 E1.+", "G1.+ S2.1", "S2.2 E1.+", "E1.- G1.-")
    works_off = ', works_in = ["off"]'
    assert asked(found(rig(FOLLOWED + LAMP % works_off + both_ways))) == ("off", {"S2": "on"})
    alone = wires("G1.+ S1.1", "S1.2 E1.+", "E1.- G1.-")
    assert asked(found(rig(FOLLOWED + LAMP % works_off + alone))) == ("off", {"S1": "on"})


def test_a_plug_that_rests_apart_is_mated() -> None:
    """A trailer lamp: the plug in its socket, then the switch."""
    harness = rig(
        'switches = [ { id = "S1" } ]\nconnectors = [ { id = "X1", cavities = 2, rest = "apart" } ]\n'
        + LAMP % ""
        + wires("G1.+ S1.1", "S1.2 X1.plug.1", "X1.socket.1 E1.+", "E1.- X1.socket.2", "X1.plug.2 G1.-")
    )
    assert asked(found(harness)) == ("off", {"S1": "on", "X1": "mated"})


def driven(pulls: str, when: str, *ends: str) -> Harness:
    """Give a lamp with a control unit's driver on one side of it."""
    drivers = f'[ {{ terminal = "out", pulls = "{pulls}", when = {when} }} ]'
    module = f'modules = [ {{ id = "A1", feeds = [ {{ terminal = "15", amps = 0.2 }} ], drivers = {drivers} }} ]\n'
    return rig(module + LAMP % "" + wires("G1.+ A1.15", "A1.31 G1.-", *ends))


@pytest.mark.parametrize(
    ("pulls", "ends"),
    [("feed", ("A1.out E1.+", "E1.- G1.-")), ("ground", ("G1.+ E1.+", "E1.- A1.out"))],
)
def test_a_driver_works_in_its_key_states_and_is_set_only_where_it_has_none(pulls: str, ends: tuple[str, ...]) -> None:
    """On the feed side and on the ground side alike: its own key state first; without any it is commanded."""
    assert asked(found(driven(pulls, '["on"]', *ends))) == ("on", {})
    assert asked(found(driven(pulls, "[]", *ends))) == ("off", {"A1.out": "on"})


def test_a_relay_wants_its_coil_fed_and_grounded() -> None:
    """S1 feeds the coil and S2 grounds it; S3 on another lamp is not touched."""
    harness = rig(
        KEYED
        + 'relays = [ { id = "K1" } ]\n'
        + LAMP % ""
        + wires("G1.+ K1.30", "K1.87 E1.+", "E1.- G1.-", "G1.+ S1.1", "S1.2 K1.86", "K1.85 S2.1", "S2.2 G1.-")
    )
    working = found(harness)
    assert asked(working) == ("off", {"S1": "side", "S2": "on"})
    assert working.switches == ("S1", "S2")


def test_a_relay_contact_closed_at_rest_wants_nothing() -> None:
    """Through 87a the lamp burns at rest, though the coil's switch could open it."""
    harness = rig(
        'switches = [ { id = "S1" } ]\nrelays = [ { id = "K1", contacts = "break" } ]\n'
        + LAMP % ""
        + wires("G1.+ K1.30", "K1.87a E1.+", "E1.- G1.-", "G1.+ S1.1", "S1.2 K1.86", "K1.85 G1.-")
    )
    assert asked(found(harness)) == ("off", {})


def test_a_dimmer_is_turned_up_where_the_lamp_starves_at_its_rest() -> None:
    """At rest 50 Ω stand before the lamp, turned up none to speak of."""
    ohms = '{ rest = "dim", dim = 50, bright = 0.01 }'
    harness = rig(
        f'resistors = [ {{ id = "R1", elements = [ {{ name = "d", from = "a", to = "b", ohms = {ohms} }} ] }} ]\n'
        + LAMP % ""
        + wires("G1.+ R1.a", "R1.b E1.+", "E1.- G1.-")
    )
    assert asked(found(harness)) == ("off", {"R1": "bright"})


def test_the_key_switch_is_never_among_what_is_set() -> None:
    """Its position is the key state."""
    assert found(keyed(BEHIND_BOTH)).switches == ("S1",)


def test_trouble_elsewhere_does_not_hide_when_a_load_works() -> None:
    """A relay that cuts its own coil off buzzes for ever; the lamp beside it works all the same."""
    harness = rig(
        'relays = [ { id = "K1", contacts = "break" } ]\n'
        + LAMP % ""
        + wires("G1.+ K1.30", "K1.87a K1.86", "K1.85 G1.-", "G1.+ E1.+", "E1.- G1.-"),
        batteries='{ id = "G1", ohms = 0.001 }',  # else the coil's current moves every point by over a millivolt
    )
    assert found(harness).reached


def test_many_switches_that_cannot_help_are_not_tried_for_ever() -> None:
    """Thirty switches side by side into 20 Ω before a lamp of 7 Ω: given up after the most circuits that it solves."""
    count = 30
    switches = ", ".join(f'{{ id = "S{n}" }}' for n in range(count))
    ends = [pair for n in range(count) for pair in (f"G1.+ S{n}.1", f"S{n}.2 R1.a")]
    harness = rig(
        f"switches = [ {switches} ]\n"
        'resistors = [ { id = "R1", elements = [ { name = "r", from = "a", to = "b", ohms = 20 } ] } ]\n'
        + LAMP % ""
        + wires(*ends, "R1.b E1.+", "E1.- G1.-")
    )
    assert not found(harness).reached


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_load_of_the_demo_builds_is_reached(name: str) -> None:
    """Each has a working condition in which the healthy circuit feeds it; the tractor says none of them in its file."""
    harness = demo(name)
    bench = Bench(harness)
    for element in all_elements(harness):
        working = working_condition(bench, element)
        assert working.reached, element.name
        reading = bench.survey(working.condition).loads[element.name]
        assert reading.volts >= 0.8 * element.at_volts
        assert metal_by_hand(harness).may_feed(element, working.condition)


def test_no_load_of_the_tractor_says_when_it_works() -> None:
    """One demo build is without any ``works_in``, so that the search alone serves it."""
    harness = demo("field_tractor")
    assert not any(one.record is not None and one.record.works_in for one in all_elements(harness))
