"""The list of reviews, and a review as a screen."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.screen import Screen

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.faults import Fault, FaultKind
from model.errors import CircuitError
from model.harness.toml_file import read_harness
from model.plans.plan import PlanKind
from model.review.draw import draw_review
from model.review.findings import find_all
from model.review.live_points import LiveKind, live_points
from model.sheets.findings_sheet import findings_sheet
from model.sheets.review_markdown import review_markdown
from tests.tui.builds import BUGGY, LAMP, TRACTOR, build, loads_of, opened, standing_of
from tests.tui.on_screen import at_rest, screen_text, until
from tests.tui.reviewed import listed_of, looking_over, open_review, reviewing, sheet_of
from tui.app import FusewalkApp
from tui.commands import Place, commands_of, help_of, key_label
from tui.review_making import ReviewKind, reviews_of
from tui.screens.card import CardScreen
from tui.screens.dialog import MessageDialog
from tui.screens.loads import LoadsScreen
from tui.screens.plan import PlanScreen
from tui.screens.plans import PlansScreen
from tui.screens.reviews import ReviewsScreen
from tui.widgets.bars import BottomBar
from tui.widgets.sheet_rows import SheetRows


def words_on(shown: str) -> str:
    """Return what stands on the screen in one line."""
    return " ".join(re.sub("▕▓+▏", "", shown).split())


async def back_on(app: FusewalkApp, pilot: Pilot[Any], screen: Screen[Any]) -> None:
    """Wait until a screen is on top again."""
    await until(pilot, lambda: app.screen is screen)


@pytest.mark.slow
async def test_each_review_says_what_came_of_it() -> None:
    """The line of each holds the figures that the model gives: live points, draw, findings."""
    bench = Bench(read_harness(BUGGY))
    live = live_points(bench.survey(Condition(bench.harness.key_names[0]))).points
    fed = [one for one in live if one.kind is not LiveKind.GROUND]
    unfused = [one for one in fed if one.fused_by is None]
    draw = draw_review(bench)
    async with looking_over(BUGGY) as (app, _):
        shown = words_on(screen_text(app))
    assert f"{len(fed)} points live with the key off, {len(unfused)} unfused" in shown
    lasts = f"lasts {draw.banks[0].time.days:.0f} days"
    assert f"{1000 * draw.asleep_amps:.2f} mA, within {draw.limit.value:g} mA, {lasts}" in shown
    assert f"{len(find_all(bench))} findings: 2 can burn or hurt" in shown
    assert f"{len(bench.harness.fuses)} fuses" in shown


async def test_the_list_is_there_before_its_reviews(tmp_path: Path) -> None:
    """All six are named at once, and any of them opens while the others are being worked out."""
    async with opened(build(tmp_path, LAMP)) as (app, pilot):
        await pilot.press("o")
        await until(pilot, lambda: isinstance(app.screen, ReviewsScreen))
        rows = listed_of(app).query_one(SheetRows)
        assert {row.key for row in rows.rows} == {str(kind) for kind in ReviewKind}
        await open_review(app, pilot, ReviewKind.FINDINGS)
        assert sheet_of(app).laid.told


@pytest.mark.slow
async def test_each_review_opens_leads_to_a_part_and_back() -> None:
    """Enter on the last row that tells of a part opens its card; Esc leads back to the row, then to the list."""
    async with looking_over(BUGGY) as (app, pilot):
        for kind in ReviewKind:
            await open_review(app, pilot, kind)
            screen = sheet_of(app)
            key, told = [(key, told) for key, told in screen.laid.told.items() if told.part][-1]
            screen.query_one(SheetRows).mark_key(key)
            await pilot.press("enter")
            await until(pilot, lambda: isinstance(app.screen, CardScreen))
            card = app.screen
            assert isinstance(card, CardScreen)
            assert card.part_id == told.part.partition(":")[0].partition(".")[0]
            assert card.part_id in standing_of(app).harness.parts
            await pilot.press("escape")
            await back_on(app, pilot, screen)
            marked = screen.query_one(SheetRows).marked_row
            assert marked is not None
            assert marked.key == key
            await pilot.press("escape")
            await until(pilot, lambda: isinstance(app.screen, ReviewsScreen))
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen))


async def test_a_point_is_marked_on_its_card(tmp_path: Path) -> None:
    """Enter on a live point leads to that point of its part."""
    async with reviewing(build(tmp_path, LAMP), ReviewKind.LIVE) as (app, pilot):
        sheet_of(app).query_one(SheetRows).mark_key("F1.out")
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, CardScreen))
        assert isinstance(app.screen, CardScreen)
        assert (app.screen.part_id, app.screen.point) == ("F1", "F1.out")


@pytest.mark.slow
async def test_findings_are_sentences_with_the_rest_below() -> None:
    """The gravest is marked first; below it stand what to do, where, and what it rests on, and a tells it all."""
    bench = Bench(read_harness(BUGGY))
    findings = find_all(bench)
    async with reviewing(BUGGY, ReviewKind.FINDINGS, (100, 40)) as (app, pilot):
        screen = sheet_of(app)
        assert [told.part for told in screen.laid.told.values()] == [finding.part_ids[0] for finding in findings]
        for finding in findings:
            shown = words_on(screen_text(app))
            assert finding.sentence in shown
            assert finding.do in shown
            assert finding.rule_text is None or f"{finding.rule_text.words} (" in shown
            await pilot.press("down")
            await pilot.pause()
        await pilot.press("a")
        await until(pilot, lambda: isinstance(app.screen, MessageDialog))
        assert f"Do: {findings[-1].do}" in words_on(screen_text(app))


@pytest.mark.slow
@pytest.mark.parametrize("size", [(60, 20), (80, 24)])
async def test_a_long_sentence_is_whole_before_what_stands_below(size: tuple[int, int]) -> None:
    """In a small window each finding that is marked stands there to its last word, and what it leaves out is said."""
    findings = find_all(Bench(read_harness(BUGGY)))
    async with reviewing(BUGGY, ReviewKind.FINDINGS, size) as (app, pilot):
        for key, finding in zip(sheet_of(app).laid.told, findings, strict=True):
            sheet_of(app).query_one(SheetRows).mark_key(key)
            await pilot.pause()
            await pilot.pause()
            shown = " ".join(line.rstrip(" ▁▂▃▄▅▆▇█") for line in screen_text(app).splitlines())
            assert finding.sentence in words_on(shown)
            assert finding.do in words_on(shown) or "a: all of it" in shown


async def test_what_is_written_is_the_sheet(tmp_path: Path) -> None:
    """W writes the findings as the command prints them in Markdown, beside the harness."""
    path = build(tmp_path, LAMP)
    async with reviewing(path, ReviewKind.FINDINGS) as (app, pilot):
        await pilot.press("w")
        said = app.screen.query_one(BottomBar).said
    harness = read_harness(path)
    written = tmp_path / f"{path.stem}-findings.md"
    assert said == f"Written to {written}"
    expected = review_markdown(findings_sheet(harness, find_all(Bench(harness))))
    assert written.read_text(encoding="utf-8") == f"{expected}\n"


async def test_a_row_is_found_by_its_words(tmp_path: Path) -> None:
    """A slash asks, letters offer rows, Enter marks the first."""
    async with reviewing(build(tmp_path, LAMP), ReviewKind.LIVE) as (app, pilot):
        screen = sheet_of(app)
        await pilot.press("slash", *"key", "enter")
        await until(pilot, lambda: app.screen is screen)
        told = screen.marked()
        assert told is not None
        assert "key" in " ".join(words for _, words in told.cells).casefold()


async def test_the_draw_leads_to_its_plan_and_back(tmp_path: Path) -> None:
    """The first row opens the plan that measures the draw; Esc leads through the plans back to the draw."""
    async with reviewing(build(tmp_path, LAMP), ReviewKind.DRAW) as (app, pilot):
        screen = sheet_of(app)
        await pilot.press("home", "enter")
        await until(pilot, lambda: isinstance(app.screen, PlanScreen) and app.screen.plan is not None)
        assert isinstance(app.screen, PlanScreen)
        assert app.screen.kind is PlanKind.DRAW
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, PlansScreen))
        assert isinstance(app.screen, PlansScreen)
        assert app.screen.marked_kind() is PlanKind.DRAW
        await pilot.press("escape")
        await until(pilot, lambda: app.screen is screen)


async def test_a_fault_put_in_is_not_in_the_reviews(tmp_path: Path) -> None:
    """The loom is looked over as its file has it: a blown fuse changes no review, and is not said there."""
    async with opened(build(tmp_path, LAMP)) as (app, pilot):
        before = standing_of(app)
        app.standing = before.with_fault(Fault("F1", FaultKind.OPEN))
        await at_rest(pilot)
        await pilot.press("o")
        reviews = reviews_of(before.harness)
        await until(pilot, lambda: reviews.kept(ReviewKind.LIVE) is not None, 6000)
        await at_rest(pilot)
        shown = screen_text(app)
        assert "what if" not in shown
        fed = live_points(before.walks.bench.survey(Condition("off"))).points
        assert any(one.point == "F1.out" for one in fed)
        assert f"{len(fed)} points live with the key off" in shown


async def test_positive_ground_and_without_electronics() -> None:
    """The tractor's reviews are worked out too; its live points have volts below zero."""
    async with reviewing(TRACTOR, ReviewKind.LIVE) as (app, pilot):
        await pilot.press("end")
        assert any("-6." in row.content.plain for row in sheet_of(app).query_one(SheetRows).rows)


@pytest.mark.slow
async def test_what_cannot_be_worked_out_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One review that fails says why in its line and in a dialog; the others are there."""

    def fails(bench: Bench) -> object:
        raise CircuitError("The circuit finds no rest.", do="Look for a loop.")

    monkeypatch.setattr("tui.review_makers.draw_review", fails)
    async with looking_over(build(tmp_path, LAMP)) as (app, pilot):
        assert "cannot be worked out: The circuit finds no rest. Look for a loop." in words_on(screen_text(app))
        await pilot.press("home", "down", "enter")
        await until(pilot, lambda: isinstance(app.screen, MessageDialog))
        assert "The circuit finds no rest." in screen_text(app)
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, ReviewsScreen))
        await open_review(app, pilot, ReviewKind.GLANCE)


async def test_the_loads_count_the_findings(tmp_path: Path) -> None:
    """Once nothing else is to be done the header says how many there are; at another screen it waits."""
    path = build(tmp_path, LAMP)
    count = len(find_all(Bench(read_harness(path))))
    async with opened(path) as (app, pilot):
        screen = loads_of(app)
        await until(pilot, lambda: bool(screen.findings))
        assert screen.findings == f"{count} finding{'' if count == 1 else 's'}."
        assert screen.findings in words_on(screen_text(app))


@pytest.mark.parametrize("place", [Place.REVIEWS, Place.REVIEW, Place.LIVE])
def test_every_key_is_explained(place: Place) -> None:
    """Each key stands in the help of its screen, in a line of its own or named in another."""
    told = " ".join(f"{keys} {words}" for keys, words in help_of(place)).replace(";", " ").replace(":", " ").split()
    for command in commands_of(place):
        if command.id not in {"help", "explain_review", "back"}:
            assert key_label(command.keys[0]) in told, command.id
