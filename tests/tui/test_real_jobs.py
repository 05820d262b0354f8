"""The three main jobs on real terminals of every kind, by keys alone, from a file in an empty folder."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from model.record import read_record
from model.record_entries import Measured
from tests.tui.real_jobs import LOAD, empty_folder, prove, prove_again, review, trace
from tests.tui.real_terminal import RealTerminal

_PAINT = re.compile(rb"\x1b\[[0-9;]*m")


@dataclass(frozen=True)
class Kind:
    """A terminal, and what it is told of itself."""

    size: tuple[int, int] = (80, 24)
    arguments: tuple[str, ...] = ()
    environment: dict[str, str] = field(default_factory=dict)
    link: tuple[int, float] | None = None
    is_ascii: bool = False
    codes: str = ""
    """What may stand in a sequence of colour, as a pattern; empty where anything may."""

    def open(self, home: Path, file: Path) -> RealTerminal:
        """Start the program on it, in the folder of the file."""
        return RealTerminal(
            home, file.name, self.arguments, self.environment, size=self.size, folder=file.parent, link=self.link
        )


_WEIGHTS = "[0-9]|2[0-9]|39|49"
_SIXTEEN = rf"{_WEIGHTS}|[349][0-7]|10[0-7]"
PLAIN = Kind(environment={"NO_COLOR": "1"}, codes=_WEIGHTS)
SIXTEEN = Kind(environment={"TERM": "xterm", "COLORTERM": ""}, codes=_SIXTEEN)
CONSOLE = Kind(environment={"TERM": "linux", "COLORTERM": ""}, is_ascii=True, codes=_SIXTEEN)
NO_UTF_8 = Kind(environment={"LANG": "C", "LC_ALL": "C", "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}, is_ascii=True)
ASKED_FOR = Kind(arguments=("--ascii",), is_ascii=True)
NARROW, WIDE, PHONE = Kind((60, 20)), Kind((200, 60)), Kind((40, 30))
SLOW = Kind(link=(256, 0.004))
KINDS = {
    "plain": PLAIN, "sixteen": SIXTEEN, "console": CONSOLE, "no_utf_8": NO_UTF_8, "asked_for": ASKED_FOR,
    "narrow": NARROW, "wide": WIDE, "phone": PHONE, "slow": SLOW,
}  # fmt: skip
ONCE = {"prove": ("asked_for",), "review": ("narrow",), "trace": ("phone",)}
"""On which of them a job is done without being asked for every one."""


def assert_fits(terminal: RealTerminal, kind: Kind) -> None:
    """Quit, and check that nothing was written that the terminal cannot show, and that it is left as it was."""
    terminal.child.send("q")
    assert terminal.end() == 0, terminal.text
    assert terminal.is_left_clean()
    assert not kind.is_ascii or terminal.written.isascii()
    if kind.codes:
        codes = {code for one in _PAINT.findall(terminal.written) for code in one[2:-1].decode().split(";")}
        assert not [code for code in codes if not re.fullmatch(f"(?:{kind.codes})?", code)]


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Do each job on every kind of terminal where that is asked for."""
    job = metafunc.function.__name__.split("_")[1]
    if "kind" in metafunc.fixturenames:
        marks = {name: pytest.mark.slow if name in ONCE[job] else pytest.mark.thorough for name in KINDS}
        metafunc.parametrize("kind", [pytest.param(KINDS[name], marks=marks[name], id=name) for name in KINDS])


@pytest.mark.slow
def test_prove_on_the_usual_terminal(tmp_path: Path) -> None:
    """Three rows of continuity are answered, one of them bad, and stand in the record once the program has ended."""
    file, kind = empty_folder(tmp_path), Kind()
    terminal = kind.open(tmp_path, file)
    prove(terminal)
    assert_fits(terminal, kind)
    assert [entry.ohms for entry in read_record(file).entries if isinstance(entry, Measured)] == [
        0.1,
        float("inf"),
        0.1,
    ]
    assert sorted(path.name for path in file.parent.iterdir()) == ["trail_buggy.record.toml", "trail_buggy.toml"]


def test_prove_is_taken_up_again(tmp_path: Path, kind: Kind) -> None:
    """A plan that was left stands where it was left when the program is started again."""
    file = empty_folder(tmp_path)
    for job in (prove, prove_again):
        terminal = kind.open(tmp_path, file)
        job(terminal)
        assert_fits(terminal, kind)
    assert len(read_record(file).entries) == 4


def test_review_what_is_live_drawn_and_found(tmp_path: Path, kind: Kind) -> None:
    """From the loads to what is live, what is drawn, and the card of the part of the first finding; nothing is kept."""
    file = empty_folder(tmp_path)
    terminal = kind.open(tmp_path, file)
    review(terminal)
    assert_fits(terminal, kind)
    assert [path.name for path in file.parent.iterdir()] == ["trail_buggy.toml"]


def test_trace_from_t_to_cured(tmp_path: Path, kind: Kind) -> None:
    """Each check stands on the screen whole before it is answered; the part that was broken is found and cured."""
    file = empty_folder(tmp_path)
    terminal = kind.open(tmp_path, file)
    trace(terminal)
    assert_fits(terminal, kind)
    entries = read_record(file).entries
    assert {entry.trace.split()[-1] for entry in entries} == {LOAD}
    assert [entry.kind for entry in entries][-2:] == ["finding", "repaired"]
