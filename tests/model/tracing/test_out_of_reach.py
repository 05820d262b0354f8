"""What cannot be reached with a place that cannot be reached."""

from __future__ import annotations

import pytest

from model.circuit.condition import Condition
from model.tracing.asking import Also, Reached, Read, Reply, Skip, Take, Unsure
from model.tracing.checks import Check, CheckKind, Word, measured, seen
from model.tracing.folding import Event, battery_posts, target_of
from model.tracing.out_of_reach import out_of_reach_with, place_to_reach
from tests.model.tracing.rigs import rig, wires

HARNESS = rig(
    'locations = [ { name = "sill", access = "panel" }, { name = "dash" }, { name = "tray" } ]\n'
    'fuses = [ { id = "F1", amps = 10, location = "dash" }, { id = "F2", amps = 10, location = "sill" } ]\n'
    'relays = [ { id = "K1", location = "sill" } ]\n'
    'loads = [ { id = "E1", kind = "lamp", watts = 5, location = "sill" }, { id = "E2", kind = "lamp", watts = 5 } ]\n'
    + wires("G1.+ F1.in", "F1.out K1.30", "K1.87 E1.+", "E1.- CHASSIS", "F1.out E2.+", "E2.- CHASSIS", "G1.- CHASSIS"),
    batteries='{ id = "G1", location = "tray" }',
)
ON = Condition("on")


def volts(red: str) -> Check:
    """Give volts at a point."""
    return Check(CheckKind.VOLTS, ON, red=red, black="G1.-")


LOOK_F2 = Check(CheckKind.LOOK, ON, part="F2")
SEE_E1 = Check(CheckKind.OBSERVE, ON, load="E1:load")
CHECKS = (
    volts("G1.+"), volts("F1.out"), volts("K1.30"), volts("E1.+"), volts("E2.+"), LOOK_F2, SEE_E1,
    Check(CheckKind.LISTEN, ON, part="K1"), Check(CheckKind.OHMS, ON, red="K1.87", black="G1.-"),
)  # fmt: skip
AT_SILL = {"K1.30", "E1.+", "F2", "K1", "K1.87 G1.-"}


def out(*replies: tuple[Reply, Check | None]) -> set[str]:
    """Name what is out of reach after replies to checks."""
    events = [Event(reply, check, place) for place, (reply, check) in enumerate(replies, 1)]
    return {name for _, name in out_of_reach_with(HARNESS, events, CHECKS)}


def test_with_one_point_all_else_at_its_place_is_out_of_reach() -> None:
    """What is touched there; what is only looked at from afar, the posts and other places stay."""
    assert out((Skip(), volts("K1.30"))) == AT_SILL
    assert out((Skip(), LOOK_F2)) == AT_SILL
    assert out() == set()


@pytest.mark.parametrize("check", [SEE_E1, volts("E2.+"), volts("G1.+")])
def test_a_check_without_a_listed_place_takes_nothing_with_it(check: Check) -> None:
    """A load that is looked at, a part whose place is not given, a battery post."""
    assert place_to_reach(HARNESS, check) == ""
    assert out((Skip(), check)) == set()


def test_where_something_was_read_before_it_is_the_point_alone() -> None:
    """Whoever read there has reached the place; a check that told nothing was made there all the same."""
    assert out((Read(measured(12.0)), volts("E1.+")), (Skip(), volts("K1.30"))) == set()
    assert out((Unsure(), LOOK_F2), (Skip(), volts("K1.30"))) == set()
    assert out((Read(measured(12.0)), volts("F1.out")), (Skip(), volts("K1.30"))) == AT_SILL


BACK: list[tuple[Reply, Check | None]] = [
    (Reached("K1"), volts("F1.out")),
    (Reached("E1.+"), volts("F1.out")),
    (Take(LOOK_F2), volts("F1.out")),
    (Also(LOOK_F2, seen(Word.GOOD)), volts("F1.out")),
    (Read(measured(12.0)), volts("E1.+")),
]


@pytest.mark.parametrize("back", BACK)
def test_whoever_reaches_something_there_has_the_place_back(back: tuple[Reply, Check | None]) -> None:
    """By saying so, choosing a check there, or reading there."""
    assert out((Skip(), volts("K1.30")), back) == set()
    assert out((Skip(), volts("K1.30")), (Reached("F1"), None), (Reached("X9"), None)) == AT_SILL


def test_names_are_those_that_a_trace_keeps() -> None:
    """So that they can be put beside what it keeps out of reach itself."""
    events = [Event(Skip(), volts("K1.30"), 1)]
    found = out_of_reach_with(HARNESS, events, CHECKS)
    assert found <= {target_of(check, battery_posts(HARNESS)) for check in CHECKS}
