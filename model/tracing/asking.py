"""What a trace asks, what can be replied, and how it ends."""

from __future__ import annotations

from dataclasses import dataclass, field

from model.tracing.checks import Check, Outcome
from model.tracing.suspects import Suspect


@dataclass(frozen=True, slots=True)
class Outlook:
    """What one outcome of a check would leave.

    Attributes
    ----------
    words
        The outcome in words: ``near 12.3 V``, ``dark``.
    likely
        How likely it is, 0 to 1.
    left
        How many of the suspects in play it leaves there.
    outcome
        The outcome itself; of a number the middle of what is likely.
    """

    words: str
    likely: float
    left: int
    outcome: Outcome


@dataclass(frozen=True, slots=True)
class Question:
    """One check that is asked for.

    Attributes
    ----------
    step
        Counted from 1; the readings of one relay socket are one step.
    reading, of
        Which of the readings of the step it is.
    healthy, low, high
        What the sound circuit would show, and the band of a good reading, in the unit of the check; None of a check
        that is answered with a word, or where nothing holds the point.
    healthy_words
        What the sound circuit would show of a check answered with a word; with a lamp in place of a fuse both numbers.
    why
        The reason in one sentence.
    minutes
        What it costs from here.
    cautions
        Full sentences, the gravest first.
    posts_volts
        The posts as read in its key state, or as computed.
    posts_read
        True where they were read.
    outlooks
        What it may answer, the likeliest first.
    off_way
        Of a check beside the load's own way, what on that way it tells about, as it stands at the end of the reason.
    moving
        What is moved while it is answered, of a complaint that comes and goes; empty where nothing is.
    """

    step: int
    reading: int
    of: int
    check: Check
    healthy: float | None
    low: float | None
    high: float | None
    healthy_words: str
    why: str
    minutes: float
    cautions: tuple[str, ...]
    suspects: tuple[Suspect, ...]
    outlooks: tuple[Outlook, ...]
    posts_volts: float
    posts_read: bool
    off_way: str = ""
    moving: str = ""


@dataclass(frozen=True, slots=True)
class Offered:
    """Another check that could be made now.

    Attributes
    ----------
    gain_bits
        How much it tells about repairs, in bits.
    """

    check: Check
    gain_bits: float
    minutes: float


@dataclass(frozen=True, slots=True)
class Read:
    """The check that is asked was answered."""

    outcome: Outcome


@dataclass(frozen=True, slots=True)
class Also:
    """A reading that was not asked for; with `taking` the check is asked next in place of the one asked now."""

    check: Check
    outcome: Outcome


@dataclass(frozen=True, slots=True)
class Take:
    """Another check is to be asked instead of the one asked now."""

    check: Check


@dataclass(frozen=True, slots=True)
class Skip:
    """The check cannot be made: its point cannot be reached; it is not asked again."""


@dataclass(frozen=True, slots=True)
class Unsure:
    """The check was made and told nothing."""


@dataclass(frozen=True, slots=True)
class NoHelper:
    """Nobody can hold the switch: no check that needs it is asked any more."""


@dataclass(frozen=True, slots=True)
class Reached:
    """A part that could not be reached can be reached after all."""

    part: str


@dataclass(frozen=True, slots=True)
class Strike:
    """An answer is struck out; `place` counts the answers from 0."""

    place: int


@dataclass(frozen=True, slots=True)
class Change:
    """An answer is changed; `place` counts the answers from 0."""

    place: int
    outcome: Outcome


@dataclass(frozen=True, slots=True)
class Repaired:
    """The repair was made and the complaint looked at again.

    Attributes
    ----------
    cured
        False where it is still there: the trace goes on with that part taken as good.
    """

    cured: bool


@dataclass(frozen=True, slots=True)
class Stop:
    """The trace is ended by the person."""


Reply = Read | Also | Take | Skip | Unsure | NoHelper | Reached | Strike | Change | Repaired | Stop


@dataclass(frozen=True, slots=True)
class Answered:
    """An answer that the trace holds.

    Attributes
    ----------
    surprising
        True where no suspect in play foresaw it.
    surprise_words
        What is odd about it, in a sentence; empty where nothing is.
    """

    check: Check
    outcome: Outcome
    step: int
    minutes: float
    surprising: bool = False
    surprise_words: str = ""


@dataclass(frozen=True, slots=True)
class Finding:
    """How a trace ended.

    Attributes
    ----------
    group
        The suspects that no check in reach tells apart or that the same work mends, the likeliest first; empty where
        the trace could not end with a group.
    group_probability
        Their share together.
    stopped
        Why it ended without a finding, or why before a finding; empty where it ended with one.
    sentence
        The finding in one sentence: part, place, fault.
    because
        The answers that say so, in words.
    repair
        What to do, in sentences.
    leads
        What of these sentences asks to prove the leads first; empty where some reading speaks for them.
    cautions
        What stands before the repair.
    prove
        The check that proves the repair; None without a finding.
    prove_low, prove_high
        The band in which its reading must lie; None of a check that is answered with a word.
    """

    group: tuple[Suspect, ...]
    group_probability: float
    steps: int
    minutes: float
    stopped: str = ""
    sentence: str = ""
    because: tuple[str, ...] = ()
    repair: str = ""
    leads: str = ""
    cautions: tuple[str, ...] = ()
    prove: Check | None = None
    prove_low: float | None = None
    prove_high: float | None = None
    others: tuple[Suspect, ...] = field(default=())
