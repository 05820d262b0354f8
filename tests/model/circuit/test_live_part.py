"""What is left out of a circuit changes nothing of what the lamp in series shows."""

from __future__ import annotations

import random

import pytest

from model.circuit import series_lamp
from model.circuit.build_parts import build_netlist
from model.circuit.condition import OUT, Condition, settable_names, setting_choices
from model.circuit.live_part import live_part
from model.circuit.netlist import Netlist
from model.errors import CircuitError
from model.harness.harness import Harness
from model.plans.first_power_scene import FirstPower
from tests.model.tracing.rigs import DEMO_NAMES, demo, rig, wires

AGREE_VOLTS = 1e-5


def whole(net: Netlist, *_: object) -> Netlist:
    """Give the netlist as it is."""
    return net


def some_conditions(harness: Harness, count: int) -> list[Condition]:
    """Give conditions in which some load works, with three more things moved and a few fuses out, chargers off."""
    chance = random.Random(1074)
    first = FirstPower(harness, 21.0)
    names = [name for name in settable_names(harness) if name not in {one.id for one in harness.batteries}]
    found = []
    for _ in range(count):
        fuses = [fuse.id for fuse in harness.fuses if chance.random() < 0.8]
        moved = tuple((name, chance.choice(setting_choices(harness, name))) for name in chance.sample(names, 3))
        chargers = tuple((one.id, "off") for one in harness.chargers)
        works = first.scene.working(chance.choice(first.scene.elements)).condition.settings
        settings = (*moved, *works, *chargers)
        found.append(first.condition(first.banks[0], chance.choice(first.keys), settings, fuses))
    return found


@pytest.mark.first_few(1)
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_lamp_shows_the_same_with_the_whole_circuit(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Forty conditions of each demo build: 10 µV at most, and the same relays chatter."""
    harness = demo(name)
    post = FirstPower(harness, 21.0).banks[0].live
    conditions = some_conditions(harness, 40)
    part = [_shown(harness, condition, post) for condition in conditions]
    monkeypatch.setattr(series_lamp, "live_part", whole)
    all_of_it = [_shown(harness, condition, post) for condition in conditions]
    for few, many in zip(part, all_of_it, strict=True):
        assert (few is None) == (many is None)
        if few is not None and many is not None:
            assert few == pytest.approx(many, abs=AGREE_VOLTS)
    assert sum(volts is not None and volts > 0.1 for volts in part) >= 5


def _shown(harness: Harness, condition: Condition, post: str) -> float | None:
    try:
        found = series_lamp.read_series_lamp(harness, condition, post, 21.0)
    except CircuitError:
        return None
    return None if found.settled.buzzing else found.volts


def test_what_hangs_on_the_ground_alone_is_left_out() -> None:
    """Behind an open switch nothing stays; the lamp before it does."""
    harness = rig(
        'switches = [ { id = "S1" } ]\n'
        'loads = [ { id = "E1", kind = "lamp", watts = 5 }, { id = "E2", kind = "lamp", watts = 5 } ]\n'
        + wires("G1.+ E1.+", "E1.- G1.-", "G1.+ S1.1", "S1.2 E2.+", "E2.- G1.-")
    )
    net = build_netlist(harness, Condition("off"))
    part = live_part(net, net.index["G1.+"], ())
    assert {"G1.+", "E1.+", "S1.1"} <= part.index.keys()
    assert part.index.keys().isdisjoint({"S1.2", "E2.+", "E2.-"})
    assert [one.element.name for one in part.elements] == ["E1:load"]


def test_a_point_that_is_asked_for_stays() -> None:
    """Though nothing leads there."""
    harness = rig('loads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n' + wires("E1.- G1.-"))
    net = build_netlist(harness, Condition("off"))
    assert "E1.+" in live_part(net, net.index["G1.+"], (net.index["E1.+"],)).index


def test_through_a_short_the_circuit_stays_whole() -> None:
    """A wire from post to post puts the source on the ground side, and nothing is left out."""
    harness = rig('loads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n' + wires("G1.+ G1.-", "E1.+ G1.-"))
    net = build_netlist(harness, Condition("off", ((harness.loads[0].id, OUT),)))
    assert live_part(net, net.index["G1.+"], ()) is net
