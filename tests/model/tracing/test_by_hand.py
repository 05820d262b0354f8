"""Whether an element may be fed as hands have set things, against every link followed by networkx."""

from __future__ import annotations

import random
from pathlib import Path

import networkx as nx
import pytest

from model.circuit.condition import (
    APART,
    MATED,
    Condition,
    settable_names,
    setting_choices,
    switch_position,
)
from model.harness.harness import Element, Harness, all_elements
from model.harness.parts import Switch
from model.harness.points import contacts
from model.harness.toml_file import read_harness, read_harness_text
from model.tracing.by_hand import MetalByHand
from model.tracing.graph import links_of
from tests.benchmarks.looms import loom_text

DEMOS = Path(__file__).parents[3] / "demo_builds"
CONDITIONS = 4


def joined(harness: Harness, condition: Condition) -> nx.Graph:
    """Give the points of a harness with every link but those of switches and plugs, and what these join as set."""
    apart = {plug.id for plug in harness.connectors if plug.rest == APART}
    switches = {switch.id: switch for switch in harness.switches}
    graph: nx.Graph = nx.Graph()
    for link in links_of(harness):
        if link.part_id in apart:
            if condition.by_name.get(link.part_id) == MATED:
                graph.add_edge(link.one, link.other)
        elif link.part_id not in switches:
            graph.add_edge(link.one, link.other)
    for switch in harness.switches:
        for one, other in contacts(switch.positions[switch_position(harness, switch, condition)]):
            graph.add_edge(f"{switch.id}.{one}", f"{switch.id}.{other}")
    posts = [f"{supply.id}.{sign}" for supply in (*harness.batteries, *harness.chargers) for sign in "+-"]
    graph.add_edges_from((post, "supply") for post in posts)
    return graph


def some_conditions(harness: Harness, chance: random.Random) -> list[Condition]:
    """Give each key state at rest, and with a few things set."""
    names = settable_names(harness)
    found = [Condition(key) for key in harness.key_names]
    for key in harness.key_names:
        for _ in range(CONDITIONS):
            chosen = chance.sample(names, min(len(names), chance.randint(1, 6)))
            found.append(
                Condition(key, tuple((name, chance.choice(setting_choices(harness, name))) for name in chosen))
            )
    return found


@pytest.mark.parametrize("name", ["trail_buggy", "field_tractor", "harbour_launch", "80 wires"])
def test_elements_are_fed_where_links_lead_to_a_supply(name: str) -> None:
    """In any key state, whatever is set, both ends of an element hang on a supply or not as the links say."""
    path = DEMOS / f"{name}.toml"
    harness = read_harness(path) if path.exists() else read_harness_text(loom_text(80), name)
    metal, told = MetalByHand(harness), set()
    for condition in some_conditions(harness, random.Random(5)):
        fed = nx.node_connected_component(joined(harness, condition), "supply")
        for element in all_elements(harness):
            expected = {element.from_point, element.to_point} <= fed
            assert metal.may_feed(element, condition) == expected, (condition, element.name)
            told.add(expected)
    assert told == {True, False}


def test_switches_at_rest_are_looked_at_once_for_a_key_state(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whether each element of a loom may be fed asks for the position of no switch more than once in a key state."""
    harness = read_harness_text(loom_text(150), "150 wires")
    asked = 0

    def counting(of: Harness, switch: Switch, condition: Condition) -> str:
        nonlocal asked
        asked += 1
        return switch_position(of, switch, condition)

    monkeypatch.setattr("model.tracing.by_hand.switch_position", counting)
    metal = MetalByHand(harness)
    elements: list[Element] = list(all_elements(harness))
    assert any(metal.may_feed(element, Condition(harness.key_names[-1])) for element in elements)
    assert asked == len(harness.switches) < len(elements) * len(harness.switches)
