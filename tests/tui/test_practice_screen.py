"""Practice on the screen: checks by place, the vehicle answering, and how it went at the end."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
import tomli_w

from model.circuit.condition import Condition
from model.errors import AnswerError, ArgumentError
from model.tracing.named_checks import named_check
from tests.tui.on_bench import put_on_bench
from tests.tui.on_screen import at_rest, screen_text, until
from tests.tui.practising import SEED, practised, press, said
from tests.tui.test_cli_practice import two_fuses
from tui.practice_find import points_typed
from tui.practice_lines import point_check
from tui.practice_rows import check_rows, practice_checks
from tui.practice_words import asked_sentence, named_as_typed
from tui.screens.ask import AskScreen
from tui.screens.dialog import QuestionDialog
from tui.screens.practice import AGAIN
from tui.screens.practised import PractisedScreen
from tui.screens.trace_shown import WAIT
from tui.widgets.rows import RowList


async def test_the_complaint_stands_above_the_checks_by_place(tmp_path: Path) -> None:
    """Every offered check has a row; nothing of the fault is shown."""
    async with practised(two_fuses(tmp_path)) as (pilot, screen):
        practice = screen.practice
        assert practice is not None
        shown = screen_text(pilot.app)
        assert f"({practice.complaint.loads[0].removesuffix(':load')})" in shown or "P1 " in shown or "E1 " in shown
        rows = screen.query_one(RowList).rows
        assert sum(row.can_be_marked for row in rows) == len(practice.offered)
        assert "practice, no checks" in shown


async def test_a_wire_is_listed_between_the_places_of_its_ends(tmp_path: Path) -> None:
    """Not among what has no place."""
    path = tmp_path / "two_places.toml"
    text = two_fuses(tmp_path).read_text(encoding="utf-8")
    row = tomllib.loads(text)
    row["locations"] = [{"name": "dash"}, {"name": "nose"}]
    for part in (*row["fuses"], *row["loads"]):
        part["location"] = "dash" if part in row["fuses"] else "nose"
    path.write_text(tomli_w.dumps(row), encoding="utf-8")
    async with practised(path) as (_, screen):
        assert screen.practice is not None
        places = dict(practice_checks(screen.practice))
        wires = [one.part for one in places["between dash and nose"]]
        assert wires
        assert all(name.startswith("W") for name in wires)


async def test_the_step_names_the_switch_that_is_at_rest(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A check with the key as in the complaint and its switch at rest says so, in the row before what is done."""
    path = tmp_path / "switched.toml"
    row = tomllib.loads(two_fuses(tmp_path).read_text(encoding="utf-8"))
    row["switches"] = [{"id": "S1", "label": "Lamp switch", "positions": {"off": [], "on": [["1", "2"]]}}]
    path.write_text(tomli_w.dumps(row), encoding="utf-8")
    async with practised(path) as (_, screen):
        practice = screen.practice
        assert practice is not None
        usual = Condition(practice.condition.key, (*practice.condition.settings, ("S1", "on")))
        monkeypatch.setattr(type(practice), "condition", property(lambda _: usual))
        check = next(one for one in practice.offered if "S1" not in one.condition.by_name)
        assert "S1 (Lamp switch) at rest" in asked_sentence(practice, check)
        rows = check_rows(practice, [("", [check])], 200)
        assert rows[1].content.plain.startswith("S1 (Lamp switch) at rest")


async def test_enter_makes_the_marked_check(tmp_path: Path) -> None:
    """Its reading stands in its row and under the list, and is counted; the mark stays."""
    async with practised(two_fuses(tmp_path)) as (pilot, screen):
        await press(pilot, "down", "enter")
        practice = screen.practice
        assert practice is not None
        assert len(practice.made) == 1
        made = practice.made[0]
        marked = screen.query_one(RowList).marked_row
        assert marked is not None
        assert marked.key == named_check(practice.harness, made.check, practice.condition)
        assert marked.content.plain.rstrip()[-1] in "VAΩ)kdxtynbs" or made.outcome.word
        assert said(screen).startswith(marked.key)
        assert "practice, 1 check, about" in screen_text(pilot.app)


async def test_enter_out_of_habit_makes_no_check_twice(tmp_path: Path) -> None:
    """The second Enter asks, the third reads again; with the mark moved in between it is asked anew."""
    async with practised(two_fuses(tmp_path)) as (pilot, screen):
        await press(pilot, "down", "enter", "enter")
        practice = screen.practice
        assert practice is not None
        assert len(practice.made) == 1
        assert said(screen) == AGAIN
        await press(pilot, "down", "up", "enter")
        assert len(practice.made) == 1
        await press(pilot, "enter")
        assert [one.check for one in practice.made] == [practice.made[0].check] * 2
        await press(pilot, "enter")
        assert len(practice.made) == 2


async def test_keys_pressed_while_something_is_worked_out_say_so(tmp_path: Path) -> None:
    """None of them is swallowed, none makes the check that was marked before."""
    async with practised(two_fuses(tmp_path)) as (pilot, screen):
        practice = screen.practice
        assert practice is not None
        screen.is_busy = True
        for key in ("enter", "h", "i", "g"):
            screen.say("")
            await press(pilot, key)
            assert WAIT in screen_text(pilot.app)
        screen.is_busy = False
        assert (practice.made, practice.hints, practice.verdict) == ((), 0, None)
        assert pilot.app.screen is screen


async def test_a_hint_that_is_not_in_the_list_comes_into_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Else Enter would make the check that was marked before, which is read already."""
    async with practised(two_fuses(tmp_path)) as (pilot, screen):
        practice = screen.practice
        assert practice is not None
        hinted = point_check(practice.harness, practice.condition, "F1.in", "F1.out")
        assert hinted not in screen.named.values()
        monkeypatch.setattr(practice, "hint", lambda: hinted)
        await press(pilot, "down", "enter", "h")
        assert screen.marked_check() == hinted
        assert said(screen) == "The next best check is marked."
        await press(pilot, "enter")
        assert practice.made[-1].check == hinted


async def test_a_hint_marks_a_check_and_is_counted(tmp_path: Path) -> None:
    """Enter then makes it."""
    async with practised(two_fuses(tmp_path)) as (pilot, screen):
        await press(pilot, "h")
        practice = screen.practice
        assert practice is not None
        assert practice.hints == 1
        assert said(screen) == "The next best check is marked."
        hinted = screen.marked_check()
        await press(pilot, "enter")
        assert practice.made[0].check == hinted


async def test_any_point_can_be_read(tmp_path: Path) -> None:
    """It gets a row of its own where it is not offered."""
    async with practised(two_fuses(tmp_path)) as (pilot, screen):
        await press(pilot, "o")
        await pilot.press(*"W3.a")
        await pilot.press("escape")
        await at_rest(pilot)
        screen.read_at(("G1.+", ""))
        await at_rest(pilot)
        practice = screen.practice
        assert practice is not None
        assert practice.made[0].check.red == "G1.+"
        assert practice.made[0].outcome.value == pytest.approx(12.6, abs=0.5)


async def test_two_points_are_red_and_black(tmp_path: Path) -> None:
    """As in lines: the second, behind a space, is where the black probe goes; it is offered by what is typed of it."""
    async with practised(two_fuses(tmp_path)) as (pilot, screen):
        await press(pilot, "o")
        ask = pilot.app.screen
        assert isinstance(ask, AskScreen)
        await pilot.press(*"G1.+ F1.in")
        await pilot.pause()
        assert [name for name, _ in ask.offered][:1] == ["G1.+ F1.in"]
        await press(pilot, "enter")
        practice = screen.practice
        assert practice is not None
        await until(pilot, lambda: bool(practice.made))
        check = practice.made[0].check
        assert (check.red, check.black) == ("G1.+", "F1.in")


def test_a_second_point_that_is_none_is_told(tmp_path: Path) -> None:
    """Words of one point stay words of one."""
    harness = put_on_bench(two_fuses(tmp_path)).harness
    assert points_typed(harness, " g1.+ ") == ("G1.+", "")
    assert points_typed(harness, "g1.+ f1.IN") == ("G1.+", "F1.in")
    with pytest.raises(ArgumentError, match=r"There is no point “F9\.in”"):
        points_typed(harness, "G1.+ F9.in")
    with pytest.raises(ArgumentError, match="There is no point “fuel pump”"):
        points_typed(harness, "fuel pump")


@pytest.mark.slow
async def test_the_right_name_ends_it_with_the_plan_beside(tmp_path: Path) -> None:
    """Chosen among the suspects; then checks, minutes and seed; Enter hides another."""
    async with practised(two_fuses(tmp_path)) as (pilot, screen):
        practice = screen.practice
        assert practice is not None
        await press(pilot, "enter", "i")
        await pilot.press(*practice.hidden.site.replace(":", " ").split(" ")[0])
        await pilot.press("enter")
        await at_rest(pilot)
        end = pilot.app.screen
        assert isinstance(end, PractisedScreen)
        text = end.page().text
        assert text.startswith("Right. It was ")
        assert "You: 1 check" in text
        assert f"--seed {SEED}." in text
        await pilot.press("enter")
        await until(pilot, lambda: screen.practice is not None and screen.practice is not practice)
        await at_rest(pilot)
        assert pilot.app.screen is screen
        assert screen.practice is not None
        assert screen.practice.made == ()


@pytest.mark.parametrize(("typed", "site", "fault"), [("fuse f1 blown", "F1", "blown"), ("wire W1", "W1", "")])
async def test_the_kind_of_a_part_may_stand_before_its_name(tmp_path: Path, typed: str, site: str, fault: str) -> None:
    """As the field shows it; without a fault all those of the part are meant; a kind alone names nothing."""
    async with practised(two_fuses(tmp_path)) as (_, screen):
        practice = screen.practice
        assert practice is not None
        assert named_as_typed(practice, typed) == practice.named(site, fault)
        with pytest.raises(AnswerError, match="fuse is none of the suspects"):
            named_as_typed(practice, "fuse")


async def test_what_alone_fits_is_taken_and_of_several_the_first_is_marked(tmp_path: Path) -> None:
    """Words of a fault that is no name: Enter takes the one row below, or goes into the list of several."""
    async with practised(two_fuses(tmp_path)) as (pilot, screen):
        practice = screen.practice
        assert practice is not None
        await press(pilot, "i")
        ask = pilot.app.screen
        assert isinstance(ask, AskScreen)
        await pilot.press(*"horn")
        await pilot.pause()
        assert len(ask.offered) > 1
        await pilot.press("enter")
        marked = ask.query_one(RowList).marked_row
        assert marked is not None
        assert marked.key == ask.offered[0][0]
        assert "Enter takes the marked one" in screen_text(pilot.app)
        await pilot.press("space", *"blown")
        await pilot.pause()
        assert [name for name, _ in ask.offered] == ["F1 blown"]
        await pilot.press("enter")
        await at_rest(pilot)
        assert pilot.app.screen is not ask
        assert practice.verdict is not None or practice.wrong_names == 1


async def test_a_wrong_name_is_told_and_it_goes_on(tmp_path: Path) -> None:
    """It is counted; that readings may slip was said before."""
    async with practised(two_fuses(tmp_path), (60, 20)) as (pilot, screen):
        practice = screen.practice
        assert practice is not None
        assert "a reading slips" in said(screen)
        assert "Readings may slip." in screen_text(pilot.app)
        screen.judge(practice.named("P1"))
        await at_rest(pilot)
        assert pilot.app.screen is screen
        assert "No: not " in said(screen)
        assert "1 wrong name so far." in said(screen)
        assert practice.verdict is None


async def test_what_is_no_suspect_is_told_and_asked_again(tmp_path: Path) -> None:
    """The question stays until it is answered or left."""
    async with practised(two_fuses(tmp_path)) as (pilot, screen):
        await press(pilot, "i")
        await press(pilot, *"zz", "enter")
        assert "none of the suspects" in screen_text(pilot.app)
        await press(pilot, "escape")
        assert pilot.app.screen is screen
        assert screen.practice is not None
        assert screen.practice.verdict is None


async def test_giving_up_tells_what_it_was(tmp_path: Path) -> None:
    """And Esc from there leads back below."""
    async with practised(two_fuses(tmp_path)) as (pilot, screen):
        await press(pilot, "g")
        end = pilot.app.screen
        assert isinstance(end, PractisedScreen)
        assert end.page().text.startswith("It was ")
        await press(pilot, "escape")
        assert screen not in pilot.app.screen_stack


async def test_leaving_in_the_middle_is_asked(tmp_path: Path) -> None:
    """Esc goes on, Enter leaves; before the first reading nothing is asked."""
    async with practised(two_fuses(tmp_path)) as (pilot, screen):
        await press(pilot, "enter", "escape")
        assert any(isinstance(one, QuestionDialog) for one in pilot.app.screen_stack)
        await press(pilot, "escape")
        assert pilot.app.screen is screen
        await press(pilot, "escape", "enter")
        assert screen not in pilot.app.screen_stack
