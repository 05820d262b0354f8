"""What a finding is: something in the design of a loom that can hurt, fails, works badly, or has to be cleared up."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from model.tables import Row, SourceKind, cell_figure, table_rows

SIZE_AND_LENGTH = ("size", "length")
"""What of a wire the file may leave out and a figure then rests on."""


class Gravity(StrEnum):
    """How grave a finding is, the gravest first."""

    DANGER = "can burn or hurt"
    FAILS = "does not work"
    WEARS = "works badly"
    ASK = "to be cleared up"


class FindingRule(StrEnum):
    """What a finding is about, in the words of its head; the order of the rules is that of findings equally grave."""

    SHORTED = "battery joined to ground"
    ADRIFT = "no way home"
    HEAVY_AT_REST = "heavy load always on"
    HAZARD_SUGGESTED = "hazard suggested, not given"
    WIRE_BEARS_LESS = "fuse above what the wire bears"
    NO_FUSE = "fed with no fuse"
    FUSE_FAR = "fuse far from its source"
    OVER_RATING = "over its rating"
    FUSE_BLOWS = "fuse blows in normal use"
    FAIL_TOGETHER = "must not fail together"
    NO_FEED = "no feed in any setting"
    NOT_SEARCHED = "feed not looked into"
    NO_GROUND = "no path to ground"
    BACKFEED = "fed with its switch off"
    RELAY_BUZZES = "relay buzzes"
    RELAY_LATCHES = "relay holds itself"
    RELAY_WEAK = "relay may not hold"
    TWO_ENDS = "ends differ by the way there"
    WRONG_STATE = "fed in the wrong key state"
    DROP = "volts lost on the way"
    GROUND_LIFTED = "shared ground lifted"
    LAMP_DIM = "lamp under its volts"
    DRAW = "draw with the key off"
    DIODE_REVERSED = "diode reversed"
    NO_DIODE = "coil without diode"
    HEAVY_CONTACT = "heavy contact without resistance"
    FREE_END = "wire ends nowhere"
    SPARE_JOINED = "spare in use"
    DOUBLE_CRIMP = "two wires in one cavity"
    LONE_SPLICE = "splice without a second wire"
    HALF_JOINED = "cavity joined on one half"
    ASSUMED = "assumed"


@dataclass(frozen=True, slots=True)
class Rule:
    """A limit or practice that a finding rests on: a row of the table ``finding_limits``.

    Attributes
    ----------
    words
        What it asks for, as a clause: “a fuse stands within 0.18 m of the source”.
    value, unit
        Its figure; None where it has none.
    """

    words: str
    value: float | None
    unit: str
    source: str
    source_kind: SourceKind

    @property
    def figure(self) -> float:
        """The figure of a rule that has one.

        Raises
        ------
        ValueError
            Where it has none.
        """
        if self.value is None:
            raise ValueError(f"no figure: {self.words}")
        return self.value


@dataclass(frozen=True, slots=True)
class Finding:
    """Something about the design of a loom.

    Attributes
    ----------
    sentence
        What is so, with ids, in one or two sentences.
    do
        What to do about it.
    part_ids
        The parts it is about, the one to go to first.
    points
        Points at which it shows, none of them one that no probe may touch by chance: the sheet says which those are.
    value, unit
        The figure that makes it one; None where there is none.
    rule_text
        What it rests on; None where it needs no source, as that a wire ends nowhere.
    assumed
        Ids of wires with assumed figures that it rests on.
    assumed_kinds
        Which of their figures it rests on.
    """

    rule: FindingRule
    gravity: Gravity
    sentence: str
    do: str
    part_ids: tuple[str, ...]
    points: tuple[str, ...] = ()
    value: float | None = None
    unit: str = ""
    rule_text: Rule | None = None
    assumed: tuple[str, ...] = ()
    assumed_kinds: tuple[str, ...] = SIZE_AND_LENGTH


@cache
def rule_of(name: str) -> Rule:
    """Give a row of the table ``finding_limits`` by its name.

    Raises
    ------
    KeyError
        Where there is no such row.
    """
    row = _row("finding_limits", "name", name)
    return Rule(row["words"], cell_figure(row["value"]), row["unit"], row["source"], SourceKind(row["source_kind"]))


@cache
def rule_in(table: str, column: str, name: str) -> Rule:
    """Give a limit of another table as a rule: the first row that has this name in this column.

    Its figure stands in the table's column ``limit`` or ``value``.

    Raises
    ------
    KeyError
        Where there is no such row.
    """
    row = _row(table, column, name)
    value = float(row["limit"] if "limit" in row else row["value"])
    condition = f", {row['condition']}" if row["condition"] else ""
    words = f"{name}{condition}: {value:g} {row['unit']}"
    return Rule(words, value, row["unit"], row["source"], SourceKind(row["source_kind"]))


@cache
def roles_of(name: str) -> frozenset[str]:
    """Give the words of a row of ``finding_limits`` that lists some, parted by ``|`` in its column ``list``.

    Raises
    ------
    KeyError
        Where there is no such row.
    """
    return frozenset(word.strip() for word in _row("finding_limits", "name", name)["list"].split("|"))


def _row(table: str, column: str, name: str) -> Row:
    for row in table_rows(table):
        if row[column] == name:
            return row
    raise KeyError(name)
