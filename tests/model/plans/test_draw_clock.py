"""The clock of a draw with the key off: started, started anew where something woke, and what it holds back."""

from __future__ import annotations

from datetime import timedelta

from model.plans.judging import Standing, Taken
from model.plans.kept import kept_answers, not_before, row_now, taken_back_entry
from tests.model.plan_rows import BY, WHEN
from tests.model.plans.test_draw_plan import horn, kept_of, row_of

GOOD, BAD = Taken(said=Standing.GOOD), Taken(said=Standing.BAD)
IN, WAIT, ASLEEP = "meter in G1", "wait G1", "draw asleep G1"


def test_what_woke_starts_the_clock_anew_for_all_that_waits() -> None:
    """In at 18:03, woken at 18:18: the wait and the draw asleep run until 18:38, and the sentence says since when."""
    _, plan = horn()
    kept = kept_of(plan, [(IN, GOOD, 0), (WAIT, BAD, 15)])
    for key in (WAIT, ASLEEP):
        assert row_now(row_of(plan, key), kept).before[0] == "Not before 18:38: the 20 min run since 18:18."
    assert kept[WAIT].verdict.standing is Standing.BAD
    assert "anew since 18:18, until 18:38" in kept[WAIT].verdict.why


def test_the_last_waking_counts_whatever_is_said_of_the_wait_later() -> None:
    """Woken at 18:18 and 18:28, good at 18:30: the clock runs since 18:28 and that good is too early."""
    _, plan = horn()
    kept = kept_of(plan, [(IN, GOOD, 0), (WAIT, BAD, 15), (WAIT, BAD, 25), (WAIT, GOOD, 27), (ASLEEP, Taken(0.2), 30)])
    assert not_before(row_of(plan, ASLEEP), kept) == WHEN + timedelta(minutes=45)
    assert kept[WAIT].verdict.standing is Standing.UNPROVEN
    assert kept[ASLEEP].verdict.standing is Standing.UNPROVEN


def test_a_wait_said_to_be_good_before_its_time_proves_nothing() -> None:
    """Good after one minute is unproven, after twenty it is good."""
    _, plan = horn()
    early, late = (kept_of(plan, [(IN, GOOD, 0), (WAIT, GOOD, minute)])[WAIT].verdict for minute in (1, 20))
    assert early.standing is Standing.UNPROVEN
    assert "not before 18:23" in early.why
    assert late.standing is Standing.GOOD


def test_the_meter_put_in_once_more_opens_the_wait_again() -> None:
    """Its old answer is none any more, and the clock runs since the meter went in last."""
    _, plan = horn()
    kept = kept_of(plan, [(IN, GOOD, 0), (WAIT, BAD, 5), (WAIT, GOOD, 30), (IN, GOOD, 40)])
    assert WAIT not in kept
    assert not_before(row_of(plan, ASLEEP), kept) == WHEN + timedelta(minutes=60)


def test_a_waking_that_is_taken_back_starts_nothing() -> None:
    """The clock runs as it was started then."""
    _, plan = horn()
    entries = [answer.entry for answer in kept_of(plan, [(IN, GOOD, 0), (WAIT, BAD, 15)]).values()]
    back = taken_back_entry(plan, row_of(plan, WAIT), when=WHEN + timedelta(minutes=16), by=BY)
    kept = kept_answers(plan, [*entries, back])
    assert not_before(row_of(plan, ASLEEP), kept) == WHEN + timedelta(minutes=20)
