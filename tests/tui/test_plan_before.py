"""What is to be done before a row, in short where the row before asked for nearly the same."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from model.plans.grounds import grounds_plan
from tests.model.plan_rows import ROWS
from tests.model.tracing.rigs import demo
from tests.tui.planned import made_by_hand, plan_of, planning
from tui.plan_before import anew

LONG = "Lay a lamp of about 60 W, a fuse in its lead, from the live post, bare, to {}: the clip at the post on first."


def test_only_what_is_new_in_a_long_sentence_is_said() -> None:
    """The same sentence with another stud names the stud; one that is the same says no more than that."""
    first = (LONG.format("GND1 (Tail)"), "Ten seconds at most.")
    assert anew(first, ()) == first
    assert anew((LONG.format("GND4 (Dash)"),), first) == ("As before, now GND4 (Dash).",)
    assert anew(first, first) == ("As before.", "Ten seconds at most.")


def test_what_differs_in_much_is_said_whole() -> None:
    """Another job is no "as before", however long."""
    other = (
        "Unplug every control unit and every led first, one after the other, and lay their plugs where none touches."
    )
    assert anew((other,), (LONG.format("GND1"),)) == (other,)
    assert anew((f"{LONG} {other}",), (LONG,)) == (f"{LONG} {other}",)


def test_the_grounds_of_the_tractor_tell_how_the_lamp_goes_once() -> None:
    """Of ten rows the lamp's paragraph stands in the first; each further one names its own lug."""
    rows = grounds_plan(demo("field_tractor")).rows
    told = [" ".join(anew(row.before, before.before)) for before, row in pairwise(rows)]
    assert sum("Lay a lamp" in words for words in told) == 0
    assert all(words.count("As before, now") == 1 for words in told)
    assert any("Touch the crimp barrel of each ring on it" in words for words in told)


async def test_the_step_says_it_in_short_and_the_key_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Down from GND1 to GND4: as before; back up it is said of the other; the first row is always whole."""
    rows = tuple(
        replace(one, before=(LONG.format(stud),)) for one, stud in zip(ROWS[:2], ("GND1", "GND4"), strict=True)
    )
    made_by_hand(monkeypatch, rows)
    async with planning(tmp_path, (100, 40)) as (app, pilot, _):

        def first() -> str:
            step = plan_of(app).step
            assert step is not None
            return dict(step.lines)["first"]

        assert first() == LONG.format("GND1")
        await pilot.press("down")
        await pilot.pause()
        assert first() == "As before, now GND4."
        assert plan_of(app).row is not None
        await pilot.press("up")
        await pilot.pause()
        assert first() == "As before, now GND1."
