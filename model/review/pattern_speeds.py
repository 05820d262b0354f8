"""A motor with several speeds by a resistor pack."""

from __future__ import annotations

from model.harness.toml_edit import Value
from model.review.pattern_draft import Draft
from model.review.pattern_fuse import tap
from model.review.pattern_ground import choose_ground
from model.review.pattern_parts import add_load, add_switch, feed_for, need_of
from model.review.pattern_power import power_size
from model.review.pattern_proposal import JUDGEMENT, Reason
from model.words import ohms_text, watts_text

_STEP_SHARES = {2: (0.6,), 3: (0.5, 0.75), 4: (0.4, 0.6, 0.8)}
"""Shares of its volts that a motor has at each speed under the full one; judgement."""

_STEP_NAMES = {2: ("low",), 3: ("low", "medium"), 4: ("low", "medium", "brisk")}


def add_speeds(draft: Draft) -> None:
    """Add a motor, its switch, and the resistors that all speeds but the full one go through.

    Raises
    ------
    ArgumentError
        Where something that was given does not fit, or no fuse or wire serves.
    """
    asked = draft.asked
    place = draft.place("at")
    need = need_of(draft, "feed", "step", "load")
    feed = feed_for(draft, "feed", asked.keys, need)
    begins = tap(draft, feed, need)
    size = power_size(draft, "size", need, begins.rating_amps, ("feed", "step", "load", "ground"))
    steps = [*_STEP_NAMES[asked.speeds], "high"]
    terminals = [str(number) for number in range(1, asked.speeds + 1)]
    positions: dict[str, Value] = {"off": []}
    positions |= {name: [["B", terminal]] for name, terminal in zip(steps, terminals, strict=True)}
    switch_place = draft.place("switch_at", feed.place)
    switch_id = add_switch(draft, asked.amps, switch_place, terminals=["B", *terminals], positions=positions)
    pack_id = _pack(draft, terminals)
    load_id = add_load(draft, place, {switch_id: "high"})
    ground = choose_ground(draft, "ground", f"ground of {load_id}", place)
    colours = draft.colours
    draft.wire("feed", (begins.point, f"{switch_id}.B"), size, colours.of_feed(asked.keys))
    for number, terminal in enumerate(terminals, start=1):
        ends = f"{switch_id}.{terminal}", f"{pack_id}.{terminal}"
        draft.wire("step", ends, size, draft.load_colour(), nth=number)
    draft.wire("load", (f"{pack_id}.{terminals[-1]}", f"{load_id}.{draft.hot}"), size, draft.load_colour())
    draft.wire("ground", (f"{load_id}.{draft.cold}", ground), size, colours.of_ground())


def _pack(draft: Draft, terminals: list[str]) -> str:
    """Add the resistor pack: between two terminals what the next faster speed leaves out."""
    asked = draft.asked
    motor_ohms = draft.harness.build.nominal_volts / asked.amps
    shares = (*_STEP_SHARES[asked.speeds], 1.0)
    before = [motor_ohms * (1.0 / share - 1.0) for share in shares]
    place = draft.place("pack_at", asked.text("at"))
    pack_id = draft.new_id("pack_id", f"resistor pack of {asked.label}", "R")
    elements: list[dict[str, Value]] = []
    for at, name in enumerate(_STEP_NAMES[asked.speeds]):
        proposed = float(f"{before[at] - before[at + 1]:.2g}")
        why = (
            f"at {name} the motor has {100 * shares[at]:.0f} % of its volts; as a resistance of {ohms_text(motor_ohms)}"
        )
        ohms = draft.number(f"{name}_ohms", f"{pack_id} {name}, ohms", proposed, Reason(why, JUDGEMENT))
        elements.append({"name": name, "from": terminals[at], "to": terminals[at + 1], "ohms": ohms})
    draft.add(
        "resistors", {"id": pack_id, "label": f"{asked.label} resistor pack", "location": place, "elements": elements}
    )
    slow_ohms = sum(float(str(one["ohms"])) for one in elements)
    watts = (draft.harness.build.nominal_volts / (motor_ohms + slow_ohms)) ** 2 * slow_ohms
    draft.remark(
        f"{pack_id} gives off {watts_text(watts)} at the lowest speed: it sits in the air that the motor moves, clear "
        "of anything that burns, with a thermal fuse of its own."
    )
    return pack_id
