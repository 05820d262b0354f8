"""The rows of the first power: what the lamp shows with no fuse in, with each fuse, and with each load on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from model.caution_words import CAUTIONS, CautionKind
from model.cautions import cautions_for
from model.circuit.condition import OUT, Condition
from model.circuit.series_lamp import SeriesLamp
from model.harness.parts import Battery, Fuse
from model.harness.places import place_of, point_place
from model.harness.points import points_of
from model.plans.first_power_fuses import Fitting, LoadOn, feed_point
from model.plans.first_power_motors import motors_on
from model.plans.first_power_scene import Bank, FirstPower, Settings
from model.plans.first_power_words import Still, lamp_limit, lamp_words, still_words
from model.plans.judging import fits
from model.plans.load_rows import in_order, load_name, settings_key
from model.plans.plan import Measure, PlanRow
from model.tracing.condition_words import key_words, settings_words
from model.tracing.names import id_and_label, point_name
from model.words import amps_text, clean

CHANGES_VOLTS = 0.05
CHANGES_AMPS = 0.005
"""A key state in which the lamp, or what a fuse adds to it, changes by less has no row of its own."""

_CHANGES_SHARE = 0.05
_NAMED_AT_MOST = 2
_TOO_LITTLE = (
    "It adds too little to be told, or cannot start on what the lamp leaves it; a lamp of more watts may show it."
)
_BLOWN = "A blown fuse looks the same; its loads show it."
_SHORT_CHATTERS = "Meanwhile a short to ground there would make a relay chatter and the lamp flicker."
_SHORT_TOO = "That is all that the lamp lets through: a short there looks the same."
_SHORT_TOO_STANDING = "A motor that stands still is nearly a short itself: this row sees none."
_BUZZES = "A relay chatters on the few volts that the lamp leaves it, so that no reading rests."


@dataclass(frozen=True, slots=True)
class Seen:
    """What one row of the lamp is about.

    Attributes
    ----------
    fuses
        Fuses that are in.
    settings
        What is moved from rest.
    owner
        The part at which hands are: the fuse, the load or the module.
    """

    bank: Bank
    key: str
    settings: Settings
    fuses: tuple[str, ...]
    owner: str


def lamp_row(first: FirstPower, seen: Seen, lamp: SeriesLamp | None) -> PlanRow:
    """Give a row of the lamp without its key, title and what it proves."""
    condition = first.condition(seen.bank, seen.key, seen.settings, seen.fuses)
    place = clean(place_of(first.harness, seen.owner).name)
    row = PlanRow(
        key="",
        title="",
        group="",
        measure=Measure.LAMP,
        condition=condition,
        red=seen.bank.live,
        place=place,
        far_place=clean(point_place(first.harness, seen.bank.live).name),
        amps=round(first.lamp_amps, 4),
        cautions=tuple(caution.text for caution in cautions_for(first.harness, (_hand_point(first, seen),), condition)),
    )
    if lamp is None:
        return replace(row, expect_words="flickers", tells=False, blind=_BUZZES)
    still = standing_still(first, seen.bank, condition, lamp)
    words = [lamp_words(first, lamp.volts), *([] if still is None else [still_words(first, still)])]
    return replace(
        row, expect=round(lamp.volts, 4), expect_words="; ".join(words), limit=lamp_limit(first, lamp, still)
    )


def standing_still(first: FirstPower, bank: Bank, condition: Condition, lamp: SeriesLamp) -> Still | None:
    """Give the motors that turn in a circuit with the lamp, and the lamp while they stand still; None of none."""
    motors = motors_on(lamp)
    return Still(motors, first.read(bank, condition, standing=motors)) if motors else None


def _hand_point(first: FirstPower, seen: Seen) -> str:
    """Name the point that hands come near: the feed side of a fuse, the post, else the first terminal."""
    part = first.harness.parts[seen.owner]
    match part:
        case Fuse():
            return feed_point(part)
        case Battery():
            return seen.bank.live
    return points_of(part)[0].name


def bare_rows(first: FirstPower, bank: Bank) -> Iterator[PlanRow]:
    """Give the rows with every fuse out: the lamp shows what hangs unfused, and a short before the fuses."""
    before: float | None = None
    for key in first.keys:
        seen = Seen(bank, key, (), (), bank.live.partition(".")[0])
        lamp = first.read(bank, first.condition(bank, key, (), ()))
        if lamp is not None and not _is_new(lamp.volts, before):
            continue
        row = replace(
            lamp_row(first, seen, lamp),
            key=f"{bank.live} bare {key}",
            title=f"Every fuse out, {key_words(first.harness, Condition(key)) or 'supply on'}",
            group="Every fuse out",
            before=_bare_before(first, bank) if before is None else (),
        )
        before = None if lamp is None else lamp.volts
        row = replace(row, cautions=in_order((CAUTIONS[CautionKind.BATTERY_ORDER].text, *row.cautions)))
        yield _that_tells(first, row, seen, (bank.live, bank.black))


def _bare_before(first: FirstPower, bank: Bank) -> tuple[str, ...]:
    live = point_name(first.harness, bank.live)
    found = [
        f"Clamps off. Lamp of {first.watts:g} W between {live} and its cable, its metal apart from the body.",
        *(
            f"Take {join_id} off {point_name(first.harness, post)}: no fuse guards it, and the lamp does not."
            for join_id, post in bank.unfused
        ),
        "Every fuse out and every module unplugged, all switches at rest; the grounded clamp goes on last.",
    ]
    if bank.others:
        named = ", ".join(id_and_label(first.harness, battery_id) for battery_id in bank.others)
        found.append(f"The clamps of {named} stay off meanwhile.")
    return tuple(found)


def fuse_rows(first: FirstPower, fitting: Fitting) -> Iterator[PlanRow]:
    """Give the rows of one fuse: in each key state in which the lamp changes, then with each of its loads on."""
    last = None
    fuses = (*fitting.needs, fitting.fuse.id)
    for place, key in enumerate(fitting.keys):
        seen = Seen(fitting.bank, key, fitting.settings, fuses, fitting.fuse.id)
        lamps = _read(first, seen), _read(first, replace(seen, fuses=fitting.needs))
        own_amps = _own_amps(*lamps)
        if place and own_amps is not None and last is not None and abs(own_amps - last) < CHANGES_AMPS:
            continue
        last = own_amps
        yield _fuse_row(first, fitting, seen, lamps)
    yield from _load_rows(first, fitting)


def _fuse_row(
    first: FirstPower, fitting: Fitting, seen: Seen, lamps: tuple[SeriesLamp | None, SeriesLamp | None]
) -> PlanRow:
    """Give the row of a fuse in a key state.

    Parameters
    ----------
    lamps
        With the fuse in, and with it out.
    """
    fuse = fitting.fuse
    row = replace(
        lamp_row(first, seen, lamps[0]),
        key=f"{fuse.id} {seen.key}",
        title=f"Fuse {_named(fuse)} in, {key_words(first.harness, Condition(seen.key)) or 'supply on'}",
        group=fuse_group(fuse),
        before=_fuse_before(first, fitting, fitting.keys.index(seen.key)),
    )
    row = _that_tells(first, row, seen, (f"{fuse.id}.out", fitting.bank.black))
    if row.limit is None or lamps[1] is None:
        return row
    if fits(row, lamps[1].volts):
        return replace(row, blind=" ".join(words for words in (row.blind, _BLOWN) if words))
    return replace(row, covers=(fuse.id,))


def _read(first: FirstPower, seen: Seen) -> SeriesLamp | None:
    return first.read(seen.bank, first.condition(seen.bank, seen.key, seen.settings, seen.fuses))


def _own_amps(lamp: SeriesLamp | None, without: SeriesLamp | None) -> float | None:
    """Give what a fuse adds to the amperes of the lamp; None where one of the two readings never rests."""
    return None if lamp is None or without is None else lamp.amps - without.amps


def fuse_group(fuse: Fuse) -> str:
    """Name the group of a fuse's rows."""
    return f"Fuse {_named(fuse)}"


def _named(fuse: Fuse) -> str:
    label = clean(fuse.label, 40).strip()
    return f"{fuse.id} ({label})" if label else fuse.id


def _fuse_before(first: FirstPower, fitting: Fitting, place: int) -> tuple[str, ...]:
    if place:
        return (f"Turn the key to {clean(fitting.keys[place], 40)}; nothing else moves.",)
    besides = f" Besides it only {', '.join(fitting.needs)} in." if fitting.needs else " No other fuse is in."
    found = [f"Fit {fitting.fuse.id} with the key turned back to {clean(first.keys[0], 40)}.{besides}"]
    moved = settings_words(first.harness, Condition(fitting.keys[0], fitting.settings))
    if moved:
        found.append(f"Set {', '.join(moved)}.")
    return tuple(found)


def _load_rows(first: FirstPower, fitting: Fitting) -> Iterator[PlanRow]:
    """Give a row for each setting that switches loads of a fuse on; what is on by itself was proven at rest."""
    together: dict[Condition, list[LoadOn]] = {}
    for load in fitting.loads:
        if _moved(first, fitting, load):
            together.setdefault(load.condition, []).append(load)
    for loads in together.values():
        yield _load_row(first, fitting, loads)


def _moved(first: FirstPower, fitting: Fitting, load: LoadOn) -> Settings:
    """Give what a hand moves for a load beyond what the fuse wants moved; what is at rest anyway is not named."""
    pairs = (pair for pair in load.condition.settings if pair not in fitting.settings)
    return tuple(pair for pair in pairs if settings_words(first.harness, Condition(load.condition.key, (pair,))))


def _load_row(first: FirstPower, fitting: Fitting, loads: list[LoadOn]) -> PlanRow:
    """Give the row of the loads of a fuse that one setting switches on."""
    bank, settings, key = fitting.bank, loads[0].condition.settings, loads[0].condition.key
    fuses = tuple(dict.fromkeys((*fitting.needs, *(one for load in loads for one in load.fuses), fitting.fuse.id)))
    moved = _moved(first, fitting, loads[0])
    seen = Seen(bank, key, settings, fuses, loads[0].element.part_id)
    lamp = _read(first, seen)
    rest = _read(first, replace(seen, settings=tuple(pair for pair in settings if pair not in moved)))
    names = [load_name(first.harness, load.element) for load in loads]
    rest_count = len(names) - _NAMED_AT_MOST
    row = replace(
        lamp_row(first, seen, lamp),
        key=f"{fitting.fuse.id} {settings_key(loads[0].condition)}",
        title=f"{', '.join(names[:_NAMED_AT_MOST])}{f' and {rest_count} more' if rest_count > 0 else ''} on",
        group=fuse_group(fitting.fuse),
        covers=tuple(load.element.name for load in loads),
        place=clean(place_of(first.harness, fitting.fuse.id).name),
        before=(*_load_before(first, fitting, fuses, Condition(key, moved)), f"Then on: {', '.join(names)}."),
    )
    return _that_tells_load(first, row, (lamp, rest), bank)


def _load_before(first: FirstPower, fitting: Fitting, fuses: tuple[str, ...], moved: Condition) -> tuple[str, ...]:
    more = [one for one in fuses if one not in (*fitting.needs, fitting.fuse.id)]
    words = settings_words(first.harness, moved)
    found = [f"Fit {', '.join(more)} too."] if more else []
    return (*found, f"Set {', '.join(words)}; back to rest afterwards.")


def _that_tells_load(
    first: FirstPower, row: PlanRow, lamps: tuple[SeriesLamp | None, SeriesLamp | None], bank: Bank
) -> PlanRow:
    """Say of a row of loads whether it could fail: whether the lamp shows something else without them, or shorted.

    Parameters
    ----------
    lamps
        With the loads on, and just before.
    """
    lamp, rest = lamps
    limit = row.limit
    if lamp is None or limit is None:
        return row
    if rest is None:
        return replace(row, blind="What the lamp shows before they are switched on is not known: a relay chatters.")
    rise = f"Then the lamp rises from {lamp_words(first, rest.volts)}, by {amps_text(lamp.amps - rest.amps)}."
    row = replace(row, before=(*row.before, rise))
    if fits(row, rest.volts):
        return replace(row, tells=False, blind=_TOO_LITTLE)
    short = first.read(bank, first.condition(bank, first.keys[0], (), ()), (bank.live, bank.black))
    if short is not None and fits(row, short.volts):
        return replace(row, blind=_SHORT_TOO_STANDING if motors_on(lamp) else _SHORT_TOO)
    if len(row.covers) > 1:
        return replace(row, blind="It is the sum of them: the plan of the loads proves each.")
    return row


def _that_tells(first: FirstPower, row: PlanRow, seen: Seen, touching: tuple[str, str]) -> PlanRow:
    """Say of a row whether a short behind the fuse would show; where it would not, what to unplug for it."""
    limit = row.limit
    if limit is None:
        return row
    short = first.read(seen.bank, row.condition, touching)
    if short is None:
        return replace(row, before=(*row.before, _SHORT_CHATTERS))
    shows = f"Meanwhile a short to ground there would show {lamp_words(first, short.volts)}."
    row = replace(row, before=(*row.before, shows))
    if limit.high is not None and short.volts > limit.high:
        return row
    opens = _to_unplug(first, seen, touching)
    named = ", ".join(id_and_label(first.harness, part_id) for part_id in opens)
    do = f" Unplug {named} and read again." if opens else ""
    return replace(row, tells=False, opens=opens, blind=f"With what is on here a short looks the same.{do}")


def _to_unplug(first: FirstPower, seen: Seen, touching: tuple[str, str]) -> tuple[str, ...]:
    """Name the fewest loads, the largest first, without which a short shows; nothing where none helps.

    Notes
    -----
    Each load more that is unplugged takes from what hides the short: where it is hidden without all of them, no fewer
    are tried.
    """
    condition = first.condition(seen.bank, seen.key, seen.settings, seen.fuses)
    loads = tuple(_largest_first(first, seen.bank, condition))
    if _shows_without(first, seen.bank, condition, loads, touching) is False:
        return ()
    fewest = (loads[:count] for count in range(1, len(loads) + 1))
    return next((out for out in fewest if _shows_without(first, seen.bank, condition, out, touching)), ())


def _shows_without(
    first: FirstPower, bank: Bank, condition: Condition, out: tuple[str, ...], touching: tuple[str, str]
) -> bool | None:
    """Tell whether a short shows with some loads unplugged; None where a relay chatters then."""
    without = replace(condition, settings=(*condition.settings, *((one, OUT) for one in out)))
    lamp, short = first.read(bank, without), first.read(bank, without, touching)
    if lamp is None or short is None:
        return None
    high = lamp_limit(first, lamp, standing_still(first, bank, without, lamp)).high
    return high is not None and short.volts > high


def _largest_first(first: FirstPower, bank: Bank, condition: Condition) -> Iterable[str]:
    lamp = first.read(bank, condition)
    if lamp is None:
        return ()
    taken: dict[str, float] = {}
    for branch in lamp.settled.net.elements:
        amps = abs(sum(float(lamp.settled.amps[number]) for number in branch.branches))
        if amps > 0.0:
            owner = branch.element.part_id
            taken[owner] = taken.get(owner, 0.0) + amps
    return sorted(taken, key=lambda part_id: -taken[part_id])


def _is_new(volts: float, before: float | None) -> bool:
    return before is None or abs(volts - before) > CHANGES_VOLTS + _CHANGES_SHARE * before
