"""How well traces end, over the demo builds and generated looms: a fixed sample, more of them with --every-trace.

The bounds are judgement: what somebody under the dash would put up with. The figures are those of
`python -m tests.benchmarks.trace_bounds`.
"""

import pytest

from model.harness.harness import Harness
from model.harness.parts import Battery
from model.tracing.asking import Finding
from model.tracing.fault_words import singles_of, suspect_place
from model.tracing.names import site_parts
from model.tracing.repair import NAMED_AT_MOST, finding_sentence
from model.tracing.suspects import RECORD, Suspect
from tests.benchmarks.trace_bounds import Figures, Traced, builds, figures_of
from tests.model.tracing.fixed_sample import BY_MODEL, EVENLY, SEED, fixed_traces

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def traces(request: pytest.FixtureRequest) -> list[Traced]:
    """Give traces of faults that are drawn by their weights."""
    take_all = bool(request.config.getoption("--every-trace"))
    return fixed_traces(BY_MODEL, seed=SEED, take_all=take_all)


@pytest.fixture(scope="module")
def figures(traces: list[Traced]) -> Figures:
    """Give the figures of these traces."""
    return figures_of(traces)


@pytest.fixture(scope="module")
def even_traces(request: pytest.FixtureRequest) -> list[Traced]:
    """Give traces of faults that are drawn evenly over their kinds."""
    take_all = bool(request.config.getoption("--every-trace"))
    return fixed_traces(EVENLY, seed=SEED + 1, take_all=take_all, even=True)


def missed(traces: list[Traced]) -> list[str]:
    """Name the traces whose final group does not hold the true fault."""
    return [f"{one.build} {one.load} {one.hypothesis.name}: {one.stopped}" for one in traces if not one.held]


def test_group_holds_the_true_fault(traces: list[Traced]) -> None:
    """Of faults drawn by their weights at most 2 in 100 are missing from the group that the trace ends with."""
    assert len(missed(traces)) <= 0.02 * len(traces), missed(traces)


def test_group_holds_the_true_fault_of_every_kind(even_traces: list[Traced]) -> None:
    """Of faults drawn evenly over their kinds at most 3 in 100 are missing."""
    assert len(missed(even_traces)) <= 0.03 * len(even_traces), missed(even_traces)


def test_true_fault_is_hardly_ever_lost(figures: Figures) -> None:
    """The true fault stands under 1e-4 at the end of at most 5 traces in 1,000, on the way in at most 10."""
    assert figures.lost_at_end <= 0.005
    assert figures.lost_on_the_way <= 0.01


def test_group_is_small(figures: Figures) -> None:
    """A group has at most 1.3 parts in the mean for opens and high resistances, 2.5 for shorts and wrong places."""
    assert figures.plain_parts <= 1.3
    assert figures.short_parts <= 2.5


def test_tracing_is_shorter_than_walking_back(figures: Figures) -> None:
    """It takes at most 0.6 of the minutes as a ratio of means, 0.85 as a mean of ratios."""
    assert figures.ratio_of_means <= 0.6
    assert figures.mean_of_ratios <= 0.85


def test_tracing_is_seldom_much_longer_than_walking_back(figures: Figures) -> None:
    """Nine traces in ten are at most 3 checks longer; 92 in 100 at most 5 minutes, of which 95 are wanted.

    Half of the longer ones are shorts behind a fuse: walking back ends at the fuse and is given the last check, while a
    trace takes plugs apart to find the wire. The others confirm, by a second reading, what one look has told.
    """
    assert figures.few_checks_longer >= 0.90
    assert figures.few_minutes_longer >= 0.92


def test_every_finding_names_part_place_and_reading(traces: list[Traced], even_traces: list[Traced]) -> None:
    """Every suspect of a finding stands in its sentence with its place; readings say so, and one proves the repair."""
    harnesses = dict(builds())
    bare = [
        f"{one.build} {one.load} {one.hypothesis.name}: {lack}"
        for one in (*traces, *even_traces)
        if one.finding is not None and one.finding.group
        for lack in lacks(harnesses[one.build], one.finding)
    ]
    assert bare == []


def lacks(harness: Harness, finding: Finding) -> list[str]:
    """Say what a finding does not name."""
    found = [
        f"{one.part}: {what}"
        for place, one in enumerate(finding.group)
        for what in _unnamed(harness, said_of(harness, finding, place), one)
    ]
    if not any(finding.because):
        found.append("no reading")
    if not finding.repair:
        found.append("no repair")
    if finding.prove is None:
        found.append("no proof")
    return found


def said_of(harness: Harness, finding: Finding, place: int) -> str:
    """Give the sentence that has to name a suspect: the finding's, or of those that it only counts the list's own."""
    if place < NAMED_AT_MOST or " more." not in finding.sentence:
        return finding.sentence
    return finding_sentence(harness, finding.group[place : place + 1])


def _unnamed(harness: Harness, sentence: str, suspect: Suspect) -> list[str]:
    """Say what of a suspect does not stand in a sentence: a part, or its place."""
    found: list[str] = []
    if suspect.fault == RECORD:
        return found
    for single in singles_of(suspect):
        for part_id in site_parts(harness, single.part):
            name = "battery" if isinstance(harness.parts[part_id], Battery) else part_id
            if name not in sentence:
                found.append(f"part {part_id}")
        if suspect_place(harness, single) not in sentence:
            found.append("place")
    return found
