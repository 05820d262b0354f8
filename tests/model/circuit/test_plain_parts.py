"""Netlists copied from their key state and changed where a condition differs, against netlists built part by part."""

import math
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from model.circuit.build import Builder, add_metal
from model.circuit.build_parts import _add_part, _note_sources, _parts_in_order, build_netlist
from model.circuit.condition import ASLEEP, ON, OUT, Condition
from model.circuit.faults import parse_fault
from model.circuit.netlist import Netlist
from model.circuit.settle import settle, settle_netlist
from model.harness.harness import Harness
from model.harness.toml_file import read_harness

_BUILDS = Path(__file__).parents[3] / "demo_builds"


@cache
def _harness(name: str) -> Harness:
    return read_harness(_BUILDS / f"{name}.toml")


def _anew(harness: Harness, condition: Condition) -> Netlist:
    build = Builder(harness, condition)
    for part in _parts_in_order(harness):
        _add_part(build, part)
    _note_sources(build)
    add_metal(build)
    return build.net


def _branches(net: Netlist) -> list[tuple[object, ...]]:
    rows = zip(net.one, net.other, net.ohms, net.emf_volts, net.sites, strict=True)
    return sorted((row for row in rows if math.isfinite(row[2])), key=str)


def _rows(net: Netlist) -> list[tuple[object, ...]]:
    return [
        *(("lamp", net.sites[one.branch], one.rated_ohms) for one in net.lamps),
        *(("line", net.sites[one.branch], one.threshold_volts, one.ohms) for one in net.lines),
        *(("mover", one.name, one.allowed, [net.sites[at] for at in (*one.closes, *one.opens)]) for one in net.movers),
        *(("fuse", one.part_id, net.sites[one.branch], one.amps) for one in net.fuses),
        *(("element", one.element.name, [net.sites[at] for at in one.branches]) for one in net.elements),
        ("sources", net.posts, net.first_battery_line, net.charger_lines),
    ]


def _conditions(harness: Harness) -> list[Condition]:
    """Give conditions that turn, pull, plug in and send to sleep one thing each, some together, and some that break."""
    pairs = [(switch.id, position) for switch in harness.switches if not switch.key for position in switch.positions]
    pairs += [(part.id, OUT) for part in harness.each_part() if not hasattr(part, "from_point")][::3]
    pairs += [(load.id, ON) for load in harness.loads] + [(module.id, ASLEEP) for module in harness.modules]
    keys = harness.key_names
    found = [Condition(keys[place % len(keys)], (pair,)) for place, pair in enumerate(pairs)]
    found += [Condition(keys[-1], tuple((fuse.id, OUT) for fuse in harness.fuses)), Condition(keys[-1], tuple(pairs))]
    faults = [f"{fuse.id}=blown" for fuse in harness.fuses[:3]] + [f"{relay.id}:coil=open" for relay in harness.relays]
    return found + [Condition(keys[0], (), (parse_fault(harness, typed),)) for typed in faults]


@pytest.mark.parametrize("name", ["trail_buggy", "field_tractor", "harbour_launch"])
def test_a_changed_copy_has_the_branches_of_a_netlist_built_part_by_part(name: str) -> None:
    """Whatever is set or broken, the same branches carry and the rows stand in the same order as built anew."""
    harness = _harness(name)
    for condition in _conditions(harness):
        copied, anew = build_netlist(harness, condition), _anew(harness, condition)
        assert _branches(copied) == _branches(anew), condition
        assert _rows(copied) == _rows(anew), condition


def test_what_is_done_to_a_copy_leaves_the_next_as_it_was() -> None:
    """A branch added and a resistance changed in one netlist are not in the next of the same key state."""
    harness = _harness("trail_buggy")
    condition = Condition(harness.key_names[0])
    first = build_netlist(harness, condition)
    before = _branches(first)
    first.add(0, 1, 1.0)
    first.ohms[0] = 77.0
    first.lamps.clear()
    following = build_netlist(harness, condition)
    assert _branches(following) == before
    assert following.lamps


def test_the_order_of_elimination_of_the_key_state_gives_the_same_volts() -> None:
    """With a switch turned, volts and amperes are those of a circuit laid out by itself, to the last digit."""
    harness = _harness("trail_buggy")
    for condition in _conditions(harness)[:12]:
        shared, alone = settle(harness, condition), settle_netlist(build_netlist(harness, condition), condition)
        np.testing.assert_array_equal(shared.volts, alone.volts)
        np.testing.assert_array_equal(shared.amps, alone.amps)
