"""From a bad row of a plan to a trace: which load fails by it, how, and the reading as a check already made."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.faults import Fault
from model.circuit.survey import DEAD_SHARE, LoadState, Survey
from model.errors import CircuitError
from model.harness.harness import Element, Harness, all_elements
from model.harness.parts import Fuse
from model.harness.records import Wire
from model.plans.draw_next import behind_words
from model.plans.judging import Taken
from model.plans.live_then import has_no_fuse_in, live_words
from model.plans.plan import LoomState, Measure, PlanRow
from model.plans.row_check import check_of_row
from model.plans.row_faults import broken_faults, grounded_faults
from model.tracing.asking import Also
from model.tracing.behind import behind
from model.tracing.checks import CheckKind, measured
from model.tracing.complaint import Complaint, LoomAge, Symptom
from model.tracing.walk import Walk

_TRIED_AT_MOST = 24
"""So many loads are solved with the fault before it is said that none shows it."""

_FAR = 1000
_LOST = (LoadState.DEAD, LoadState.UNASKED)

WalkOf = Callable[[Element], Walk]


@dataclass(frozen=True, slots=True)
class RowTrace:
    """A trace that begins with a row.

    Attributes
    ----------
    also
        The reading of the row; None where it is none that a trace can weigh.
    unweighed
        Why not, in a sentence; empty where it is weighed.
    """

    complaint: Complaint
    also: Also | None
    unweighed: str = ""


@dataclass(frozen=True, slots=True)
class NoTrace:
    """Why a row leads to no trace, and what to do instead, in sentences."""

    why: str


def trace_of_row(
    bench: Bench, walk_of: WalkOf, row: PlanRow, taken: Taken, state: LoomState | None = None
) -> RowTrace | NoTrace:
    """Find which load fails by what a row has shown, and how, so that it can be traced.

    Of a conductor that is proven without power, each fault that fits the reading is put into it and the loads that hang
    on it are solved where they should work, the nearest first: the first that is dead is complained of, else the first
    that is weak; where the conductor lies against ground, the fuse that blows.

    Parameters
    ----------
    walk_of
        Gives the walk of an element.
    state
        Of a continuity plan the state of the loom.

    Raises
    ------
    CircuitError
        Where the loom cannot be solved as it is.
    """
    if row.fuse is not None:
        behind_it = behind_words(bench.harness, bench.harness.part_of(row.covers[0], Fuse))
        return NoTrace(" ".join(("No load fails by this.", *behind_it)))
    found = _powered(bench, walk_of, row, taken) if row.measure in _POWERED else _unpowered(bench, walk_of, row, taken)
    if isinstance(found, NoTrace):
        return found
    if taken.value is None:
        return RowTrace(found, None, "Nothing was measured that a trace could weigh.")
    check = check_of_row(bench, row, is_open=state is not None)
    if isinstance(check, str):
        return RowTrace(found, None, check)
    # leads zeroed badly read a little below nothing
    value = max(taken.value, 0.0) if check.kind is CheckKind.OHMS else taken.value
    return RowTrace(found, Also(check, measured(value)))


def trace_of_seen(row: PlanRow, load: str) -> RowTrace:
    """Give the trace of the load that was not as a row of what is on says: dead where it covers it, else on.

    Parameters
    ----------
    load
        Name of an element.
    """
    symptom = Symptom.DEAD if load in row.covers else Symptom.STAYS_ON
    return RowTrace(Complaint((load,), symptom, LoomAge.NEW, row.condition), None)


_POWERED = frozenset({Measure.VOLTS, Measure.AMPS, Measure.LAMP, Measure.SEEN})


def _powered(bench: Bench, walk_of: WalkOf, row: PlanRow, taken: Taken) -> Complaint | NoTrace:
    """Find what is complained of where the reading was taken with power on."""
    if has_no_fuse_in(bench, row):
        return NoTrace(live_words(bench, row))
    if row.measure in (Measure.LAMP, Measure.AMPS) and _is_over(row, taken):
        return _drawing_too_much(bench.harness, walk_of, row)
    survey = bench.survey(row.condition)
    own = list(_loads_of(bench.harness, row))
    names = own or [element.name for element in _behind(bench.harness, walk_of, row)]
    asked = next((name for name in names if survey.loads[name].state is LoadState.WORKS), None)
    if asked is not None:
        symptom = Symptom.DEAD if _share_left(survey, asked, row, taken) < DEAD_SHARE else Symptom.WEAK
        return Complaint((asked,), symptom, LoomAge.NEW, row.condition)
    if own:
        return Complaint((own[0],), Symptom.STAYS_ON, LoomAge.NEW, row.condition)
    return NoTrace("This row is of no one load: mark the load that fails in the list of loads, and press t there.")


def _drawing_too_much(harness: Harness, walk_of: WalkOf, row: PlanRow) -> Complaint | NoTrace:
    """Complain of the fuse that a row is about where more flows than should: it is short behind it."""
    fuse = next((name for name in _sites_of(harness, row) if isinstance(harness.parts.get(name), Fuse)), "")
    load = next(_behind(harness, walk_of, row), None)
    if not fuse or load is None:
        return NoTrace("More flows than should: take the loads off one after the other, and read again after each.")
    return Complaint((load.name,), Symptom.BLOWS_FUSE, LoomAge.NEW, fuse=fuse)


def _sites_of(harness: Harness, row: PlanRow) -> tuple[str, ...]:
    """Name what a row covers; of a lamp in series that proves nothing the fuse that the key of the row begins with."""
    first = row.key.partition(" ")[0]
    is_fuse = row.measure is Measure.LAMP and isinstance(harness.parts.get(first), Fuse)
    return row.covers or ((first,) if is_fuse else ())


def _behind(harness: Harness, walk_of: WalkOf, row: PlanRow) -> Iterator[Element]:
    """Give the loads on whose walk something lies that a row covers, the nearest to the last of it first."""
    for site in reversed(_sites_of(harness, row)):
        found = [(_distance(walk, site), element) for element, walk in _walks(harness, walk_of, site)]
        for distance, element in sorted(found, key=lambda one: one[0]):
            if distance < _FAR:
                yield element


def _is_over(row: PlanRow, taken: Taken) -> bool:
    limit = row.limit
    return limit is not None and limit.high is not None and taken.value is not None and taken.value > limit.high


def _share_left(survey: Survey, name: str, row: PlanRow, taken: Taken) -> float:
    """Give the share of its volts or amperes that a load has left by a reading; none of what was only seen."""
    load = survey.loads[name]
    whole = load.amps if row.measure is Measure.AMPS else abs(load.volts)
    if taken.value is None or row.expect is None or not whole:
        return 0.0
    return 1.0 - abs(taken.value - row.expect) / whole


def _loads_of(harness: Harness, row: PlanRow) -> Iterator[str]:
    """Name the elements that a row is of: those that it names itself, else those on whose terminals a probe stands."""
    elements = all_elements(harness)
    named = [element.name for element in elements if _is_named(row, element)]
    if named:
        yield from named
        return
    for element in elements:
        if row.points and {row.red, row.black}.intersection((element.from_point, element.to_point)):
            yield element.name


def _is_named(row: PlanRow, element: Element) -> bool:
    return element.name in row.covers or element.part_id in row.covers[:1] or row.key.startswith(f"{element.name} ")


def _unpowered(bench: Bench, walk_of: WalkOf, row: PlanRow, taken: Taken) -> Complaint | NoTrace:
    """Find what is complained of where a conductor was proven without power."""
    is_joined = row.measure is Measure.APART or _is_under(row, taken)
    faults = grounded_faults(bench.harness, row) if is_joined else broken_faults(bench.harness, row, taken)
    tried = 0
    weak: Complaint | None = None
    for element, walk, fault in _candidates(bench.harness, walk_of, faults):
        tried += 1
        if tried > _TRIED_AT_MOST:
            break
        shown = _shows(bench, element, walk, fault)
        if shown is not None and shown.symptom is not Symptom.WEAK:
            return shown
        weak = weak or shown
    if weak is not None:
        return weak
    if not tried:
        return NoTrace("No load hangs on it: mend what the row names, then measure it again.")
    return NoTrace("No load that hangs on it fails by this: mend what the row names, then measure it again.")


def _is_under(row: PlanRow, taken: Taken) -> bool:
    limit = row.limit
    return limit is not None and limit.low is not None and taken.value is not None and taken.value < limit.low


def _shows(bench: Bench, element: Element, walk: Walk, fault: Fault) -> Complaint | None:
    """Say how a load fails by a fault where it should work; None where it does not."""
    condition = walk.working.condition
    try:
        survey = bench.survey(Condition(condition.key, condition.settings, (fault,)))
    except CircuitError:
        return None
    blown = sorted(survey.settled.blown)
    if blown:
        return Complaint((element.name,), Symptom.BLOWS_FUSE, LoomAge.NEW, condition, fuse=blown[0])
    state = survey.loads[element.name].state
    if state in _LOST:
        return Complaint((element.name,), Symptom.DEAD, LoomAge.NEW, condition)
    return Complaint((element.name,), Symptom.WEAK, LoomAge.NEW, condition) if state is LoadState.WEAK else None


def _candidates(harness: Harness, walk_of: WalkOf, faults: tuple[Fault, ...]) -> Iterator[tuple[Element, Walk, Fault]]:
    """Give the loads whose walk leads over the site of a fault, the nearest first."""
    for fault in faults:
        found = [(_distance(walk, fault.site), element, walk) for element, walk in _walks(harness, walk_of, fault.site)]
        for distance, element, walk in sorted(found, key=lambda one: one[0]):
            if distance < _FAR:
                yield element, walk, fault


def _walks(harness: Harness, walk_of: WalkOf, site: str) -> Iterator[tuple[Element, Walk]]:
    """Give the walks of the loads behind a wire; where what hangs on it is no load, or it is no wire, all walks."""
    elements = {element.name: element for element in all_elements(harness)}
    part = harness.parts.get(site)
    names = [name for name in behind(harness, part).names if name in elements] if isinstance(part, Wire) else []
    for element in [elements[name] for name in names] or list(elements.values()):
        yield element, walk_of(element)


def _distance(walk: Walk, site: str) -> int:
    """Count the links between a load and a site on its walk; what only controls it is further than all else."""
    if walk.feed is not None:
        sites = [step.link.site for step in reversed(walk.feed.steps) if step.link is not None]
        if site in sites:
            return sites.index(site)
    if walk.ground is not None:
        sites = [step.link.site for step in walk.ground.steps if step.link is not None]
        if site in sites:
            return sites.index(site)
    for place, stretch in enumerate(walk.stretches()):
        if any(step.link is not None and step.link.site == site for step in stretch.steps):
            return _FAR // 2 + place
    return _FAR
