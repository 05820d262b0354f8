"""The other checks of a trace: no two of them are named alike."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.harness.toml_file import read_harness
from model.tracing.asking import Offered
from model.tracing.checks import Check, CheckKind
from model.tracing.complaint import Complaint
from model.tracing.trace import Trace
from tests.tui.builds import BUGGY
from tui.trace_run import Why
from tui.trace_step import check_title
from tui.trace_why_rows import offered_titles, why_rows

USUAL = Condition("ignition", (("S16", "set"),))


@cache
def buggy() -> Harness:
    """Give the buggy."""
    return read_harness(Path(BUGGY))


def volts(red: str, black: str = "G1.-", condition: Condition = USUAL) -> Check:
    """Give a check of volts."""
    return Check(CheckKind.VOLTS, condition, red=red, black=black)


def test_the_black_lead_is_named_where_it_is_not_on_the_grounded_post() -> None:
    """Across the coil of a relay is another reading than at its terminal."""
    at = "K7 (Fuel pump relay) pin 86, cavity 2, wire side"
    assert check_title(buggy(), volts("K7.86")) == f"volts at {at}"
    across = f"{at} and K7 (Fuel pump relay) pin 85, cavity 3, wire side"
    assert check_title(buggy(), volts("K7.86", "K7.85")) == f"volts between {across}"
    lamp = Check(CheckKind.LAMP, USUAL, red="G1.+", black="K7.85", watts=3.0)
    assert check_title(buggy(), lamp).startswith("test lamp between the battery's positive post and K7")


def test_what_is_set_otherwise_stands_first_where_names_are_alike() -> None:
    """With the relay out, or with the engine running, the same point reads otherwise; alone no row says what is set."""
    out = USUAL.with_setting("K7", "out")
    checks = (volts("K7.86"), volts("K7.86", condition=out), volts("K7.86", condition=Condition("running")))
    lone = volts("K7.30", condition=out)
    why = Why(None, (), tuple(Offered(one, 0.1, 1.0) for one in (*checks, lone)), USUAL)
    titles = offered_titles(buggy(), why)
    name = check_title(buggy(), checks[0])
    assert titles[0] == name
    assert titles[1] == f"relay K7 (Fuel pump relay) out of its socket: {name}"
    assert titles[2] == f"key running, S16 (Inertia switch) at rest: {name}"
    assert titles[3] == check_title(buggy(), lone)
    rows = [row.content.plain for row in why_rows(buggy(), why, 180) if row.can_be_marked]
    assert [row.split("  ")[0] for row in rows] == titles


@pytest.mark.slow
def test_no_two_checks_of_the_buggy_are_named_alike() -> None:
    """All that the dead fuel pump offers at its first check, eighty of them."""
    trace = Trace(Bench(buggy()), Complaint(("M2:load",)))
    why = Why(None, (), trace.offered(80), trace.condition)
    titles = offered_titles(buggy(), why)
    assert len(set(titles)) == len(titles) > 40
