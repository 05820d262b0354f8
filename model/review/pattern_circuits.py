"""The rows of each pattern: parts, wires, and what each is joined to."""

from __future__ import annotations

from collections.abc import Callable
from typing import assert_never

from model.harness.parts import Relay
from model.harness.points import relay_coils
from model.harness.toml_edit import Value
from model.review.fuse_use import lasting_share
from model.review.pattern_draft import JUDGEMENT, PRACTICE, Draft, Reason
from model.review.pattern_feeds import FeedKind, FeedPoint
from model.review.pattern_ground import choose_ground
from model.review.pattern_power import Need, Tap, choose_feed, guarded_size, new_key_switch, power_size, tap
from model.review.pattern_questions import Pattern
from model.review.pattern_sizes import bears_amps, least_area_mm2, start_of, steady
from model.tables import SourceKind
from model.words import amps_text, ohms_text, watts_text

RELAY_AMPS = (20.0, 30.0, 40.0, 70.0)
SWITCH_AMPS = (5.0, 10.0, 16.0, 20.0, 30.0)
_STEP_SHARES = {2: (0.6,), 3: (0.5, 0.75), 4: (0.4, 0.6, 0.8)}
"""Shares of its volts that a motor has at each speed under the full one; judgement."""

_STEP_NAMES = {2: ("low",), 3: ("low", "medium"), 4: ("low", "medium", "brisk")}


def lay_out(draft: Draft) -> None:
    """Add the rows of the pattern that is asked for.

    Raises
    ------
    ArgumentError
        Where something that was given does not fit, or no fuse or wire serves.
    """
    match draft.asked.pattern:
        case Pattern.SWITCHED:
            _switched(draft)
        case Pattern.RELAY:
            _relay(draft, _coil_by_feed)
        case Pattern.RELAY_GROUND:
            _relay(draft, _coil_by_ground)
        case Pattern.SPEEDS:
            _speeds(draft)
        case Pattern.MODULE:
            _module(draft)
        case Pattern.PERMANENT | Pattern.SOCKET:
            _direct(draft)
        case _:
            assert_never(draft.asked.pattern)


def _need(draft: Draft, *runs: str) -> Need:
    asked = draft.asked
    start = start_of(asked.kind, asked.amps, asked.start_amps)
    return Need("", asked.label, asked.amps, start, any(asked.trunks(run) for run in runs), "size")


def _feed(draft: Draft, key: str, keys: tuple[str, ...], need: Need) -> FeedPoint:
    """Give what a circuit hangs on, with a new key switch where the file has none and one is wanted."""
    harness = draft.harness
    is_missing = not any(keys in (one.keys, one.moved_keys) for one in draft.feeds.offered)
    if is_missing and keys != harness.key_names and harness.key_switch is None and not draft.asked.text(key):
        source = choose_feed(draft, "key_from", "feed of the key switch", harness.key_names, "")
        if source is not None:
            return new_key_switch(draft, keys, source, need)
    found = choose_feed(draft, key, f"what {need.label} hangs on", keys, draft.asked.text("at"))
    if found is not None:
        return found
    draft.remark(f"Nothing of the file has feed in {', '.join(keys)}: the circuit hangs on what is fed always.")
    always = choose_feed(draft, key, f"what {need.label} hangs on", harness.key_names, "")
    return always if always is not None else draft.feeds.named(next(iter(harness.batteries)).id + f".{draft.hot}")


def _load(draft: Draft, place: str, **more: Value) -> str:
    """Add the load itself and give its id."""
    asked = draft.asked
    letter = {"motor": "M", "horn": "P"}.get(str(asked.kind), "E")
    load_id = draft.new_id("load_id", asked.label, letter)
    works_with = {**draft.tuning.settings, **more}
    rated: dict[str, Value] = {"amps": asked.amps} if asked.watts is None else {"watts": asked.watts}
    row: dict[str, Value | None] = {"id": load_id, "kind": str(asked.kind), "label": asked.label, "location": place}
    row |= {**rated, "start_amps": asked.start_amps, "role": asked.text("role"), "works_in": list(asked.keys)}
    draft.add("loads", {**row, "critical": asked.is_critical or None, "works_with": works_with})
    return load_id


def _switch(draft: Draft, amps: float, place: str, **more: Value) -> str:
    """Add a switch and give its id."""
    switch_id = draft.new_id("switch_id", f"switch of {draft.asked.label}", "S")
    proposed = next((rating for rating in SWITCH_AMPS if rating >= amps), SWITCH_AMPS[-1])
    why = f"next usual rating above {amps_text(amps)}"
    rating = draft.number("switch_amps", f"rating of {switch_id}, A", proposed, Reason(why, JUDGEMENT))
    if rating < amps:
        draft.remark(f"{switch_id} carries {amps_text(amps)} and is rated at {rating:g} A: let a relay carry it.")
    row: dict[str, Value] = {"id": switch_id, "label": f"{draft.asked.label} switch", "location": place}
    draft.add("switches", {**row, "amps": rating, **more})
    return switch_id


def _direct(draft: Draft) -> None:
    place = draft.place("at")
    need = _need(draft, "load")
    begins = tap(draft, _feed(draft, "feed", draft.asked.keys, need), need)
    size = power_size(draft, "size", need, begins.rating_amps, ("load", "ground"))
    load_id = _load(draft, place)
    ground = choose_ground(draft, "ground", f"ground of {load_id}", place)
    asked = draft.asked
    draft.wire("load", (begins.point, f"{load_id}.{draft.hot}"), size, draft.colours.of_feed(asked.keys))
    draft.wire("ground", (f"{load_id}.{draft.cold}", ground), size, draft.colours.of_ground())


def _switched(draft: Draft) -> None:
    asked = draft.asked
    place = draft.place("at")
    need = _need(draft, "feed", "load")
    feed = _feed(draft, "feed", asked.keys, need)
    begins = tap(draft, feed, need)
    size = power_size(draft, "size", need, begins.rating_amps, ("feed", "load", "ground"))
    switch_id = _switch(draft, asked.amps, draft.place("switch_at", feed.place))
    load_id = _load(draft, place, **{switch_id: "on"})
    ground = choose_ground(draft, "ground", f"ground of {load_id}", place)
    colours = draft.colours
    draft.wire("feed", (begins.point, f"{switch_id}.1"), size, colours.of_feed(asked.keys))
    load_colour = colours.of_load(asked.kind, asked.text("role"), asked.keys)
    draft.wire("load", (f"{switch_id}.2", f"{load_id}.{draft.hot}"), size, load_colour)
    draft.wire("ground", (f"{load_id}.{draft.cold}", ground), size, colours.of_ground())


def _relay(draft: Draft, add_coil: Callable[[Draft, str, str, Tap, float | str], str]) -> None:
    asked = draft.asked
    place = draft.place("at")
    need = _need(draft, "feed", "load")
    coil = Need(
        "control_", f"coil of {asked.label}", _coil_amps(draft), steady(_coil_amps(draft)), False, "control_size"
    )
    control = _feed(draft, "control", asked.keys, coil)
    feed = _feed(draft, "feed", draft.harness.key_names, need)
    begins = tap(draft, feed, need)
    size = power_size(draft, "size", need, begins.rating_amps, ("feed", "load", "ground"))
    relay_place = draft.place("relay_at", feed.place)
    relay_id = _relay_row(draft, relay_place)
    coil_tap = _coil_tap(draft, (feed, begins), control, coil)
    coil_size = guarded_size(draft, "control_size", coil, coil_tap.rating_amps)
    switch_id = add_coil(draft, relay_id, relay_place, coil_tap, coil_size)
    load_id = _load(draft, place, **{switch_id: "on"})
    ground = choose_ground(draft, "ground", f"ground of {load_id}", place)
    colours = draft.colours
    draft.wire("feed", (begins.point, f"{relay_id}.30"), size, colours.of_feed(feed.keys or feed.moved_keys))
    load_colour = colours.of_load(asked.kind, asked.text("role"), asked.keys)
    draft.wire("load", (f"{relay_id}.87", f"{load_id}.{draft.hot}"), size, load_colour)
    draft.wire("ground", (f"{load_id}.{draft.cold}", ground), size, colours.of_ground())


def _relay_row(draft: Draft, place: str) -> str:
    asked = draft.asked
    relay_id = draft.new_id("relay_id", f"relay of {asked.label}", "K")
    wanted = asked.amps / lasting_share()
    proposed = next((rating for rating in RELAY_AMPS if rating >= wanted), RELAY_AMPS[-1])
    start = start_of(asked.kind, asked.amps, asked.start_amps)
    why = f"next usual rating above {amps_text(asked.amps)} / {lasting_share():g}"
    if start.amps > proposed:
        why += f"; its contact must be made for {amps_text(start.amps)} at the start: see its data sheet"
    rating = draft.number("relay_amps", f"contact rating of {relay_id}, A", proposed, Reason(why, PRACTICE))
    if rating < asked.amps:
        draft.remark(f"{relay_id} carries {amps_text(asked.amps)} and its contact is rated at {rating:g} A.")
    draft.add("relays", {"id": relay_id, "label": f"{asked.label} relay", "location": place, "amps": rating})
    return relay_id


def _coil_amps(draft: Draft) -> float:
    nominal_volts = draft.harness.build.nominal_volts
    return nominal_volts / relay_coils(Relay(id="K"), nominal_volts)[0][2]


def _coil_tap(draft: Draft, power: tuple[FeedPoint, Tap], control: FeedPoint, coil: Need) -> Tap:
    """Give where the coil's wires begin: behind a fuse that they bear, else behind one of their own."""
    feed, begins = power
    least_amps = bears_amps(max(least_area_mm2(draft.harness), 1.0), in_bundle=False)
    if control.point == feed.point and begins.rating_amps is not None and begins.rating_amps <= least_amps:
        return begins
    guards = draft.feeds.guards(control.point)
    is_guarded = bool(guards) and all(amps is not None and amps <= least_amps for amps in guards)
    if control.kind is FeedKind.POINT and is_guarded:
        return Tap(control.point, max(amps for amps in guards if amps is not None))
    return tap(draft, control, coil)


def _coil_by_feed(draft: Draft, relay_id: str, place: str, begins: Tap, size: float | str) -> str:
    switch_id = _switch(draft, _coil_amps(draft), draft.place("switch_at", place))
    ground = choose_ground(draft, "coil_to", f"ground of the coil of {relay_id}", place)
    colours, keys = draft.colours, draft.asked.keys
    draft.wire("switch_feed", (begins.point, f"{switch_id}.1"), size, colours.of_feed(keys))
    draft.wire("coil", (f"{switch_id}.2", f"{relay_id}.86"), size, colours.of_feed(keys))
    draft.wire("coil_ground", (f"{relay_id}.85", ground), size, colours.of_ground())
    return switch_id


def _coil_by_ground(draft: Draft, relay_id: str, place: str, begins: Tap, size: float | str) -> str:
    switch_place = draft.place("switch_at", place)
    switch_id = _switch(draft, _coil_amps(draft), switch_place)
    ground = choose_ground(draft, "coil_to", f"ground of {switch_id}", switch_place)
    colours = draft.colours
    draft.wire("coil", (begins.point, f"{relay_id}.86"), size, colours.of_feed(draft.asked.keys))
    draft.wire("coil_ground", (f"{relay_id}.85", f"{switch_id}.1"), size, colours.of_ground_side())
    draft.wire("switch_ground", (f"{switch_id}.2", ground), size, colours.of_ground())
    return switch_id


def _speeds(draft: Draft) -> None:
    asked = draft.asked
    place = draft.place("at")
    need = _need(draft, "feed", "step", "load")
    feed = _feed(draft, "feed", asked.keys, need)
    begins = tap(draft, feed, need)
    size = power_size(draft, "size", need, begins.rating_amps, ("feed", "step", "load", "ground"))
    steps = [*_STEP_NAMES[asked.speeds], "high"]
    terminals = [str(number) for number in range(1, asked.speeds + 1)]
    positions: dict[str, Value] = {"off": []}
    positions |= {name: [["B", terminal]] for name, terminal in zip(steps, terminals, strict=True)}
    switch_place = draft.place("switch_at", feed.place)
    switch_id = _switch(draft, asked.amps, switch_place, terminals=["B", *terminals], positions=positions)
    pack_id = _pack(draft, terminals)
    load_id = _load(draft, place, **{switch_id: "high"})
    ground = choose_ground(draft, "ground", f"ground of {load_id}", place)
    colours = draft.colours
    draft.wire("feed", (begins.point, f"{switch_id}.B"), size, colours.of_feed(asked.keys))
    for number, terminal in enumerate(terminals, start=1):
        colour = colours.of_load(asked.kind, asked.text("role"), asked.keys)
        draft.wire("step", (f"{switch_id}.{terminal}", f"{pack_id}.{terminal}"), size, colour, nth=number)
    colour = colours.of_load(asked.kind, asked.text("role"), asked.keys)
    draft.wire("load", (f"{pack_id}.{terminals[-1]}", f"{load_id}.{draft.hot}"), size, colour)
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


def _module(draft: Draft) -> None:
    asked = draft.asked
    place = draft.place("at")
    need = _need(draft, "load")
    begins = tap(draft, _feed(draft, "feed", draft.harness.key_names, need), need)
    start = steady(asked.switched_amps)
    in_bundle = bool(asked.trunks("switched"))
    second = Need("switched_", f"{asked.label}, switched", asked.switched_amps, start, in_bundle, "switched_size")
    switched = _feed(draft, "switched_feed", asked.keys, second)
    switched_tap = tap(draft, switched, second)
    both = Need("", asked.label, asked.amps + asked.switched_amps, need.start, need.in_bundle, "size")
    size = power_size(draft, "size", both, begins.rating_amps, ("load", "ground"))
    switched_size = power_size(draft, "switched_size", second, switched_tap.rating_amps, ("switched", "ground"))
    module_id = _module_row(draft, place)
    ground = choose_ground(draft, "ground", f"ground of {module_id}", place)
    colours = draft.colours
    draft.wire("load", (begins.point, f"{module_id}.30"), size, colours.of_feed(draft.harness.key_names))
    draft.wire("switched", (switched_tap.point, f"{module_id}.15"), switched_size, colours.of_feed(asked.keys))
    draft.wire("ground", (f"{module_id}.31", ground), size, colours.of_ground())


def _module_row(draft: Draft, place: str) -> str:
    asked = draft.asked
    module_id = draft.new_id("module_id", asked.label, "A")
    proposed = min(0.005, asked.amps) if asked.asleep_amps is None else asked.asleep_amps
    why = (
        "a control unit asleep draws under 10 mA; its data sheet says how much"
        if asked.asleep_amps is None
        else "as given"
    )
    basis = ("Ford service information of 2023, battery drain check", SourceKind.PUBLISHED)
    draft.told("asleep_amps", f"{module_id} asleep, A", proposed, Reason(why, basis))
    feeds = [
        {"terminal": "30", "amps": asked.amps, "asleep_amps": proposed},
        {"terminal": "15", "amps": asked.switched_amps},
    ]
    draft.add("modules", {"id": module_id, "label": asked.label, "location": place, "feeds": feeds})
    return module_id
