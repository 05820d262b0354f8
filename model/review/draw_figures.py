"""The figures by which a draw with the key off is judged, looked up by name in their table."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from model.tables import SourceKind, cell_figure, table_rows


@dataclass(frozen=True, slots=True)
class Figure:
    """A row of the table of draws.

    Attributes
    ----------
    applies_to
        Which looms, batteries or fuses it holds for: ``electronics``, ``lead``, ``blade``, ``any``.
    low, high
        Least and most in `unit`; None where the source gives no such side.
    """

    name: str
    quantity: str
    applies_to: str
    condition: str
    low: float | None
    high: float | None
    unit: str
    source: str
    source_kind: SourceKind

    @property
    def value(self) -> float:
        """The one figure of a row that has one, else its high side."""
        return self.high if self.high is not None else self.low or 0.0


@cache
def figures(name: str) -> tuple[Figure, ...]:
    """Give every row of a name, in the order of the table.

    Raises
    ------
    KeyError
        Where the table has no such name.
    """
    found = tuple(
        Figure(
            row["name"], row["quantity"], row["applies_to"], row["condition"], cell_figure(row["low"]),
            cell_figure(row["high"]), row["unit"], row["source"], SourceKind(row["source_kind"]),
        )
        for row in table_rows("draw_limits")
        if row["name"] == name
    )  # fmt: skip
    if not found:
        raise KeyError(name)
    return found


def figure(name: str, applies_to: str = "") -> Figure:
    """Give the first row of a name, or the first of it that applies to something.

    Raises
    ------
    KeyError
        Where the table has no such row.
    """
    found = next((row for row in figures(name) if applies_to in ("", row.applies_to)), None)
    if found is None:
        raise KeyError(name, applies_to)
    return found
