"""The rows of the insulation plan, made from readings."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from model.caution_words import CautionKind
from model.cautions import cautions_for
from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.harness.parts import Charger, Fuse
from model.harness.places import point_place
from model.plans.insulation_reading import LEAST_ERRORS, Reading
from model.plans.limits import COMPUTED, as_limit, limit_of, meter_error_ohms
from model.plans.plan import Limit, Measure, PlanRow
from model.tables import SourceKind
from model.tracing.names import either, id_and_label
from model.words import ohms_text

_NAMED_AT_MOST = 6
_SAID_ONCE = frozenset(
    {CautionKind.BATTERY_ORDER, CautionKind.POWER_OFF, CautionKind.FUSE_RATING, CautionKind.SUPPLY_OFF}
)
_NOT_FOR_OHMS = frozenset({CautionKind.METER_ONLY})
"""The control unit is unplugged in these rows, and only then is its wire read with ohms."""


@dataclass(frozen=True, slots=True)
class Head:
    """What a row is called, and under which head it stands."""

    key: str
    title: str
    group: str
    covers: tuple[str, ...] = ()
    before: tuple[str, ...] = ()


def reading_rows(reading: Reading, head: Head) -> list[PlanRow]:
    """Give the row of a reading, and after one that a load makes blind the same with that load unplugged.

    Parameters
    ----------
    reading
        As it is taken.
    """
    unplugged = reading.to_unplug()
    rows = [reading_row(reading, head, unplugged)]
    if unplugged:
        names = either([id_and_label(reading.ground.harness, part_id) for part_id in unplugged], "and")
        key = f"{head.key} without {' '.join(unplugged)}"
        rows.append(
            reading_row(
                reading.without(unplugged),
                Head(key, f"{head.title}, without {' '.join(unplugged)}", head.group, head.covers),
                (),
                (f"Unplug {names}; plug back in afterwards.",),
            )
        )
    return rows


def reading_row(reading: Reading, head: Head, unplugged: tuple[str, ...], more_before: tuple[str, ...] = ()) -> PlanRow:
    """Give the row of a reading.

    Parameters
    ----------
    unplugged
        What would have to be unplugged for it to tell every wire of its metal.
    """
    harness = reading.ground.harness
    covers = head.covers or tuple(sorted(reading.told, key=reading.ground.order.__getitem__))
    red, black = probes(reading)
    return PlanRow(
        key=head.key,
        title=head.title,
        group=head.group,
        measure=Measure.OHMS,
        condition=reading.condition,
        red=red,
        black=black,
        place=point_place(harness, red).name,
        far_place=point_place(harness, black).name,
        expect=reading.ohms,
        limit=reading_limit(reading),
        opens=unplugged,
        covers=covers,
        tells=reading.tells,
        blind=blind_words(reading, unplugged),
        before=(*head.before, *more_before, *_before(reading)),
        cautions=row_cautions(harness, (red, black), reading.condition),
    )


def probes(reading: Reading) -> tuple[str, str]:
    """Give red and black: red on the side that is plus with the supply on, so that diodes do not conduct."""
    if reading.ground.harness.build.ground_side == "positive":
        return reading.ground.point, reading.point
    return reading.point, reading.ground.point


def reading_limit(reading: Reading) -> Limit:
    """Give the least that is good, and where it is from."""
    if math.isinf(reading.ohms):
        return as_limit(limit_of("all fuses out" if reading.all_out else "open group"))
    if reading.all_out:
        share = limit_of("all fuses out share")
        said = f"{share.low or 0.0:g} % of {ohms_text(reading.ohms)} by the loads on it, cold: {_load_words(reading)}"
        return Limit(reading.least_ohms, None, share.source, share.source_kind, said)
    said = f"{ohms_text(reading.ohms)} by the loads on it, cold: {_load_words(reading)}; loads 12 % and wires 25 % less"
    meter = f"the meter {ohms_text(meter_error_ohms(reading.ohms))} off"
    return Limit(reading.least_ohms, None, COMPUTED, SourceKind.JUDGEMENT, f"{said}, {meter}")


def _load_words(reading: Reading) -> str:
    loom = reading.ground.loom
    carrying = [
        part_id
        for part_id in reading.parts
        if any(reading.circuit.carries[branch] for branch in loom.branches_of.get(part_id, ()))
    ]
    named = [part_id for part_id in carrying if not isinstance(reading.ground.harness.parts[part_id], Fuse)]
    more = f" and {len(named) - _NAMED_AT_MOST} more" if len(named) > _NAMED_AT_MOST else ""
    return f"{' '.join(named[:_NAMED_AT_MOST])}{more}"


def blind_words(reading: Reading, unplugged: tuple[str, ...]) -> str:
    """Say what a reading cannot tell, and what to unplug; empty where it tells every wire of its metal."""
    if not reading.untold:
        return ""
    harness = reading.ground.harness
    shorted = min(reading.shorts[wire] for wire in reading.untold)
    wires = f"{' '.join(reading.untold[:_NAMED_AT_MOST])}{' …' if len(reading.untold) > _NAMED_AT_MOST else ''}"
    why = f"Whole it reads {ohms_text(reading.ohms)}, with {wires} through to the body {ohms_text(shorted)}"
    if reading.ohms < LEAST_ERRORS * meter_error_ohms(reading.ohms):
        error = ohms_text(meter_error_ohms(reading.ohms))
        why += f": too near to the {error} that a meter may be off by"
    else:
        why += ": no meter tells these apart with the tolerances of the loads"
    if not unplugged:
        return f"{why}. Nothing that can be unplugged helps."
    return f"{why}. Unplug {either([id_and_label(harness, part_id) for part_id in unplugged], 'and')}: the next row."


def _before(reading: Reading) -> tuple[str, ...]:
    harness = reading.ground.harness
    said: list[str] = []
    if reading.electronics:
        names = either([_plug_words(harness, name) for name in reading.electronics], "and")
        said.append(f"Unplug {names} first: no value is promised through electronics.")
    if reading.one_way:
        names = either([id_and_label(harness, name) for name in reading.one_way], "and")
        said.append(f"Diodes in {names} block with red on the plus side; a meter with more volts may show some ohms.")
    return tuple(said)


def _plug_words(harness: Harness, part_id: str) -> str:
    part = harness.parts[part_id]
    named = id_and_label(harness, part_id)
    return f"{part.exciter.terminal} of {named}" if isinstance(part, Charger) and part.exciter else named


def row_cautions(harness: Harness, points: Iterable[str], condition: Condition) -> tuple[str, ...]:
    """Give the cautions of a row that the plan does not say for all of them."""
    skipped = _SAID_ONCE | _NOT_FOR_OHMS
    return tuple(one.text for one in cautions_for(harness, points, condition) if one.kind not in skipped)
