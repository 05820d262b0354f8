"""What is proposed for a new circuit, with its reason and source."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from model.errors import ArgumentError
from model.harness.toml_edit import Value
from model.review.pattern_asked import read_number
from model.tables import SourceKind
from model.units import parse_size
from model.words import clean

FILE = ("the harness file", SourceKind.JUDGEMENT)
PRACTICE = ("common practice", SourceKind.COMMON_PRACTICE)
JUDGEMENT = ("a judgement", SourceKind.JUDGEMENT)
LETTERS = ("letters usual in wiring diagrams, most after IEC 81346-2", SourceKind.FROM_MEMORY)
SIZE_BASIS = (
    "resistance by IEC 60228 class 5, amperes by a catalogue of JIS C 3406 AV, drop and least size by ISO 10133",
    SourceKind.FROM_MEMORY,
)


@dataclass(frozen=True, slots=True)
class Proposal:
    """Something that the program proposes, and why.

    Attributes
    ----------
    key
        By which another value can be given in its place.
    what
        What it is of, in words.
    is_given
        True where somebody gave another value.
    """

    key: str
    what: str
    value: Value
    why: str
    source: str
    source_kind: SourceKind
    is_given: bool = False


@dataclass(frozen=True, slots=True)
class Reason:
    """Why something is proposed: in words, with its source."""

    why: str
    basis: tuple[str, SourceKind]


@dataclass(frozen=True, slots=True)
class Tuning:
    """What an earlier try of the same circuit has shown.

    Attributes
    ----------
    drop_volts
        That may fall along the new wires themselves; None in the first try.
    settings
        Isolators that have to be moved for it.
    """

    drop_volts: float | None = None
    settings: Mapping[str, str] = field(default_factory=dict)


def read_size(key: str, typed: str) -> float | str:
    """Read a size of wire that somebody gives in place of a proposal: mm², or ``AWG 16``.

    Raises
    ------
    ArgumentError
        Where it is none.
    """
    awg = re.fullmatch(r"(?i)awg\s*([0-9/]+)", typed)
    size: float | str = f"AWG {awg[1]}" if awg else read_number(key, typed)
    try:
        parse_size(size)
    except ValueError as error:
        raise ArgumentError(f"{clean(str(error))}.", do="Type mm² such as 1.5, or AWG 16.") from error
    return size


def value_plain(value: Value) -> Value:
    """Give a whole number as one, so that a row reads ``amps = 15``."""
    return int(value) if isinstance(value, float) and value.is_integer() else value


def value_shown(value: Value) -> str:
    """Say a value: whole numbers without a point."""
    return f"{value:g}" if isinstance(value, float) else str(value)
