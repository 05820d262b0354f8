"""Whatever is sent to line mode and typed as an argument: one plain line each, an exit code that is one of ours."""

from __future__ import annotations

import json
from io import BytesIO, StringIO
from itertools import pairwise
from pathlib import Path
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from model.record import read_record
from model.words import clean
from tests.tui.line_trace import VOLTS, LineTrace, question, run, talk
from tests.tui.small_loom import SMALL_LOOM
from tui.__main__ import main
from tui.line_input import MOST_BYTES, LineInput
from tui.line_mode import run_json

ODD_SIGNS = "0123456789١２.,+-−eEkKmMΩ\u0301\u202e\u2028\x00\x07\x1b[]/=:?\udcff🔋 \t\r\x85\ufeff"
WORDS = (
    "also", "take", "strike", "change", "reached", "undo", "skip", "why", "others", "stop", "yes", "no", "drop", "ohms",
    "lamp", "amps", "new", "fuse", "bridge", "swap", "listen", "look", "observe", "K7", "K7.30", "F3", "E1:dip", "M2.+",
    "12.4", "OL", "0.3", "mV", "15", "A", "lit", "9" * 5000, "1" * 70000, "\x1b]0;taken\x07", "[/]",
    "nan", "1e999", "x" * 300,
)  # fmt: skip
NESTED = b'{"volts":' * 30_000
TYPED = st.one_of(
    st.text(ODD_SIGNS, max_size=40),
    st.lists(st.sampled_from(WORDS), max_size=6).map(" ".join),
    st.text(st.characters(exclude_categories=["Cs"]), max_size=20),
)
JSON_VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.text(max_size=8)
    | st.sampled_from((10**400, -(10**400))),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)
KEYS = st.sampled_from(
    ("volts", "ohms", "amps", "lamp", "load", "pulls", "good", "cured", "holds", "skip", "also", "undo", "kind", "red",
     "black", "key", "settings", "part", "with", "watts", "from", "to", "fuse_amps", "millivolts", "buzzes", "")
)  # fmt: skip
ANSWERS = st.dictionaries(KEYS, JSON_VALUES | st.sampled_from(("volts", "G1.+", "G1.-", "ignition", "F3")), max_size=4)
ALSO = st.fixed_dictionaries(
    {"kind": st.sampled_from(("volts", "lamp", "observe", "bridge", "swap", "amps", "x"))},
    optional={name: JSON_VALUES | st.sampled_from(("G1.+", "G1.-", "F3", "K7", "ignition")) for name in
              ("key", "red", "black", "part", "with", "load", "settings", "volts", "lamp", "from", "to", "fuse_amps")},
)  # fmt: skip


def is_plain(sentence: str) -> bool:
    """Tell whether a line holds nothing that a terminal obeys."""
    return sentence == clean(sentence, 100_000)


@settings(deadline=None, max_examples=60)
@given(st.lists(TYPED, min_size=1, max_size=5))
def test_whatever_is_typed_gets_plain_sentences(typed: list[str]) -> None:
    """No typed line ends a conversation but stop and its yes; nothing that is said holds a control character."""
    code, said = talk(LineTrace(question(), question(step=2), question(step=3)), *typed)
    assert code in (0, 1)
    assert all(map(is_plain, said))


@settings(deadline=None, max_examples=60)
@given(st.lists(ANSWERS | ALSO.map(lambda also: {"also": also}), min_size=1, max_size=5))
def test_whatever_object_is_sent_gets_one_line(sent: list[dict[str, object]]) -> None:
    """Each line is answered with one line: an error and the same question again, or the next question."""
    lines = [json.dumps(one).encode() + b"\n" for one in sent]
    trace = LineTrace(question(VOLTS), question(VOLTS, 2), question(VOLTS, 3))
    code, told = run(trace, *lines)
    again = [(one["step"], behind["step"]) for one, behind in pairwise(told) if "error" in one]
    assert code in (0, 1)
    assert "finding" in told[-1]
    assert all(step == asked for step, asked in again)
    assert len(told) - len(again) <= len(sent) + 2


@pytest.mark.parametrize(
    "line",
    [
        NESTED,
        b"[" * 60_000,
        b'{"volts": ' + b"9" * 5000 + b"}",
        b'{"volts": 1e999}',
        b'{"volts": -1e999}',
        b'{"volts": NaN}',
        b'{"volts": 1, "volts": 2}',
        b'{"also": {"kind": "volts", "kind": "ohms"}}',
        b'{"\\ud800": 1}',
        b"null",
        b"12.4",
        b'""',
        b"\xff\xfe\x00",
        b"\x00",
        b"{",
        b'{"volts": [1, 2, 3]}',
        b'{"volts": "12.4"}',
        b'{"volts": true}',
        b"x" * 1_000_000,
        b'{"also": [[[[]]]]}',
        b'{"take": 1}',
        b"\x1b[2J",
        "{\u2028}".encode(),
        b'{"skip": 1}',
        b"\r",
    ],
)
def test_a_line_that_is_no_answer_gets_an_error_and_the_question_again(line: bytes) -> None:
    """Wrong shape, deep nesting, huge numbers, what is no number, a key twice, binary, a megabyte: an error each."""
    trace = LineTrace(question())
    code, told = run(trace, line + b"\n")
    assert [("error" in one, "kind" in one, "finding" in one) for one in told] == [
        (False, True, False), (True, False, False), (False, True, False), (False, False, True),
    ]  # fmt: skip
    assert told[1]["step"] == 1
    assert is_plain(told[1]["error"])
    assert code == 0
    assert [type(reply).__name__ for reply in trace.replies] == ["Stop"]


@pytest.mark.parametrize("word", ["take", "strike", "change", "change 1"])
def test_a_number_of_thousands_of_digits_is_no_number_of_an_answer(word: str) -> None:
    """Python itself refuses to read a number of more than 4300 digits; nobody has so many answers."""
    code, said = talk(LineTrace(question(), question(step=2)), "12.4", f"{word} {'9' * 5000}")
    assert code in (0, 1)
    assert any("is not said" in one or "no answer" in one or "cannot be read" in one for one in said)


def test_lines_with_other_ends_are_read_alike() -> None:
    """A carriage return before the line end, a byte order mark in front, and a last line without an end."""
    for sent in (b'{"volts": 12.4}\r\n', b'\xef\xbb\xbf{"volts": 12.4}\n', b'{"volts": 12.4}'):
        trace = LineTrace(question())
        run(trace, sent)
        assert [reply.outcome.most for reply in trace.told if hasattr(reply, "outcome")] == [12.4]


def test_a_line_that_is_too_long_costs_that_line_alone() -> None:
    """A megabyte without an end is passed over; the line behind it is the answer."""
    trace = LineTrace(question())
    out = StringIO()
    sent = b"x" * (16 * MOST_BYTES) + b'\n{"volts": 12.4}\n'
    assert run_json(trace, LineInput(BytesIO(sent)), out) == 0
    assert [json.loads(line).get("error", "")[:4] for line in out.getvalue().splitlines()] == ["", "That", "", ""]


@pytest.fixture
def loom(tmp_path: Path) -> Path:
    """Write the small loom."""
    path = tmp_path / "small.toml"
    path.write_text(SMALL_LOOM, encoding="utf-8")
    return path


ARGUMENTS = (
    ("volts", "--key"),
    ("volts", "--set"),
    ("volts", "--fault"),
    ("volts", "--battery"),
    ("volts", "--pull"),
    ("volts", "--unplug"),
    ("walk", "E1", "--key"),
    ("trace", "E1", "--json", "--symptom"),
    ("trace", "E1", "--json", "--battery"),
    ("trace", "E1", "--json", "--works"),
    ("trace", "--json"),
    ("find",),
    ("walk",),
    ("grounds", "--amps"),
    ("first-power", "--lamp"),
    ("continuity", "--read"),
    ("continuity", "--take-back"),
    ("continuity", "--ambient"),
    ("continuity", "--state"),
    ("practice", "--seed"),
    ("live", "--compare"),
    ("amend", "replaced", "E1"),
    ("amend", "splice", "W1", "J9", "--at"),
)
VALUES = (
    "",
    " ",
    "=",
    "W1=",
    "=open",
    "W1=٢",
    "W1=1_0",
    "1_2",
    "١٢",
    "nan",
    "-inf",
    "1e999",
    "9" * 5000,
    "\x1b[2J\x1b]0;taken\x07",
    "S1=\udcff",
    "\udcff",
    "[/]",
    "[red]x",
    "a\nb",
    "\x9b31m",
    "x" * 5000,
    "W1=" + "x" * 5000,
    "-",
    "−3",
    "🔋",
    "a\u202eb",
    "W1=0.1=",
)


def told_plainly(loom: Path, arguments: tuple[str, ...], value: str, capsys: pytest.CaptureFixture[str]) -> None:
    """See that a command with an odd argument ends with 0 or 2 and plain lines."""
    name, *rest = arguments
    try:
        code = main([name, str(loom), *rest, value])
    except SystemExit as left:
        code = left.code if isinstance(left.code, int) else 1
    told = capsys.readouterr()
    assert code in (0, 2), (arguments, value, told.err)
    assert all(map(is_plain, (told.out + told.err).split("\n"))), (arguments, value)
    assert code == 0 or told.err.strip(), (arguments, value)


@pytest.mark.parametrize("arguments", ARGUMENTS[:6], ids=" ".join)
def test_an_odd_argument_ends_in_plain_lines(
    arguments: tuple[str, ...], loom: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whatever stands behind the name of an argument: a result, or code 2 and what to type; no control character."""
    for value in VALUES:
        told_plainly(loom, arguments, value, capsys)


@pytest.mark.slow
@pytest.mark.parametrize("arguments", ARGUMENTS[6:], ids=" ".join)
def test_an_odd_argument_of_any_command_ends_in_plain_lines(
    arguments: tuple[str, ...], loom: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same of the plans, the trace, practice, the reviews and amendments."""
    monkeypatch.setattr("sys.stdin", None)
    for value in VALUES:
        told_plainly(loom, arguments, value, capsys)


@pytest.mark.slow
@settings(deadline=None, max_examples=400, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(TYPED, min_size=1, max_size=8))
def test_many_more_typed_lines(typed: list[str]) -> None:
    """The law of typed lines, on many more of them."""
    code, said = talk(LineTrace(question(), question(step=2), question(step=3)), *typed)
    assert code in (0, 1)
    assert all(map(is_plain, said))


class Typing:
    """A standard input that holds what somebody has typed."""

    def __init__(self, lines: list[str]) -> None:
        self.buffer = BytesIO("".join(f"{line}\n" for line in lines).encode("utf-8", "surrogateescape"))


def real_lines(dice: Random, form: str) -> list[str]:
    """Give lines as somebody types them who answers, tries words, and mistypes."""
    if form == "--json":
        sent = (
            {"volts": 12.4},
            {"volts": [0, 12]},
            {"lamp": "dark"},
            {"load": "dead"},
            {"good": True},
            {"ohms": None},
            {"pulls": False},
            {"holds": True},
            {"skip": True},
            {"unsure": True},
            {"undo": True},
            {"cured": False},
        )
        return [json.dumps(dice.choice(sent)) if dice.random() < 0.8 else dice.choice(WORDS) for _ in range(25)]
    words = (
        "12.4",
        "0",
        "0.2",
        "OL",
        "dark",
        "lit",
        "good",
        "bad",
        "holds",
        "works",
        "dead",
        "skip",
        "unsure",
        "undo",
        "take 1",
        "strike 1",
        "change 1 3",
        "also F1.out 12.6",
        "also look F1 bad",
        "reached F1",
        "why",
        "no",
        "stop",
    )
    return [dice.choice(words) if dice.random() < 0.85 else " ".join(dice.choices(WORDS, k=2)) for _ in range(25)]


@pytest.mark.slow
@pytest.mark.parametrize("form", ["--lines", "--json"])
@pytest.mark.parametrize("seed", [3])
def test_a_real_trace_bears_any_lines(
    form: str, seed: int, loom: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Twice the same loom: each line gets plain lines, the codes are ours, and the record reads without trouble."""
    dice = Random(seed)
    for _ in range(2):
        monkeypatch.setattr("sys.stdin", Typing(["yes", *real_lines(dice, form)]))
        code = main(["trace", str(loom), "E1", form])
        told = capsys.readouterr()
        assert code in (0, 1)
        assert not told.err
        assert all(map(is_plain, told.out.split("\n")))
        if form == "--json":
            assert all(isinstance(json.loads(line), dict) for line in told.out.splitlines())
    assert read_record(loom).trouble == ()
