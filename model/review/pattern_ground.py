"""The ground side of a new circuit: an existing ground point, or a new one."""

from __future__ import annotations

from model.errors import ArgumentError
from model.harness.harness import CHASSIS
from model.harness.hazards import hazards_of_point
from model.harness.points import all_points
from model.harness.supply import grounded_post_of
from model.review.pattern_draft import Draft
from model.review.pattern_feeds import tied_to_ground
from model.review.pattern_proposal import FILE, JUDGEMENT, PRACTICE, Reason
from model.words import clean, did_you_mean

CABLE_MM2 = 16.0
"""Size of the battery's ground cable where the file has none yet; a starter wants more."""

_NO_GROUND = "Give the file a ground point first, or say CHASSIS."


def choose_ground(draft: Draft, key: str, what: str, place: str) -> str:
    """Propose the ground of a load: one at its place, else a new one on the body, else the main one.

    Raises
    ------
    ArgumentError
        Where the one that was given is none.
    """
    typed = draft.asked.text(key)
    here = _at_place(draft, place)
    found = here or typed
    if found:
        said = Reason(_found_words(place) if here else _given_words(draft, found), FILE)
        taken = draft.name(key, what, found, said)
        _refuse_unless_ground(draft, taken)
        return taken
    if draft.harness.build.chassis:
        return _new_ground(draft, key, what, place)
    bars = [ground.id for ground in draft.harness.grounds if _serves(draft, ground.id)]
    post = grounded_post_of(draft.harness, draft.harness.batteries[0].id)
    reason = Reason("no ground point is at that place, and there is no body: all return to one bar or post", FILE)
    return draft.name(key, what, bars[0] if bars else post, reason)


def _found_words(place: str) -> str:
    return f"a ground point at {clean(place, 60)}" if place else "a ground point of the file"


def _given_words(draft: Draft, point: str) -> str:
    ground = next((one for one in draft.harness.grounds if one.id == point), None)
    return f"as given; it sits at {clean(ground.location, 60)}" if ground and ground.location else "as given"


def _at_place(draft: Draft, place: str) -> str:
    """Name the first ground point at a place, those on the frame before those on other metal."""
    here = [one for one in draft.harness.grounds if place and one.location == place and _serves(draft, one.id)]
    here.sort(key=lambda one: one.body not in (None, CHASSIS))
    return here[0].id if here else ""


def _serves(draft: Draft, ground_id: str) -> bool:
    return tied_to_ground(draft.harness, ground_id) and not hazards_of_point(draft.harness, ground_id)


def _refuse_unless_ground(draft: Draft, point: str) -> None:
    if point not in all_points(draft.harness):
        grounds = [ground.id for ground in draft.harness.grounds]
        do = did_you_mean(point, grounds, f"There are: {', '.join(grounds[:12])}." if grounds else _NO_GROUND)
        raise ArgumentError(f"There is no ground {clean(point, 60)}.", do=do)
    if hazards_of_point(draft.harness, point):
        raise ArgumentError(
            f"{clean(point, 60)} belongs to wiring that nothing may be added to.", do="Choose another ground point."
        )
    if not tied_to_ground(draft.harness, point):
        draft.remark(f"{clean(point, 60)} is not joined to the grounded post of the battery.")


def _new_ground(draft: Draft, key: str, what: str, place: str) -> str:
    """Add a ground point on the body, and the battery's own ground cable where nothing joins it to the body yet."""
    if not tied_to_ground(draft.harness, CHASSIS) and not draft.grounds_made:
        _ground_battery(draft)
    if place in draft.grounds_made:
        return draft.grounds_made[place]
    ground_id = draft.new_id(f"{key}_id", what, "GND")
    why = f"no ground point at {clean(place, 60)} yet: bare metal, its own bolt" if place else "a new ground point"
    draft.name(key, what, ground_id, Reason(why, PRACTICE))
    draft.add("grounds", {"id": ground_id, "label": f"Ground of {draft.asked.label}", "location": place})
    draft.grounds_made[place] = ground_id
    return ground_id


def _ground_battery(draft: Draft) -> None:
    harness = draft.harness
    battery = harness.batteries[0]
    ground_id = draft.new_id("battery_ground_id", "ground of the battery", "GND")
    reason = Reason(
        "nothing joins the battery to the body yet; where a starter hangs on it, the starter decides", JUDGEMENT
    )
    size = draft.size("battery_ground_size", "size of the battery's ground cable", CABLE_MM2, reason)
    wire_id = draft.new_id("battery_ground_wire_id", f"cable of {battery.id} to {ground_id}", "W")
    colour = draft.colour("battery_ground_colour", f"colour of {wire_id}", draft.colours.of_ground())
    post = grounded_post_of(harness, battery.id)
    draft.add("grounds", {"id": ground_id, "label": "Battery ground", "location": battery.location})
    draft.add("wires", {"id": wire_id, "from": post, "to": ground_id, "colour": colour, "size": size, "length": 0.5})
    draft.remark(f"{wire_id}: 0.5 m is assumed for the battery's ground cable.")
