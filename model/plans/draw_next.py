"""Where to look next for a draw: the fuse that carries most beyond the file, what hangs behind it, the rest."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from model.circuit.bench import Bench
from model.harness.derived import once_per_harness
from model.harness.fields import Access
from model.harness.harness import Harness
from model.harness.hazards import NEVER_PROBED, hazards_of_part
from model.harness.parts import Fuse, Module, Relay, Switch
from model.harness.places import place_of, place_words
from model.harness.records import Connector
from model.plans.draw_rows import WITHOUT_FUSE
from model.plans.draw_words import expected_amps
from model.plans.judging import Standing
from model.plans.kept import Kept
from model.plans.plan import Measure, Plan, PlanRow
from model.review.draw import draw_conditions
from model.review.draw_figures import figure
from model.tracing.fuse_branch import Branch
from model.tracing.graph import links_of
from model.tracing.names import either, id_and_label
from model.tracing.nets import flood, neighbours_of, nets_of
from model.words import amps_text, plural

NAMED_AT_MOST = 4
"""So many things to take apart are named; judgement."""

SWITCHES_AT_MOST = 3
"""So many switches are named, the nearest to the fuse; judgement."""

EXPLAINS_SHARE = 0.4
"""A fuse behind another explains it where it carries at least this share: each may be read a quarter wrong."""

STOP_WORDS = "The whole draw is within its limit: the search may stop here."

_JUST_A_DIGIT = 0.999
_LIVE_SHARE = 0.25
_ACCESS = tuple(Access)


@dataclass(frozen=True, slots=True)
class Excess:
    """What a fuse carries beyond the file by its reading, in amperes."""

    fuse_id: str
    read_amps: float
    expected_amps: float

    @property
    def amps(self) -> float:
        """How much too much."""
        return self.read_amps - self.expected_amps


def excesses(plan: Plan, kept: Mapping[str, Kept]) -> tuple[Excess, ...]:
    """Give the fuses that read at least a digit more than a sound one may by the file, the most amperes first."""
    digit = figure("millivolt digit").value * _JUST_A_DIGIT
    found = []
    for row in plan.rows:
        value = kept[row.key].taken.value if row.key in kept else None
        if row.fuse is None or value is None:
            continue
        if abs(value) - (row.expect or 0.0) * (1.0 + row.fuse.band_share) < digit:
            continue
        found.append(Excess(row.covers[0], row.fuse.amps(abs(value)), expected_amps(row)))
    return tuple(sorted(found, key=lambda one: -one.amps))


def guilty_fuse(harness: Harness, plan: Plan, kept: Mapping[str, Kept]) -> Excess | None:
    """Give the fuse to look behind next: the most excess that no fuse behind it explains; None where none has any.

    A fuse that should be dead with the key off stands for what feeds it: its feed is on, whatever hangs behind it.
    """
    found = _at_live_fuses(harness, excesses(plan, kept))
    for one in found:
        behind = [other for other in found if one.fuse_id in _fuses_before(harness, other.fuse_id)]
        if not any(other.amps >= EXPLAINS_SHARE * one.amps for other in behind):
            return one
    return None


def _at_live_fuses(harness: Harness, found: tuple[Excess, ...]) -> list[Excess]:
    """Put each excess to the nearest fuse before it that is live with the key off, itself where it is."""
    live = _live_fuses(harness)
    own = {one.fuse_id: one for one in found}
    put: dict[str, Excess] = {}
    for one in found:
        before = _fuses_before(harness, one.fuse_id)
        name = next((name for name in (one.fuse_id, *before) if name in live), one.fuse_id)
        put.setdefault(name, own.get(name, replace(one, fuse_id=name)))
    return sorted(put.values(), key=lambda one: -one.amps)


@once_per_harness
def _live_fuses(harness: Harness) -> frozenset[str]:
    """Name the fuses whose feed side is live with the key off by the file."""
    _, asleep = draw_conditions(harness)
    settled, upstream = Bench(harness).survey(asleep).settled, nets_of(harness).upstream
    least_volts = _LIVE_SHARE * harness.build.nominal_volts
    volts = {fuse.id: settled.volts_at(upstream[fuse.id]) for fuse in harness.fuses}
    return frozenset(name for name, one in volts.items() if one is not None and abs(one) > least_volts)


def _dead_words(harness: Harness, plan: Plan, kept: Mapping[str, Kept]) -> tuple[str, ...]:
    live = _live_fuses(harness)
    names = [id_and_label(harness, one.fuse_id) for one in excesses(plan, kept) if one.fuse_id not in live]
    if not names:
        return ()
    should = f"{either(names, 'and')} should be dead with the key off"
    return (f"{should}: what feeds {'it' if len(names) == 1 else 'them'} is on.",)


def look_next(harness: Harness, plan: Plan, kept: Mapping[str, Kept]) -> tuple[str, ...]:
    """Say by what was read where to look next, in full sentences; nothing before a reading has told anything."""
    fuses = [row for row in plan.rows if row.fuse is not None]
    guilty = guilty_fuse(harness, plan, kept)
    left = [row for row in fuses if row.tells and row.key not in kept]
    if guilty is not None:
        named = id_and_label(harness, guilty.fuse_id)
        said = (
            f"{named}: {amps_text(guilty.expected_amps)} expected, about {amps_text(guilty.read_amps)} read: "
            "look here next."
        )
        more = f"{plural(len(left), 'fuse is', 'fuses are')} not read yet." if left else ""
        behind = behind_words(harness, harness.part_of(guilty.fuse_id, Fuse))
        stop = (STOP_WORDS,) if whole_is_good(plan, kept) and not _has_bad(plan, kept) else ()
        return (*stop, said, *_dead_words(harness, plan, kept), *behind, *([more] if more else []))
    if not _has_bad(plan, kept):
        return (STOP_WORDS,) if whole_is_good(plan, kept) else ()
    if left:
        return (
            f"The draw is too much, and {plural(len(left), 'fuse is', 'fuses are')} not read yet: read those next.",
        )
    return tuple(_beyond_fuses(harness, plan, fuses))


def _has_bad(plan: Plan, kept: Mapping[str, Kept]) -> bool:
    return any(kept[row.key].verdict.standing is Standing.BAD for row in plan.rows if row.key in kept)


def whole_is_good(plan: Plan, kept: Mapping[str, Kept]) -> bool:
    """Tell whether the draw asleep of every bank was read and is good, by its last reading."""
    wholes = whole_rows(plan)
    return bool(wholes) and all(
        (last := last_whole(keys, kept)) is not None and kept[last].verdict.standing is Standing.GOOD
        for keys in wholes.values()
    )


def whole_rows(plan: Plan) -> dict[tuple[str, ...], tuple[str, ...]]:
    """Map the batteries of each bank to the keys of the rows that read its whole draw asleep."""
    found: dict[tuple[str, ...], tuple[str, ...]] = {}
    for row in plan.rows:
        if row.measure is Measure.AMPS and row.tells and row.group != WITHOUT_FUSE:
            found[row.covers] = (*found.get(row.covers, ()), row.key)
    return found


def last_whole(keys: tuple[str, ...], kept: Mapping[str, Kept]) -> str | None:
    """Give the key of the row among some that was read last; None where none has a value."""
    read = [key for key in keys if key in kept and kept[key].taken.value is not None]
    return max(read, key=lambda key: kept[key].entry.when, default=None)


def _beyond_fuses(harness: Harness, plan: Plan, fuses: list[PlanRow]) -> Iterator[str]:
    blind = [id_and_label(harness, row.covers[0]) for row in fuses if not row.tells]
    unfused = [id_and_label(harness, row.covers[0]) for row in plan.rows if row.group == WITHOUT_FUSE]
    yield "Every fuse that can show it carries what the file lets expect."
    if unfused:
        yield f"Look at what hangs on the battery without a fuse: {either(unfused, 'and')}."
    if blind:
        yield f"Then at the fuses on which a digit is too much, by a clamp: {either(blind, 'and')}."
    if not unfused and not blind:
        yield "Nothing else hangs on the battery by the file: look for a wire that the file does not have."


def behind_words(harness: Harness, fuse: Fuse) -> tuple[str, ...]:
    """Say what to take apart behind a fuse, the easiest to reach first, in full sentences."""
    named = id_and_label(harness, fuse.id)
    branch = Branch(harness, fuse, lambda _link: True)
    things, switches = _things(harness, branch), _switches(harness, branch)
    said = []
    first = [*switches[:1], *things[:NAMED_AT_MOST]]
    if first:
        names = either((id_and_label(harness, name) for name in first), "and")
        hang, them = ("hangs", "it apart") if len(first) == 1 else ("hang", "them apart one by one")
        said.append(f"Behind {named} {hang} {names}: take {them}.")
    if things:
        shown = "; ".join(f"{id_and_label(harness, name)}, {_where(harness, name)}" for name in things[:NAMED_AT_MOST])
        more = f"; and {len(things) - NAMED_AT_MOST} more" if len(things) > NAMED_AT_MOST else ""
        said.append(
            f"The easiest to reach first, and the meter read after each: {shown}{more}. What lets the draw fall is it, "
            "or hangs behind it."
        )
    said += _switch_words(harness, switches)
    alone = [id_and_label(harness, name) for name in branch.modules if _is_left_alone(harness, name)]
    if alone:
        said.append(f"{either(alone, 'and')} stays as it is: leave it to somebody trained and licensed for it.")
    relays = [name for name in things if isinstance(harness.parts[name], Relay)]
    if relays:
        names = either((id_and_label(harness, name) for name in relays[:NAMED_AT_MOST]), "and")
        said.append(
            f"Feel {names}: warm with the key off is a coil that is held on. Cold, but its load on or volts on its "
            "load side: welded contacts."
        )
    further = [other.id for other in harness.fuses if fuse.id in _fuses_before(harness, other.id)]
    if further:
        names = ", ".join(id_and_label(harness, name) for name in further[:NAMED_AT_MOST])
        rest = f" and {len(further) - NAMED_AT_MOST} more" if len(further) > NAMED_AT_MOST else ""
        said.append(f"Fuses that may hang behind it have rows of their own: {names}{rest}.")
    return tuple(said) or (f"Nothing that can be taken apart hangs behind {named} by the file: lift its wire off.",)


def _switches(harness: Harness, branch: Branch) -> list[str]:
    """Name the switches on a branch, the nearest to the fuse first."""
    links = [link for link in links_of(harness) if {link.one, link.other} <= branch.points]
    away = flood(neighbours_of(links), [branch.start], frozenset(), lambda _link, _point: True)
    owners = dict.fromkeys(point.partition(".")[0] for point in away)
    return [name for name in owners if isinstance(harness.parts.get(name), Switch)]


def _switch_words(harness: Harness, names: list[str]) -> Iterator[str]:
    if not names:
        return
    shown = "; ".join(f"{id_and_label(harness, name)}, {_where(harness, name)}" for name in names[:SWITCHES_AT_MOST])
    more = f"; and {len(names) - SWITCHES_AT_MOST} more" if len(names) > SWITCHES_AT_MOST else ""
    yield f"A switch may be stuck on, its handle at off all the same: take the wires off {shown}{more}."


def _things(harness: Harness, branch: Branch) -> list[str]:
    """Name what can be unplugged or pulled on a branch, the easiest to reach first."""
    names = dict.fromkeys(
        name.partition(".")[0]
        for gap in branch.gaps
        for name in gap.names
        if not isinstance(harness.parts.get(name.partition(".")[0]), Switch)
    )
    ordered = [*names, *(name for name in branch.modules if name not in names and not _is_left_alone(harness, name))]
    return sorted(ordered, key=lambda name: (_ACCESS.index(place_of(harness, name).access), _effort(harness, name)))


def _is_left_alone(harness: Harness, name: str) -> bool:
    return not NEVER_PROBED.isdisjoint(hazards_of_part(harness, name))


def _effort(harness: Harness, name: str) -> int:
    """Rank what is taken apart: relays are pulled, plugs parted, then loads and wires, control units last."""
    match harness.parts[name]:
        case Relay():
            return 0
        case Connector():
            return 1
        case Module():
            return 3
    return 2


def _where(harness: Harness, name: str) -> str:
    words = place_words(place_of(harness, name))
    return f"{words}, the supply off first" if isinstance(harness.parts[name], Module) else words


def _fuses_before(harness: Harness, fuse_id: str) -> tuple[str, ...]:
    nets = nets_of(harness)
    return nets.fuses_before(nets.upstream[fuse_id])


def said_of_row(harness: Harness, plan: Plan, row: PlanRow) -> tuple[str, ...]:
    """Say what a bad row of the draw asks for next, in full sentences."""
    if row.fuse is not None:
        return behind_words(harness, harness.part_of(row.covers[0], Fuse))
    if row.measure is not Measure.AMPS:
        return ()
    if row.group == WITHOUT_FUSE:
        named = id_and_label(harness, row.covers[0])
        return (f"{named} draws by itself: grounded clamp off, its lead off and covered, and read the whole again.",)
    longest = figure("longest wait")
    first = next((one.title for one in plan.rows if one.fuse is not None), "")
    wait = f"Some control units take {longest.value:g} min ({longest.source}): wait on while it still falls."
    onward = f"Then go on with the millivolts across the fuses, from “{first}”." if first else ""
    return (wait, *([onward] if onward else []))
