"""Time from a key until a plan of 5,000 rows shows what it did: the mark on another row, a sign typed, a row answered.

The program runs in this process without a terminal; the time ends once a frame has been drawn that shows it. Of an
answer it ends with the frame that has the mark on the next row: the disk is not waited for. Usage:
``python -m tests.benchmarks.plan_rows [ROWS]``; exit code 1 where a median is over 50 ms.
"""

from __future__ import annotations

import asyncio
import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from textual.events import Key

import model.plans.every_plan
from model.harness.harness import Harness
from model.plans.plan import LoomState, Plan, PlanKind
from tests.model.plan_rows import ROWS, small_plan
from tests.tui.on_screen import screen_text
from tests.tui.planned import marked_key, plan_of, planning, written
from tui.app import FusewalkApp

MOST_SECONDS = 0.05
ROUNDS = 30


def long_plan(count: int) -> Plan:
    """Give a plan of so many rows, twenty to a group."""
    rows = (
        replace(ROWS[0], key=f"row {number}", title=f"row {number} here", group=f"place {number // 20}")
        for number in range(count)
    )
    return small_plan(tuple(rows))


def is_drawn(app: FusewalkApp, words: str) -> bool:
    """Tell whether words stand on the screen."""
    return words in screen_text(app)


async def seconds_until(app: FusewalkApp, key: Key, is_shown: Callable[[], bool]) -> float:
    """Press a key and return how long it took until a frame showed what it did."""
    begun = time.perf_counter()
    app.post_message(key)
    while not is_shown():
        await asyncio.sleep(0)
    return time.perf_counter() - begun


async def measured() -> dict[str, list[float]]:
    """Return the seconds of each kind of key, taken in the middle of the list."""
    taken: dict[str, list[float]] = {"row change": [], "edit": [], "answer": []}
    with TemporaryDirectory() as directory:
        async with planning(Path(directory)) as (app, pilot, _):
            rows = plan_of(app).shown().rows
            plan_of(app).go_to(rows[len(rows) // 2].key)
            await pilot.pause()
            for _ in range(ROUNDS):
                place = int(marked_key(app).removeprefix("row ")) + 1
                shows = f"› ○ row {place} here"
                taken["row change"].append(await seconds_until(app, Key("down", None), partial(is_drawn, app, shows)))
                for typed in ("0.", "0.3"):
                    sign = typed[-1]
                    if typed == "0.":
                        await pilot.press("0")
                    key = Key("full_stop" if sign == "." else sign, sign)
                    taken["edit"].append(await seconds_until(app, key, partial(is_drawn, app, f"{typed}_")))
                after = f"› ○ row {place + 1} here"
                taken["answer"].append(await seconds_until(app, Key("enter", None), partial(is_drawn, app, after)))
                await written(app, pilot)
    return taken


def main(count: int) -> int:
    """Measure and print."""
    plan = long_plan(count)

    def make(harness: Harness, kind: PlanKind, state: LoomState = LoomState.APART) -> Plan:
        return plan if kind is PlanKind.CONTINUITY else Plan(kind, harness.build.name, 3, ())

    setattr(model.plans.every_plan, "make_plan", make)  # noqa: B010 - a function of another signature
    slowest = 0.0
    for name, seconds in asyncio.run(measured()).items():
        median = statistics.median(seconds)
        slowest = max(slowest, median)
        sys.stdout.write(f"{name:<11} {median * 1000:6.1f} ms  (at most {max(seconds) * 1000:.1f})\n")
    sys.stdout.write(f"{count} rows; slowest {slowest * 1000:.1f} ms (at most {MOST_SECONDS * 1000:.0f})\n")
    return 0 if slowest <= MOST_SECONDS else 1


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 5000))
