"""Everything on at once: few conditions, and every load in one that feeds it."""

from pathlib import Path

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import OUT
from model.harness.harness import all_elements
from model.harness.toml_file import read_harness
from model.review.fed_points import Fed
from model.review.finding import FindingRule
from model.review.fuse_use import Concern, fuse_review
from model.review.sweep import sweep
from model.tracing.working import WORKS_AT_SHARE, working_condition
from tests.model.review.looms import HEAD, findings, loom, wires

BUILDS = sorted((Path(__file__).parent.parent.parent.parent / "demo_builds").glob("*.toml"))


@pytest.mark.parametrize("path", BUILDS, ids=lambda path: path.stem)
def test_a_load_is_found_fed_exactly_where_its_working_condition_feeds_it(path: Path) -> None:
    """What the sweep finds fed can work, and what can work is found fed."""
    bench = Bench(read_harness(path))
    found = sweep(bench)
    for element in all_elements(bench.harness):
        survey = found.feeding(element)
        assert (survey is not None) == working_condition(bench, element).reached, element.name
        if survey is not None:
            assert survey.loads[element.name].volts >= WORKS_AT_SHARE * element.at_volts


@pytest.mark.parametrize("path", BUILDS, ids=lambda path: path.stem)
def test_every_key_state_stands_at_rest_and_no_fuse_blows_in_what_counts(path: Path) -> None:
    """Each key state is there at rest; where everything on would blow a fuse it tells nothing of loads."""
    harness = read_harness(path)
    found = sweep(Bench(harness))
    assert tuple(found.at_rest) == harness.key_names
    assert found.all_on
    assert not any(survey.settled.blown for survey in found.all_on)


def test_everything_on_moves_each_switch_through_all_its_positions() -> None:
    """Of each switch that a hand moves every position but the one at rest comes up."""
    harness = read_harness(BUILDS[-1])
    found = sweep(Bench(harness))
    moved = {pair for survey in found.all_on for pair in survey.settled.condition.settings}
    for switch in harness.switches:
        if not switch.key and not switch.follows:
            rest = switch.rest or next(iter(switch.positions))
            assert {(switch.id, position) for position in switch.positions if position != rest} <= moved


BUZZER = """
fuses = [ { id = "F1", amps = 10 }, { id = "F2", amps = 5 } ]
relays = [ { id = "K1", contacts = "changeover" } ]
switches = [ { id = "S1" } ]
loads = [
  { id = "E1", kind = "lamp", watts = 21 }, { id = "E2", kind = "lamp", watts = 5 },
  { id = "E3", kind = "horn", amps = 4 },
]
"""
ENDS = (
    "G1.+ F1.in",
    "F1.out S1.1",
    "S1.2 E1.+",
    "E1.- CHASSIS",
    "F1.out E2.+",
    "E2.- CHASSIS",
    "G1.+ F2.in",
    "F2.out K1.30",
    "K1.87a K1.86",
    "K1.85 CHASSIS",
    "K1.87 E3.+",
    "E3.- CHASSIS",
    "G1.- CHASSIS",
)


def test_one_relay_that_buzzes_hides_nothing_of_the_rest_of_the_loom() -> None:
    """A relay fed by its own break contact never rests: the lamps beside it have their feed, with and without S1."""
    bench = Bench(loom(HEAD + BUZZER + wires(*ENDS)))
    found = sweep(bench)
    assert all(survey.settled.buzzing == ("K1",) for survey in (*found.at_rest.values(), *found.set_aside))
    assert all(survey.settled.condition.by_name["K1"] == OUT for survey in found.all_on)
    elements = {element.name.partition(":")[0]: element for element in all_elements(bench.harness)}
    assert found.feeding(elements["E1"]) is not None
    assert found.feeding(elements["E2"]) is not None


@pytest.mark.parametrize("break_contact", ["K1.87a", "F2.out"])
def test_a_load_behind_a_buzzing_contact_is_told_with_the_relay_alone(break_contact: str) -> None:
    """The horn on the contact that never rests has no feed of its own to look for; of a relay that rests it works."""
    text = HEAD + BUZZER + wires(*(pair.replace("K1.87a", break_contact) for pair in ENDS))
    rules = [one.rule for one in findings(text)]
    assert FindingRule.NO_FEED not in rules
    assert (FindingRule.RELAY_BUZZES in rules) is (break_contact == "K1.87a")


def test_a_fuse_on_the_battery_is_fed_at_rest_though_a_relay_buzzes() -> None:
    """Both fuses hang on the battery: fed in every key state with nothing moved, whatever the relay does."""
    uses = fuse_review(Bench(loom(HEAD + BUZZER + wires(*ENDS))))
    assert all(set(use.fed.values()) == {Fed.AT_REST} for use in uses)
    assert all(Concern.NEVER_FED not in use.concerns for use in uses)
    assert uses[0].most is not None
    assert uses[0].most.amps > 2.0


def test_a_fuse_that_blows_at_rest_hides_nothing_of_the_rest_of_the_loom() -> None:
    """A wire from F2 to the body blows it whatever is moved: the lamp behind F1 works, and only F2 is told."""
    rows = 'fuses = [ { id = "F1", amps = 10 }, { id = "F2", amps = 5 } ]\nswitches = [ { id = "S1" } ]\n'
    lamp = 'loads = [ { id = "E1", kind = "lamp", watts = 21 } ]\n'
    ends = ("G1.+ F1.in", "F1.out S1.1", "S1.2 E1.+", "E1.- CHASSIS", "G1.+ F2.in", "F2.out CHASSIS", "G1.- CHASSIS")
    text = HEAD + rows + lamp + wires(*ends)
    bench = Bench(loom(text))
    found = sweep(bench)
    assert all(survey.settled.blown == ("F2",) for survey in (*found.at_rest.values(), *found.set_aside))
    assert found.feeding(all_elements(bench.harness)[0]) is not None
    rules = {one.rule for one in findings(text)}
    assert FindingRule.FUSE_BLOWS in rules
    assert FindingRule.NO_FEED not in rules
