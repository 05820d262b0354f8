"""A trace made into entries of its record, and out of them again."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from model.circuit.condition import Condition
from model.errors import RecordError
from model.record import Record, read_record
from model.record_entries import Amended, AnyEntry, Found, Mended, Reading, TraceStart, Undone
from model.record_text import block_text, read_contents
from model.tracing.asking import (
    Also,
    Answered,
    Change,
    Finding,
    NoHelper,
    Question,
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
from model.tracing.learned import learned_from
from model.tracing.left_traces import open_traces
from model.tracing.recorded import (
    Occasion,
    Shown,
    entry_of,
    fresh_name,
    picked_up_entry,
    trace_name,
    undone_entry,
    verdict_of,
)
from model.tracing.replayed import Recorded, check_of, complaint_of, outcome_of, replay_of, replies_of
from model.tracing.suspects import Suspect

NOW = datetime(2026, 5, 4, 18, 3, 11, tzinfo=UTC)
AT = Condition("ignition", (("S2", "head"), ("X7", "apart")), (), 12.52)
FUSE = Check(CheckKind.VOLTS, AT, red="F1.out", black="G1.-")
GROUND = Check(CheckKind.DROP, AT, red="GND1", black="G1.-")
RELAY = Check(CheckKind.LISTEN, AT, part="K1")
WIRE = Check(CheckKind.OHMS, Condition("off"), red="F1.out", black="S1.1")
AMPS = Check(CheckKind.AMPS, AT, part="F1")
COMPLAINT = Complaint(
    loads=("E1:dip", "A2:75"),
    symptom=Symptom.COMES_AND_GOES,
    age=LoomAge.NEW,
    condition=AT,
    posts_volts=12.4,
    works=("E4:load",),
    dead=("E5:load",),
    fuse="F2",
    other_load="P1:load",
    has_helper=False,
    weak=("E6:load", "E7:load"),
)
FINDING = Finding(
    (Suspect("W9", "touches", "BB2", 0.97), Suspect("X1.4", "open", "", 0.02)), 0.99, 4, 7.1, repair="lay a new wire"
)


def _asking(check: Check, low: float | None = None, high: float | None = None) -> Question:
    return Question(1, 1, 1, check, high, low, high, "pulls", "why", 1.0, (), (), (), 12.5, posts_read=True)


def _answered(*checks: Check) -> tuple[Answered, ...]:
    return tuple(Answered(check, measured(1.0), 1, 1.0) for check in checks)


def _entries(steps: Sequence[tuple[Complaint | Reply | Finding, Shown]]) -> list[AnyEntry]:
    """Make entries one minute apart, numbered as a record does."""
    trace = trace_name(NOW, COMPLAINT.loads)
    made: list[AnyEntry] = []
    for number, (what, shown) in enumerate(steps, 1):
        occasion = Occasion(NOW + timedelta(minutes=number), trace, "Änne", "yellow", 20.0, 3)
        made.append(entry_of(what, occasion, shown).model_copy(update={"number": number}))
    return made


def _written(entry: AnyEntry) -> AnyEntry:
    (back,) = read_contents(block_text(entry).encode()).entries
    return back


@pytest.mark.parametrize("complaint", [COMPLAINT, Complaint(("G1",)), replace(COMPLAINT, condition=Condition("off"))])
def test_a_complaint_comes_back(complaint: Complaint) -> None:
    """A complaint written and read is the same complaint, with its condition or without one."""
    entry = _written(entry_of(complaint, Occasion(NOW)))
    assert isinstance(entry, TraceStart)
    assert complaint_of(entry) == complaint
    assert entry.trace == trace_name(NOW, complaint.loads)


VOLTS = st.floats(-60, 60).map(lambda volts: float(f"{volts:.4g}"))
OUTCOMES = st.one_of(
    st.sampled_from([(kind, seen(word)) for kind, words in WORDS_OF.items() for word in words]),
    st.tuples(st.sampled_from([CheckKind.VOLTS, CheckKind.DROP, CheckKind.AMPS]), st.builds(measured, VOLTS, VOLTS)),
    st.tuples(st.just(CheckKind.OHMS), st.builds(measured, VOLTS | st.just(math.inf))),
    st.tuples(st.just(CheckKind.AMPS), VOLTS.map(lambda volts: measured(volts / 1000, across_fuse=True))),
    st.tuples(st.just(CheckKind.AMPS), st.floats(-1, 1).map(lambda volts: measured(volts, across_fuse=True))),
)


DOUBTED = OUTCOMES.filter(lambda one: one[1].word is None).map(lambda one: (one[0], replace(one[1], in_doubt=True)))


@given(OUTCOMES | DOUBTED)
@example((CheckKind.AMPS, measured(11.81 / 1000, across_fuse=True)))
def test_every_outcome_comes_back(answer: tuple[CheckKind, Outcome]) -> None:
    """A reading written and read is the same check with the same outcome, to the last digit; open is infinite."""
    kind, outcome = answer
    check = replace(FUSE, kind=kind, part="F1", watts=55.0, fuse_amps=7.5, load="E1:dip", other="K2")
    entry = _written(entry_of(Also(check, outcome), Occasion(NOW, "t")))
    assert isinstance(entry, Reading)
    assert check_of(entry) == check
    assert outcome_of(entry) == outcome


def test_a_number_in_doubt_is_neither_good_nor_bad() -> None:
    """It is written with its doubt, and a trace begun later learns no bad reading from it; one that is sure is bad."""
    for in_doubt, verdict in ((True, ""), (False, "bad")):
        outcome = replace(measured(3.0), in_doubt=in_doubt)
        entry = entry_of(Read(outcome), Occasion(NOW, "t"), Shown(_asking(FUSE, 11.9, 12.6)))
        assert isinstance(entry, Reading)
        assert entry.verdict == verdict
        assert ("\nin_doubt = true\n" in block_text(entry)) is in_doubt
        assert learned_from([entry]).bad_readings == (frozenset() if in_doubt else {"F1.out"})


def test_millivolts_are_written_as_they_were_read() -> None:
    """What a person read as 0.3 mV stands in the file as 0.3."""
    entry = entry_of(Also(AMPS, measured(0.3 / 1000, across_fuse=True)), Occasion(NOW, "t"))
    assert "\nmillivolts = 0.3\n" in block_text(entry)


def test_every_reply_comes_back_in_order(tmp_path: Path) -> None:
    """The replies of a trace, kept in a record and read from it, are the same in the same order."""
    steps: list[tuple[Complaint | Reply | Finding, Shown]] = [
        (COMPLAINT, Shown()),
        (Read(measured(12.31)), Shown(_asking(FUSE, 11.9, 12.6))),
        (Also(GROUND, measured(0.01, 0.2)), Shown(_asking(RELAY))),
        (Skip(), Shown(_asking(RELAY))),
        (Unsure(), Shown(_asking(WIRE))),
        (NoHelper(), Shown(_asking(WIRE))),
        (Take(RELAY), Shown(_asking(WIRE))),
        (Read(seen(Word.BUZZES)), Shown(_asking(RELAY))),
        (Reached("K1"), Shown(_asking(WIRE))),
        (Read(measured(math.inf)), Shown(_asking(WIRE, 0.0, 0.5))),
        (Change(1, measured(0.02)), Shown(_asking(AMPS), _answered(FUSE, GROUND, RELAY, WIRE))),
        (Strike(0), Shown(_asking(AMPS), _answered(FUSE, GROUND, RELAY, WIRE))),
        (Read(measured(0.0004, across_fuse=True)), Shown(_asking(AMPS, 0.1, 0.2))),
        (FINDING, Shown()),
        (Repaired(cured=False), Shown(finding=FINDING)),
        (Read(measured(0.0)), Shown(_asking(FUSE, 11.9, 12.6))),
        (Strike(0), Shown(_asking(AMPS), _answered(FUSE))),
        (Stop(), Shown(_asking(AMPS))),
    ]
    with Record.open(tmp_path / "x.toml", NOW) as record:
        for entry in _entries(steps):
            record.append(entry)
    replay = replay_of(read_record(tmp_path / "x.toml").entries)
    assert [one.reply for one in replay.recorded] == [what for what, _ in steps if what not in (COMPLAINT, FINDING)]
    assert replay.left_out == ()
    assert replay.recorded[0].check == FUSE


def test_an_undone_reply_is_not_replayed() -> None:
    """What was taken back, one reply after another and of whatever kind, is not among the replies."""
    entries = _entries(
        [(COMPLAINT, Shown()), (Read(measured(12.0)), Shown(_asking(FUSE))), (Skip(), Shown(_asking(AMPS)))]
    )
    occasion = Occasion(NOW, entries[0].trace)
    entries.append(undone_entry(occasion, entries).model_copy(update={"number": 4}))
    assert replies_of(entries) == [Read(measured(12.0))]
    entries.append(undone_entry(occasion, entries).model_copy(update={"number": 5}))
    assert replies_of(entries) == []
    with pytest.raises(ValueError, match="no reply"):
        undone_entry(occasion, entries)
    entries.append(_entries([(COMPLAINT, Shown())] * 5 + [(Unsure(), Shown(_asking(FUSE)))])[-1])
    assert replies_of(entries) == [Unsure()]


def test_the_undoing_of_a_lost_reply_undoes_no_other() -> None:
    """Where the entry that was taken back is lost, the one before it stays."""
    entries = _entries([(COMPLAINT, Shown()), (Read(measured(12.0)), Shown(_asking(FUSE)))])
    entries.append(Undone(when=NOW, trace=entries[0].trace, number=4, undone=3))
    replay = replay_of(entries)
    assert [one.reply for one in replay.recorded] == [Read(measured(12.0))]
    assert replay.left_out == ("Entry 3 is missing.",)


def test_an_amendment_among_the_entries_of_a_trace_is_no_reply() -> None:
    """A repair put into the file while a trace is open leaves its answers as they are."""
    entries = _entries([(COMPLAINT, Shown()), (Read(measured(12.0)), Shown(_asking(FUSE)))])
    entries.append(Amended(when=NOW, trace=entries[0].trace, number=3, revision=4, change="spliced", before=3))
    replay = replay_of(entries)
    assert [one.reply for one in replay.recorded] == [Read(measured(12.0))]
    assert replay.left_out == ()


def test_lost_entries_are_told_and_strikes_find_their_answer() -> None:
    """With an answer lost, a later strike takes the answer it meant; one whose answer is lost is left out and told."""
    stood = _answered(FUSE, GROUND, WIRE)
    entries = _entries(
        [
            (COMPLAINT, Shown()),
            (Read(measured(12.0)), Shown(_asking(FUSE))),
            (Read(measured(0.1)), Shown(_asking(GROUND))),
            (Read(measured(1.0)), Shown(_asking(WIRE))),
            (Change(2, measured(2.0)), Shown(_asking(AMPS), stood)),
            (Strike(0), Shown(_asking(AMPS), stood)),
            (Strike(0), Shown(_asking(AMPS), stood[1:])),
        ]
    )
    del entries[1]
    replay = replay_of(entries)
    assert [one.reply for one in replay.recorded] == [
        Read(measured(0.1)),
        Read(measured(1.0)),
        Change(1, measured(2.0)),
        Strike(0),
    ]
    assert replay.left_out[0] == "Entry 2 is missing."
    assert len(replay.left_out) == 2


def test_an_entry_written_twice_counts_once() -> None:
    """An entry that stands twice, as after a disk that failed to confirm it, is one reply."""
    entries = _entries([(COMPLAINT, Shown()), (Skip(), Shown(_asking(FUSE))), (Skip(), Shown(_asking(AMPS)))])
    assert replies_of([entries[0], entries[1], entries[1], entries[2]]) == [Skip(), Skip()]


@pytest.mark.parametrize(
    "change",
    [
        {"check": "stare"},
        {"check": "look"},
        {"check": "ohms"},
        {"volts": None, "word": "lit"},
        {"volts": None, "amps": 1.0},
    ],
)
def test_a_reading_that_makes_no_sense_is_left_out(change: dict[str, object]) -> None:
    """A reading changed by hand into one that there is not is told, and the others are replayed."""
    entries = _entries([(COMPLAINT, Shown()), (Read(measured(12.0)), Shown(_asking(FUSE))), (Stop(), Shown())])
    entries[1] = entries[1].model_copy(update=change)
    replay = replay_of(entries)
    assert [one.reply for one in replay.recorded] == [Stop()]
    assert len(replay.left_out) == 1


def test_a_trace_that_asks_otherwise_now_gets_the_answer_to_what_was_asked() -> None:
    """A recorded answer counts for its own check though another is asked."""
    answer = Recorded(Read(measured(12.0)), FUSE)
    assert answer.replies(FUSE) == (Read(measured(12.0)),)
    assert answer.replies(AMPS) == (Also(FUSE, measured(12.0)),)
    assert Recorded(Skip(), FUSE).replies(AMPS) == (Take(FUSE), Skip())
    assert Recorded(Skip(), FUSE).replies(FUSE) == (Skip(),)
    assert Recorded(Strike(0)).replies(AMPS) == (Strike(0),)


def test_a_complaint_of_an_unknown_symptom_is_refused() -> None:
    """A symptom that there is not gives a plain error."""
    entry = entry_of(COMPLAINT, Occasion(NOW))
    assert isinstance(entry, TraceStart)
    with pytest.raises(RecordError, match="sulks"):
        complaint_of(entry.model_copy(update={"symptom": "sulks"}))


@pytest.mark.parametrize(
    ("outcome", "low", "high", "verdict"),
    [
        (measured(12.0), 11.9, 12.6, "good"),
        (measured(11.8), 11.9, 12.6, "bad"),
        (measured(11.0, 12.0), 11.9, 12.6, "bad"),
        (measured(12.0, 13.0), 11.9, 12.6, "bad"),
        (measured(12.0), None, None, ""),
        (measured(0.0004, across_fuse=True), 4.0, 5.0, ""),
        (measured(math.inf), 0.0, 0.5, "bad"),
    ],
)
def test_a_number_is_judged_by_its_band(outcome: Outcome, low: float | None, high: float | None, verdict: str) -> None:
    """A reading is good with all of its swing in the band; without a band nothing is said."""
    check = AMPS if outcome.across_fuse else WIRE
    assert verdict_of(check.kind, outcome, low, high) == verdict
    entry = entry_of(Read(outcome), Occasion(NOW, "t"), Shown(_asking(check, low, high)))
    assert isinstance(entry, Reading)
    assert entry.verdict == verdict


def test_a_repair_tells_what_was_repaired() -> None:
    """The entry of a repair names the first suspect and what was to be done; the finding keeps its whole group."""
    repair = _written(entry_of(Repaired(cured=True), Occasion(NOW, "t"), Shown(finding=FINDING)))
    assert isinstance(repair, Mended)
    assert (repair.part, repair.fault, repair.partner, repair.repair) == ("W9", "touches", "BB2", "lay a new wire")
    found = _written(entry_of(FINDING, Occasion(NOW, "t")))
    assert isinstance(found, Found)
    assert [(one.part, one.partner, one.probability) for one in found.group] == [
        ("W9", "BB2", 0.97),
        ("X1.4", "", 0.02),
    ]


START = (COMPLAINT, Shown())
READ = (Read(measured(12.0)), Shown(_asking(FUSE)))
ENDED: dict[str, list[tuple[Complaint | Reply | Finding, Shown]]] = {
    "stopped": [START, READ, (Stop(), Shown())],
    "no finding": [START, (replace(FINDING, group=(), stopped="nothing tells"), Shown())],
    "cured": [START, READ, (FINDING, Shown()), (Repaired(cured=True), Shown(finding=FINDING))],
}
LEFT: dict[str, list[tuple[Complaint | Reply | Finding, Shown]]] = {
    "begun": [START],
    "asking": [START, READ],
    "found": [START, READ, (FINDING, Shown())],
    "not cured": [START, READ, (FINDING, Shown()), (Repaired(cured=False), Shown(finding=FINDING))],
    "stopped and gone on with": [START, (Stop(), Shown()), READ],
}


@pytest.mark.parametrize("steps", ENDED.values(), ids=ENDED)
def test_a_trace_that_ended_is_not_offered(steps: list[tuple[Complaint | Reply | Finding, Shown]]) -> None:
    """A trace that was stopped, gave up or was cured is not to be picked up."""
    assert open_traces(_entries(steps)) == ()


@pytest.mark.parametrize("steps", LEFT.values(), ids=LEFT)
def test_a_trace_that_was_left_is_offered(steps: list[tuple[Complaint | Reply | Finding, Shown]]) -> None:
    """A trace that has not ended is given with its complaint, its replies and where it stands."""
    entries = _entries(steps)
    (left,) = open_traces([*entries, entry_of(READ[0], Occasion(NOW), READ[1])])
    assert left.complaint == COMPLAINT
    assert left.entries == tuple(entries)
    assert (left.started, left.left) == (entries[0].when, entries[-1].when)
    assert left.readings == sum(isinstance(what, Read) for what, _ in steps)
    assert (left.finding is not None) == (steps[-1][0] is FINDING)
    assert left.revision == 3


def test_traces_are_offered_the_newest_first() -> None:
    """Of several traces the one last in the record comes first, whatever clocks said; picking up reopens."""
    starts = [entry_of(Complaint((load,)), Occasion(NOW + timedelta(days=day))) for load, day in (("E1", 1), ("E2", 9))]
    starts.append(entry_of(Complaint(("E3",)), Occasion(NOW)))
    starts.append(entry_of(Stop(), Occasion(NOW, starts[0].trace)))
    assert [left.complaint.loads[0] for left in open_traces(starts)] == ["E3", "E2"]
    starts.append(picked_up_entry(Occasion(NOW, starts[0].trace)))
    assert [left.complaint.loads[0] for left in open_traces(starts)] == ["E3", "E2", "E1"]


def test_a_clock_set_back_gives_no_name_twice() -> None:
    """A second trace of the same load in the same second by the clock has a name of its own."""
    name = trace_name(NOW, ["E1:load"])
    assert fresh_name(NOW, ["E1:load"], set()) == name
    assert fresh_name(NOW, ["E1:load"], {name}) == f"{name} 2"
    assert fresh_name(NOW, ["E1:load"], {name, f"{name} 2", "other"}) == f"{name} 3"
