"""Every pattern in every loom: the file reads, the load works as asked, fuse, wire and drop are right."""

from __future__ import annotations

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import make_condition
from model.errors import ArgumentError
from model.harness.amendments import AmendmentKind, amended_text
from model.harness.harness import Element, Harness, all_elements
from model.harness.toml_file import read_harness_text
from model.review.finding import Gravity
from model.review.findings import find_all
from model.review.pattern_check import new_elements
from model.review.patterns import PATTERNS, Pattern, as_amendment, pattern_named, propose
from model.tracing.wire_bears import thinnest_behind
from tests.model.review.pattern_looms import ASKED, BARE, LOOMS, bench_of, proposed, put_in, rows

SMALL, DEMOS = LOOMS[:3], LOOMS[3:]
EVERY = [(name, pattern) for name in SMALL for pattern in Pattern]
EVERY += [(DEMOS[place % len(DEMOS)], pattern) for place, pattern in enumerate(Pattern)]
"""Each pattern in each small loom, and in one of the demo builds."""


def _works(bench: Bench, element: Element, key: str, settings: tuple[str, ...]) -> bool:
    survey = bench.survey(make_condition(bench.harness, key, settings))
    posts_volts = abs(survey.settled.posts_volts)
    return survey.loads[element.name].volts >= 0.8 * min(element.at_volts, posts_volts)


def _settings(after: Harness, element: Element) -> tuple[str, ...]:
    """Give what the file says is moved for an element, and its plug."""
    load = next((one for one in after.loads if one.id == element.part_id), None)
    if load is None:
        return tuple(f"{switch.id}=on" for switch in after.switches if "isolator" in switch.label.casefold())
    assert not isinstance(load.works_with, tuple)
    moved = tuple(f"{name}={value}" for name, value in (load.works_with or {}).items())
    return (*moved, f"{load.id}=on") if load.kind == "socket" else moved


@pytest.mark.first_few(7)
@pytest.mark.parametrize(("name", "pattern"), EVERY)
def test_the_load_works_in_the_key_states_asked_and_in_no_others(name: str, pattern: Pattern) -> None:
    """The file with the rows put in is read anew and solved in each key state with the load's own switches on.

    Works is 80 % of the rated volts, or of what the posts have where that is less, as while cranking. With its switches
    at rest a switched load has none.
    """
    circuit = proposed(name, pattern)
    after = put_in(name, circuit)
    bench = Bench(after)
    elements = new_elements(bench_of(name).harness, after)
    assert len(elements) == (2 if pattern is Pattern.MODULE else 1)
    for element in elements:
        is_always = pattern is Pattern.PERMANENT or (pattern is Pattern.MODULE and element.name.endswith(":30"))
        asked = after.key_names if is_always else after.key_names[1:]
        asked = tuple(key for key in asked if is_always or key != "accessory")
        settings = _settings(after, element)
        assert tuple(key for key in after.key_names if _works(bench, element, key, settings)) == asked
        if pattern in (Pattern.SWITCHED, Pattern.RELAY, Pattern.RELAY_GROUND, Pattern.SPEEDS):
            own = rows(circuit, "switches")[-1]["id"]
            off = tuple(one for one in settings if not one.startswith(f"{own}="))
            assert not any(_works(bench, element, key, off) for key in after.key_names)
    assert all(one.is_as_asked for one in circuit.workings)
    assert {one.name for one in circuit.workings} == {element.name for element in elements}


@pytest.mark.first_few(4)
@pytest.mark.parametrize(("name", "pattern"), EVERY)
def test_each_fuse_carries_its_load_and_is_no_more_than_its_wires_bear(name: str, pattern: Pattern) -> None:
    """A rating of ISO 8820-3 of at least current / 0.8, and at most what the thinnest wire behind it bears."""
    circuit = proposed(name, pattern)
    after = put_in(name, circuit)
    ratings = {1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40, 50, 60, 70, 80, 100}
    fuses = {str(row["id"]): float(str(row["amps"])) for row in rows(circuit, "fuses")}
    assert fuses
    for fuse_id, amps in fuses.items():
        assert amps in ratings
        thinnest = thinnest_behind(after).get(fuse_id)
        assert thinnest is None or amps <= thinnest.amps
    own_amps = [element.rated_amps for element in new_elements(bench_of(name).harness, after)]
    assert max(fuses.values()) >= max(own_amps) / 0.8 - 1e-9


@pytest.mark.first_few(7)
@pytest.mark.parametrize(("name", "pattern"), EVERY)
def test_no_more_is_lost_than_allowed_and_nothing_graver_is_found(name: str, pattern: Pattern) -> None:
    """10 % of nominal out and back; beside assumed lengths no finding that was not there, and so no remark of one."""
    circuit = proposed(name, pattern)
    assert circuit.allowed_percent == 10.0
    assert circuit.lost_percent is not None
    assert 0.0 < circuit.lost_percent <= 10.0
    assert {finding.gravity for finding in circuit.new_findings} <= {Gravity.ASK}
    own = set(circuit.part_ids)
    found = [one for one in find_all(Bench(put_in(name, circuit))) if own & set(one.part_ids[:1])]
    assert {finding.gravity for finding in found} <= {Gravity.ASK}


@pytest.mark.first_few(5)
@pytest.mark.parametrize(("name", "pattern"), EVERY)
def test_each_proposal_has_its_reason_and_source_and_a_key_of_its_own(name: str, pattern: Pattern) -> None:
    """What is proposed can be given otherwise, by a key that no other proposal has; ids are new and colours coded."""
    circuit = proposed(name, pattern)
    keys = [one.key for one in circuit.proposals]
    assert len(keys) == len(set(keys))
    assert all(one.why and one.source and one.what and not one.is_given for one in circuit.proposals)
    before = {part_id.casefold() for part_id in bench_of(name).harness.parts}
    assert not before & {part_id.casefold() for part_id in circuit.part_ids}
    assert all(row["colour"] and row["size"] for row in rows(circuit, "wires"))
    assert all(float(str(row["size"])) >= 1.0 for row in rows(circuit, "wires") if not str(row["size"]).startswith("A"))


def test_the_patterns_are_named_and_an_unknown_one_is_answered_with_the_nearest() -> None:
    """Seven patterns with words for each."""
    assert set(PATTERNS) == set(Pattern) == set(ASKED)
    assert pattern_named("relay-ground") is Pattern.RELAY_GROUND
    with pytest.raises(ArgumentError, match="Did you mean socket"):
        pattern_named("sockets")


@pytest.mark.slow
def test_all_rows_are_one_amendment() -> None:
    """One change of the file adds the whole circuit, so that one undo takes it out."""
    circuit = proposed("trail_buggy", Pattern.RELAY)
    amendment = as_amendment(circuit)
    assert amendment.kind is AmendmentKind.ADDED
    assert amendment.changes == circuit.rows
    assert set(amendment.parts) == set(circuit.part_ids)
    assert amendment.remarks == circuit.remarks


def test_a_loom_is_built_from_a_battery_alone() -> None:
    """Four circuits one after another on a bare file: each finds the busbar and the ground that the first one made."""
    text = BARE
    for pattern in (Pattern.SWITCHED, Pattern.RELAY, Pattern.SOCKET, Pattern.PERMANENT):
        bench = Bench(read_harness_text(text, "bare.toml"))
        circuit = propose(bench, pattern, {**ASKED[pattern], "at": "dash", "label": str(pattern)})
        assert all(one.is_as_asked for one in circuit.workings)
        text = amended_text(text, as_amendment(circuit).changes, 2, "2026-01-01")
    after = read_harness_text(text, "bare.toml")
    assert len([one for one in after.switches if one.key]) == 1
    assert [bar.id for bar in after.busbars] == ["BB1"]
    assert [ground.id for ground in after.grounds if ground.location == "dash"] == ["GND2"]
    assert len(all_elements(after)) == 4
    bench = Bench(after)
    assert all(finding.gravity is Gravity.ASK for finding in find_all(bench))
