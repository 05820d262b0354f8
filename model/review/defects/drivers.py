"""Diodes across coils: missing on a control unit's driver, or the wrong way round."""

from __future__ import annotations

from collections.abc import Iterator

from model.harness.harness import Harness
from model.harness.metal import same_metal
from model.harness.parts import Relay
from model.harness.points import relay_coils
from model.review.defects.telling import do_unless_hazard
from model.review.finding import Finding, FindingRule, Gravity, rule_of
from model.review.review_scene import ReviewScene
from model.tracing.names import either, id_and_label


def coil_without_diode(scene: ReviewScene) -> Iterator[Finding]:
    """Give the relay coils that a control unit switches and that have neither diode nor resistor across them."""
    harness = scene.harness
    drivers: dict[str, list[str]] = {}
    for module in harness.modules:
        for driver in module.drivers:
            point = f"{module.id}.{driver.terminal}"
            drivers.setdefault(same_metal(harness, point), []).append(point)
    across = _across(harness)
    for relay in harness.relays:
        for place, (one, other, _) in enumerate(relay_coils(relay, harness.build.nominal_volts)):
            ends = f"{relay.id}.{one}", f"{relay.id}.{other}"
            metal = [same_metal(harness, end) for end in ends]
            found = [point for end in metal for point in drivers.get(end, ())]
            has_diode = (place == 0 and relay.coil_diode is not None) or frozenset(metal) in across
            if found and not has_diode:
                yield _bare(scene, relay, ends, found)


def _across(harness: Harness) -> set[frozenset[str]]:
    """Give the pairs of metal that a diode or a resistance joins."""
    pairs = [(f"{diode.id}.anode", f"{diode.id}.cathode") for diode in harness.diodes]
    for pack in harness.resistors:
        pairs += [(f"{pack.id}.{one.from_terminal}", f"{pack.id}.{one.to_terminal}") for one in pack.elements]
    return {frozenset(same_metal(harness, end) for end in pair) for pair in pairs}


def _bare(scene: ReviewScene, relay: Relay, ends: tuple[str, str], drivers: list[str]) -> Finding:
    modules = tuple(dict.fromkeys(point.partition(".")[0] for point in drivers))
    named = either([id_and_label(scene.harness, module_id) for module_id in modules], "and")
    return Finding(
        FindingRule.NO_DIODE,
        Gravity.ASK,
        f"The coil of {id_and_label(scene.harness, relay.id)} hangs on {either(drivers, 'and')} of {named} with "
        "nothing across it: as it lets go it kicks with some hundred volts against what drives it.",
        do_unless_hazard(
            scene.harness,
            (relay.id, *modules),
            "Look in the papers of the control unit whether its output clamps by itself; else fit a relay with a diode "
            "or resistor inside, the diode's cathode on the positive side.",
        ),
        (relay.id, *modules),
        ends,
        rule_text=rule_of("coil with its diode"),
    )


def diode_reversed(scene: ReviewScene) -> Iterator[Finding]:
    """Give the diodes that lead from the positive side straight to the negative: in a relay, or of their own."""
    for relay in scene.harness.relays:
        if relay.coil_diode is None:
            continue
        one, other, _ = relay_coils(relay, scene.harness.build.nominal_volts)[0]
        anode, cathode = (other, one) if relay.coil_diode == one else (one, other)
        ends = f"{relay.id}.{anode}", f"{relay.id}.{cathode}"
        if _shorts(scene, *ends):
            yield _reversed(
                scene, relay.id, ends, f"has its diode's cathode on {cathode}, the negative side of its coil"
            )
    for diode in scene.harness.diodes:
        ends = f"{diode.id}.anode", f"{diode.id}.cathode"
        if _shorts(scene, *ends):
            yield _reversed(scene, diode.id, ends, "has its anode on the positive side and its cathode on the negative")


def _shorts(scene: ReviewScene, anode: str, cathode: str) -> bool:
    """Tell whether metal and contacts join the anode to the positive side alone and the cathode to the negative."""
    if scene.harness.build.ground_side == "positive":
        return _is_grounded_alone(scene, anode) and _is_fed_alone(scene, cathode)
    return _is_fed_alone(scene, anode) and _is_grounded_alone(scene, cathode)


def _is_fed_alone(scene: ReviewScene, point: str) -> bool:
    return bool(scene.nets.feeds.get(point)) and point not in scene.nets.grounded


def _is_grounded_alone(scene: ReviewScene, point: str) -> bool:
    return point in scene.nets.grounded and not scene.nets.feeds.get(point)


def _reversed(scene: ReviewScene, part_id: str, ends: tuple[str, str], what: str) -> Finding:
    return Finding(
        FindingRule.DIODE_REVERSED,
        Gravity.DANGER,
        f"{id_and_label(scene.harness, part_id)} {what}: it shorts the feed as soon as it is switched on.",
        do_unless_hazard(
            scene.harness,
            (part_id,),
            "With the supply off, look at the mark on its case, and exchange the two wires or turn the diode round.",
        ),
        (part_id,),
        ends,
    )
