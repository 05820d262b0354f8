"""A new circuit after a pattern: what is proposed for it, why, and whether it works once it is solved."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from model.circuit.bench import Bench
from model.errors import ArgumentError
from model.harness.amendments import Amendment, AmendmentKind
from model.harness.applied_changes import AddRow
from model.harness.harness import Harness
from model.review.finding import Finding, Gravity
from model.review.pattern_asked import Asked, read_answers
from model.review.pattern_check import Working, new_elements, new_findings, with_rows, workings
from model.review.pattern_circuits import lay_out
from model.review.pattern_draft import Draft
from model.review.pattern_feeds import feeds_of
from model.review.pattern_proposal import Proposal, Tuning
from model.review.pattern_questions import PATTERNS, Pattern, questions_of
from model.review.pattern_words import keys_words
from model.review.review_scene import ReviewScene
from model.words import clean, drop_text, nearest

__all__ = ["PATTERNS", "Pattern", "Proposal", "ProposedCircuit", "as_amendment", "pattern_named", "propose"]

_TRIES = 6
_LEAST_SHARE = 0.1
"""Of the drop that is allowed: wires are made no thicker than for this share, whatever falls before them."""


@dataclass(frozen=True, slots=True)
class ProposedCircuit:
    """A circuit as it would be put in.

    Attributes
    ----------
    rows
        Rows to add, in order.
    remarks
        What the file cannot know, what was overridden for the worse, and what does not come out as asked.
    new_findings
        Findings of the loom with the circuit in it that it did not have before.
    workings
        In which key states each new load works, as solved.
    lost_percent, allowed_percent
        Of the nominal volts, lost out and back by the load that loses most, and allowed; None where it cannot be told.
    after
        The harness with the circuit in it.
    """

    pattern: Pattern
    label: str
    place: str
    rows: tuple[AddRow, ...]
    proposals: tuple[Proposal, ...]
    remarks: tuple[str, ...]
    new_findings: tuple[Finding, ...]
    workings: tuple[Working, ...]
    lost_percent: float | None
    allowed_percent: float
    after: Harness

    @property
    def part_ids(self) -> tuple[str, ...]:
        """Ids of the new parts and wires, in the order of the rows."""
        return tuple(str(one.row["id"]) for one in self.rows if "id" in one.row)


def pattern_named(typed: str) -> Pattern:
    """Give the pattern of a name.

    Raises
    ------
    ArgumentError
        Where there is none.
    """
    if typed in list(Pattern):
        return Pattern(typed)
    near = nearest(typed, list(Pattern))
    do = f"Did you mean {near}?" if near else f"There are: {', '.join(Pattern)}."
    raise ArgumentError(f"There is no pattern “{clean(typed, 60)}”.", do=do)


def propose(bench: Bench, pattern: Pattern, answers: Mapping[str, str]) -> ProposedCircuit:
    """Propose a new circuit after a pattern.

    Parameters
    ----------
    bench
        Of the harness as it is.
    answers
        Question or proposal → answer as typed. `questions_of` lists what is asked; a proposal is overridden by its key.

    Raises
    ------
    ArgumentError
        Where something needed is not answered, an answer does not fit, or no fuse or wire serves.

    Notes
    -----
    The circuit is laid out, put into the harness and solved; where it loses more volts than allowed, its wires are
    sized anew for what is left beside the feed before them and the contacts on the way, a few times.
    """
    asked = read_answers(bench.harness, pattern, answers)
    feeds = feeds_of(bench)
    tuning = Tuning()
    for _ in range(_TRIES):
        draft = Draft(bench.harness, feeds, asked, tuning)
        lay_out(draft)
        _refuse_unknown(draft)
        scene = ReviewScene(Bench(with_rows(bench.harness, draft.rows)))
        found = workings(scene, _asked_of(draft, scene.harness))
        again = _tuned(draft, found)
        if again is None:
            break
        tuning = again
    return _circuit(bench, draft, scene, found)


def as_amendment(circuit: ProposedCircuit) -> Amendment:
    """Give a proposed circuit as an amendment that adds all its rows at once."""
    place = f" at {clean(circuit.place, 60)}" if circuit.place else ""
    sentence = f"A circuit is added: {clean(circuit.label, 80)}{place}, {PATTERNS[circuit.pattern]}."
    return Amendment(AmendmentKind.ADDED, sentence, circuit.rows, circuit.part_ids, remarks=circuit.remarks)


def _refuse_unknown(draft: Draft) -> None:
    """Refuse answers that nothing has asked for."""
    known = {question.key for question in questions_of(draft.asked.pattern)} | draft.used_answers
    for key in draft.asked.answers:
        if key not in known:
            near = nearest(key, known)
            do = f"Did you mean {near}?" if near else f"It takes {', '.join(sorted(known))}."
            raise ArgumentError(f"This circuit takes no {clean(key, 60)}.", do=do)


def _asked_of(draft: Draft, after: Harness) -> dict[str, tuple[str, ...]]:
    """Give the key states asked for of each new element: of a control unit its permanent feed always."""
    is_module = draft.asked.pattern is Pattern.MODULE
    return {
        one.name: draft.harness.key_names if is_module and one.name.endswith(":30") else draft.asked.keys
        for one in new_elements(draft.harness, after)
    }


def _tuned(draft: Draft, found: tuple[Working, ...]) -> Tuning | None:
    """Give what the next try is to mind; None where this one stands."""
    own = {str(row.row["id"]) for row in draft.rows if "id" in row.row}
    settings = {name: value for one in found for name, value in one.settings.items() if name not in own}
    if draft.asked.pattern is Pattern.MODULE:
        settings = {}
    if settings != draft.tuning.settings and not draft.tuning.settings:
        return Tuning(draft.tuning.drop_volts, settings)
    over_volts = max((one.lost_volts or 0.0 for one in found), default=0.0) - draft.allowed_drop_volts
    if over_volts <= 0.0 or draft.asked.text("size"):
        return None
    least_volts = _LEAST_SHARE * draft.allowed_drop_volts
    if draft.tuning.drop_volts is not None and draft.tuning.drop_volts <= least_volts:
        return None
    return Tuning(max(draft.size_drop_volts - 1.02 * over_volts, least_volts), draft.tuning.settings)


def _circuit(bench: Bench, draft: Draft, scene: ReviewScene, found: tuple[Working, ...]) -> ProposedCircuit:
    fresh = new_findings(bench, scene.bench)
    nominal_volts = bench.harness.build.nominal_volts
    lost = [one.lost_volts for one in found if one.lost_volts is not None]
    remarks = (*draft.every_remark(), *_remarks(draft.asked, bench.harness, found), *_graver(fresh))
    return ProposedCircuit(
        draft.asked.pattern,
        draft.asked.label,
        draft.asked.text("at"),
        tuple(draft.rows),
        tuple(draft.proposals),
        tuple(dict.fromkeys(remarks)),
        fresh,
        found,
        100.0 * max(lost) / nominal_volts if lost else None,
        draft.asked.drop_percent,
        scene.harness,
    )


def _remarks(asked: Asked, harness: Harness, found: tuple[Working, ...]) -> Iterator[str]:
    """Say what does not come out as asked."""
    for one in found:
        if not one.is_as_asked:
            states = "; ".join(f"{key} {feed}" for key, feed in one.feeds.items())
            yield (
                f"{one.name} works {keys_words(harness, one.works_in)} and not, as asked, "
                f"{keys_words(harness, one.asked)} ({states})."
            )
        allowed_volts = asked.drop_percent / 100.0 * harness.build.nominal_volts
        if one.lost_volts is not None and one.lost_volts > allowed_volts:
            yield (
                f"{one.name} loses {drop_text(one.lost_volts)} out and back, where {drop_text(allowed_volts)} is "
                "allowed: thicker wires here do not help, look at the feed before them and at the contacts."
            )


def _graver(fresh: tuple[Finding, ...]) -> Iterator[str]:
    for one in fresh:
        if one.gravity is not Gravity.ASK:
            yield f"A new finding, “{one.rule}”, {one.gravity}: {one.sentence}"
