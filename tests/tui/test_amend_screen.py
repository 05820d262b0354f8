"""A part amended from its card, by keys alone: filled in, asked about, put in, taken back."""

from pathlib import Path

import pytest

from model.amending import standing_amendments
from model.harness.toml_file import read_harness
from model.record import read_record
from tests.tui.builds import build, opened, standing_of
from tests.tui.filled_in import CART, form_of, mark, marked, names, press, shown, typed
from tests.tui.hostile_build import hostile_build
from tests.tui.on_screen import until
from tests.tui.test_hostile_build import assert_harmless
from tui.app import FusewalkApp
from tui.form_rows import PUT_IN
from tui.screens.amend import AmendScreen
from tui.screens.card import CardScreen
from tui.screens.choose import ChooseScreen
from tui.screens.loads import LoadsScreen
from tui.widgets.rows import RowList

SIZES = [(60, 20), (80, 24)]


async def amending(app: FusewalkApp, pilot: object, part_id: str, kind: str) -> None:
    """Go to the card of a part, then to one kind of work."""
    from textual.pilot import Pilot

    assert isinstance(pilot, Pilot)
    await press(app, pilot, "slash", *typed(part_id), "tab")
    await until(pilot, lambda: isinstance(app.screen, CardScreen) and app.screen.view is not None)
    await press(app, pilot, "e")
    assert isinstance(app.screen, ChooseScreen)
    for _ in range(8):
        row = app.screen.query_one(RowList).marked_row
        if row is not None and row.content.plain.startswith(f"{kind}:"):
            break
        await press(app, pilot, "down")
    await press(app, pilot, "enter")
    assert isinstance(app.screen, AmendScreen)


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
async def test_a_value_is_changed_and_taken_back_by_keys_alone(tmp_path: Path, size: tuple[int, int]) -> None:
    """The card stands on the new revision and tells of it; u brings the file back byte for byte."""
    path = build(tmp_path, CART)
    async with opened(path, size) as (app, pilot):
        await amending(app, pilot, "F1", "found different")
        await mark(app, pilot, "amps")
        await press(app, pilot, *typed("15"), "enter")
        await mark(app, pilot, "reason of it")
        await press(app, pilot, *typed("read on the fuse"), "enter", "tab")
        assert marked(app) == PUT_IN
        assert "F1 is not as the file had it: amps 15" in shown(app)
        await press(app, pilot, "enter", "enter")
        await until(pilot, lambda: isinstance(app.screen, CardScreen) and standing_of(app).harness.build.revision == 4)
        assert read_harness(path).parts["F1"].amps == 15  # type: ignore[attr-defined]
        assert standing_of(app).harness == read_harness(path)
        await until(pilot, lambda: "revision 4" in shown(app))
        (entry,) = standing_amendments(read_record(path).entries)
        assert (entry.reason, entry.parts) == ("read on the fuse", ("F1",))
        await until(pilot, lambda: "amended" in shown(app))
        await press(app, pilot, "u")
        assert "Take the last amendment back?" in shown(app)
        await press(app, pilot, "enter")
        await until(pilot, lambda: standing_of(app).harness.build.revision == 3)
        assert path.read_text(encoding="utf-8") == CART
        assert names(tmp_path) == ["build.record.toml", "build.rev3.toml", "build.rev4.undone.toml", "build.toml"]
        await press(app, pilot, "u")
        assert "no amendment to take back" in shown(app)


@pytest.mark.slow
async def test_a_part_taken_out_leads_back_to_the_loads(tmp_path: Path) -> None:
    """There is no card any more; the load is gone from the list."""
    path = build(tmp_path, CART)
    async with opened(path) as (app, pilot):
        await amending(app, pilot, "E1", "removed")
        await press(app, pilot, "tab", "enter", "enter")
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen))
        await until(pilot, lambda: "No load is in this file" in shown(app))
        assert "E1" not in read_harness(path).parts


@pytest.mark.slow
async def test_what_does_not_fit_stays_in_the_entry(tmp_path: Path) -> None:
    """It is refused in words; Esc drops the entry alone, and leaving asks about what was given."""
    path = build(tmp_path, CART)
    async with opened(path, (60, 20)) as (app, pilot):
        await amending(app, pilot, "W1", "replaced")
        await mark(app, pilot, "length")
        await press(app, pilot, *typed("long"), "enter")
        assert "“long” does not fit length: it wants a number of metres, such as 1.5." in shown(app)
        assert form_of(app).query_one("#typed").value == "long"  # type: ignore[attr-defined]
        await press(app, pilot, "escape")
        assert "length" not in form_of(app).values
        await press(app, pilot, *typed("2"), "down", "escape")
        assert "Leave it?" in shown(app)
        await press(app, pilot, "escape")
        assert form_of(app).values["length"] == "2"
        await press(app, pilot, "escape", "enter")
        assert isinstance(app.screen, CardScreen)
        assert path.read_text(encoding="utf-8") == CART


@pytest.mark.slow
async def test_what_is_typed_replaces_what_stood_there(tmp_path: Path) -> None:
    """Enter marks the old value whole: a digit takes its place; Right goes behind it."""
    path = build(tmp_path, CART)
    async with opened(path, (60, 20)) as (app, pilot):
        await amending(app, pilot, "W1", "replaced")
        await mark(app, pilot, "length")
        assert "length, m" in shown(app)
        await press(app, pilot, "enter")
        assert "Right or End goes behind it" in shown(app)
        await press(app, pilot, *typed("1.5"), "enter")
        assert form_of(app).values["length"] == "1.5"
        await press(app, pilot, "up", "enter", "right", "5", "enter")
        assert form_of(app).values["length"] == "1.55"
        assert "What is typed replaces it" not in shown(app)


@pytest.mark.slow
async def test_a_sign_that_stood_there_alone_is_gone_on_with_when_it_is_typed(tmp_path: Path) -> None:
    """15 typed where 1 stands is 15: its first digit is no less typed for standing there already."""
    async with opened(build(tmp_path, CART)) as (app, pilot):
        await amending(app, pilot, "F1", "found different")
        for figure in ("1", "15"):
            await mark(app, pilot, "amps")
            await press(app, pilot, *figure, "enter")
            assert form_of(app).values["amps"] == figure


@pytest.mark.slow
async def test_what_would_not_read_is_told_and_nothing_is_lost(tmp_path: Path) -> None:
    """A wire cannot end on a part that is not there: the breach is told when it is put in, the form stays filled in."""
    path = build(tmp_path, CART)
    async with opened(path) as (app, pilot):
        await amending(app, pilot, "W1", "found different")
        await mark(app, pilot, "to")
        await press(app, pilot, *typed("Q9.1"), "enter", "tab", "enter", "enter")
        await until(pilot, lambda: "Q9" in form_of(app).wrong)
        assert form_of(app).values == {"to": "Q9.1"}
        assert path.read_text(encoding="utf-8") == CART


@pytest.mark.slow
async def test_a_file_changed_outside_is_never_written_over(tmp_path: Path) -> None:
    """It is told, and all that was given stays."""
    path = build(tmp_path, CART)
    async with opened(path) as (app, pilot):
        await amending(app, pilot, "F1", "replaced")
        changed = CART.replace("watts = 21", "watts = 55")
        path.write_text(changed, encoding="utf-8")
        await mark(app, pilot, "amps")
        await press(app, pilot, *typed("15"), "enter", "tab", "enter", "enter")
        await until(pilot, lambda: "changed by something else" in shown(app))
        assert path.read_text(encoding="utf-8") == changed
        assert form_of(app).values == {"amps": "15"}
        assert names(tmp_path) == ["build.toml"]


@pytest.mark.slow
@pytest.mark.parametrize("size", [SIZES[0], pytest.param(SIZES[1], marks=pytest.mark.thorough)])
async def test_nasty_names_amend_nothing_by_themselves(tmp_path: Path, size: tuple[int, int]) -> None:
    """Every row of a part with nasty names is shown, opened and shut; no key obeys them, the file stays."""
    path = build(tmp_path, hostile_build())
    before = path.read_bytes()
    async with opened(path, size) as (app, pilot):
        await amending(app, pilot, "K1", "found different")
        rows = app.screen.query_one(RowList)
        for _ in range(len(rows.rows)):
            await pilot.press("enter")
            await pilot.pause()
            assert_harmless(app)
            await pilot.press("escape", "down")
            if not isinstance(app.screen, AmendScreen):
                break
        assert path.read_bytes() == before
