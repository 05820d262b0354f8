"""The insulation plan: before the battery goes on, each feed against ground with a meter on ohms."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from model.caution_words import CAUTIONS, CautionKind
from model.circuit.condition import IN, OUT, Condition
from model.circuit.faults import part_of_site
from model.harness.derived import once_per_harness
from model.harness.harness import Harness
from model.plans.chargers_off import chargers_off_words
from model.plans.cold_circuit import ColdLoom
from model.plans.insulation_fitted import fitted_rows
from model.plans.insulation_groups import Ground, Group
from model.plans.insulation_positions import closed_readings
from model.plans.insulation_reading import Reading
from model.plans.insulation_rows import Head, reading_rows
from model.plans.limits import limit_of
from model.plans.plan import Plan, PlanKind, PlanRow
from model.plans.row_words import titled
from model.plans.stages import place_ranks
from model.tracing.condition_words import key_words
from model.tracing.names import id_and_label, part_name, point_name
from model.words import clean, ohms_text

ALL_OUT = "All fuses out"
BEHIND = "Behind each fuse, that fuse out"
SWITCHED = "Behind each fuse, with what a switch joins"
FITTED = "One fuse in at a time"

_ELSEWHERE = "the open readings of the continuity plan prove that it stands off the body"
_CAUTIONS = (
    CautionKind.BATTERY_ORDER,
    CautionKind.POWER_OFF,
    CautionKind.SUPPLY_OFF,
    CautionKind.PROBING,
    CautionKind.FUSE_RATING,
)


class _Making:
    """An insulation plan as far as it is made."""

    def __init__(self, harness: Harness) -> None:
        self.harness = harness
        self.ground = Ground(ColdLoom(harness))
        self.rows: list[PlanRow] = []
        self.proven: set[str] = set()
        self.kept: dict[str, Reading] = {}
        self.left_out: list[str] = []

    def at_rest(self, point: str) -> Reading:
        """Give the reading from a point with everything at rest; kept."""
        if point not in self.kept:
            self.kept[point] = Reading(self.ground, point, self.ground.at_rest).as_taken()
        return self.kept[point]

    def add(self, reading: Reading, head: Head) -> None:
        """Add the rows of a reading, or say why it is not taken."""
        if reading.refusal is not None:
            self.left_out.append(f"{head.title}: {reading.refusal.reason}")
            return
        for row in reading_rows(reading, head):
            self.rows.append(row)
            self.proven.update(row.covers)


def insulation_plan(harness: Harness) -> Plan:
    """Make the plan that proves the insulation of a loom before the battery goes on.

    Notes
    -----
    Each place is gone to once. With the battery's clamps off and everything plugged in: the live clamps against the
    grounded one with every fuse out, the metal behind each fuse, the fewest positions of switches that join more
    metal to it, then one fuse in at a time. What is expected is what the cold loads that hang on it give, by
    solving the circuit. The least that is good is that with loads 12 %, wires 25 % and contacts 50 % lower, less
    0.2 Ω and 0.8 % for the meter. A wire counts as proven where its short to the body would read under that.
    """
    making = _Making(harness)
    _add_all_out(making)
    groups = making.ground.groups
    for group in groups:
        making.add(making.at_rest(group.point), _group_head(harness, group, BEHIND))
    _add_switched(making, groups)
    making.rows += fitted_rows(making.ground, FITTED)
    return Plan(
        kind=PlanKind.INSULATION,
        vehicle=clean(harness.build.name),
        revision=harness.build.revision,
        rows=_in_order(harness, making.rows),
        about=_about(harness),
        cautions=tuple(CAUTIONS[kind].text for kind in _CAUTIONS),
        left_out=tuple(dict.fromkeys(making.left_out)),
        undetected=_undetected(making),
    )


def _in_order(harness: Harness, rows: Sequence[PlanRow]) -> tuple[PlanRow, ...]:
    """Put rows in working order: by place, that of the battery first, then by what is unplugged, then by stage."""
    ranks = place_ranks(harness, [row.place for row in rows if row.group == ALL_OUT])
    heads = (ALL_OUT, BEHIND, SWITCHED, FITTED)
    ordered = sorted(
        rows,
        key=lambda row: (
            ranks.get(row.place, len(ranks)),
            row.place,
            _unplugged(harness, row),
            heads.index(row.group),
        ),
    )
    return tuple(replace(row, group=": ".join(word for word in (row.place, row.group) if word)) for row in ordered)


def _unplugged(harness: Harness, row: PlanRow) -> tuple[str, ...]:
    more = set(row.condition.settings) - _never_unplugged(harness)
    return tuple(sorted(name for name, value in more if value == OUT))


@once_per_harness
def _never_unplugged(harness: Harness) -> frozenset[tuple[str, str]]:
    """Give the settings of what is taken off or pulled, and has no plug."""
    return frozenset((part.id, OUT) for part in (*harness.batteries, *harness.chargers, *harness.fuses))


def _add_all_out(making: _Making) -> None:
    for post in making.ground.live_posts:
        title = f"{point_name(making.harness, post)}: its clamp to the grounded clamp"
        before = (
            "Everything that was apart for the continuity is back in its place first: plugs, lamps, relays, switches. "
            "Fuses stay out.",
            "Lay the clamps apart, off the posts; both probes go on clamps.",
        )
        making.add(making.at_rest(post), Head(f"all out {post}", titled(title), ALL_OUT, before=before))


def _group_head(harness: Harness, group: Group, head: str, condition: Condition | None = None) -> Head:
    named = " and ".join(id_and_label(harness, fuse) for fuse in group.fuses)
    title = f"{named}, load side to ground" if named else f"{part_name(harness, group.point)} to ground"
    key = f"group {group.point}"
    if condition is not None:
        moved = [f"{name}={clean(value, 30)}" for name, value in condition.settings if value not in (OUT, IN)]
        turned = condition.key != harness.key_names[0]
        key = " ".join([key, *([f"key={clean(condition.key, 30)}"] if turned else []), *moved])
        title = f"{title}: {', '.join([*([key_words(harness, condition)] if turned else []), *moved])}"
    return Head(key, titled(title), head)


def _add_switched(making: _Making, groups: Iterable[Group]) -> None:
    """Add the rows of positions that join more metal to a group, or to a live post."""
    starts = [*groups, *(Group(post) for post in making.ground.live_posts)]
    for group in starts:
        at_rest = making.at_rest(group.point)
        if at_rest.refusal is None:
            for reading in closed_readings(at_rest, making.proven):
                making.add(reading, _group_head(making.harness, group, SWITCHED, reading.condition))


def _about(harness: Harness) -> tuple[str, ...]:
    main, open_group = limit_of("all fuses out"), limit_of("open group")
    tester = limit_of("insulation tester")
    without_key = "" if harness.key_switch is None else ", key off"
    return (
        f"Proves that no feed has a way to ground that it should not have, before the battery goes on: clamps off, "
        f"everything plugged in, switches at rest{without_key}, every fuse out.",
        *chargers_off_words(harness),
        f"Zero the leads first. Open means {ohms_text(open_group.low or 0.0)} or more, with every fuse out "
        f"{ohms_text(main.low or 0.0)} or more ({main.source}).",
        "Grounds and ground-side wires are the body's own metal: a touch there changes nothing and is not looked for.",
        f"An insulation tester of 250 V goes on a loom that is wholly disconnected from every part, and on no other "
        f"({ohms_text(tester.low or 0.0)} or more, {tester.source}, {tester.source_kind}): where a rule or surveyor "
        "asks for it, leave it to somebody licensed for it.",
    )


def _undetected(making: _Making) -> tuple[str, ...]:
    """Name each wire off the grounded side whose short no row tells, with why."""
    harness, ground = making.harness, making.ground
    starts = [group.point for group in ground.groups] + list(ground.live_posts)
    reachable = {wire for point in starts for wire in making.at_rest(point).within_reach}
    said = []
    for wire in harness.wires:
        if wire.id in making.proven or ground.loom.middle(wire.id) in ground.nodes:
            continue
        why = "a short of it reads as the loads beside it do" if wire.id in reachable else _why_apart(ground, wire.id)
        said.append(f"{id_and_label(harness, wire.id)}: {why}.")
    return tuple(said)


def _why_apart(ground: Ground, wire_id: str) -> str:
    """Say why no position joins a wire to a fuse."""
    harness, loom = ground.harness, ground.loom
    names = {loom.net.names[node] for node in ground.metal(loom.middle(wire_id))}
    owners = {part_of_site(name) for name in names}
    relay = next((relay.id for relay in harness.relays if relay.id in owners), None)
    if relay is not None:
        return f"it hangs behind the open contact of {id_and_label(harness, relay)}; {_ELSEWHERE}"
    module = next((module.id for module in harness.modules if module.id in owners), None)
    if module is not None:
        return f"it ends on {id_and_label(harness, module)} alone, unplugged here; {_ELSEWHERE}"
    return f"no position of a switch joins it to a fuse; {_ELSEWHERE}"
