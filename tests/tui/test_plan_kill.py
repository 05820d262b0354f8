"""A plan that is killed while readings come in: whatever was shown as kept is in the record."""

from __future__ import annotations

import os
import random
import re
import signal
import subprocess
import sys
import time
from collections import Counter
from pathlib import Path

import pytest

from model.record import read_record
from model.record_entries import Measured
from tests.tui.plan_child import ROWS_OF_PLAN
from tests.tui.planned import RIG
from tests.tui.real_terminal import RealTerminal

ROOT = Path(__file__).parents[2]
AT_ONCE = 4
KILLS = 500
KILLS_ON_SCREEN = 10
LINGERS_SECONDS = 0.1
KEPT = re.compile(r"kept[^.]*\.\s+(\d+(?:\.\d+)?) (mΩ|Ω)")

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not hasattr(os, "fork"), reason="programs are forked and killed"),
]


def numbers_by_meter(harness: Path) -> dict[str, list[int]]:
    """Give the readings of each program in the order in which they stand in the record."""
    contents = read_record(harness)
    found: dict[str, list[int]] = {}
    for entry in contents.entries:
        assert isinstance(entry, Measured)
        assert isinstance(entry.ohms, float)
        assert entry.row == f"row {round(entry.ohms * 1000)}"
        found.setdefault(entry.meter, []).append(round(entry.ohms * 1000))
    return found


def test_no_reading_that_was_kept_is_lost_in_five_hundred_kills(tmp_path: Path) -> None:
    """Programs that share a record one after the other, killed at random moments, each leave all that they had kept.

    At most the one reading that was on its way stands beside it, and a torn one is told, never taken for another.
    """
    places = [tmp_path / str(place) for place in range(AT_ONCE)]
    nurseries = []
    for place, directory in enumerate(places):
        directory.mkdir()
        command = [sys.executable, "-m", "tests.tui.plan_child", str(directory), str(KILLS // AT_ONCE), str(place)]
        nurseries.append(subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=ROOT))
    killed = 0
    for directory, nursery in zip(places, nurseries, strict=True):
        told, _ = nursery.communicate(timeout=900)
        assert nursery.returncode == 0
        found = numbers_by_meter(directory / "rig.toml")
        for line in told.splitlines():
            number, kept = map(int, line.split())
            numbers = found.get(f"program {number}", [])
            assert numbers[:kept] == list(range(1, kept + 1)), f"program {number} had kept {kept}"
            assert len(numbers) <= kept + 1
            killed += 1
    assert killed == KILLS


def shown_as_kept(terminal: RealTerminal) -> float | None:
    """Give the reading in ohms that the screen says is kept; None where it says so of none."""
    found = KEPT.search(" ".join(terminal.text.split()))
    if found is None:
        return None
    return float(found[1]) / (1000.0 if found[2] == "mΩ" else 1.0)


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Kill the program on its screen a few times, or with --every-kill as often as the rest."""
    if "seed" in metafunc.fixturenames:
        kills = KILLS if metafunc.config.getoption("--every-kill") else KILLS_ON_SCREEN
        metafunc.parametrize("seed", range(kills))


def test_no_reading_shown_as_kept_is_lost_when_the_screen_is_killed(tmp_path: Path, seed: int) -> None:
    """The real program on a terminal, readings typed as fast as they go, killed while one more is on its way.

    What the screen said is kept stands in the record.
    """
    chance = random.Random(seed)
    harness = tmp_path / "rig.toml"
    harness.write_text(RIG, encoding="utf-8")
    before = "from tests.tui.plan_child import patch; patch(); "
    terminal = RealTerminal(tmp_path, str(harness), before=before)
    terminal.until(lambda: "2 wires" in terminal.text or "7 wires" in terminal.text, 60)
    terminal.child.send("v")
    terminal.until(lambda: str(ROWS_OF_PLAN) in terminal.text, 60)
    terminal.child.send("\r")
    terminal.until(lambda: "Type ohms" in terminal.text, 60)
    kept: Counter[float] = Counter()
    wanted, count = chance.randrange(1, 12), 0
    while len(kept) < wanted:
        count += 1
        terminal.child.send(f"0.{100 + count}\r")
        terminal.read()
        value = shown_as_kept(terminal)
        if value is not None:
            kept[value] += 1
        assert count < ROWS_OF_PLAN - 2
    terminal.child.send(f"0.{101 + count}\r")
    time.sleep(chance.uniform(0.0, LINGERS_SECONDS))
    terminal.child.kill(signal.SIGKILL)
    assert terminal.end() == -signal.SIGKILL
    in_record = {entry.ohms for entry in read_record(harness).entries if isinstance(entry, Measured)}
    assert set(kept) <= in_record
