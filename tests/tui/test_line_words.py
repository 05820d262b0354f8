"""The trace in sentences, with a trace that asks what the test says."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from model.circuit.bench import Bench
from model.tracing.asking import (
    Also,
    Change,
    Finding,
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
from model.tracing.checks import Check, CheckKind, Word, measured, seen
from tests.tui.line_trace import FOUND, IGNITION, OTHER, VOLTS, LineTrace, buggy, question, talk
from tui.line_also import EXAMPLES
from tui.trace_rounds import Rounds

LAMP = Check(CheckKind.LAMP, IGNITION, red="K7.30", black="G1.-", watts=3.0)
OHMS = Check(CheckKind.OHMS, IGNITION, red="K7.85", black="K7.86")
AMPS = Check(CheckKind.AMPS, IGNITION, part="F3")

OPEN = math.inf


def test_a_question_is_asked_in_sentences() -> None:
    """Cautions before what is to be done; then what a sound circuit shows."""
    _, said = talk(LineTrace(question()))
    assert said[0] == "Check 1, about 2 minutes."
    assert said[1] == "Caution: Engine off."
    assert "red on the battery's positive post" in said[2]
    assert said[2].endswith("how many volts?")
    assert said[3] == "A sound circuit shows 12.31 V. Good is 11.90 V to 12.60 V, with 12.52 V at the posts, as read."


def test_a_check_answered_with_a_word_names_the_words() -> None:
    """With the letter of each."""
    _, said = talk(LineTrace(question(LAMP)))
    assert said[3:5] == ["A sound circuit shows: lit.", "Answer lit (l), dim (i), dark (d), buzzes (z)."]


def test_a_relay_in_its_place_is_told_by_what_another_good_one_shows() -> None:
    """A sound relay is not cured by another one: it is said of which that holds."""
    swap = replace(question(Check(CheckKind.SWAP, IGNITION, part="K7", other="K2")), healthy_words="not cured")
    said = talk(LineTrace(swap))[1]
    assert any(line.startswith("Where relay K7 ") and line.endswith(": not cured.") for line in said)
    assert not any(line.startswith("A sound circuit shows") for line in said)


def test_a_word_that_is_not_known_is_told_what_there_is_besides() -> None:
    """Who cannot tell says unsure or skip; a number that cannot be read is no such case."""
    _, said = talk(LineTrace(question()), "dunno", "12.4 furlongs")
    unknown = next(line for line in said if "dunno" in line)
    assert unknown.endswith("Where you cannot tell: unsure; where it cannot be reached: skip.")
    assert not any("furlongs" in line and "unsure" in line for line in said)


def test_the_readings_of_a_socket_are_counted() -> None:
    """Which of how many."""
    assert talk(LineTrace(question(socket=(2, 4))))[1][0] == "Check 1, reading 2 of 4, about 2 minutes."


def test_a_point_that_nothing_holds_has_no_band() -> None:
    """The words of the trace stand there."""
    assert talk(LineTrace(question(band=(None, None, None))))[1][3] == "A sound circuit shows: lit."


@pytest.mark.parametrize(
    ("check", "typed", "reply", "echo"),
    [
        (VOLTS, "12,4 V", measured(12.4), "Understood: 12.4 V."),
        (VOLTS, "0.1..12.3", measured(0.1, 12.3), "Understood: 0.1 V to 12.3 V."),
        (OHMS, "OL", measured(math.inf), "Understood: open (OL)."),
        (VOLTS, "12.1 ?", replace(measured(12.1), in_doubt=True), "Understood: 12.1 V, in doubt."),
        (AMPS, "0.4mV", measured(0.0004, across_fuse=True), "Understood: 0.4 mV across the fuse."),
        (LAMP, "d", seen(Word.DARK), "Understood: dark."),
    ],
)
def test_an_answer_is_echoed_and_what_it_did_is_said(check: Check, typed: str, reply: object, echo: str) -> None:
    """Before the next question."""
    trace = LineTrace(question(check), question(step=2))
    _, said = talk(trace, typed)
    place = said.index(echo)
    assert said[place + 1 : place + 3] == ["Replies so far: 1.", "Check 2, about 2 minutes."]
    assert trace.told == [Read(reply), Stop()]  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("typed", "reply"),
    [
        ("skip", Skip()),
        ("Unsure", Unsure()),
        ("no helper", NoHelper()),
        ("NO_HELPER", NoHelper()),
        ("take 1", Take(OTHER)),
        ("reached X1", Reached("X1")),
    ],
)
def test_words_are_understood_in_place_of_a_reading(typed: str, reply: Reply) -> None:
    """Capitals or not."""
    trace = LineTrace(question(), question(step=2))
    code, _ = talk(trace, typed)
    assert trace.told == [reply, Stop()]
    assert code == 0


ALSO = [
    ("also BB1 12.4", Check(CheckKind.VOLTS, VOLTS.condition, red="BB1", black="G1.-"), measured(12.4)),
    ("also F3.in 12.4 V", Check(CheckKind.VOLTS, VOLTS.condition, red="BB1", black="G1.-"), measured(12.4)),
    ("also K7.30 K7.85 12.4 V", Check(CheckKind.VOLTS, VOLTS.condition, red="K7.30", black="K7.85"), measured(12.4)),
    ("ALSO Drop K7.30 K7.87 .3 mV", Check(CheckKind.DROP, VOLTS.condition, red="K7.30", black="K7.87"), measured(3e-4)),
    ("also ohms K7.85 K7.86 OL", Check(CheckKind.OHMS, VOLTS.condition, red="K7.85", black="K7.86"), measured(OPEN)),
    ("also amps F3 2 A", Check(CheckKind.AMPS, VOLTS.condition, part="F3"), measured(2.0)),
    ("also look F3 bad", Check(CheckKind.LOOK, VOLTS.condition, part="F3"), seen(Word.BAD)),
    ("also listen K7 no", Check(CheckKind.LISTEN, VOLTS.condition, part="K7"), seen(Word.SILENT)),
    ("also observe G1 weak", Check(CheckKind.OBSERVE, VOLTS.condition, load="G1"), seen(Word.WEAK)),
    ("also new fuse F3 holds", Check(CheckKind.NEW_FUSE, VOLTS.condition, part="F3"), seen(Word.HOLDS)),
    ("also New Fuse F3 b", Check(CheckKind.NEW_FUSE, VOLTS.condition, part="F3"), seen(Word.BLOWS)),
    ("also swap K7 K2 not cured", Check(CheckKind.SWAP, VOLTS.condition, part="K7", other="K2"), seen(Word.NOT_CURED)),
    (
        "also bridge K7.30 K7.87 15 A cured",
        Check(CheckKind.BRIDGE, VOLTS.condition, red="K7.30", black="K7.87", fuse_amps=15.0),
        seen(Word.CURED),
    ),
    (
        "also bridge K7.30 K7.87 7,5 not cured",
        Check(CheckKind.BRIDGE, VOLTS.condition, red="K7.30", black="K7.87", fuse_amps=7.5),
        seen(Word.NOT_CURED),
    ),
    (
        "also lamp k7.30 dark",
        Check(CheckKind.LAMP, VOLTS.condition, red="K7.30", black="G1.-", watts=3.0),
        seen(Word.DARK),
    ),
    (
        "also lamp K7.30 K7.85 55W lit",
        Check(CheckKind.LAMP, VOLTS.condition, red="K7.30", black="K7.85", watts=55.0),
        seen(Word.LIT),
    ),
    (
        "also lamp F3 buzzes",
        Check(
            CheckKind.LAMP, VOLTS.condition.with_setting("F3", "out"), red="BB1", black="F3.out", part="F3", watts=55.0
        ),
        seen(Word.BUZZES),
    ),
    ("also observe P1 works", Check(CheckKind.OBSERVE, VOLTS.condition, load="P1:load"), seen(Word.WORKS)),
]  # fmt: skip


@pytest.mark.parametrize(("typed", "check", "outcome"), ALSO)
def test_a_reading_that_was_not_asked_is_taken_in(typed: str, check: Check, outcome: object) -> None:
    """In the key state and with the switches of the check that is asked, against the grounded post."""
    trace = LineTrace(question())
    _, said = talk(trace, typed)
    assert trace.told == [Also(check, outcome), Stop()]  # type: ignore[arg-type]
    assert any(sentence.startswith("Understood besides: ") for sentence in said)


def test_a_fuse_that_is_out_now_is_in_for_its_amperes_and_for_a_new_one() -> None:
    """With a lamp in its place asked, an answer on the fuse itself is one with it in."""
    out = replace(VOLTS, condition=IGNITION.with_setting("F3", "out"))
    trace = LineTrace(question(out))
    talk(trace, "also new fuse F3 holds", "also amps F3 2", "also look F3 bad")
    checks = [reply.check for reply in trace.told if isinstance(reply, Also)]
    assert [check.condition.by_name for check in checks] == [{}, {}, {"F3": "out"}]


@pytest.mark.parametrize("kind", list(CheckKind))
def test_the_help_shows_how_each_kind_is_typed(kind: CheckKind) -> None:
    """And what it shows is understood as that kind."""
    trace = LineTrace(question())
    _, said = talk(trace, "?", EXAMPLES[kind])
    assert any(EXAMPLES[kind] in sentence for sentence in said)
    also = trace.told[0]
    assert isinstance(also, Also)
    assert also.check.kind is kind


def test_answers_can_be_listed_changed_and_struck() -> None:
    """By the number in the list; the last one by undo."""
    trace = LineTrace(question(), question(LAMP, step=2), question(step=3))
    _, said = talk(trace, "answers", "12.4", "dark", "answers", "change 2 lit", "strike 1", "undo", "stop")
    assert "Nothing has been answered yet." in said
    listed = [sentence for sentence in said if sentence.startswith(("1. ", "2. "))]
    assert [one.rpartition("?")[2] for one in listed] == [" 12.40 V.", " Dark."]
    assert "Answer 2 is now lit." in said
    assert "The last answer is taken back." in said
    assert trace.told == [Read(measured(12.4)), Read(seen(Word.DARK)), Change(1, seen(Word.LIT)), Stop()]
    assert Strike(0) not in trace.told


def test_why_others_help_and_again_change_nothing() -> None:
    """Suspects with shares, what each answer would leave, other checks by number, the words, the question."""
    trace = LineTrace(question())
    _, said = talk(trace, "why", "others", "?", "again")
    assert trace.told == [Stop()]
    assert "It halves the suspects." in said
    assert "Near 12.3 V, 60 %: 3 suspects left." in said
    assert any(sentence.startswith("31 %: wire W9") for sentence in said)
    assert any(sentence.startswith("1. About 2.5 minutes. ") for sentence in said)
    assert any(sentence.startswith("skip: it cannot be reached.") for sentence in said)
    assert said.count("Check 1, about 2 minutes.") == 2


WRONG = [
    ("", "Nothing was typed."),
    ("dark", "“dark” cannot be read as volts."),
    ("take", "Which of the other checks is not said."),
    ("take 2", "Type take and 1 to 1"),
    ("take x", "Which of the other checks is not said."),
    ("strike 1", "Which answer is not said. There is none yet."),
    ("change", "Which answer is not said."),
    ("reached X99", "There is no part “X99”."),
    ("also", "What was read is not said."),
    ("also look F99 bad", "There is no part “F99”."),
    ("also K7.31 12.4", "There is no point “K7.31”."),
    ("also K7.30 K7.88 12.4", "There is no point “K7.88”."),
    ("also K7.30", "Nothing was typed."),
    ("also K7.30 dark", "“dark” cannot be read as volts."),
    ("also G1.- 0", "Both probes stand on G1.-."),
    ("also observe P9 works", "There is no load “P9”."),
    ("also new fuse", "Type it as also new fuse F3 holds."),
    ("also new fuse K7 holds", "There is no fuse “K7”."),
    ("also amps K7 2", "There is no fuse “K7”."),
    ("also listen F3 pulls", "There is no relay “F3”."),
    ("also swap K7 cured", "There is no relay “cured”."),
    ("also swap K7", "Only one of two is named."),
    ("also bridge K7.30 K7.87 cured", "The fuse in the jumper lead is not said."),
    ("also bridge K7.30 K7.30 15 cured", "Both ends stand on K7.30."),
    ("also lamp K7.30 12.4", "Nothing was typed."),
    ("\udcff\udcfe", "That line is not UTF-8."),
    ("1" * 70000, "longer than 65536 bytes"),
]


@pytest.mark.parametrize("case", range(len(WRONG)))
def test_what_is_not_understood_is_said_and_nothing_is_lost(case: int) -> None:
    """The answer behind it is taken in."""
    typed, words = WRONG[case]
    trace = LineTrace(question(), question(step=2))
    _, said = talk(trace, typed, "12.4")
    assert any(words in sentence for sentence in said)
    assert trace.told == [Read(measured(12.4)), Stop()]


def test_swapped_leads_are_asked_for_once() -> None:
    """Yes turns the sign, no leaves the reading as it is."""
    for answer, volts in (("yes", 12.4), ("n", -12.4)):
        for typed, outcome in (("-12.4", measured(volts)), ("-12.4?", replace(measured(volts), in_doubt=True))):
            trace = LineTrace(question())
            trace.swapped = True
            _, said = talk(trace, typed, answer)
            assert any("Are the leads swapped?" in sentence for sentence in said)
            assert trace.told[0] == Read(outcome)


def test_the_finding_stands_with_its_cautions_before_the_repair() -> None:
    """Then it is asked whether the repair cured it."""
    code, said = talk(LineTrace(), "yes")
    assert code == 0
    assert said[:2] == ["Found, 97 % sure, with 2 checks, about 7 minutes of work.", "W9 is open."]
    assert said.index("Caution: Battery off first.") < said.index("Repair: Cut W9 out.")
    assert said[-3:] == [
        "Good is 11.90 V to 12.60 V.",
        "When the repair is made: is it cured? Type yes or no; stop to leave it there.",
        "Cured.",
    ]


def test_what_no_check_tells_apart_is_named_each() -> None:
    """With its share and its place."""
    both = replace(FOUND, group=(FOUND.group[0], replace(FOUND.group[0], part="W10", probability=0.001)))
    _, said = talk(LineTrace(finding=both))
    assert any(sentence.startswith("97 %: wire W9") for sentence in said)
    assert any(sentence.startswith("Under 1 %: wire W10") for sentence in said)


def test_of_many_that_no_check_tells_apart_the_likeliest_are_named() -> None:
    """Five, and why lists them all, however small their shares."""
    group = tuple(replace(FOUND.group[0], part=f"W{place}", probability=0.001) for place in range(10, 19))
    _, said = talk(LineTrace(finding=replace(FOUND, group=group)), "why")
    place = said.index("And 4 more: type why to list them.")
    assert [one.partition(",")[0] for one in said[place - 5 : place]] == [
        f"Under 1 %: wire W{number}" for number in range(10, 15)
    ]
    assert any(one.startswith("Under 1 %: wire W18") for one in said[place:])


@pytest.mark.parametrize(("typed", "ends"), [("yes", True), ("", False), ("no", False), ("12.4", False)])
def test_the_end_is_asked_for_once(typed: str, ends: bool) -> None:
    """Anything but yes goes on, and is no answer to the check; the end of the input is no accident."""
    trace = LineTrace(question(), question(step=2))
    _, said = talk(trace, "stop", typed, "unsure")
    assert any(one.startswith("End this trace?") for one in said)
    assert trace.told == ([Stop()] if ends else [Unsure(), Stop()])


def test_what_was_read_before_a_repair_in_vain_is_listed_apart() -> None:
    """The posts hang on no wire that was mended; once the repair is taken back their volts are an answer again."""
    trace = LineTrace(question())
    said = talk(trace, "12.4", "no", "answers", "undo", "answers", rounds=Rounds(Bench(buggy())))[1]
    before = [one for one in said if one.startswith("Read before the repair, not weighed any more: ")]
    assert len(before) == 1
    assert before[0].endswith("12.40 V.")


def test_a_repair_that_did_not_cure_goes_on() -> None:
    """What is neither yes nor no is asked again; other words are understood there too."""
    trace = LineTrace()
    code, said = talk(trace, "perhaps", "no", "why", "stop")
    assert code == 0
    assert "That is neither yes nor no. Type yes where it is cured, no where it is not." in said
    assert "It goes on, with that taken as mended." in said
    assert trace.told == [Repaired(False)]


def test_the_end_of_input_behind_a_finding_leaves_it_found() -> None:
    """Exit code 0, and nothing is replied."""
    trace = LineTrace()
    assert talk(trace)[0] == 0
    assert trace.told == []


def test_an_end_without_a_finding_is_said_with_code_1() -> None:
    """With the reason."""
    low = Finding((), 0.0, 0, 0.0, stopped="charge the battery first")
    code, said = talk(LineTrace(finding=low))
    assert code == 1
    assert said[0].startswith("The trace ended without a finding: charge the battery first.")
