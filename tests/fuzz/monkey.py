"""A monkey at the keyboard and the mouse: ``python -m tests.fuzz.monkey --minutes 10 --seed 1``.

Each seed is one round: a build is written anew, opened, and a few dozen things are done to it, the same ones for the
same seed as far as the speed of the machine lets them be. What breaks a law is printed with all that was done before.
"""

from __future__ import annotations

import argparse
import asyncio
import faulthandler
import os
import sys
import tempfile
import time
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import Any
from unittest import mock

from textual.pilot import Pilot

from model.record import read_record
from tests.fuzz.monkey_acts import HARMLESS, Act, Done, chosen, do, key_event
from tests.fuzz.monkey_laws import (
    SLOW_SECONDS,
    WatchedApp,
    broken_laws,
    entries_of,
    is_busy,
    lost_answers,
    state_of,
    stuck,
    top_screen,
)
from tests.tui.builds import BUGGY
from tests.tui.filled_in import CART
from tests.tui.hostile_build import hostile_build
from tests.tui.small_loom import SMALL_LOOM
from tests.tui.traced import RELAY_LAMP
from tui.screens.frame import Framed

BUILDS = {"relay": RELAY_LAMP, "cart": CART, "hostile": hostile_build(), "small": SMALL_LOOM}
"""What is opened; the trail buggy besides, where the seed says so."""

ROUTES: tuple[tuple[str, ...], ...] = (
    (),
    ("enter",),
    ("enter", "enter"),
    ("enter", "m"),
    ("enter", "b"),
    ("enter", "x", "enter"),
    ("enter", "enter", "e"),
    ("t",),
    ("t", "enter"),
    ("t", "enter"),
    ("t", "enter", "b"),
    ("t", "enter", "y"),
    ("v",),
    ("v", "enter"),
    ("v", "enter", "i"),
    ("v", "down", "down", "enter"),
    ("v", "r"),
    ("o",),
    ("o", "enter"),
    ("o", "down", "enter"),
    ("p",),
    ("f",),
    ("a",),
    ("a", "enter"),
    ("a", "down", "enter"),
    ("s",),
    ("s", "slash"),
    ("slash",),
    ("question_mark",),
    ("t", "enter", "n", "n", "n", "n", "n", "n", "n", "enter"),
    ("t", "enter", "z", "1", "2", "enter", "1", "enter", "n", "n"),
    ("p", "enter", "enter", "h", "g", "enter"),
    ("v", "enter", "g", "b", "t"),
    ("escape",),
    ("escape", "f"),
)
"""Keys that lead to where a round begins."""

_HURRIES = 0.25
_LOOKS = 0.5
_LATE_SECONDS = 0.3


@dataclass
class Round:
    """What a round came to.

    Attributes
    ----------
    broken
        The laws that were not kept, in sentences.
    done
        What had been done until then.
    """

    seed: int
    broken: list[str] = field(default_factory=list)
    done: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        """Tell it in full."""
        return "\n".join([f"seed {self.seed}", *self.done, *(f"BROKEN: {one}" for one in self.broken)])


async def play(seed: int, directory: Path, acts: int = 60) -> Round:
    """Play one round in a directory of its own.

    Parameters
    ----------
    seed
        The same seed does the same.
    acts
        How many things are done.
    """
    dice = Random(seed)
    found = Round(seed)
    name = dice.choice([*BUILDS, "buggy"])
    path = directory / f"{name}.toml"
    path.write_text(BUGGY.read_text("utf-8") if name == "buggy" else BUILDS[name], encoding="utf-8")
    app = WatchedApp(path, ascii_only=dice.random() < 0.1)
    found.done.append(f"open {name}")
    try:
        with slowed(Random(seed)):
            async with app.run_test(size=dice.choice([(80, 24), (60, 20), (120, 40)])) as pilot:
                await _rounds(app, pilot, dice, found, acts)
    except Exception as error:
        found.broken += [f"{error!r}", *("".join(traceback.format_exception(one)) for one in (error, *app.faults))]
    if not found.broken:
        found.broken += [f"the record has a damaged part: {one}" for one in read_record(path).trouble]
    return found


@contextmanager
def slowed(dice: Random) -> Iterator[None]:
    """Let work aside come late, now and then, so that keys come between; nothing is slowed in every second round."""
    quick = Framed.aside
    share = dice.choice([0.0, 0.4])

    def aside(screen: Framed[Any], work: Callable[[], Any], then: Callable[[Any], None], group: str = "aside") -> None:
        before, behind = (dice.random() * _LATE_SECONDS if dice.random() < share else 0.0 for _ in range(2))

        def late() -> object:
            time.sleep(before)
            done = work()
            time.sleep(behind)
            return done

        quick(screen, late, then, group)

    with mock.patch.object(Framed, "aside", aside):
        yield


async def _rounds(app: WatchedApp, pilot: Pilot[Any], dice: Random, found: Round, acts: int) -> None:
    await settle(app, pilot)
    for key in dice.choice(ROUTES):
        found.done.append(f"route {key}")
        app.post_message(key_event(key))
        await settle(app, pilot)
    for _ in range(acts):
        if not app.is_running or app.return_code is not None:
            break
        done = chosen(app, dice)
        found.done.append(f"{type(app.screen).__name__}: {done}")
        await asyncio.wait_for(_act(app, pilot, dice, done, found), SLOW_SECONDS)
        found.broken += broken_laws(app)
        if found.broken:
            found.broken += ["".join(traceback.format_exception(one)) for one in app.faults]
            return
    if app.is_running:
        await settle(app, pilot)
        found.broken += [*broken_laws(app), *stuck(app), *lost_answers(app)]


async def _act(app: WatchedApp, pilot: Pilot[Any], dice: Random, done: Done, found: Round) -> None:
    """Do one thing; of what changes nothing see that it changed nothing."""
    looks = done.act in HARMLESS and done.act is not Act.WAIT and dice.random() < _LOOKS
    if not looks:
        await do(pilot, done, hurries=dice.random() < _HURRIES)
        return
    await settle(app, pilot)
    found.broken += stuck(app)
    before, top = state_of(app), top_screen(app)
    typed = entries_of(top)
    await do(pilot, done)
    await settle(app, pilot)
    after = state_of(app)
    if before != after:
        found.broken.append(f"{done} changed what stood there: {before} became {after}; typed {typed}")


async def settle(app: WatchedApp, pilot: Pilot[Any]) -> None:
    """Wait until nothing is worked out or laid out any more.

    Raises
    ------
    TimeoutError
        Where that takes far longer than anything does.
    """
    end = time.monotonic() + SLOW_SECONDS
    quiet = 0
    while quiet < 2:
        await pilot.pause()
        while is_busy(app) and app.is_running:
            quiet = 0
            if time.monotonic() > end:
                raise TimeoutError("something is worked out without an end")
            await pilot.pause(0.01)
        quiet += 1


def play_apart(seed: int, acts: int) -> Round:
    """Play one round with places of its own for whatever the program keeps."""
    with tempfile.TemporaryDirectory() as name:
        directory = Path(name)
        for variable in ("XDG_STATE_HOME", "XDG_CONFIG_HOME", "HOME"):
            os.environ[variable] = str(directory / variable.lower())
        os.chdir(directory)
        try:
            return asyncio.run(play(seed, directory, acts))
        finally:
            os.chdir("/")


def main() -> int:
    """Play rounds until the time is over; give 1 where one broke a law."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz.monkey", description=__doc__)
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--seed", type=int, default=1, help="of the first round; each next one counts on")
    parser.add_argument("--rounds", type=int, default=sys.maxsize, help="at most so many")
    parser.add_argument("--acts", type=int, default=60, help="how many things are done in a round")
    parser.add_argument("--all", action="store_true", help="go on after a broken law")
    options = parser.parse_args()
    os.environ["TEXTUAL_ANIMATIONS"] = "none"
    end, seed, bad = time.monotonic() + options.minutes * 60.0, options.seed, 0
    while time.monotonic() < end and seed - options.seed < options.rounds:
        faulthandler.dump_traceback_later(4 * SLOW_SECONDS, exit=True)
        found = play_apart(seed, options.acts)
        seed += 1
        if found.broken:
            bad += 1
            sys.stdout.write(f"{found}\n\n")
            sys.stdout.flush()
            if not options.all:
                break
    faulthandler.cancel_dump_traceback_later()
    sys.stdout.write(f"{seed - options.seed} rounds from seed {options.seed}, {bad} of them broke a law\n")
    return min(bad, 1)


if __name__ == "__main__":
    sys.exit(main())
