"""Terminals of switches that carry a number of DIN 72552, beside the key states in which such a number is live."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from model.cautions import crank_keys
from model.harness.harness import Harness
from model.harness.parts import Relay
from model.harness.points import terminals_of
from model.review.fed_points import Fed
from model.tables import Row, SourceKind, table_rows

_COMPARED = frozenset({"15", "30", "50", "75"})
_OF_RELAYS = _COMPARED - {"30"}
"""The 30 of a relay is the common of its contact, whatever feeds it (ISO 7588)."""


class KeyKind(StrEnum):
    """What a key state is to the terminals of DIN 72552."""

    OFF = "off"
    ACCESSORY = "accessory"
    IGNITION = "ignition"
    CRANK = "crank"


_NAMES = {
    KeyKind.OFF: ("off", "lock", "stop", "0"),
    KeyKind.ACCESSORY: ("acc", "accessory", "accessories", "radio"),
    KeyKind.IGNITION: ("ignition", "ign", "on", "run", "running", "drive"),
}


@dataclass(frozen=True, slots=True)
class TerminalRemark:
    """A terminal that is live, or dead, in a key state in which its number says otherwise.

    Attributes
    ----------
    is_live
        Whether it is fed there; the number says the other.
    """

    point: str
    terminal: str
    meaning: str
    key: str
    is_live: bool
    source: str
    source_kind: SourceKind


def terminal_remarks(harness: Harness, fed: dict[str, dict[str, Fed]]) -> tuple[TerminalRemark, ...]:
    """Give the terminals 15, 30, 50 and 75 of switches and relays that differ from what their number says.

    Parameters
    ----------
    fed
        Key state → the points that are fed in it, as :func:`model.review.fed_points.fed_in` gives them.

    Notes
    -----
    Meanings are those of DIN 72552; that 75 falls off while the starter turns is common practice. A key state of which
    nothing tells what it is is passed over.
    """
    kinds = key_kinds(harness)
    return tuple(
        remark
        for point, row in _numbered(harness)
        for key, kind in kinds.items()
        if (remark := _remark(point, row, (key, kind), fed[key].get(point, Fed.NONE))) is not None
    )


def key_kinds(harness: Harness) -> dict[str, KeyKind]:
    """Say of each key state what it is; one that its name, charging and the starter tell nothing of is left out."""
    cranking = crank_keys(harness)
    found: dict[str, KeyKind] = {}
    for state in harness.key_states:
        kind = next((kind for kind, names in _NAMES.items() if state.name.strip().casefold() in names), None)
        if kind is None and state.name in cranking:
            kind = KeyKind.CRANK
        if kind is None and state.charging:
            kind = KeyKind.IGNITION
        if kind is not None:
            found[state.name] = kind
    return found


def _numbered(harness: Harness) -> Iterator[tuple[str, Row]]:
    rows = {row["terminal"]: row for row in table_rows("terminals")}
    for part in (*harness.switches, *harness.relays):
        numbers = _OF_RELAYS if isinstance(part, Relay) else _COMPARED
        for terminal in terminals_of(part):
            if terminal in numbers:
                yield f"{part.id}.{terminal}", rows[terminal]


def _remark(point: str, row: Row, key: tuple[str, KeyKind], fed: Fed) -> TerminalRemark | None:
    name, kind = key
    states = row["live_in"].split("; ")
    is_expected = "always" in states or str(kind) in states
    is_live = fed is Fed.AT_REST or (is_expected and fed is Fed.MOVED)
    if is_live is is_expected:
        return None
    kinds = SourceKind.COMMON_PRACTICE if row["terminal"] == "75" else SourceKind(row["source_kind"])
    return TerminalRemark(point, row["terminal"], row["meaning"], name, is_live, row["source"], kinds)
