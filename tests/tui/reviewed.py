"""Reviews on the screen: opened with keys as a person would, and waited for."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

from textual.pilot import Pilot

from tests.tui.builds import opened
from tests.tui.on_screen import at_rest, until
from tui.app import FusewalkApp
from tui.review_making import ReviewKind, reviews_of
from tui.screens.reviews import ReviewsScreen
from tui.screens.sheeted import Sheeted


def sheet_of(app: FusewalkApp) -> Sheeted:
    """Return the review, which is on top."""
    assert isinstance(app.screen, Sheeted)
    return app.screen


def listed_of(app: FusewalkApp) -> ReviewsScreen:
    """Return the list of reviews, which is on top."""
    assert isinstance(app.screen, ReviewsScreen)
    return app.screen


@asynccontextmanager
async def looking_over(path: Path, size: tuple[int, int] = (80, 24)) -> AsyncIterator[tuple[FusewalkApp, Pilot[Any]]]:
    """Open a build, then the list of reviews, and wait until all are worked out."""
    async with opened(path, size) as (app, pilot):
        await pilot.press("o")
        await until(pilot, lambda: isinstance(app.screen, ReviewsScreen))
        reviews = reviews_of(listed_of(app).bench.harness)
        await until(pilot, lambda: all(reviews.kept(kind) is not None for kind in ReviewKind), 6000)
        await at_rest(pilot)
        yield app, pilot


async def open_review(app: FusewalkApp, pilot: Pilot[Any], kind: ReviewKind) -> None:
    """Open a review from the list, and wait until its rows stand there."""
    await pilot.press("home", *["down"] * list(ReviewKind).index(kind), "enter")
    await until(pilot, lambda: isinstance(app.screen, Sheeted) and bool(app.screen.laid.rows))
    await at_rest(pilot)


@asynccontextmanager
async def reviewing(
    path: Path, kind: ReviewKind, size: tuple[int, int] = (80, 24)
) -> AsyncIterator[tuple[FusewalkApp, Pilot[Any]]]:
    """Open a build, then one of its reviews, and wait until its rows stand there."""
    async with looking_over(path, size) as (app, pilot):
        await open_review(app, pilot, kind)
        yield app, pilot
