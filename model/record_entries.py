"""What a record holds: one frozen entry for each thing that was measured, found or done.

Entries know no circuit and no trace: checks, faults and settings stand in them as words and numbers.
"""

from __future__ import annotations

import math
from typing import Annotated, Final, Literal

from pydantic import Field, model_validator

from model.record_fields import (
    Count,
    Entry,
    Flag,
    Named,
    Names,
    Number,
    OhmsRead,
    OpenNumber,
    Row,
    Settings,
    Swinging,
    Words,
)

GOOD: Final = "good"
BAD: Final = "bad"


class TraceStart(Entry):
    """A trace was started.

    Attributes
    ----------
    loads
        What is complained of.
    key
        Key state in which it was seen; None where the trace found its own.
    posts_volts
        Volts across the posts of the first battery.
    condition_posts_volts
        The same where they were read in just that condition.
    works, dead, weak
        Other loads that were looked at before the first check.
    """

    kind: Literal["trace"] = "trace"
    loads: Annotated[Names, Field(min_length=1)]
    symptom: Named
    age: Named
    key: Words | None = None
    settings: Settings = Field(default_factory=dict)
    posts_volts: Number | None = None
    condition_posts_volts: Number | None = None
    works: Names = ()
    dead: Names = ()
    weak: Names = ()
    fuse: Words = ""
    other_load: Words = ""
    helper: Flag = True


class PickedUp(Entry):
    """A trace that was left is gone on with."""

    kind: Literal["picked up"] = "picked up"


class Stopped(Entry):
    """A trace was ended by the person."""

    kind: Literal["stopped"] = "stopped"


class Checked(Entry):
    """An entry about one check.

    Attributes
    ----------
    check
        What the person does: ``volts``, ``look``, ``ohms`` …
    key, settings
        The condition; what is not set is at rest.
    posts_volts
        Volts across the posts of the first battery in this condition, where they were read.
    """

    check: Words = ""
    red: Words = ""
    black: Words = ""
    part: Words = ""
    load: Words = ""
    other: Words = ""
    watts: Number = 0.0
    fuse_amps: Number = 0.0
    key: Words = ""
    settings: Settings = Field(default_factory=dict)
    posts_volts: Number | None = None


class Answer(Checked):
    """A check with what came of it: exactly one of five.

    Attributes
    ----------
    volts, amps, millivolts
        The number, or least and most where it swung.
    ohms
        Likewise; infinite where open.
    word
        What was seen, heard or felt.
    in_doubt
        True of a number that who read it did not trust; a row of a plan has none.
    """

    check: Named
    volts: Swinging | None = None
    ohms: OhmsRead | None = None
    amps: Swinging | None = None
    millivolts: Swinging | None = None
    word: Words = ""
    in_doubt: Flag = False

    @model_validator(mode="after")
    def _has_one_value(self) -> Answer:
        given = [value for value in (self.volts, self.ohms, self.amps, self.millivolts) if value is not None]
        if len(given) + bool(self.word) != 1:
            raise ValueError("exactly one of volts, ohms, amps, millivolts and word is wanted")
        return self

    @property
    def span(self) -> tuple[float, float]:
        """Least and most of what was read, in the unit given; not a number of a word."""
        for value in (self.volts, self.ohms, self.amps, self.millivolts):
            if value is not None:
                return value if isinstance(value, tuple) else (value, value)
        return math.nan, math.nan


class Reading(Answer):
    """A reading was taken.

    Attributes
    ----------
    step
        Of the trace, counted from 1.
    unasked
        True where it was given without being asked for.
    healthy, low, high
        What was to be expected, in the unit of the reading.
    healthy_words
        The same in words.
    verdict
        ``good``, ``bad``, or empty where nothing says.
    """

    kind: Literal["reading"] = "reading"
    step: Count = 0
    unasked: Flag = False
    healthy: OpenNumber | None = None
    low: OpenNumber | None = None
    high: OpenNumber | None = None
    healthy_words: Words = ""
    verdict: Literal["good", "bad", ""] = ""


class Taken(Checked):
    """Another check was chosen in place of the one asked."""

    kind: Literal["taken"] = "taken"


class Skipped(Checked):
    """A check cannot be made: its point is out of reach."""

    kind: Literal["skip"] = "skip"


class Unclear(Checked):
    """A check was made and told nothing."""

    kind: Literal["unsure"] = "unsure"


class Alone(Checked):
    """Nobody can hold the switch that a check needs."""

    kind: Literal["no helper"] = "no helper"


class ReachedAfterAll(Entry):
    """A part that could not be reached can be reached after all."""

    kind: Literal["reached"] = "reached"
    part: Named


class Struck(Checked):
    """An answer was struck out; `place` counts the answers that stand, from 0."""

    kind: Literal["struck"] = "struck"
    place: Count


class Changed(Answer):
    """An answer was changed to the value here; `place` counts the answers that stand, from 0."""

    kind: Literal["changed"] = "changed"
    place: Count


class Undone(Entry):
    """The last reply was taken back; `undone` is the number of its entry within the trace."""

    kind: Literal["undone"] = "undone"
    undone: Count


class Mended(Entry):
    """A repair was made.

    Attributes
    ----------
    cured
        False where what was complained of is still there.
    part, fault, partner
        What was repaired, as faults are spelled; `partner` stands under ``with``.
    repair
        What was done.
    """

    kind: Literal["repaired"] = "repaired"
    cured: Flag
    part: Words = ""
    fault: Words = ""
    partner: Words = Field(default="", alias="with")
    repair: Words = ""


class Suspected(Row):
    """One suspect of a finding, with its share of 0 to 1."""

    part: Words
    fault: Words
    partner: Words = Field(default="", alias="with")
    probability: Number


class Found(Entry):
    """A trace came to its end, with a group of suspects or without one; `stopped` says why."""

    kind: Literal["finding"] = "finding"
    group: tuple[Suspected, ...] = ()
    group_probability: Number = 0.0
    steps: Count = 0
    minutes: Number = 0.0
    stopped: Words = ""
    sentence: Words = ""
    because: tuple[Words, ...] = ()
    repair: Words = ""
    cautions: tuple[Words, ...] = ()


class Measured(Answer):
    """A row of a plan was answered; the last entry of a row counts.

    Attributes
    ----------
    plan, row
        The plan, and the key of its row.
    state
        Of a continuity plan the state that the loom was in.
    word
        ``good``, ``bad`` or ``skipped`` where nothing was measured.
    at_amps
        Of millivolts the amperes that flowed.
    others
        Points that the red probe was put on one after another.
    expect, low, high
        What a sound loom shows and between what it is good, in the unit of the reading.
    limit_source, computed_from
        Where the limit comes from.
    verdict
        ``good``, ``bad``, ``skipped`` or ``unproven``; `why` says why.
    """

    kind: Literal["measured"] = "measured"
    plan: Named
    row: Named
    state: Words = ""
    others: Names = ()
    at_amps: Number | None = None
    expect: OhmsRead | None = None
    low: OpenNumber | None = None
    high: OpenNumber | None = None
    limit_source: Words = ""
    computed_from: Words = ""
    verdict: Words = ""
    why: Words = ""


class TakenBack(Entry):
    """The answer to a row of a plan was taken back: it is open again."""

    kind: Literal["taken back"] = "taken back"
    plan: Named
    row: Named
    state: Words = ""


class Superseded(Row):
    """A wire whose work another does now."""

    old: Words
    new: Words


class Amended(Entry):
    """The loom was changed, and its file with it; `revision` is that of the new file.

    Attributes
    ----------
    change
        What kind of work it was: ``moved to a spare``, ``spliced``, …
    before
        Revision of the file before it.
    kept
        Name of the file that holds that revision, beside the harness file.
    kept_sum, file_sum
        SHA-256 of that file and of the new one, by which an undoing sees whether either was changed since; empty of an
        undoing.
    sentence, reason
        What was done, and why.
    parts
        Ids of what it touches.
    supersedes
        Wires whose work others do now.
    ends
        Where the ends of the old conductors are, each as a phrase.
    readings
        What was read afterwards, each as it was typed.
    undoes
        Of the entry of an undoing the revision that was taken back; None of every other.
    """

    kind: Literal["amended"] = "amended"
    change: Named
    before: Count
    kept: Words = ""
    kept_sum: Words = ""
    file_sum: Words = ""
    sentence: Words = ""
    reason: Words = ""
    parts: Names = ()
    supersedes: tuple[Superseded, ...] = ()
    ends: tuple[Words, ...] = ()
    readings: tuple[Words, ...] = ()
    undoes: Count | None = None


AnyEntry = (
    TraceStart
    | PickedUp
    | Stopped
    | Reading
    | Taken
    | Skipped
    | Unclear
    | Alone
    | ReachedAfterAll
    | Struck
    | Changed
    | Undone
    | Mended
    | Found
    | Measured
    | TakenBack
    | Amended
)
