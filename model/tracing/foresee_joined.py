"""What the hypotheses of two fields foresee side by side: nothing that one of them has solved is solved again."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.tracing.checks import MEASURED, Check, Outcome, Word
from model.tracing.field import CaseRows, Field
from model.tracing.foresee import Foresight, Known
from model.tracing.foresee_numbers import Numbers


@dataclass(frozen=True)
class _SideBySide:
    """Cases of two benches, those of the second without its sound circuit.

    Attributes
    ----------
    variant, share
        Shape (cases,), as of :class:`model.circuit.cases.Cases`.
    """

    variant: IntArray
    share: FloatArray


class JoinedForesight(Foresight):
    """What two fields of one complaint foresee.

    Parameters
    ----------
    first
        Its solved rows stand first, its rows that are not solved last.
    more
        Its solved rows stand between; those that are not solved are left out.
    field
        The rows of both, as :meth:`model.tracing.field.Field.joined` gives them.
    """

    def __init__(self, first: Foresight, more: Foresight, field: Field) -> None:
        super().__init__(first.bench, first.complaint, field)
        self._first = first
        self._more = more
        self._joined: dict[frozenset[str], JoinedForesight] = {}

    def with_new_fuses(self, fuse_ids: frozenset[str]) -> Foresight:
        """Give what is foreseen once new fuses that hold are in some places."""
        if not fuse_ids:
            return self
        found = self._joined.get(fuse_ids)
        if found is None:
            first, more = (one.with_new_fuses(fuse_ids) for one in (self._first, self._more))
            found = self._joined[fuse_ids] = JoinedForesight(first, more, self.field.with_new_fuses(fuse_ids))
        return found

    def numbers(self, check: Check, known: Known) -> tuple[Numbers, CaseRows]:
        """Give what each case reads; see :meth:`Foresight.numbers`."""
        return self._joined_numbers(self._first.numbers(check, known), self._more.numbers(check, known))

    def exact_numbers(self, check: Check, known: Known) -> tuple[Numbers, CaseRows]:
        """Give the same with tolerances; see :meth:`Foresight.exact_numbers`."""
        return self._joined_numbers(self._first.exact_numbers(check, known), self._more.exact_numbers(check, known))

    def shares(self, check: Check, known: Known) -> FloatArray:
        """Give how likely each outcome is under each row; see :meth:`Foresight.shares`."""
        key = (check, known.posts_volts.get(check.condition.key) if check.kind in MEASURED else None)
        found = self._shares.get(key)
        if found is None:
            found = self._shares[key] = self._joined_shares(check, known)
        return found

    def sound_word(self, check: Check) -> Word | None:
        """Give the word that the sound circuit shows of a check; see :meth:`Foresight.sound_word`."""
        return self._first.sound_word(check)

    def fuse_lamp_volts(self, check: Check) -> tuple[float, float]:
        """Give the volts across a lamp in place of a fuse; see :meth:`Foresight.fuse_lamp_volts`."""
        sound, most = self._first.fuse_lamp_volts(check)
        return sound, max(most, self._more.fuse_lamp_volts(check)[1])

    def _likelihood(self, check: Check, outcome: Outcome, known: Known) -> FloatArray:
        first = self._first.likelihood(check, outcome, known)
        return self._side_by_side(first, self._more.likelihood(check, outcome, known))

    def _joined_shares(self, check: Check, known: Known) -> FloatArray:
        first, more = self._first.shares(check, known), self._more.shares(check, known)
        if len(first) != len(more):
            # two edges that fall together for one sound circuit may lie a rounding apart for the other
            more = self._more.bins(check, known, self._first.numbers(check, known)[0].edges)
        return self._side_by_side(first, more)

    def _side_by_side(self, first: FloatArray, more: FloatArray) -> FloatArray:
        solved = self._first.field.solved
        between = more[..., : self._more.field.solved]
        return np.concatenate((first[..., :solved], between, first[..., solved:]), axis=-1)

    def _joined_numbers(
        self, first: tuple[Numbers, CaseRows], more: tuple[Numbers, CaseRows]
    ) -> tuple[Numbers, CaseRows]:
        (one, rows), (other, more_rows) = first, more
        solved = self._first.field.solved
        is_faulty = more_rows.cases.variant > 0
        variant = np.concatenate((rows.cases.variant, more_rows.cases.variant[is_faulty] + solved))
        share = np.concatenate((rows.cases.share, more_rows.cases.share[is_faulty]))
        predicted: FloatArray = np.concatenate((one.predicted, other.predicted[is_faulty]))
        sigma: FloatArray = np.concatenate((one.sigma, other.sigma[is_faulty]))
        floats: BoolArray = np.concatenate((one.floats, other.floats[is_faulty]))
        joined = replace(one, predicted=predicted, sigma=sigma, floats=floats, spread=lambda: sigma)
        return joined, CaseRows(_SideBySide(variant, share), self.field.solved + 1)
