"""A trace out of its record: entries made into the complaint and the replies again."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from model.circuit.condition import Condition
from model.errors import RecordError
from model.record_entries import (
    Alone,
    Amended,
    Answer,
    AnyEntry,
    Changed,
    Checked,
    Found,
    Measured,
    Mended,
    PickedUp,
    ReachedAfterAll,
    Reading,
    Skipped,
    Stopped,
    Struck,
    Taken,
    TakenBack,
    TraceStart,
    Unclear,
    Undone,
)
from model.tracing.asking import (
    Also,
    Change,
    NoHelper,
    Reached,
    Read,
    Repaired,
    Reply,
    Skip,
    Stop,
    Strike,
    Take,
    Unsure,
)
from model.tracing.checks import WORDS_OF, Check, CheckKind, Outcome, Word, measured, seen
from model.tracing.complaint import Complaint, LoomAge, Symptom
from model.tracing.recorded import without_undone

_LEFT_OUT = "It is left out: a later program wrote it, or a hand changed it."


@dataclass(frozen=True, slots=True)
class Recorded:
    """A reply out of a record, with the check that it was given to."""

    reply: Reply
    check: Check | None = None

    def replies(self, asked: Check | None) -> tuple[Reply, ...]:
        """Give what to reply to a trace that now asks for a check: the same, or so that it counts for its own check.

        A later program, or a harness that was changed, may ask for another check than was asked when it was recorded.
        """
        if self.check is None or self.check == asked:
            return (self.reply,)
        match self.reply:
            case Read(outcome=outcome):
                return (Also(self.check, outcome),)
            case Skip() | Unsure():
                return (Take(self.check), self.reply)
        return (self.reply,)


@dataclass(frozen=True, slots=True)
class Replay:
    """The replies of one trace in their order.

    Attributes
    ----------
    left_out
        What of the record could not be used, in sentences.
    """

    recorded: tuple[Recorded, ...]
    left_out: tuple[str, ...]


def complaint_of(entry: TraceStart) -> Complaint:
    """Give the complaint with which a trace was started.

    Raises
    ------
    RecordError
        Where it names a symptom or an age of the loom that there is not.
    """
    condition = None
    if entry.key is not None:
        condition = Condition(entry.key, tuple(entry.settings.items()), (), entry.condition_posts_volts)
    try:
        symptom, age = Symptom(entry.symptom), LoomAge(entry.age)
    except ValueError as error:
        raise RecordError(
            f"the complaint of {entry.when:%Y-%m-%d %H:%M} cannot be read: {error}.", do=_LEFT_OUT
        ) from None
    return Complaint(
        loads=entry.loads,
        symptom=symptom,
        age=age,
        condition=condition,
        posts_volts=entry.posts_volts,
        works=entry.works,
        dead=entry.dead,
        fuse=entry.fuse,
        other_load=entry.other_load,
        has_helper=entry.helper,
        weak=entry.weak,
    )


def check_of(entry: Checked) -> Check:
    """Give the check of an entry.

    Raises
    ------
    RecordError
        Where it names a kind of check that there is not.
    """
    try:
        kind = CheckKind(entry.check)
    except ValueError:
        raise RecordError(f"there is no check “{entry.check}”.", do=_LEFT_OUT) from None
    return Check(
        kind=kind,
        condition=Condition(entry.key, tuple(entry.settings.items()), (), entry.posts_volts),
        red=entry.red,
        black=entry.black,
        part=entry.part,
        load=entry.load,
        other=entry.other,
        watts=entry.watts,
        fuse_amps=entry.fuse_amps,
    )


def outcome_of(entry: Answer) -> Outcome:
    """Give what came of the check of an entry.

    Raises
    ------
    RecordError
        Where its check cannot be answered so.
    """
    kind = check_of(entry).kind
    if entry.word:
        if entry.word not in WORDS_OF.get(kind, ()):
            raise RecordError(f"“{entry.word}” is no answer to a check of {kind}.", do=_LEFT_OUT)
        return seen(Word(entry.word))
    given = {"volts": entry.volts, "ohms": entry.ohms, "amps": entry.amps, "millivolts": entry.millivolts}
    unit = next(name for name, value in given.items() if value is not None)
    if unit not in _UNITS_OF.get(kind, ()):
        raise RecordError(f"{unit} are no answer to a check of {kind}.", do=_LEFT_OUT)
    least, most = entry.span
    if unit == "millivolts":
        least, most = least / 1000, most / 1000
    outcome = measured(least, most, across_fuse=kind is CheckKind.AMPS and unit != "amps")
    return replace(outcome, in_doubt=entry.in_doubt)


_UNITS_OF = {
    CheckKind.VOLTS: ("volts",),
    CheckKind.DROP: ("volts",),
    CheckKind.OHMS: ("ohms",),
    CheckKind.AMPS: ("amps", "millivolts", "volts"),
}


def replies_of(entries: Iterable[AnyEntry]) -> list[Reply]:
    """Give the replies of one trace; given again in this order they lead to the same questions."""
    return [one.reply for one in replay_of(entries).recorded]


@dataclass
class _Standing:
    """The answers that stand, as far as they are read, and what could not be used."""

    answers: list[Check] = field(default_factory=list)
    left_out: list[str] = field(default_factory=list)


def replay_of(entries: Iterable[AnyEntry]) -> Replay:
    """Give the replies of one trace with their checks, and what could not be used.

    Where entries were lost, answers that were struck or changed are found by their check; whatever cannot be found
    is left out. Nothing in the entries makes this raise.
    """
    own = list(entries)
    once = own[:1] + [entry for before, entry in pairwise(own) if entry != before or not entry.number]
    standing = _Standing(left_out=_missing(once))
    recorded: list[Recorded] = []
    for entry in without_undone(once):
        try:
            one = _recorded(standing, entry)
        except RecordError as error:
            standing.left_out.append(f"Entry {entry.number} of {entry.when:%Y-%m-%d %H:%M}: {error}")
            continue
        if one is not None:
            recorded.append(one)
    return Replay(tuple(recorded), tuple(standing.left_out))


def _missing(entries: Sequence[AnyEntry]) -> list[str]:
    """Tell of entries that are missing by their numbers."""
    told: list[str] = []
    highest = 0
    for entry in entries:
        first, last = highest + 1, entry.number - 1
        if first <= last:
            told.append(f"Entry {first} is missing." if first == last else f"Entries {first} to {last} are missing.")
        highest = max(highest, entry.number)
    return told


def _recorded(standing: _Standing, entry: AnyEntry) -> Recorded | None:
    """Give the reply of an entry, and keep count of the answers; None of what is no reply."""
    match entry:
        case Reading():
            check, outcome = check_of(entry), outcome_of(entry)
            standing.answers.append(check)
            return Recorded(Also(check, outcome)) if entry.unasked else Recorded(Read(outcome), check)
        case Struck():
            place = _place_of(standing, entry, entry.place)
            del standing.answers[place]
            return Recorded(Strike(place))
        case Changed():
            return Recorded(Change(_place_of(standing, entry, entry.place), outcome_of(entry)))
        case Mended():
            if not entry.cured:
                standing.answers.clear()
            return Recorded(Repaired(entry.cured))
        case TraceStart() | PickedUp() | Found() | Undone() | Measured() | TakenBack() | Amended():
            return None
    return _without_answer(entry)


def _without_answer(entry: Taken | Skipped | Unclear | Alone | ReachedAfterAll | Stopped) -> Recorded:
    match entry:
        case Taken():
            return Recorded(Take(check_of(entry)))
        case Skipped():
            return Recorded(Skip(), check_of(entry))
        case Unclear():
            return Recorded(Unsure(), check_of(entry))
        case Alone():
            return Recorded(NoHelper())
        case ReachedAfterAll():
            return Recorded(Reached(entry.part))
        case Stopped():
            return Recorded(Stop())


def _place_of(standing: _Standing, entry: Checked, place: int) -> int:
    """Give the place of an answer among those that were read back."""
    check = check_of(entry)
    if place < len(standing.answers) and standing.answers[place] == check:
        return place
    for found in range(len(standing.answers) - 1, -1, -1):
        if standing.answers[found] == check:
            return found
    raise RecordError("the answer that it struck or changed is not there.", do=_LEFT_OUT)
