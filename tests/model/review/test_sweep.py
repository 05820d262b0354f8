"""Everything on at once: few conditions, and every load in one that feeds it."""

from pathlib import Path

import pytest

from model.circuit.bench import Bench
from model.harness.harness import all_elements
from model.harness.toml_file import read_harness
from model.review.sweep import sweep
from model.tracing.working import WORKS_AT_SHARE, working_condition

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
