"""Programs that take readings of a plan until they are killed: started by the tests of kills.

``python -m tests.tui.plan_child DIRECTORY COUNT SEED`` forks that many programs one after the other, kills each at a
random moment while it takes readings into the record of ``DIRECTORY/rig.toml``, and tells of each its number and how
many readings were acknowledged: ``17 42``.
"""

from __future__ import annotations

import os
import random
import signal
import sys
import time
from dataclasses import replace
from pathlib import Path

from model.harness.harness import Harness
from model.plans.judging import Taken
from model.plans.kept import Measuring
from model.plans.plan import LoomState, Plan, PlanKind
from tests.model.plan_rows import ROWS, small_plan
from tui.plan_keeper import PlanKeeper

ROWS_OF_PLAN = 400
ACKNOWLEDGED_MOST = 12
LINGERS_SECONDS = 0.004


def long_plan() -> Plan:
    """Give a plan of many rows in which any reading up to 0.45 Ω is good."""
    row = replace(ROWS[0], cautions=(), before=())
    return small_plan(tuple(replace(row, key=f"row {number}") for number in range(ROWS_OF_PLAN)))


def patch() -> None:
    """Let the program make the long plan in place of every other."""
    import model.plans.every_plan

    def make(harness: Harness, kind: PlanKind, state: LoomState = LoomState.APART) -> Plan:
        return long_plan() if kind is PlanKind.CONTINUITY else Plan(kind, harness.build.name, 3, ())

    setattr(model.plans.every_plan, "make_plan", make)  # noqa: B010 - a function of another signature


def take_readings(harness: Path, number: int, told: int) -> None:
    """Take readings for ever, as the screen does: answer, write, and tell those that are no longer unwritten.

    Parameters
    ----------
    number
        Of this program: stands as the meter of its readings.
    told
        Where a byte is written for each reading that is kept.
    """
    plan = long_plan()
    keeper = PlanKeeper(harness)
    keeper.open()
    keeper.measuring = Measuring("", f"program {number}")
    for count in range(1, ROWS_OF_PLAN):
        keeper.answer(plan, plan.rows[count], Taken(count / 1000.0))
        keeper.write()
        if keeper.unwritten:
            os._exit(3)
        os.write(told, b".")
    os._exit(4)


def kill_one(harness: Path, number: int, chance: random.Random) -> int:
    """Fork a program, kill it at a random moment, and return how many readings it had acknowledged."""
    reads, writes = os.pipe()
    pid = os.fork()
    if pid == 0:
        os.close(reads)
        take_readings(harness, number, writes)
    os.close(writes)
    seen = 0
    for _ in range(chance.randrange(ACKNOWLEDGED_MOST)):
        seen += len(os.read(reads, 1))
    time.sleep(chance.uniform(0.0, LINGERS_SECONDS))
    os.kill(pid, signal.SIGKILL)
    _, status = os.waitpid(pid, 0)
    if not os.WIFSIGNALED(status):
        raise AssertionError(f"it ended by itself: {status}")
    while part := os.read(reads, 4096):
        seen += len(part)
    os.close(reads)
    return seen


def main() -> None:
    """Kill one program after the other."""
    harness, count, seed = Path(sys.argv[1]) / "rig.toml", int(sys.argv[2]), int(sys.argv[3])
    chance = random.Random(seed)
    for number in range(count):
        sys.stdout.write(f"{number} {kill_one(harness, number, chance)}\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
