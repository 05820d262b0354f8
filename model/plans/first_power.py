"""The plan of the first power: a lamp in series with the battery, one fuse at a time, modules last."""

from __future__ import annotations

from collections.abc import Iterable

from model.caution_words import GENERAL_CAUTIONS
from model.harness.harness import Harness
from model.harness.hazards import NEVER_PROBED, hazards_of_part, may_be_probed
from model.plans.first_power_fuses import fittings_of
from model.plans.first_power_modules import module_rows
from model.plans.first_power_rows import bare_rows, fuse_rows
from model.plans.first_power_scene import FirstPower, is_module, unplugged
from model.plans.plan import LAMP_WATTS, Plan, PlanKind, PlanRow
from model.plans.set_by_hand import with_hands
from model.tracing.names import id_and_label, point_name
from model.words import amps_text, clean


def first_power_plan(harness: Harness, lamp_watts: float = LAMP_WATTS) -> Plan:
    """Make the plan that puts a loom under power for the first time, through a lamp that limits the current.

    Parameters
    ----------
    lamp_watts
        Power of the lamp at the nominal volts.

    Notes
    -----
    With every fuse out first, then one fuse at a time beside those that feed it: permanent circuits, lighting, what
    the key feeds in the order in which it turns, and fuses of modules last; each taken out again before the next.
    """
    first = FirstPower(harness, lamp_watts)
    fittings = fittings_of(first)
    rows: list[PlanRow] = []
    for bank in first.banks:
        rows += bare_rows(first, bank)
        for fitting in fittings.order:
            if fitting.bank is bank and may_be_probed(harness, f"{fitting.fuse.id}.out") is None:
                rows += fuse_rows(first, fitting)
    for module in harness.modules:
        if not NEVER_PROBED.intersection(hazards_of_part(harness, module.id)):
            rows += module_rows(first, module)
    return Plan(
        kind=PlanKind.FIRST_POWER,
        vehicle=clean(harness.build.name),
        revision=harness.build.revision,
        rows=tuple(with_hands(harness, row) for row in _once(rows)),
        about=_about(first),
        cautions=tuple(caution.text for caution in GENERAL_CAUTIONS),
        left_out=(*_tapped(first, fittings.tapped), *_left_out(first)),
        undetected=tuple(
            f"Fuse {id_and_label(harness, fuse_id)}: nothing makes it live while the engine stands and modules are out."
            for fuse_id in fittings.dead
        ),
    )


def _once(rows: Iterable[PlanRow]) -> list[PlanRow]:
    """Keep the first row of each key."""
    found: dict[str, PlanRow] = {}
    for row in rows:
        found.setdefault(row.key, row)
    return list(found.values())


def _about(first: FirstPower) -> tuple[str, ...]:
    amps = amps_text(first.lamp_amps)
    found = [
        f"A lamp of {first.watts:g} W stands in series with the battery's live post: a dead short lights it fully and "
        f"draws some {amps}. A supply that is limited to 1 to 2 A does as well; its volts fall where the lamp "
        "would light.",
        "Read the volts across the lamp, and look at it: it is dark under a tenth of the nominal volts, then it glows, "
        "is dim from a fifth and bright from three fifths.",
        "Stop at once, supply off first, where it is bright and the row says dark or dim, or at smoke, heat or a "
        "smell. Find out why before the clamp goes on again.",
        "A module or radio with capacitors makes the lamp flash once, which is no fault. On the volts that the lamp "
        "leaves, relays may chatter, motors may not turn and leds may stay dark: the lamp's volts count. A motor that "
        "stands still lights it nearly as a short does.",
        "The engine is neither cranked nor run with the lamp in place.",
        "Lay the lamp on leads long enough to see it from the fuses: each row is read there.",
    ]
    if len(first.banks) > 1:
        found.append("There are several batteries: one after another, the clamps of the others off.")
    if any(bank.taps for bank in first.banks):
        found.append(
            "Batteries stand in series here and the lamp at the live end of the chain: what is tapped between them "
            "is fed past the lamp. Its fuses stay out, and what no fuse guards comes off its post."
        )
    return tuple(found)


def _tapped(first: FirstPower, tapped: dict[str, str]) -> tuple[str, ...]:
    """Say which fuses and modules are fed from between batteries in series alone, and why they stay out."""
    harness = first.harness
    why = "past the lamp, so that a short there draws all that the battery gives. Prove its insulation first."
    said = [
        f"Fuse {id_and_label(harness, fuse_id)} stays out: it is fed from {point_name(harness, post)}, {why}"
        for fuse_id, post in tapped.items()
    ]
    for module in harness.modules:
        points = [f"{module.id}.{feed.terminal}" for feed in module.feeds]
        if any(feeds.is_fed(point) for feeds in first.feeds_at_rest() for point in points):
            continue
        post = next((post for point in points if (post := first.tap_of(point))), "")
        if post:
            named = f"{id_and_label(harness, module.id)} stays unplugged until the lamp is off"
            said.append(f"{named}: it is fed from {point_name(harness, post)}, past the lamp.")
    return tuple(said)


def _left_out(first: FirstPower) -> tuple[str, ...]:
    harness = first.harness
    refusals = {fuse.id: may_be_probed(harness, f"{fuse.id}.out") for fuse in harness.fuses}
    said = [f"Fuse {fuse_id} stays out: {refusal.reason}" for fuse_id, refusal in refusals.items() if refusal]
    for part_id in unplugged(harness):
        hazards = hazards_of_part(harness, part_id)
        if NEVER_PROBED.intersection(hazards):
            licensed = "no probe and no lamp goes there; leave it to somebody licensed for it"
            said.append(f"{id_and_label(harness, part_id)} stays unplugged, marked {hazards[0]}: {licensed}.")
        elif hazards:
            said.append(f"{id_and_label(harness, part_id)} stays unplugged until the lamp is off: marked {hazards[0]}.")
        elif not is_module(harness, part_id):
            said.append(
                f"{id_and_label(harness, part_id)} stays unplugged until the lamp is off: an inverter charges what it "
                "has inside, and its mains side is not for this."
            )
    return tuple(said)
