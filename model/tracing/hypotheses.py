"""What may be wrong with what is complained of: every hypothesis with its weight before any reading."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.faults import FaultKind, part_of_site
from model.tracing.complaint import Complaint, LoomAge, Symptom
from model.tracing.fault_scene import Scene, repair_of_part, typical_way
from model.tracing.fault_weights import weight_of
from model.tracing.graph import closed_test
from model.tracing.link_faults import faults_of_links
from model.tracing.load_ways import ways_of
from model.tracing.misplaced import exchanged_cavities, misplaced_ends
from model.tracing.neighbours import touching
from model.tracing.part_faults import faults_of_parts
from model.tracing.shorts import shorts
from model.tracing.suspects import PAIR_SIGN, RECORD, UNKNOWN, Hypothesis

_BLOWS_FUSE = frozenset(
    {
        FaultKind.TO_BODY,
        FaultKind.TOUCHES,
        FaultKind.ELSEWHERE,
        FaultKind.SWAPPED,
        FaultKind.STUCK,
        FaultKind.SHORT,
        FaultKind.REVERSED,
        FaultKind.TOO_SMALL,
    }
)
_STAYS_AS_IT_IS = frozenset(
    {
        FaultKind.BLOWN,
        FaultKind.MISSING,
        FaultKind.SWAPPED,
        FaultKind.ELSEWHERE,
        FaultKind.REVERSED,
        FaultKind.FLAT,
    }
)


@dataclass(frozen=True)
class Learned:
    """What is known of parts and sites before the trace and in it.

    Attributes
    ----------
    disturbed
        Parts that the last work was done on.
    bad_readings
        Sites or parts of which the record has a bad reading.
    measured_good, repaired
        Sites or parts that were measured good, or mended, in this trace.
    swapped
        Parts changed for a known good one.
    """

    disturbed: frozenset[str] = frozenset()
    bad_readings: frozenset[str] = frozenset()
    measured_good: frozenset[str] = frozenset()
    repaired: frozenset[str] = frozenset()
    swapped: frozenset[str] = frozenset()

    def factor(self, site: str, part_id: str) -> float:
        """Give the factor by which what is known changes the weight of a site."""
        known = (
            (self.disturbed, "disturbed"),
            (self.bad_readings, "bad reading"),
            (self.measured_good | self.repaired, "measured good"),
            (self.swapped, "swapped"),
        )
        factor = 1.0
        for names, word in known:
            if site in names or part_id in names:
                factor *= weight_of("learned", word, LoomAge.OLD)
        return factor


NOTHING_LEARNED = Learned()


def hypotheses(
    bench: Bench, complaint: Complaint, condition: Condition, *, learned: Learned = NOTHING_LEARNED
) -> tuple[Hypothesis, ...]:
    """List what may be wrong, each name once, the weights together one.

    Parameters
    ----------
    condition
        In which the complaint is seen: key state and settings; faults in it are left aside.
    learned
        What is known of parts and sites.

    Returns
    -------
    tuple[Hypothesis, ...]
        Faults on the ways of the loads, and of what could disturb them, in a fixed order; then what is not on the list,
        one for each part; at last that the vehicle differs from the file.

    Raises
    ------
    CircuitError
        Where the healthy circuit cannot be as the condition says.

    Notes
    -----
    Whether one gives the symptom is not asked: for that it is solved.
    """
    settled = bench.survey(condition.healthy()).settled
    ways = ways_of(bench.harness, complaint, settled)
    is_closed = closed_test(bench.harness, settled)
    scene = Scene(bench.harness, complaint, settled, ways, is_closed, learned.disturbed)
    named: dict[tuple[str, str, str], Hypothesis] = {}
    for one in _all_faults(scene):
        if _may_show(complaint.symptom, one.ways[0].kind):
            named.setdefault(one.name, one)
    known = [(one, one.weight * learned.factor(one.site, part_of_site(one.site))) for one in named.values()]
    record = Hypothesis("", RECORD, "", scene.weight(RECORD, RECORD), (), RECORD)
    others = [*_unknowns(scene, known), record]
    return _shares([*known, *((one, one.weight) for one in others)])


def _may_show(symptom: Symptom, kind: FaultKind) -> bool:
    """Tell whether a kind of fault can show a symptom at all, whatever the circuit."""
    match symptom:
        case Symptom.BLOWS_FUSE:
            return kind in _BLOWS_FUSE
        case Symptom.COMES_AND_GOES:
            return kind not in _STAYS_AS_IT_IS
    return True


def _all_faults(scene: Scene) -> Iterator[Hypothesis]:
    yield from faults_of_parts(scene)
    yield from faults_of_links(scene)
    yield from shorts(scene)
    yield from touching(scene)
    yield from exchanged_cavities(scene)
    yield from misplaced_ends(scene)


def _unknowns(scene: Scene, known: Iterable[tuple[Hypothesis, float]]) -> Iterator[Hypothesis]:
    """Give of each part on the ways a fault that is not on the list, with a share of the weight of all its others."""
    totals: dict[str, float] = {}
    for one, weight in known:
        part_id = part_of_site(one.site)
        if part_id in scene.ways.part_ids:
            totals[part_id] = totals.get(part_id, 0.0) + weight
    share = scene.weight("unknown fault of a part", "share")
    for part_id, total in totals.items():
        part = scene.harness.parts[part_id]
        yield Hypothesis(part_id, UNKNOWN, "", share * total, (), repair_of_part(part))


def _shares(found: list[tuple[Hypothesis, float]]) -> tuple[Hypothesis, ...]:
    whole = sum(weight for _, weight in found)
    return tuple(
        Hypothesis(one.site, one.fault, one.partner, weight / whole, one.ways, one.repair) for one, weight in found
    )


def pair_of(one: Hypothesis, other: Hypothesis) -> Hypothesis:
    """Make one hypothesis of two faults at once, both of which are solved.

    Notes
    -----
    The two are taken to come about each for itself: the weight is the product of theirs, shares of one.
    """
    partners = [single.partner for single in (one, other) if single.partner]
    repairs = dict.fromkeys((one.repair, other.repair))
    return Hypothesis(
        f"{one.site}{PAIR_SIGN}{other.site}",
        f"{one.fault}{PAIR_SIGN}{other.fault}",
        PAIR_SIGN.join(partners),
        one.weight * other.weight,
        (typical_way(one), typical_way(other)),
        PAIR_SIGN.join(repairs),
        is_pair=True,
    )
