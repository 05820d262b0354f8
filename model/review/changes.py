"""Two revisions of a loom compared: rows of the file, loads, and the volts at its points."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.circuit.bench import Bench
from model.circuit.condition import Condition, make_condition
from model.circuit.survey import Survey
from model.errors import ArgumentError, CircuitError
from model.harness.fields import Part, Record
from model.harness.harness import ROW_TYPES, Harness
from model.harness.records import Wire
from model.review.sweep import sweep

LEAST_VOLTS = 0.05
"""A point counts as changed from here on, at 12 V; in proportion at other volts."""

_RULE_VOLTS = 12.0


@dataclass(frozen=True, slots=True)
class KeyChange:
    """A key of a row that is not what it was; an empty text where it is left out."""

    key: str
    old: str
    new: str


@dataclass(frozen=True, slots=True)
class RowChange:
    """A row that came, went, or is not what it was.

    Attributes
    ----------
    name
        Its id or name; ``build`` and ``defaults`` stand for themselves.
    did
        ``added``, ``taken out`` or ``changed``.
    """

    table: str
    name: str
    did: str
    keys: tuple[KeyChange, ...] = ()


@dataclass(frozen=True, slots=True)
class VoltsChange:
    """A point, or the volts across a load, that differs in a condition; None where it floats or is not there."""

    name: str
    condition: Condition
    old_volts: float | None
    new_volts: float | None

    @property
    def size_volts(self) -> float:
        """By how much it differs; a point that came or went by all of its volts."""
        return abs((self.new_volts or 0.0) - (self.old_volts or 0.0))


@dataclass(frozen=True, slots=True)
class Changes:
    """What differs between two revisions.

    Attributes
    ----------
    points, loads
        Each in the condition in which it differs most, the largest difference first.
    unlike
        Conditions that only one of the two can be in, in words of their key state and settings.
    prove_again
        Ids of wires whose conductors, and names of loads whose work, have to be proven again.
    """

    old: Harness
    new: Harness
    rows: tuple[RowChange, ...]
    points: tuple[VoltsChange, ...]
    loads: tuple[VoltsChange, ...]
    unlike: tuple[Condition, ...]
    prove_again: tuple[str, ...]


def changes_between(old: Harness, new: Harness) -> Changes:
    """Compare two revisions: the rows of both, and both solved in every key state at rest and with everything on.

    Notes
    -----
    Only conditions that both can be in are compared: a switch that one of them does not have is at rest in neither.
    """
    benches = Bench(old), Bench(new)
    points: dict[str, VoltsChange] = {}
    loads: dict[str, VoltsChange] = {}
    unlike: list[Condition] = []
    least_volts = LEAST_VOLTS * new.build.nominal_volts / _RULE_VOLTS
    for condition in dict.fromkeys((*_conditions(benches[1]), *_conditions(benches[0]))):
        surveys = [_survey(bench, condition) for bench in benches]
        if surveys[0] is None or surveys[1] is None:
            unlike.append(condition)
            continue
        _keep_most(points, _points(surveys[0], surveys[1], condition), least_volts)
        _keep_most(loads, _loads(surveys[0], surveys[1], condition), least_volts)
    rows = tuple(_rows(old, new))
    return Changes(
        old, new, rows, _largest_first(points), _largest_first(loads), tuple(unlike), _prove(new, rows, loads)
    )


def _conditions(bench: Bench) -> list[Condition]:
    found = sweep(bench)
    surveys = (*found.at_rest.values(), *found.all_on)
    return [one.settled.condition for one in surveys]


def _survey(bench: Bench, condition: Condition) -> Survey | None:
    """Solve a condition with those of its settings that a harness has; None where it has no such key state."""
    parts = bench.harness.parts
    known = tuple(f"{name}={value}" for name, value in condition.settings if name.partition(".")[0] in parts)
    try:
        return bench.survey(make_condition(bench.harness, condition.key, known))
    except (ArgumentError, CircuitError):
        return None


def _points(old: Survey, new: Survey, condition: Condition) -> Iterator[VoltsChange]:
    volts = [_point_volts(old), _point_volts(new)]
    for name in dict.fromkeys((*volts[0], *volts[1])):
        yield VoltsChange(name, condition, volts[0].get(name), volts[1].get(name))


def _point_volts(survey: Survey) -> dict[str, float | None]:
    settled = survey.settled
    names = (settled.net.names[node] for node in settled.point_nodes)
    return {name: settled.volts_at(name) for name in names}


def _loads(old: Survey, new: Survey, condition: Condition) -> Iterator[VoltsChange]:
    for name in dict.fromkeys((*old.loads, *new.loads)):
        volts = [survey.loads[name].volts if name in survey.loads else None for survey in (old, new)]
        yield VoltsChange(name, condition, volts[0], volts[1])


def _keep_most(kept: dict[str, VoltsChange], found: Iterator[VoltsChange], least_volts: float) -> None:
    for one in found:
        before = kept.get(one.name)
        if one.size_volts >= least_volts and (before is None or one.size_volts > before.size_volts):
            kept[one.name] = one


def _largest_first(found: dict[str, VoltsChange]) -> tuple[VoltsChange, ...]:
    return tuple(sorted(found.values(), key=lambda one: -one.size_volts))


def _rows(old: Harness, new: Harness) -> Iterator[RowChange]:
    for table in ("build", "defaults"):
        keys = tuple(_keys(getattr(old, table), getattr(new, table)))
        if keys:
            yield RowChange(table, table, "changed", keys)
    for table in ROW_TYPES:
        olds, news = ({_name(row): row for row in getattr(harness, table)} for harness in (old, new))
        for name in dict.fromkeys((*olds, *news)):
            if name not in news:
                yield RowChange(table, name, "taken out", tuple(_keys(olds[name], None)))
            elif name not in olds:
                yield RowChange(table, name, "added", tuple(_keys(None, news[name])))
            elif olds[name] != news[name]:
                yield RowChange(table, name, "changed", tuple(_keys(olds[name], news[name])))


def _name(row: Record) -> str:
    return row.id if isinstance(row, Part) else str(getattr(row, "name", ""))


def _keys(old: Record | None, new: Record | None) -> Iterator[KeyChange]:
    typed = [
        {} if row is None else row.model_dump(by_alias=True, exclude_unset=True, mode="json") for row in (old, new)
    ]
    for key in dict.fromkeys((*typed[0], *typed[1])):
        one, other = (_shown(row.get(key)) for row in typed)
        if one != other:
            yield KeyChange(key, one, other)


def _shown(value: object) -> str:
    """Spell a value for a person: a list by its members, true as yes."""
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case list():
            return ", ".join(_shown(one) for one in value)
        case dict():
            return "; ".join(f"{key} = {_shown(one)}" for key, one in value.items())
        case float():
            return f"{value:g}"
    return str(value)


def _prove(new: Harness, rows: tuple[RowChange, ...], loads: dict[str, VoltsChange]) -> tuple[str, ...]:
    """Name what has to be proven again: wires that came or changed with their ends, loads whose volts differ."""
    touched = {row.name for row in rows if row.did != "taken out"}
    ends = {
        wire.id: {(point or "").partition(".")[0] for point in (wire.from_point, wire.to_point)} for wire in new.wires
    }
    wires = [wire.id for wire in new.wires if _is_laid(wire) and (wire.id in touched or ends[wire.id] & touched)]
    return (*wires, *(name for name in loads if name.partition(":")[0].partition(".")[0] in new.parts))


def _is_laid(wire: Wire) -> bool:
    return wire.from_point is not None and wire.to_point is not None
