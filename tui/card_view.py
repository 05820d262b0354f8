"""What is shown of a part, and what each row of its card stands for."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

from model.circuit.survey import Survey
from model.harness.harness import Harness
from model.sheets.card import Card, EndRow
from tui.point_volts import PointVolts


@dataclass(frozen=True, slots=True)
class Mark:
    """What a row of the card stands for.

    Attributes
    ----------
    part_id, to_point
        The card that Enter leads to, and the point that is marked there.
    element
        Of a circuit of a load: Enter leads to its walk.
    point
        The point of this part that the row tells of; empty where it tells of another part.
    row
        What ends on the point.
    """

    part_id: str = ""
    to_point: str = ""
    element: str = ""
    point: str = ""
    row: EndRow | None = None


@dataclass(frozen=True)
class View:
    """What is shown of a part.

    Attributes
    ----------
    keys
        Key states told in the rows: all of them where there is room, else the one as it is now.
    volts, survey
        None as long as they are worked out, and where the circuit cannot be solved.
    trouble
        Why the circuit cannot be solved; empty where it can.
    """

    harness: Harness
    card: Card
    keys: tuple[str, ...] = ()
    asked: str = ""
    volts: PointVolts | None = None
    survey: Survey | None = None
    trouble: str = ""
    marks: dict[str, Mark] = field(default_factory=dict)

    @cached_property
    def refused(self) -> frozenset[str]:
        """Points that no probe ever goes to."""
        return frozenset(refusal.point for refusal in self.card.refusals)
