"""A harness on the bench: surveys of its conditions, each solved once and kept."""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock

from model.circuit.condition import Condition
from model.circuit.survey import Survey, survey
from model.harness.harness import Harness

_KEPT_AT_MOST = 400


class Bench:
    """Surveys of one harness, kept by condition.

    Attributes
    ----------
    harness
        The harness as read.
    first_emf
        Emf in volts of the first battery, where its posts were read in some condition; None takes the file's.
    """

    def __init__(self, harness: Harness, first_emf: float | None = None) -> None:
        self.harness = harness
        self.first_emf = first_emf
        self._kept: OrderedDict[Condition, Survey] = OrderedDict()
        self._lock = Lock()

    def kept(self, condition: Condition) -> Survey | None:
        """Give the survey of a condition that has been solved before; None where it is still to be solved."""
        with self._lock:
            found = self._kept.get(condition)
            if found is not None:
                self._kept.move_to_end(condition)
            return found

    def survey(self, condition: Condition) -> Survey:
        """Give the survey of a condition.

        Raises
        ------
        CircuitError
            Where the circuit cannot be as the condition says.
        """
        found = self.kept(condition)
        if found is not None:
            return found
        healthy = self.survey(condition.healthy()).settled if condition.faults else None
        found = survey(self.harness, condition, first_emf=self.first_emf, healthy=healthy)
        with self._lock:
            self._kept[condition] = found
            if len(self._kept) > _KEPT_AT_MOST:
                self._kept.popitem(last=False)
        return found

    def at_posts(self, condition: Condition) -> Bench:
        """Give a bench whose first battery has the emf at which this condition's posts read what they do."""
        return Bench(self.harness, self.survey(condition).settled.first_emf)
