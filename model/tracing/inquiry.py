"""All that is worked out once for a complaint: the condition, the suspects solved, and the checks that there are."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.errors import CircuitError
from model.harness.harness import Harness
from model.harness.points import resolve_point
from model.harness.supply import least_rest_volts
from model.tracing.belief import Belief, Evidence
from model.tracing.checks import FUSE_LAMP_WATTS, Check, CheckKind, Word, seen
from model.tracing.complained import complained_condition, is_asked, usual_condition
from model.tracing.complaint import Complaint, Symptom
from model.tracing.costs import Costs
from model.tracing.field import Field, complained_field
from model.tracing.foresee import Foresight, Known
from model.tracing.hypotheses import NOTHING_LEARNED, Learned, hypotheses
from model.tracing.offers import offered_checks
from model.tracing.options import Option, OptionTable
from model.tracing.suspects import Hypothesis
from model.tracing.symptoms import elements_by_name
from model.tracing.walk import Walk, Walker

_AT_POINTS = frozenset({CheckKind.VOLTS, CheckKind.DROP, CheckKind.LAMP})

Couple = frozenset[tuple[str, str, str]]
"""The names of two hypotheses that are one pair."""

FIRST_CIRCUITS = 3
"""So many circuits at least are looked at for the first question."""

FIRST_CASES = 900
"""And as many as come to so many faulty circuits together: few suspects leave time for more ways to tell them apart."""

MORE_CIRCUITS = 4
"""So many more after each answer."""

LEADS_SHARE = 0.3
"""Where one hypothesis has this much a trace may soon come to its end; judgement."""

END_CIRCUITS = 8
"""So many more are then solved ahead, while a check is made."""


@dataclass(frozen=True, eq=False)
class Options:
    """Checks that can be solved, by their places among all, and what each could bring."""

    places: tuple[int, ...]
    table: OptionTable


@dataclass
class Inquiry:
    """A complaint made ready to be traced.

    Attributes
    ----------
    bench
        Stands at the posts that were read.
    condition
        In which the complaint is seen.
    given
        What was said before the first check, as evidence.
    checks
        Every check that there is.
    single
        The inquiry of single faults alone, where this one thinks of two at once; else None.
    pairs
        The pairs that are thought of; None where none are.
    tried
        All pairs that were thought of by now.
    counted
        How many answers there were when circuits began to be looked at.
    """

    bench: Bench
    walker: Walker
    complaint: Complaint
    condition: Condition
    walks: tuple[Walk, ...]
    hypotheses: tuple[Hypothesis, ...]
    foresight: Foresight
    given: tuple[Evidence, ...]
    posts_volts: dict[str, float]
    checks: tuple[Check, ...]
    costs: Costs
    single: Inquiry | None = None
    pairs: Field | None = None
    tried: frozenset[Couple] = frozenset()
    counted: int = 0
    _last: tuple[tuple[object, ...], Options] | None = field(default=None, init=False)

    def options_for(self, belief: Belief, answers: int | None) -> Options:
        """Give what checks could bring from here, of as many circuits as are looked at after some answers.

        Parameters
        ----------
        belief
            The posts as read by now and new fuses that are in count.
        answers
            How many answers there are: with each a few more circuits are looked at, so that no question waits long.
            None looks at all.
        """
        looked_at = len(self.circuits) if answers is None else self._looked_at(answers)
        circuits = min(len(self.circuits), looked_at)
        name = (circuits, tuple(sorted(belief.known.posts_volts.items())), belief.new_fuses)
        if self._last is None or self._last[0] != name:
            places = tuple(place for circuit in self.circuits[:circuits] for place in circuit)
            self._last = (name, _options(belief.foresight, belief.known, self.checks, places))
        return self._last[1]

    def prepare(self, belief: Belief, answers: int) -> None:
        """Solve what the next question will look at, so that it comes at once.

        Where one hypothesis leads, more: before a trace gives up every circuit is looked at.
        """
        further = END_CIRCUITS if belief.hypotheses().max() >= LEADS_SHARE else 0
        circuits = self.circuits[: self._looked_at(answers + 1) + further]
        _options(belief.foresight, belief.known, self.checks, [place for circuit in circuits for place in circuit])

    def _looked_at(self, answers: int) -> int:
        first = max(FIRST_CIRCUITS, FIRST_CASES // (self.field.solved + 1))
        return first + MORE_CIRCUITS * max(answers - self.counted, 0)

    @cached_property
    def circuits(self) -> tuple[tuple[int, ...], ...]:
        """The places of the checks that are made in one and the same circuit, in the order in which they are looked at.

        That of the complaint comes first, then other loads seen to work, then other conditions; what changes most last.
        """
        found: dict[tuple[object, ...], list[int]] = {}
        for place, check in enumerate(self.checks):
            found.setdefault(circuit_of(check, self.condition), []).append(place)
        return tuple(tuple(places) for _, places in sorted(found.items(), key=lambda one: (one[0][0], one[1][0])))

    @cached_property
    def off_way(self) -> frozenset[Check]:
        """Readings at points that are on no way of the loads; none where no way is known."""
        on_way = {point for walk in self.walks for point in walk.points()}
        if not on_way:
            return frozenset()
        return frozenset(
            one for one in self.checks if one.kind in _AT_POINTS and not on_way.issuperset(_resolved(self.harness, one))
        )

    @property
    def field(self) -> Field:
        """The rows that are weighed."""
        return self.foresight.field

    @property
    def harness(self) -> Harness:
        """The harness as read."""
        return self.bench.harness


def open_inquiry(bench: Bench, complaint: Complaint, learned: Learned = NOTHING_LEARNED) -> Inquiry:
    """Work out all that a trace needs once.

    Raises
    ------
    CircuitError
        Where the sound circuit cannot be solved in the condition of the complaint.
    """
    bench, posts = stand_at_posts(bench, complaint)
    condition = complained_condition(bench, complaint)
    suspected = hypotheses(bench, complaint, condition, learned=learned)
    walker = Walker(bench)
    sites = {one.site for one in suspected}
    again = tuple(Check(CheckKind.OBSERVE, condition, load=name) for name in complaint.loads[:1] if ":" in name)
    checks = tuple(dict.fromkeys((*offered_checks(walker, complaint, condition, sites), *again)))
    return _inquiry(walker, complaint, condition, suspected, checks, posts)


def _inquiry(
    walker: Walker,
    complaint: Complaint,
    condition: Condition,
    suspected: tuple[Hypothesis, ...],
    checks: tuple[Check, ...],
    posts_volts: dict[str, float],
) -> Inquiry:
    bench = walker.bench
    given = tuple(_given(bench, complaint, condition))
    points = tuple(dict.fromkeys(point for check in checks for point in check.points))
    field = complained_field(bench, complaint, condition, suspected, points)
    foresight = Foresight(bench, complaint, field)
    return Inquiry(
        bench,
        walker,
        complaint,
        condition,
        walks_of(walker, complaint),
        suspected,
        foresight,
        given,
        posts_volts,
        checks,
        Costs(bench.harness),
    )


def _options(foresight: Foresight, known: Known, checks: Sequence[Check], places: Iterable[int]) -> Options:
    """Work out what checks could bring; those whose circuit finds no rest are left out."""
    possible: list[int] = []
    options: list[Option] = []
    for place in places:
        try:
            options.append(Option(foresight.shares(checks[place], known)))
        except CircuitError:
            continue
        possible.append(place)
    return Options(tuple(possible), OptionTable(options))


def _resolved(harness: Harness, check: Check) -> tuple[str, ...]:
    posts = {post for battery in harness.batteries for post in (f"{battery.id}.+", f"{battery.id}.-")}
    return tuple(resolve_point(harness, point) for point in check.points if point not in posts)


def circuit_of(check: Check, condition: Condition) -> tuple[object, ...]:
    """Name the circuit that a check is made in, its rank first."""
    match check.kind:
        case CheckKind.LOOK | CheckKind.SWAP:
            return (0, condition)
        case CheckKind.LAMP if check.part:
            return (3, check.condition, check.part, check.watts)
        case CheckKind.LAMP if check.watts >= FUSE_LAMP_WATTS:
            return (3, check.condition)
        case CheckKind.NEW_FUSE:
            return (3, check.condition, check.part)
        case CheckKind.BRIDGE:
            return (4, check.condition, check.red, check.black)
        case CheckKind.OHMS:
            return (5, check.condition)
    if check.condition == condition:
        return (0, condition)
    is_let_go = check.condition.key == condition.key and set(check.condition.settings) < set(condition.settings)
    return (1 if check.kind is CheckKind.OBSERVE or is_let_go else 2, check.condition)


def walks_of(walker: Walker, complaint: Complaint) -> tuple[Walk, ...]:
    """Give the walks of the complained loads; none of a battery or charger."""
    elements = elements_by_name(walker.harness)
    return tuple(walker.walk(elements[name]) for name in complaint.loads if name in elements)


def is_flat(harness: Harness, posts_volts: float) -> bool:
    """Tell whether posts read at rest are too low for a trace to mean anything: under 12.0 V per 12 V."""
    return posts_volts < least_rest_volts(harness, harness.batteries[:1])


def read_at_rest(harness: Harness, complaint: Complaint) -> bool:
    """Tell whether the posts of a complaint were read at rest: in no condition said, or with everything off."""
    condition = complaint.condition
    return condition is None or (condition.key == harness.key_names[0] and not condition.settings)


def stand_at_posts(bench: Bench, complaint: Complaint) -> tuple[Bench, dict[str, float]]:
    """Stand a bench at the posts that a complaint tells of, and note in which key state they were read.

    Raises
    ------
    CircuitError
        Where the posts cannot read that.
    """
    if complaint.posts_volts is None:
        return bench, {}
    rest = Condition(bench.harness.key_names[0])
    condition = replace(complaint.condition or rest, posts_volts=complaint.posts_volts, faults=())
    known = {} if complaint.condition is None else {condition.key: complaint.posts_volts}
    return bench.at_posts(condition), known


def _given(bench: Bench, complaint: Complaint, condition: Condition) -> Iterator[Evidence]:
    """Give what was said before the first check: other loads seen, and those complained of that work elsewhere."""
    word = {Symptom.WEAK: Word.WEAK}.get(complaint.symptom, Word.DEAD)
    if complaint.symptom in (Symptom.DEAD, Symptom.WEAK, Symptom.COMES_AND_GOES):
        for name in complaint.loads:
            if not is_asked(bench, name, condition):
                yield from _seen(bench, name, word)
    seen_so = {Word.WORKS: complaint.works, Word.DEAD: complaint.dead, Word.WEAK: complaint.weak}
    for told, names in seen_so.items():
        for name in names:
            yield from _seen(bench, name, told)


def _seen(bench: Bench, name: str, word: Word) -> Iterator[Evidence]:
    condition = usual_condition(bench, name)
    if is_asked(bench, name, condition):
        yield Evidence(Check(CheckKind.OBSERVE, condition, load=name), seen(word), given=True)
