"""The rows of charging: posts at idle and with loads on, and both leads of the charger."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from model.cautions import cranks
from model.circuit.condition import ON, Condition, rest_position
from model.errors import CircuitError
from model.harness.parts import Charger, Switch
from model.harness.supply import battery_chain
from model.plans.chains import chain_posts
from model.plans.crank_scene import Scene, drop_row, volts_row
from model.plans.limits import as_limit, limit_of
from model.plans.plan import Limit, PlanRow
from model.tracing.names import id_and_label, point_name
from model.words import amps_text

CHARGING = "Charging"

LOADS_ON_WATTS = 150.0
"""About what head lamps draw; judgement."""

_SENSORS = ("thermo", "float", "pressure", "contact", "level", "temperature", "inertia", "gear", "door")

_CUT_OUT = re.compile(r"\b(?:dynamo|cut[- ]?out)\b")
"""What a label says of a charger whose cut-out parts it from the battery until it turns fast enough."""

_HOW = {"idle": "engine idling, loads off", "loaded": "about 2000 rpm, loads on"}
_HOW_CUT_IN = "fast idle (charge lamp out), loads off"
_CUT_IN = (
    "Let the engine run a little faster than it idles, until the charge lamp is out or the ammeter stands at charge: "
    "slower than that the cut-out of a dynamo is open, and the posts show the battery alone."
)

_SWITCHES_AT_MOST = 3
_SWITCHES_TRIED = 30
_HELD_UP_VOLTS = 0.1


@dataclass(frozen=True)
class Charge:
    """A charger that gives current, idle and with loads on.

    Attributes
    ----------
    idle, loaded
        Conditions; the same of a charger that no engine drives.
    """

    scene: Scene
    charger: Charger
    idle: Condition
    loaded: Condition

    @cached_property
    def amps(self) -> float:
        """Amperes that it gives with loads on."""
        settled = self.scene.settled(self.loaded)
        branches = [branch for branch, site in enumerate(settled.net.sites) if site == self.charger.id]
        return max((abs(float(settled.amps[branch])) for branch in branches), default=0.0)

    @cached_property
    def batteries(self) -> tuple[str, ...]:
        """The batteries that it holds above their volts at rest."""
        return tuple(one.id for one in self.scene.harness.batteries if self._holds(one.id))

    def _holds(self, battery_id: str) -> bool:
        posts = f"{battery_id}.+", f"{battery_id}.-"
        risen = self.scene.volts(self.idle, *posts) - self.scene.volts(self.scene.at_rest, *posts)
        return risen > _HELD_UP_VOLTS


def charges(scene: Scene) -> Iterator[Charge]:
    """Give each charger with the conditions in which it is read; one whose circuit finds no rest is left out."""
    for charger in scene.harness.chargers:
        keys = scene.harness.charging_keys(charger)
        try:
            if keys:
                idle = Condition(keys[0])
                yield Charge(scene, charger, idle, loaded_condition(scene, keys[0]))
            else:
                on = Condition(scene.harness.key_names[0], ((charger.id, ON),))
                yield Charge(scene, charger, on, on)
        except CircuitError as error:
            scene.left_out.append(f"{id_and_label(scene.harness, charger.id)}: {error}")


def loaded_condition(scene: Scene, key: str) -> Condition:
    """Set the fewest switches that together draw 150 W in a key state, three at most.

    None of them starts the engine, has to be held, or is a sensor that no hand works.
    """
    condition, drawn_watts = Condition(key), 0.0
    ranked = sorted(_draws(scene, key), key=lambda pair: -pair[0])[:_SWITCHES_AT_MOST]
    for watts, setting in ranked:
        further = condition.with_setting(*setting)
        if drawn_watts < LOADS_ON_WATTS and not scene.settled(further).blown:
            condition, drawn_watts = further, drawn_watts + watts
    return condition


def _draws(scene: Scene, key: str) -> Iterator[tuple[float, tuple[str, str]]]:
    """Give the watts that each switch alone adds, with its setting."""
    alone = _drawn_watts(scene, Condition(key))
    switches = [one for one in scene.harness.switches if _is_turned_by_hand(one)]
    for switch in switches[:_SWITCHES_TRIED]:
        setting = switch.id, _fullest(switch)
        condition = Condition(key, (setting,))
        watts = _drawn_watts(scene, condition) - alone
        if watts > 0.0 and not cranks(scene.harness, condition) and not scene.settled(condition).blown:
            yield watts, setting


def _is_turned_by_hand(switch: Switch) -> bool:
    words = switch.label.casefold()
    return not (switch.key or switch.momentary or switch.follows or any(word in words for word in _SENSORS))


def _drawn_watts(scene: Scene, condition: Condition) -> float:
    return sum(reading.watts for reading in scene.bench.survey(condition).loads.values())


def _fullest(switch: Switch) -> str:
    moved = [position for position in switch.positions if position != rest_position(switch)]
    return max(moved or list(switch.positions), key=lambda name: sum(map(len, switch.positions[name])))


def charge_rows(charge: Charge) -> Iterator[PlanRow]:
    """Give the rows of a charger, in the order in which they are read."""
    for battery_id in charge.batteries:
        yield _posts(charge, battery_id, "idle")
        if charge.loaded != charge.idle:
            yield _posts(charge, battery_id, "loaded")
    yield from _chain(charge)
    yield from _leads(charge)


def _posts(charge: Charge, battery_id: str, when: str) -> PlanRow:
    scene, charger = charge.scene, charge.charger
    is_driven = bool(scene.harness.charging_keys(charger))
    condition = charge.idle if when == "idle" else charge.loaded
    cuts_in = is_driven and when == "idle" and _CUT_OUT.search(charger.label.casefold()) is not None
    how = _HOW_CUT_IN if cuts_in else _HOW[when] if is_driven else "charger on"
    title = f"posts of {id_and_label(scene.harness, battery_id)}, {how}"
    ask = f"charge {charger.id} {when} {battery_id}", title, CHARGING
    ends = f"{battery_id}.+", f"{battery_id}.-"
    limit = _posts_limit(charge, battery_id, when, condition)
    before = (_CUT_IN,) if cuts_in else (f"Run the engine so: {how}.",) if is_driven else ()
    return volts_row(scene, ask, condition, ends, limit, (charger.id,), before)


def _posts_limit(charge: Charge, battery_id: str, when: str, condition: Condition) -> Limit:
    """Give the published volts of a lead battery; of a lithium one its maker says, so that the file's figure counts."""
    scene = charge.scene
    battery = next(one for one in scene.harness.batteries if one.id == battery_id)
    if battery.chemistry != "lead":
        words = f"{charge.charger.volts:g} V of the charger by the file; a lithium battery's maker has the say"
        return scene.band_limit(condition, f"{battery_id}.+", f"{battery_id}.-", words)
    name = "posts charging at idle" if when == "idle" else "posts charging"
    return as_limit(limit_of(name, scene.battery_volts[battery_id]))


def _chain(charge: Charge) -> Iterator[PlanRow]:
    """Give the row over batteries in series, whose volts are published for the vehicle's own."""
    scene, charger = charge.scene, charge.charger
    chain = battery_chain(scene.harness, charge.batteries[0]) if charge.batteries else ()
    if len(chain) > 1:
        limit = as_limit(limit_of("posts charging", scene.harness.build.nominal_volts))
        ask = f"charge {charger.id} chain {chain[0]}", f"over {' and '.join(chain)} in series, charging", CHARGING
        yield volts_row(scene, ask, charge.loaded, chain_posts(scene.harness, chain[0]), limit, (charger.id,))


def _leads(charge: Charge) -> Iterator[PlanRow]:
    scene, charger = charge.scene, charge.charger
    harness, nominal_volts = scene.harness, scene.harness.build.nominal_volts
    signs = "-+" if harness.build.ground_side == "positive" else "+-"
    posts = _nearest_posts(charge, f"{charger.id}.{signs[0]}")
    for place, (sign, post) in enumerate(zip(signs, posts, strict=True)):
        terminal = f"{charger.id}.{sign}"
        limit = as_limit(limit_of(_LEADS[place, nominal_volts == 24], nominal_volts))
        title = f"{point_name(harness, terminal)} to {point_name(harness, post)}, loads on"
        gives = f"By the file the charger gives {amps_text(charge.amps)} in this row; a drop goes with the current."
        ask = f"charge lead {terminal}", title, CHARGING
        row = volts_row(scene, ask, charge.loaded, (terminal, post), limit, (), (gives,))
        yield drop_row(scene, row, charge.amps) if charge.amps > 0 else row


_LEADS = {
    (0, False): "charging lead, + side",
    (0, True): "alternator output lead",
    (1, False): "charging lead, - side",
    (1, True): "charging lead, - side",
}


def _nearest_posts(charge: Charge, terminal: str) -> tuple[str, str]:
    """Give the posts of the chain whose live one is nearest in volts to the live terminal of the charger."""
    scene = charge.scene
    chains = dict.fromkeys(chain_posts(scene.harness, battery.id) for battery in scene.harness.batteries)
    return min(chains, key=lambda posts: abs(scene.volts(charge.loaded, terminal, posts[0])))
