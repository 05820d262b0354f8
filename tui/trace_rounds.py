"""What was read before a repair that did not cure: a new round begins without it, but it is still there to be seen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from model.tracing.asking import Answered, Finding, Question, Repaired, Reply

if TYPE_CHECKING:
    from model.circuit.bench import Bench


class Rounds:
    """The readings of the rounds before, but for those that a repair since may have changed.

    Parameters
    ----------
    bench
        Where the harness is solved.
    """

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._ended: list[tuple[Answered, ...]] = []
        self._repaired: list[Finding] = []
        self._before: tuple[Answered, ...] | None = None

    def taken(self, asked: Question | Finding, answers: tuple[Answered, ...], reply: Reply) -> None:
        """Keep the answers of a round that a repair in vain has ended.

        Parameters
        ----------
        asked, answers
            As they stood before the reply.
        """
        if isinstance(asked, Finding) and reply == Repaired(cured=False):
            self._ended.append(answers)
            self._repaired.append(asked)
            self._before = None

    def undone(self, reply: Reply | None) -> None:
        """Take a repair back."""
        if reply == Repaired(cured=False) and self._ended:
            self._ended.pop()
            self._repaired.pop()
            self._before = None

    def before(self) -> tuple[Answered, ...]:
        """Give what was read before, each reading held against the repairs that came after it."""
        if self._before is None:
            self._before = self._untouched()
        return self._before

    def _untouched(self) -> tuple[Answered, ...]:
        from model.tracing.proof import may_be_changed_by

        kept: list[Answered] = []
        for place, answers in enumerate(self._ended):
            since = [suspect for finding in self._repaired[place:] for suspect in finding.group]
            kept += [one for one in answers if not may_be_changed_by(self._bench, one.check, since)]
        return tuple(kept)
