"""The trace in JSON Lines, held to the letter with a trace that asks what the test says."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from io import BytesIO, StringIO
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.circuit.condition import Condition
from model.tracing.asking import Also, NoHelper, Question, Read, Skip, Stop, Unsure
from model.tracing.checks import WORDS_OF, Check, CheckKind, Outcome, Word, measured, seen
from tests.tui.line_trace import FOUND, IGNITION, STOP, VOLTS, LineTrace, question, run
from tui.line_input import MOST_BYTES, LineInput
from tui.line_mode import run_json


def asked(check_or_question: Check | Question) -> dict[str, Any]:
    """Give the object in which a check is asked."""
    one = question(check_or_question) if isinstance(check_or_question, Check) else check_or_question
    return run(LineTrace(one), STOP)[1][0]


def test_a_question_has_the_fields_of_the_format() -> None:
    """In the order of the example; a partner stands under ``with`` or ``at``, what has no spelling is left out."""
    assert list(asked(VOLTS).items()) == [
        ("format", 1), ("step", 1), ("kind", "volts"), ("red", "G1.+"), ("black", "G1.-"), ("key", "ignition"),
        ("settings", {"S2": "head"}), ("posts", 12.52), ("healthy", 12.315), ("low", 11.9), ("high", 12.6),
        ("why", "It halves the suspects."), ("minutes", 1.8), ("cautions", ["Engine off."]),
        ("suspects", [
            {"part": "W9", "fault": "touches", "with": "BB2", "probability": 0.3123},
            {"part": "W9", "fault": "elsewhere", "at": "M2.+", "probability": 0.2},
            {"part": "GND1", "fault": "open", "probability": 0.05},
        ]),
    ]  # fmt: skip


OWN_FIELDS = [
    (Check(CheckKind.DROP, IGNITION, red="F3.in", black="F3.out"), {"red": "F3.in", "black": "F3.out"}),
    (Check(CheckKind.OHMS, IGNITION, red="F3.in", black="F3.out"), {"red": "F3.in", "black": "F3.out"}),
    (Check(CheckKind.AMPS, IGNITION, part="F3"), {"part": "F3"}),
    (Check(CheckKind.LAMP, IGNITION, red="G1.+", black="G1.-", watts=3), {"watts": 3, "red": "G1.+", "black": "G1.-"}),
    (Check(CheckKind.LAMP, IGNITION, part="F3", watts=55), {"watts": 55, "part": "F3"}),
    (Check(CheckKind.OBSERVE, IGNITION, load="E1:dip"), {"load": "E1:dip"}),
    (Check(CheckKind.OBSERVE, IGNITION, load="M2:load"), {"load": "M2"}),
    (Check(CheckKind.OBSERVE, IGNITION, load="A2:75"), {"load": "A2:75"}),
    (Check(CheckKind.LISTEN, IGNITION, part="K7"), {"part": "K7"}),
    (Check(CheckKind.LOOK, IGNITION, part="F3"), {"part": "F3"}),
    (
        Check(CheckKind.BRIDGE, IGNITION, red="K7.30", black="K7.87", fuse_amps=15),
        {"from": "K7.30", "to": "K7.87", "fuse_amps": 15},
    ),
    (Check(CheckKind.SWAP, IGNITION, part="K7", other="K2"), {"part": "K7", "with": "K2"}),
    (Check(CheckKind.NEW_FUSE, IGNITION, part="F3"), {"part": "F3"}),
]


@pytest.mark.parametrize(("check", "own"), OWN_FIELDS)
def test_each_kind_has_its_own_fields_and_no_other(check: Check, own: dict[str, Any]) -> None:
    """Low and high belong to the kinds that are answered with a number; the others say in words what is right."""
    found = asked(check)
    common = {"format", "step", "kind", "key", "settings", "posts", "healthy", "why", "minutes", "cautions", "suspects"}
    band = {"low", "high"} if check.kind not in WORDS_OF else set()
    assert found["kind"] == check.kind
    assert found.keys() == common | band | own.keys()
    assert {key: found[key] for key in own} == own
    assert found["healthy"] == (12.315 if band else "lit")


def test_settings_hold_what_is_not_at_rest() -> None:
    """Plugs apart, fuses out, drivers; a switch at rest is left out."""
    settings = (("S2", "off"), ("S10", "pressed"), ("X1", "apart"), ("F3", "out"), ("K7", "in"), ("A1.pump", "on"))
    found = asked(Check(CheckKind.VOLTS, Condition("off", settings), red="G1.+", black="G1.-"))
    assert found["settings"] == {"S10": "pressed", "X1": "apart", "F3": "out", "A1.pump": "on"}


def test_what_is_not_held_and_what_is_open_is_null() -> None:
    """JSON has no infinity."""
    ohms = Check(CheckKind.OHMS, IGNITION, red="F3.in", black="F3.out")
    found = asked(question(ohms, band=(math.inf, 5e7, math.inf)))
    assert (found["healthy"], found["low"], found["high"]) == (None, 5e7, None)
    assert asked(question(band=(None, None, None)))["low"] is None


def test_the_readings_of_a_socket_share_their_step() -> None:
    """Each says which of how many it is; other questions say nothing of it."""
    out = Check(CheckKind.VOLTS, Condition("ignition", (("K7", "out"),)), red="K7.30", black="G1.-")
    two = [question(out, step=3, socket=(reading, 2)) for reading in (1, 2)]
    code, lines = run(LineTrace(*two), {"volts": 12.4}, {"volts": 0})
    assert [(line["step"], line["reading"], line["of"]) for line in lines[:2]] == [(3, 1, 2), (3, 2, 2)]
    assert lines[0]["settings"] == {"K7": "out"}
    assert code == 0
    assert "reading" not in asked(VOLTS)


ANSWERS = [
    (CheckKind.VOLTS, {"volts": 0.02}, measured(0.02)),
    (CheckKind.VOLTS, {"volts": 12}, measured(12.0)),
    (CheckKind.VOLTS, {"volts": [0.1, 12.3]}, measured(0.1, 12.3)),
    (CheckKind.VOLTS, {"volts": 12.1, "in_doubt": True}, replace(measured(12.1), in_doubt=True)),
    (CheckKind.DROP, {"volts": -0.02}, measured(-0.02)),
    (CheckKind.OHMS, {"ohms": 1.2}, measured(1.2)),
    (CheckKind.OHMS, {"ohms": None}, measured(math.inf)),
    (CheckKind.AMPS, {"amps": 4.1}, measured(4.1)),
    (CheckKind.AMPS, {"millivolts": 0.4}, measured(0.0004, across_fuse=True)),
    (CheckKind.LAMP, {"lamp": "lit"}, seen(Word.LIT)),
    (CheckKind.LAMP, {"lamp": "dim"}, seen(Word.DIM)),
    (CheckKind.LAMP, {"lamp": "dark"}, seen(Word.DARK)),
    (CheckKind.LAMP, {"lamp": "buzzes"}, seen(Word.BUZZES)),
    (CheckKind.OBSERVE, {"load": "works"}, seen(Word.WORKS)),
    (CheckKind.OBSERVE, {"load": "weak"}, seen(Word.WEAK)),
    (CheckKind.OBSERVE, {"load": "dead"}, seen(Word.DEAD)),
    (CheckKind.OBSERVE, {"load": "glows"}, seen(Word.GLOWS)),
    (CheckKind.LISTEN, {"pulls": True}, seen(Word.PULLS)),
    (CheckKind.LISTEN, {"pulls": False}, seen(Word.SILENT)),
    (CheckKind.LISTEN, {"buzzes": True}, seen(Word.BUZZES)),
    (CheckKind.LOOK, {"good": True}, seen(Word.GOOD)),
    (CheckKind.LOOK, {"good": False}, seen(Word.BAD)),
    (CheckKind.BRIDGE, {"cured": True}, seen(Word.CURED)),
    (CheckKind.SWAP, {"cured": False}, seen(Word.NOT_CURED)),
    (CheckKind.NEW_FUSE, {"holds": True}, seen(Word.HOLDS)),
    (CheckKind.NEW_FUSE, {"holds": False}, seen(Word.BLOWS)),
]


@pytest.mark.parametrize(("kind", "said", "outcome"), ANSWERS)
def test_each_answer_of_the_table_is_taken_in(kind: CheckKind, said: dict[str, Any], outcome: Outcome) -> None:
    """As what it says, to the kind it belongs to."""
    trace = LineTrace(question(Check(kind, IGNITION)))
    code, lines = run(trace, said)
    assert (code, len(lines)) == (0, 2)
    assert trace.told == [Read(outcome)]


@pytest.mark.parametrize(
    ("word", "reply"),
    [("skip", Skip()), ("unsure", Unsure()), ("no_helper", NoHelper())],
)
def test_any_question_may_be_passed_over(word: str, reply: object) -> None:
    """With the reply of its name."""
    trace = LineTrace(question(), question(step=2))
    _, lines = run(trace, {word: True}, STOP)
    assert trace.told == [reply, Stop()]
    assert lines[1]["step"] == 2


def test_undo_asks_the_question_before_again() -> None:
    """The last answer is struck; where there is none that is an error."""
    trace = LineTrace(question(), question(step=2))
    _, lines = run(trace, {"undo": True}, {"volts": 1}, {"undo": True}, {"volts": 2}, STOP)
    assert [line.get("error", line.get("step")) for line in lines[:-1]] == [
        1, "There is no answer to take back.", 1, 2, 1, 2,
    ]  # fmt: skip
    assert trace.told == [Read(measured(2.0)), Stop()]


ALSO = [
    (
        {"kind": "volts", "red": "F3.out", "black": "G1.-", "key": "ignition", "settings": {}, "volts": 12.4},
        Also(Check(CheckKind.VOLTS, IGNITION, red="F3.out", black="G1.-"), measured(12.4)),
    ),
    (
        {"kind": "drop", "red": "F3.in", "black": "F3.out", "key": "off", "settings": {"S2": "head"}, "volts": [0, 1]},
        Also(
            Check(CheckKind.DROP, Condition("off", (("S2", "head"),)), red="BB1", black="F3.out"), measured(0.0, 1.0)
        ),
    ),
    (
        {"kind": "ohms", "red": "K7.85", "black": "K7.86", "key": "off", "settings": {"K7": "out"}, "ohms": None},
        Also(
            Check(CheckKind.OHMS, Condition("off", (("K7", "out"),)), red="K7.85", black="K7.86"), measured(math.inf)
        ),
    ),
    (
        {"kind": "amps", "part": "F3", "key": "ignition", "millivolts": 2},
        Also(Check(CheckKind.AMPS, IGNITION, part="F3"), measured(0.002, across_fuse=True)),
    ),
    (
        {"kind": "lamp", "red": "K7.30", "black": "G1.-", "key": "ignition", "settings": {}, "lamp": "dark"},
        Also(Check(CheckKind.LAMP, IGNITION, red="K7.30", black="G1.-", watts=3.0), seen(Word.DARK)),
    ),
    (
        {"kind": "lamp", "part": "F3", "watts": 55, "key": "ignition", "settings": {}, "lamp": "lit"},
        Also(
            Check(
                CheckKind.LAMP,
                Condition("ignition", (("F3", "out"),)),
                red="BB1",
                black="F3.out",
                part="F3",
                watts=55.0,
            ),
            seen(Word.LIT),
        ),
    ),
    (
        {"kind": "observe", "load": {"P1": "works"}, "key": "ignition", "settings": {"S10": "pressed"}},
        Also(
            Check(CheckKind.OBSERVE, Condition("ignition", (("S10", "pressed"),)), load="P1:load"), seen(Word.WORKS)
        ),
    ),
    (
        {"kind": "listen", "part": "K7", "key": "ignition", "settings": {}, "pulls": False},
        Also(Check(CheckKind.LISTEN, IGNITION, part="K7"), seen(Word.SILENT)),
    ),
    (
        {"kind": "look", "part": "X1", "key": "ignition", "settings": {}, "good": False},
        Also(Check(CheckKind.LOOK, IGNITION, part="X1"), seen(Word.BAD)),
    ),
    (
        {"kind": "bridge", "from": "K7.30", "to": "K7.87", "fuse_amps": 15, "key": "ignition", "cured": True},
        Also(Check(CheckKind.BRIDGE, IGNITION, red="K7.30", black="K7.87", fuse_amps=15.0), seen(Word.CURED)),
    ),
    (
        {"kind": "swap", "part": "K7", "with": "K2", "key": "ignition", "settings": {}, "cured": False},
        Also(Check(CheckKind.SWAP, IGNITION, part="K7", other="K2"), seen(Word.NOT_CURED)),
    ),
    (
        {"kind": "new fuse", "part": "F3", "key": "ignition", "settings": {}, "holds": False},
        Also(Check(CheckKind.NEW_FUSE, IGNITION, part="F3"), seen(Word.BLOWS)),
    ),
]  # fmt: skip


@pytest.mark.parametrize(("said", "reply"), ALSO)
def test_a_reading_that_was_not_asked_is_taken_in(said: dict[str, Any], reply: Also) -> None:
    """Of every kind; then a question follows."""
    trace = LineTrace(question())
    _, lines = run(trace, {"also": said}, STOP)
    assert trace.told == [reply, Stop()]
    assert [line.get("step") for line in lines[:2]] == [1, 1]


WRONG: list[tuple[object, str]] = [
    (b"\n", "That is no JSON."),
    (b"skip\n", "That is no JSON."),
    (b"[" * 60000 + b"\n", "That is no JSON."),
    (b'{"volts": ' + b"9" * 5000 + b"}\n", "That is no JSON."),
    (b'"skip"\n', "That is no JSON object."),
    (b"{}\n", "One answer is wanted, not 0."),
    (b'{"volts": NaN}\n', "NaN is not a number."),
    (b'{"volts": -Infinity}\n', "-Infinity is not a number."),
    (b'{"volts": 1e999}\n', "beyond the vehicle"),
    (b'{"volts": ' + b"9" * 400 + b"}\n", "beyond the vehicle"),
    (b'{"volts": 1, "volts": 2}\n', "A key stands twice"),
    (b'{"volts": "\xff"}\n', "That line is not UTF-8."),
    (b'{"volts": 12.4' + b" " * MOST_BYTES + b"}\n", f"longer than {MOST_BYTES} bytes"),
    ({"volts": "12.4"}, "A number is wanted."),
    ({"volts": True}, "A number is wanted."),
    ({"volts": None}, "A number is wanted."),
    ({"volts": [1, 2, 3]}, "A number is wanted."),
    ({"volts": [1, "2"]}, "A number is wanted."),
    ({"volts": 91}, "beyond the vehicle"),
    ({"ohms": 1}, "“ohms” with that value does not answer a question of volts."),
    ({"volts": 1, "step": 1}, "One answer is wanted, not 2."),
    ({"skip": False}, "“skip” is sent with true or not at all."),
    ({"volts": 1, "in_doubt": 1}, "“in_doubt” is sent with true or not at all."),
    ({"in_doubt": True}, "One answer is wanted, not 0."),
    ({"stop": 1}, "“stop” is sent with true or not at all."),
    ({"undo": None}, "“undo” is sent with true or not at all."),
    ({"also": 12.4}, "A reading that was not asked is an object."),
    ({"also": {}}, "“kind” is missing"),
    ({"also": {"kind": "volt"}}, "There is no kind “volt”. Did you mean volts?"),
    ({"also": {"kind": "volts", "key": "igntion"}}, "Did you mean ignition?"),
    ({"also": {"kind": "volts", "key": "off", "settings": ["S2"]}}, "Settings are an object of words."),
    ({"also": {"kind": "volts", "key": "off", "settings": {"S2": 1}}}, "Settings are an object of words."),
    ({"also": {"kind": "volts", "key": "off", "settings": {"S2": "hed"}}}, "Did you mean head?"),
    ({"also": {"kind": "volts", "key": "off", "red": "F3.uot", "black": "G1.-"}}, "Did you mean F3.out?"),
    ({"also": {"kind": "volts", "key": "off", "red": "\ud800", "black": "G1.-"}}, "There is no point “\ufffd”"),
    ({"also": {"kind": "volts", "key": "off", "red": "G1.-", "black": "G1.-", "volts": 0}}, "Both ends stand on G1.-"),
    ({"also": {"kind": "volts", "key": "off", "red": "BB1", "black": "G1.-"}}, "One answer is wanted, not 0."),
    ({"also": {"kind": "amps", "key": "off", "part": "K7", "amps": 1}}, "There is no fuse “K7”."),
    ({"also": {"kind": "observe", "key": "off", "load": "P1"}}, "The load and how it is are wanted."),
    ({"also": {"kind": "observe", "key": "off", "load": {"P9": "works"}}}, "There is no load “P9”."),
    ({"also": {"kind": "bridge", "key": "off", "from": "K7.30", "to": "K7.87", "cured": True}}, "“fuse_amps” is a"),
]  # fmt: skip


@pytest.mark.parametrize("case", range(len(WRONG)))
def test_an_answer_that_does_not_fit_gets_an_error_and_the_same_question(case: int) -> None:
    """With the step; the right answer behind it is taken in, so nothing is lost."""
    sent, said = WRONG[case]
    trace = LineTrace(question(step=3))
    code, lines = run(trace, sent, {"volts": 12.4})
    assert lines[1].keys() == {"error", "step"}
    assert lines[1]["step"] == 3
    assert said in lines[1]["error"]
    assert lines[2] == lines[0]
    assert trace.told == [Read(measured(12.4))]
    assert code == 0


def test_a_word_where_a_number_is_asked_names_what_fits() -> None:
    """The error says how the kind is answered."""
    _, lines = run(LineTrace(question(Check(CheckKind.LAMP, IGNITION))), {"lamp": "drak"}, {"lamp": 1}, STOP)
    assert "Did you mean dark?" in lines[1]["error"]
    assert "the words are lit, dim, dark, buzzes" in lines[3]["error"]


def test_a_refusal_by_the_trace_is_an_error_too() -> None:
    """What the trace says, the question again; a trace that refuses even the end raises it."""
    from model.errors import AnswerError

    trace = LineTrace(question(), refused="K7.30 is never probed.")
    with pytest.raises(AnswerError, match="never probed"):
        run(trace, {"volts": 1})


class EveryLine(StringIO):
    """Counts how often it was sent off."""

    sent = 0

    def flush(self) -> None:
        """Count."""
        self.sent += 1


def test_every_line_is_sent_off_at_once() -> None:
    """A rig waits for each."""
    out = EveryLine()
    run_json(LineTrace(question()), LineInput(BytesIO(b'{"volts": 1}\n')), out)
    assert out.sent == out.getvalue().count("\n") == 2


JSON = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
)
KEYS = ["volts", "ohms", "lamp", "load", "pulls", "skip", "also", "kind", "red", "key", "settings", "part", "watts"]


@given(
    st.sampled_from(CheckKind),
    st.dictionaries(st.sampled_from(KEYS), JSON | st.dictionaries(st.sampled_from(KEYS), JSON), max_size=4).map(
        lambda said: json.dumps(said).encode()
    )
    | st.binary(max_size=80),
)
def test_nothing_sent_breaks_the_line_mode(kind: CheckKind, sent: bytes) -> None:
    """Whatever bytes come, each line is answered in JSON and the trace ends in order."""
    code, lines = run(LineTrace(question(Check(kind, IGNITION)), question(step=2)), sent + b"\n")
    assert code == 0
    assert "finding" in lines[-1]


def test_questions_are_told_by_their_type() -> None:
    """The scripted trace is the same protocol as the real one."""
    assert isinstance(LineTrace(question()).next(), Question)
    assert LineTrace().next() is FOUND
