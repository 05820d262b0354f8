"""What the answers so far leave: the share of every hypothesis, and which answers stand against it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from model.circuit.arrays import FloatArray, IntArray
from model.harness.supply import battery_volts
from model.tracing.checks import MEASURED, Check, CheckKind, Outcome
from model.tracing.complaint import Symptom
from model.tracing.field import Field
from model.tracing.foresee import Foresight, Known
from model.tracing.likelihood import SLIP_SHARE, surprise_p

SURPRISING_SHARE = 0.05
"""An answer that all suspects together foresaw less than this, against the one they foresaw best, is surprising."""

MISTAKEN_SHARE = 0.1
"""A suspect that foresees a word less than this holds it for mistaken; judgement."""

MISTAKEN_SLIPS = 2.0
"""Or a number no better than this many times what a slip of the probe foresees; judgement."""

DOUBTFUL_SHARE = 0.5
"""An answer that suspects of this share together hold for mistaken is doubtful."""

FITS_BADLY_P = 0.01
_FAR_SIGMAS = 3.0
_WORD_FITS = 0.3
_LEAST_POSTS_SHARE = 0.25


@dataclass(frozen=True, slots=True)
class Evidence:
    """One answer that counts.

    Attributes
    ----------
    given
        True of what was said before the first check.
    new_fuses
        Fuses that had been put in new, and held, when it was taken.
    """

    check: Check
    outcome: Outcome
    given: bool = False
    new_fuses: frozenset[str] = frozenset()


class Belief:
    """The shares of all rows of a field after some answers.

    Parameters
    ----------
    answers
        In the order in which they were given; posts that were read count for all readings of their key state. One that
        was in doubt counts no more once its check was made again.
    new_fuses
        Fuses that have been put in new, and held, by now.

    Attributes
    ----------
    foresight
        What is foreseen from here, with the fuses that are new by now.
    rows
        Shape (rows,), shares that sum to 1.
    logs
        Shape (answers, rows), the logarithm of the likelihood of each answer.
    """

    def __init__(
        self,
        foresight: Foresight,
        answers: Sequence[Evidence],
        posts_volts: dict[str, float],
        new_fuses: frozenset[str] = frozenset(),
    ) -> None:
        self.foresight = foresight.with_new_fuses(new_fuses)
        self.new_fuses = new_fuses
        self._at_first = foresight
        self.field: Field = foresight.field
        self.answers = tuple(answers)
        self.known = Known(posts_volts | posts_read(foresight, answers))
        self._posts_volts = posts_volts
        self.logs = np.array(
            [np.log(self._foresight_of(one).likelihood(one.check, one.outcome, self.known)) for one in answers]
        ).reshape(len(answers), self.field.count)
        for place in range(len(answers)):
            if is_read_again(answers, place):
                self.logs[place] = 0.0
        self._prior = np.log(np.maximum(self.field.weights, 1e-300))
        self.rows = _normal(self._prior + self.logs.sum(axis=0))

    def _foresight_of(self, one: Evidence) -> Foresight:
        return self._at_first.with_new_fuses(one.new_fuses)

    def of_trusted(self) -> Belief:
        """Give the belief that the answers leave that are not in doubt; itself where none is."""
        trusted = [one for one in self.answers if not one.outcome.in_doubt]
        if len(trusted) == len(self.answers):
            return self
        return Belief(self._at_first, trusted, self._posts_volts, self.new_fuses)

    def without(self, place: int) -> FloatArray:
        """Give the shares were one answer struck out, shape (rows,)."""
        return _normal(self._prior + self.logs.sum(axis=0) - self.logs[place])

    def before(self, place: int) -> FloatArray:
        """Give the shares before an answer came, shape (rows,)."""
        return _normal(self._prior + self.logs[:place].sum(axis=0))

    def hypotheses(self) -> FloatArray:
        """Give the share of each hypothesis, shape (hypotheses,)."""
        return self.field.by_hypothesis(self.rows)

    def is_surprising(self, place: int) -> bool:
        """Tell whether an answer was one that no suspect in play foresaw; one that is in doubt surprises nobody."""
        if self.answers[place].outcome.in_doubt:
            return False
        before = self.before(place)
        log = self.logs[place]
        best = float(log[before > 1e-4].max(initial=float(log.max())))
        foreseen = float(np.log(np.sum(before * np.exp(log - log.max()))) + log.max())
        one = self.answers[place]
        if one.check.kind in MEASURED:
            best = max(best, _well_foreseen(self._foresight_of(one), one, self.known))
            return foreseen < math.log(SURPRISING_SHARE) + best
        return foreseen < math.log(SURPRISING_SHARE)

    def doubtful(self) -> tuple[int, ...]:
        """Give the places of the answers that are likelier mistaken than not, by all that was answered."""
        return tuple(place for place in range(len(self.answers)) if self._mistaken_share(place) >= DOUBTFUL_SHARE)

    def _mistaken_share(self, place: int) -> float:
        one = self.answers[place]
        least = MISTAKEN_SHARE
        if one.check.kind in MEASURED:
            numbers, _ = self._foresight_of(one).exact_numbers(one.check, self.known)
            least = MISTAKEN_SLIPS * SLIP_SHARE * numbers.flat_likelihood(one.outcome)
        return float(self.rows[np.exp(self.logs[place]) <= least].sum())

    def fits_badly(self) -> bool:
        """Tell whether no hypothesis that is solved explains the answers: chi-square under 0.01, or all of them far.

        Where the complaint comes and goes, what the sound circuit shows is explained by every hypothesis.
        Of a check that was repeated the answer counts that fits better, so that a slip is mended by one repetition.
        What is in doubt need not be explained.
        """
        asked = [one for one in self.answers if not one.given and not one.outcome.in_doubt]
        if len(asked) < 2:
            return False
        residuals = self._residuals(asked)
        squared = (residuals**2).sum(axis=0)
        best = int(np.argmin(squared - 2.0 * np.log(np.maximum(self.field.weights[: self.field.solved], 1e-12))))
        far = bool((residuals > _FAR_SIGMAS).all(axis=0).all())
        return far or surprise_p(float(squared[best]), len(residuals)) < FITS_BADLY_P

    def _residuals(self, answers: Sequence[Evidence]) -> FloatArray:
        """Give how far each check lies from what each solved row foresees, in sigmas, shape (checks, rows)."""
        by_check: dict[Check, FloatArray] = {}
        for one in answers:
            away = np.abs(self._residual(one))
            known = by_check.get(one.check)
            by_check[one.check] = away if known is None else np.minimum(known, away)
        return np.array(list(by_check.values()))

    def _residual(self, one: Evidence) -> FloatArray:
        solved = self.field.solved
        if one.check.kind not in MEASURED:
            likely = self._foresight_of(one).likelihood(one.check, one.outcome, self.known)[:solved]
            return np.where(likely > _WORD_FITS, 0.0, np.where(likely > 0.1, 1.5, 3.5))
        numbers, rows = self._foresight_of(one).exact_numbers(one.check, self.known)
        each = [numbers.residuals(end, across_fuse=one.outcome.across_fuse) for end in one.outcome.ends]
        away = [rows.least_of_variants(at_hand)[1:] for at_hand in each]
        if self.foresight.complaint.symptom is not Symptom.COMES_AND_GOES:
            return np.asarray(np.min(away, axis=0))
        return _while_it_comes_and_goes(away, [abs(rows.sound(at_hand)) for at_hand in each])


def _while_it_comes_and_goes(away: Sequence[FloatArray], sound: Sequence[float]) -> FloatArray:
    """Give how far a reading lies from what is foreseen where the fault may be away: of two ends one is as sound."""
    if len(away) == 1:
        return np.minimum(away[0], sound[0])
    return np.minimum(np.maximum(away[0], sound[1]), np.maximum(sound[0], away[1]))


def is_read_again(answers: Sequence[Evidence], place: int) -> bool:
    """Tell whether an answer that is in doubt was read again since: the later one counts in its place."""
    one = answers[place]
    return one.outcome.in_doubt and any(later.check == one.check for later in answers[place + 1 :])


def posts_read(foresight: Foresight, answers: Sequence[Evidence]) -> dict[str, float]:
    """Map each key state in which the posts were read to what they read, the last reading of each that is not in doubt.

    What is hardly anything says that the battery is off or the probes were, not what all else is a share of.
    """
    harness = foresight.bench.harness
    first = harness.batteries[0].id
    least = _LEAST_POSTS_SHARE * battery_volts(harness)[first]
    posts = {f"{first}.+", f"{first}.-"}
    return {
        one.check.condition.key: abs(one.outcome.value)
        for one in answers
        if one.check.kind is CheckKind.VOLTS
        and not one.outcome.in_doubt
        and {one.check.red, one.check.black} == posts
        and abs(one.outcome.value) >= least
    }


def groups_of(field: Field) -> tuple[IntArray, tuple[str, ...]]:
    """Give the number of each row's repair, shape (rows,), and the words of each repair."""
    repairs = tuple(dict.fromkeys(one.repair for one in field.hypotheses))
    number = {repair: place for place, repair in enumerate(repairs)}
    of_hypothesis = np.array([number[one.repair] for one in field.hypotheses], dtype=np.int64)
    return of_hypothesis[field.owner], repairs


def _well_foreseen(foresight: Foresight, one: Evidence, known: Known) -> float:
    """Give the logarithm of the likelihood that the sound circuit gives its own reading: one that is well foreseen."""
    numbers, _ = foresight.exact_numbers(one.check, known)
    return float(np.log(0.25 / max(numbers.sound_sigma, 1e-6))) if np.isfinite(numbers.sound) else -5.0


def _normal(logs: FloatArray) -> FloatArray:
    shares = np.exp(logs - logs.max())
    return np.asarray(shares / shares.sum())
