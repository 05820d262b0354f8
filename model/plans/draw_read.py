"""What was read of the whole draw asleep, in words: how long the battery bears that, and whether to search on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from model.harness.harness import Harness
from model.harness.parts import Battery
from model.plans.draw_next import last_whole, whole_rows
from model.plans.judging import Standing
from model.plans.kept import Kept
from model.plans.plan import Plan
from model.review.battery_time import battery_time, time_words
from model.review.draw import DrawReview
from model.tracing.names import either, id_and_label
from model.words import amps_text


def read_words(harness: Harness, review: DrawReview, plan: Plan, kept: Mapping[str, Kept]) -> tuple[str, ...]:
    """Say what was read last of the draw asleep of each bank, and how long that is borne, in full sentences."""
    return tuple(_read_words(harness, review, plan, kept))


def _read_words(harness: Harness, review: DrawReview, plan: Plan, kept: Mapping[str, Kept]) -> Iterator[str]:
    times = {bank.batteries: bank.time for bank in review.banks}
    for batteries, keys in whole_rows(plan).items():
        last, time = last_whole(keys, kept), times.get(batteries)
        value = None if last is None else kept[last].taken.value
        if last is None or time is None or value is None:
            continue
        answer = kept[last]
        borne = battery_time(time.capacity, harness.part_of(batteries[0], Battery).chemistry, abs(value))
        names = either((id_and_label(harness, name) for name in batteries), "and")
        judged = {Standing.GOOD: "within its limit", Standing.BAD: "over its limit"}.get(
            answer.verdict.standing, "which proves nothing yet"
        )
        yield (
            f"{names}: {amps_text(abs(value))} read on {answer.entry.when:%d %b %Y %H:%M}, {judged}: from full "
            f"{time_words(borne)} at that."
        )
