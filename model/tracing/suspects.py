"""What may be wrong: hypotheses before they are solved, and suspects as they are shown."""

from __future__ import annotations

from dataclasses import dataclass

from model.circuit.faults import Fault

UNKNOWN = "unknown"
"""The fault of a part that behaves as no fault on the list would make it."""

RECORD = "record"
"""The vehicle differs from the file."""

PAIR_SIGN = " + "
"""Parts two faults at once in a site, a fault, a partner and a repair."""

NOT_SHOWN = "not shown"
"""All hypotheses together that do not show what is complained of."""


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """One thing that may be wrong.

    Attributes
    ----------
    site
        As the format names it: ``W9``, ``X1.4``, ``K1:30-87``; of ``unknown`` a part's id, of ``record`` empty.
    fault
        As the format names it, or ``unknown``, ``record``.
    partner
        What a wire touches, or where its end really is.
    weight
        How likely before any reading, against the others; over all its `ways` together.
    ways
        The faults that it is solved as, each as likely: one for each size of a high resistance; none of ``unknown``
        and ``record``; several at once where `is_pair`.
    repair
        What mends it; the same words for what is mended by the same work.
    is_pair
        True of two faults at once: then `ways` holds both together.
    """

    site: str
    fault: str
    partner: str
    weight: float
    ways: tuple[Fault, ...]
    repair: str
    is_pair: bool = False

    @property
    def name(self) -> tuple[str, str, str]:
        """Site, fault and partner."""
        return self.site, self.fault, self.partner


@dataclass(frozen=True, slots=True)
class Suspect:
    """A hypothesis as it is shown, with its share.

    Attributes
    ----------
    part, fault, partner
        As the format spells them.
    probability
        Share of all hypotheses together, 0 to 1.
    """

    part: str
    fault: str
    partner: str
    probability: float
