"""What every hypothesis foresees of a check: how likely an outcome is under each, and what could come of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.bench import Bench
from model.circuit.cases import Cases
from model.circuit.faults import part_of_site
from model.tracing.checks import MEASURED, WORDS_OF, Check, CheckKind, Outcome, Word
from model.tracing.complaint import Complaint, Symptom
from model.tracing.field import CaseRows, Field
from model.tracing.foresee_numbers import Numbers, numbers_of
from model.tracing.foresee_words import words_of_cases, words_of_rows
from model.tracing.likelihood import RIGHT_CURE_SHARE, RIGHT_WORD_SHARE, doubted_likelihood, told
from model.tracing.suspects import NOT_SHOWN, RECORD
from model.tracing.symptoms import INTERMITTENT_DUTY

_DIFFERS_SIGMAS = 3.0
_DIFFERS_SHARE = 0.3


@dataclass(frozen=True)
class Known:
    """What is known beside the readings themselves.

    Attributes
    ----------
    posts_volts
        Key state → volts read across the posts in it.
    """

    posts_volts: dict[str, float]


class Foresight:
    """What the hypotheses of a field foresee; nothing is solved twice.

    Parameters
    ----------
    bench
        Where the sound circuit is solved.
    """

    def __init__(self, bench: Bench, complaint: Complaint, field: Field) -> None:
        self.bench = bench
        self.complaint = complaint
        self.field = field
        self._case_rows: dict[int, CaseRows] = {}
        self._shares: dict[tuple[Check, float | None], FloatArray] = {}
        self._renewed: dict[frozenset[str], Foresight] = {}
        self._exact: dict[tuple[Check, float | None], tuple[Numbers, CaseRows]] = {}
        self._likely: dict[tuple[Check, Outcome, float | None], FloatArray] = {}

    def with_new_fuses(self, fuse_ids: frozenset[str]) -> Foresight:
        """Give what is foreseen once new fuses that hold are in some places."""
        if not fuse_ids:
            return self
        if fuse_ids not in self._renewed:
            self._renewed[fuse_ids] = Foresight(self.bench, self.complaint, self.field.with_new_fuses(fuse_ids))
        return self._renewed[fuse_ids]

    @cached_property
    def of_sound(self) -> Foresight:
        """What the sound circuit alone shows: cheap in a condition that no check is made in."""
        return Foresight(self.bench, self.complaint, self.field.only(np.array([], dtype=np.int64)))

    def numbers(self, check: Check, known: Known) -> tuple[Numbers, CaseRows]:
        """Give what each case reads of a check that is answered with a number, its spread by a rule of thumb.

        Raises
        ------
        CircuitError
            Where the sound circuit cannot be solved in the check's condition.
        """
        cases = self._cases(check)
        return numbers_of(self.bench, check, cases, known.posts_volts, roughly=True), self._rows_of(cases)

    def exact_numbers(self, check: Check, known: Known) -> tuple[Numbers, CaseRows]:
        """Give the same with the parts' tolerances taken through each circuit.

        Raises
        ------
        CircuitError
            As :meth:`numbers`.
        """
        key = (check, known.posts_volts.get(check.condition.key))
        found = self._exact.get(key)
        if found is None:
            cases = self._cases(check)
            numbers = numbers_of(self.bench, check, cases, known.posts_volts).with_spread()
            found = self._exact[key] = numbers, self._rows_of(cases)
        return found

    def likelihood(self, check: Check, outcome: Outcome, known: Known) -> FloatArray:
        """Give how likely an outcome is under each row, up to a factor that is the same for all, shape (rows,).

        Raises
        ------
        CircuitError
            As :meth:`numbers`.
        """
        key = (check, outcome, known.posts_volts.get(check.condition.key))
        found = self._likely.get(key)
        if found is None:
            found = self._likelihood(check, replace(outcome, in_doubt=False), known)
            if outcome.in_doubt:
                numbers, _ = self.exact_numbers(check, known)
                found = doubted_likelihood(found, numbers.flat_likelihood(outcome))
            self._likely[key] = found
        return found

    def _likelihood(self, check: Check, outcome: Outcome, known: Known) -> FloatArray:
        if check.kind in MEASURED:
            return self._number_likelihood(check, outcome, known)
        words = WORDS_OF[check.kind]
        assert outcome.word is not None
        shares = self._words(check, roughly=False) if check.kind is CheckKind.LAMP else self.shares(check, known)
        return np.asarray(shares[words.index(outcome.word)], dtype=np.float64)

    def shares(self, check: Check, known: Known) -> FloatArray:
        """Give how likely each outcome of a check is under each row, shape (outcomes, rows).

        Outcomes are the words of the check in their order, or the bins of its numbers; each column sums to 1.

        Raises
        ------
        CircuitError
            As :meth:`numbers`.
        """
        key = (check, known.posts_volts.get(check.condition.key) if check.kind in MEASURED else None)
        found = self._shares.get(key)
        if found is None:
            found = self.bins(check, known) if check.kind in MEASURED else self._words(check, roughly=True)
            self._shares[key] = found
        return found

    def sound_word(self, check: Check) -> Word | None:
        """Give the word that the sound circuit shows of a check; None where that hangs on the fault itself."""
        if check.kind in (CheckKind.LOOK, CheckKind.SWAP):
            return None
        cases = self._cases(check)
        by_case = words_of_cases(self.bench, self.complaint, check, cases)
        sound = by_case[:, np.flatnonzero(cases.variant == 0)[0]]
        return WORDS_OF[check.kind][int(np.argmax(sound))]

    def fuse_lamp_volts(self, check: Check) -> tuple[float, float]:
        """Give the volts across a lamp in place of a fuse: in the sound circuit, and the most that any fault gives."""
        cases = self._cases(check)
        volts = np.abs(cases.volts(check.red, check.black, roughly=True))
        return float(volts[np.flatnonzero(cases.variant == 0)[0]]), float(volts.max())

    def _number_likelihood(self, check: Check, outcome: Outcome, known: Known) -> FloatArray:
        exact, rows = self.exact_numbers(check, known)
        ends = outcome.ends
        each = [exact.likelihood(end, across_fuse=outcome.across_fuse) for end in ends]
        variants = [rows.of_variants(one) for one in each]
        sound = [float(one[0]) for one in variants]
        solved = [one[1:] for one in variants]
        if self.complaint.symptom is Symptom.COMES_AND_GOES:
            likely = _coming_and_going(solved, sound)
        else:
            likely = np.asarray(np.prod(solved, axis=0) ** (1.0 / len(ends)))
        influenced = self._parts_that_matter(np.abs(exact.residual_to_sound()) > _DIFFERS_SIGMAS, rows)
        flat = exact.flat_likelihood(outcome)
        return self._with_unsolved(likely, float(np.prod(sound) ** (1.0 / len(ends))), influenced, flat)

    def bins(self, check: Check, known: Known, edges: FloatArray | None = None) -> FloatArray:
        """Give how likely a number falls between each two edges under each row, shape (bins, rows).

        Parameters
        ----------
        edges
            Rising; those of the check itself where they are not given.

        Raises
        ------
        CircuitError
            As :meth:`numbers`.
        """
        numbers, rows = self.numbers(check, known)
        if edges is not None:
            numbers = replace(numbers, edges=edges)
        variants = rows.of_variants(numbers.bins())
        influenced = self._parts_that_matter(np.abs(numbers.residual_to_sound()) > _DIFFERS_SIGMAS, rows)
        return self._all_outcomes(variants, influenced)

    def _words(self, check: Check, *, roughly: bool) -> FloatArray:
        by_row = words_of_rows(self.bench.harness, check, self.field)
        if by_row is not None:
            flat = np.full((len(by_row), self.field.count - self.field.solved), 1.0 / len(by_row))
            right_share = RIGHT_CURE_SHARE if check.kind is CheckKind.SWAP else RIGHT_WORD_SHARE
            return np.concatenate((told(by_row, right_share), flat), axis=1)
        cases = self._cases(check)
        rows = self._rows_of(cases)
        by_case = words_of_cases(self.bench, self.complaint, check, cases, roughly=roughly)
        variants = told(rows.of_variants(by_case))
        differs = np.abs(by_case - by_case[:, cases.variant == 0][:, :1]).max(axis=0) > _DIFFERS_SHARE
        return self._all_outcomes(variants, self._parts_that_matter(differs, rows))

    def _all_outcomes(self, variants: FloatArray, influenced: BoolArray) -> FloatArray:
        sound, solved = variants[:, 0], variants[:, 1:]
        if self.complaint.symptom is Symptom.COMES_AND_GOES:
            solved = INTERMITTENT_DUTY * solved + (1.0 - INTERMITTENT_DUTY) * sound[:, None]
        flat = 1.0 / len(variants)
        return np.array(
            [self._with_unsolved(row, float(good), influenced, flat) for row, good in zip(solved, sound, strict=True)]
        )

    def _with_unsolved(self, solved: FloatArray, sound: float, influenced: BoolArray, flat: float) -> FloatArray:
        """Put those not solved behind: anything alike where their part matters, elsewhere as the sound circuit."""
        unsolved = np.where(influenced[self._unsolved_part], flat, sound)
        return np.concatenate((solved, unsolved))

    @cached_property
    def _part_of_row(self) -> IntArray:
        return np.array([self._part_number(self.field.hypotheses[k].site) for k in self.field.owner.tolist()])

    @cached_property
    def _parts(self) -> dict[str, int]:
        return {}

    def _part_number(self, site: str) -> int:
        part = part_of_site(site)
        return self._parts.setdefault(part, len(self._parts))

    @cached_property
    def _unsolved_part(self) -> IntArray:
        return self._part_of_row[self.field.solved :]

    def _parts_that_matter(self, differs: BoolArray, rows: CaseRows) -> BoolArray:
        """Tell of each part whether some fault of it makes the check read other than sound."""
        matters = np.zeros(max(int(self._part_of_row.max()), len(self._parts)) + 1, dtype=bool)
        solved = rows.cases.variant > 0
        parts = self._part_of_row[rows.cases.variant[solved] - 1]
        np.logical_or.at(matters, parts, differs[solved])
        for k in range(self.field.solved, self.field.count):
            if self.field.hypotheses[self.field.owner[k]].fault in (RECORD, NOT_SHOWN):
                matters[self._part_of_row[k]] = True
        return matters

    def _cases(self, check: Check) -> Cases:
        bench = self.field.bench
        match check.kind:
            case CheckKind.BRIDGE:
                return bench.cases(check.condition, jumper=(check.red, check.black))
            case CheckKind.OHMS:
                return bench.cases(check.condition, powered=False)
            case CheckKind.LAMP if check.part:
                return bench.cases(check.condition, lamp=(check.red, check.black, check.watts))
            case CheckKind.NEW_FUSE:
                return self.field.with_new_fuses(frozenset({check.part})).bench.cases(check.condition)
        return bench.cases(check.condition)

    def _rows_of(self, cases: Cases) -> CaseRows:
        found = self._case_rows.get(id(cases))
        if found is None or found.cases is not cases:
            found = CaseRows(cases, self.field.solved + 1)
            self._case_rows[id(cases)] = found
        return found


def _coming_and_going(solved: list[FloatArray], sound: list[float]) -> FloatArray:
    """Give the likelihood of readings of a fault that is there now and then: of two ends one is as sound."""
    if len(solved) == 1:
        return np.asarray(INTERMITTENT_DUTY * solved[0] + (1.0 - INTERMITTENT_DUTY) * sound[0])
    one, other = solved
    return np.sqrt(np.maximum(one * sound[1], sound[0] * other))
