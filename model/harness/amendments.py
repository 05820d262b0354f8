"""What was changed on a finished loom, as changes to the rows of its file; it touches no disk."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from model.harness.applied_changes import Change, applied_text


class AmendmentKind(StrEnum):
    """What kind of work was done, or was found done."""

    TO_SPARE = "moved to a spare"
    SPLICED = "spliced"
    REPLACED = "replaced"
    GROUND_MOVED = "ground moved"
    ADDED = "added"
    REMOVED = "removed"
    DIFFERS = "found different"


@dataclass(frozen=True, slots=True)
class OldEnd:
    """An end of a conductor whose work another does now.

    Attributes
    ----------
    point
        ``W9.a`` of an end that is off its terminal, else the point that it is still on.
    place
        Where it is; empty where the file does not say.
    is_off
        True where it is off its terminal, to be capped.
    """

    wire_id: str
    point: str
    place: str
    is_off: bool


@dataclass(frozen=True, slots=True)
class Amendment:
    """One change of a loom.

    Attributes
    ----------
    sentence
        What was done, with ids.
    parts
        Ids of the parts and wires that it touches.
    supersedes
        Old wire → the wire that does its work now.
    old_ends
        Where the ends of the old conductors are now.
    remarks
        What the file cannot know and somebody should look at.
    """

    kind: AmendmentKind
    sentence: str
    changes: tuple[Change, ...]
    parts: tuple[str, ...]
    supersedes: Mapping[str, str] = field(default_factory=dict)
    old_ends: tuple[OldEnd, ...] = ()
    remarks: tuple[str, ...] = ()


def amended_text(text: str, changes: Iterable[Change], revision: int, date: str) -> str:
    """Give the text of a harness file with changes made and a new revision and date.

    Raises
    ------
    FusewalkError
        Where a row that is to change is not there.
    """
    return applied_text(text, changes, {"revision": revision, "date": date})
