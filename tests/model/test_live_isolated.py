"""What the sheet of live points says of isolators, and of a charger left by itself."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.harness.toml_file import read_harness
from model.review.live_review import LiveReview, live_review
from model.sheets.live_sheet import live_sheet

LAUNCH = Path(__file__).parents[2] / "demo_builds/harbour_launch.toml"


@cache
def _review() -> LiveReview:
    return live_review(Bench(read_harness(LAUNCH)), Condition("off", (("S10", "on"), ("S11", "on"), ("G6", "on"))))


def _items(head: str) -> tuple[str, ...]:
    return next(section.items for section in live_sheet(_review()).sections if section.head == head)


def test_each_isolator_is_told_by_itself() -> None:
    """Each of the two says what dies behind it, then what stays live before it."""
    items = _items("With the isolators open")
    starts = [one.partition(":")[0] for one in items]
    house, engine = starts.index("S10 (House isolator)"), starts.index("S11 (Engine isolator)")
    assert house < starts.index("Before S10 (House isolator)") < engine < starts.index("Before S11 (Engine isolator)")
    assert "points behind it are dead." in items[house]
    assert "S10.1" not in "".join(items[engine:])


def test_the_link_within_a_bank_is_named_and_no_feed_of_its_own() -> None:
    """The bar between the two house batteries is live whatever is open, and the start post with the bar on it."""
    items = _items("With the isolators open")
    link = next(one for one in items if "G1.-" in one)
    assert link.startswith("The link between G2 (House battery, lower) and G1 (House battery, upper), inside")
    assert link.endswith("their bank: G1.-, G2.+.")
    post = next(one for one in items if one.endswith(": BB2."))
    assert post.startswith("On ")
    assert not any("BB2" in one or "G2.+" in one for one in items if "by a feed of its own" in one)


def test_a_pulled_fuse_before_a_charger_that_runs_is_told_with_its_volts() -> None:
    """28.4 V of the shore charger may stand on the clip, though nothing is worked out there."""
    (words,) = (one for one in _items("With a fuse pulled") if one.startswith("F5 "))
    assert "G6.+ and F5.out may carry the volts of G6" in words
    assert "28.40 V: it runs there without a battery" in words
