"""What would be seen if something were wrong: the choice of a fault, what it does, and having it put in."""

import threading
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import Input, Static

from model.circuit.faults import Fault, FaultKind, parse_fault
from tests.tui.on_bench import (
    app_of,
    every_kind,
    looking_at,
    no_control_bytes,
    put_on_bench,
    row_texts,
    standing_of,
)
from tests.tui.on_screen import at_rest, screen_text, until
from tui.fault_words import fault_words
from tui.screens.ask import AskScreen
from tui.screens.card import CardScreen
from tui.screens.loads import LoadsScreen
from tui.screens.walk import WalkScreen
from tui.screens.what_if import WhatIfScreen
from tui.screens.what_if_seen import SeenScreen
from tui.standing import Standing
from tui.what_if_run import NobodyWaitsError, run_what_if
from tui.widgets.bars import FaultLine
from tui.widgets.rows import RowList


def top_of(pilot: Pilot[Any]) -> Screen[Any]:
    """Return the screen on top."""
    return pilot.app.screen


def rows_of(pilot: Pilot[Any]) -> list[str]:
    """Return what the rows on top say."""
    return row_texts(pilot.app.screen.query_one(RowList))


async def choose(pilot: Pilot[Any], key: str) -> None:
    """Mark a fault and take it."""
    pilot.app.screen.query_one(RowList).mark_key(key)
    await pilot.press("enter")
    await at_rest(pilot)


async def see(pilot: Pilot[Any], fault: str) -> SeenScreen:
    """Show what a fault does, and return the screen."""
    screen = SeenScreen(parse_fault(standing_of(pilot).harness, fault))
    await pilot.app.push_screen(screen)
    await at_rest(pilot)
    return screen


@pytest.mark.parametrize(
    ("fault", "words"),
    [
        (Fault("W9", FaultKind.OPEN), "W9 open"),
        (Fault("W9", FaultKind.TO_BODY), "W9 to body"),
        (Fault("W9", FaultKind.TOUCHES, "BB2"), "W9 touches BB2"),
        (Fault("W9", FaultKind.ELSEWHERE, "S1.75"), "W9 elsewhere, really at S1.75"),
        (Fault("GND1", FaultKind.HIGH), "GND1 high, 5 Ω more"),
        (Fault("GND1", FaultKind.HIGH, ohms=2.5), "GND1 2.5 Ω in its place"),
    ],
)
def test_a_fault_is_said_as_one_says_it(fault: Fault, words: str) -> None:
    """Site, what is wrong, and the partner or the ohms."""
    assert fault_words(fault) == words


async def test_a_card_asks_and_the_sites_stand_with_their_faults() -> None:
    """The key x lists each site of the part with the faults it can have, the marked pin's in front of the eye."""
    async with looking_at(CardScreen("K7", "K7.87"), put_on_bench()) as pilot:
        await pilot.press("x")
        await at_rest(pilot)
        screen = top_of(pilot)
        assert isinstance(screen, WhatIfScreen)
        assert {choice.site for choice in screen.choices.values()} == {
            "K7:coil", "K7:30-87", "K7.30", "K7.87", "K7.86", "K7.85",
        }  # fmt: skip
        marked = screen.query_one(RowList).marked_row
        assert marked is not None
        assert marked.key == "K7.87 open"
        assert screen.facts.doing == "what if: K7 Fuel pump relay"


@pytest.mark.slow
async def test_an_open_wire_is_put_in_and_taken_out() -> None:
    """The pump dies in the three key states in which it works; put in, the card tells the faulty volts."""
    card = CardScreen("K7")
    async with looking_at(card, put_on_bench(key="ignition"), (80, 24)) as pilot:
        await pilot.press("enter", "x")
        await at_rest(pilot)
        await choose(pilot, "W26 open")
        assert isinstance(top_of(pilot), SeenScreen)
        assert [text.split() for text in rows_of(pilot)] == [
            ["works", "›", "dead", "in", "ignition,", "crank,", "running"],
            ["M2", "Fuel", "pump", "tank", "bay"],
        ]
        assert "1 load would change" in screen_text(pilot.app)
        await pilot.press("enter")
        await at_rest(pilot)
        wire = top_of(pilot)
        assert isinstance(wire, CardScreen)
        assert standing_of(pilot).condition.faults == (Fault("W26", FaultKind.OPEN),)
        assert "what if: W26 open   X takes it out" in screen_text(pilot.app)
        ends = [text.split() for text in rows_of(pilot) if text.split()[:1] in (["from"], ["to"])]
        assert [end[-1] for end in ends] == ["12.65", "0.00"]
        await pilot.press("escape")
        await at_rest(pilot)
        assert top_of(pilot) is card
        assert card.query_one(FaultLine).display
        await pilot.press("X")
        await at_rest(pilot)
        assert standing_of(pilot).condition.faults == ()
        assert not card.query_one(FaultLine).display


@pytest.mark.slow
async def test_every_screen_says_which_fault_is_put_in(tmp_path: Path) -> None:
    """Loads, walk, card, search: one clear line on top of each."""
    from tui.screens.search import SearchScreen

    standing = put_on_bench(key="ignition")
    faulty = standing.with_fault(parse_fault(standing.harness, "GND7=open"))
    async with looking_at(None, faulty, (60, 20)) as pilot:
        app = app_of(pilot)
        app.path = faulty.path
        for screen in (
            LoadsScreen(faulty.path),
            WalkScreen("M2:load"),
            CardScreen("M2"),
            SearchScreen([], card_facts()),
        ):
            await app.push_screen(screen)
            await at_rest(pilot)
            assert screen_text(app).splitlines()[2].startswith(" what if: GND7 open")


def card_facts() -> Any:  # noqa: ANN401
    """Return facts for the line on top."""
    from tui.widgets.bars import BarFacts

    return BarFacts("Buggy", "find")


@pytest.mark.slow
async def test_fuses_and_buzzing_are_told_first() -> None:
    """A feed worn through blows its fuse: that stands above the loads."""
    async with looking_at(None, put_on_bench()) as pilot:
        await see(pilot, "W10=to body")
        assert rows_of(pilot)[0].strip() == "F10 opens in ignition, crank."
        assert "buzz" in rows_of(pilot)[1]


@pytest.mark.slow
async def test_nothing_changes_is_said() -> None:
    """A spare wire that is open changes nothing."""
    async with looking_at(None, put_on_bench()) as pilot:
        await see(pilot, "W188=open")
        assert "No load changes what it does in any key state." in " ".join(rows_of(pilot))
        assert "no loads would change" in screen_text(pilot.app)


@pytest.mark.slow
async def test_ohms_are_asked_for() -> None:
    """A figure with a comma and a unit is read; words are told and asked again; nothing typed is 5 Ω more."""
    async with looking_at(WhatIfScreen(["W26"]), put_on_bench()) as pilot:
        await choose(pilot, "W26 high")
        ask = top_of(pilot)
        assert isinstance(ask, AskScreen)
        await pilot.press(*"much", "enter")
        assert "“much” is no figure in ohms." in screen_text(pilot.app)
        for typed, fault in (("0,5 ohm", "W26 0.5 Ω in its place"), ("", "W26 high, 5 Ω more")):
            ask.query_one(Input).value = typed
            await pilot.press("enter")
            await at_rest(pilot)
            seen = top_of(pilot)
            assert isinstance(seen, SeenScreen)
            assert fault_words(seen.fault) == fault
            await pilot.press("escape")
            await choose(pilot, "W26 high")
            ask = top_of(pilot)
        await pilot.press("escape")
        assert isinstance(top_of(pilot), WhatIfScreen)


@pytest.mark.first_few(1)
@pytest.mark.parametrize("typed", ["0", "-1", "nan", "inf"])
async def test_ohms_that_cannot_be_are_told(typed: str) -> None:
    """Resistance is above zero and finite."""
    async with looking_at(WhatIfScreen(["W26"]), put_on_bench()) as pilot:
        await choose(pilot, "W26 high")
        top_of(pilot).query_one(Input).value = typed
        await pilot.press("enter")
        assert isinstance(top_of(pilot), AskScreen)
        assert "Give ohms above zero, or the word open." in screen_text(pilot.app)


@pytest.mark.slow
async def test_a_partner_is_chosen_by_typing_and_a_near_miss_is_told() -> None:
    """What fits is offered; a point that is not there is not taken for another; arrows choose one that is offered."""
    async with looking_at(WhatIfScreen(["W26"]), put_on_bench()) as pilot:
        await choose(pilot, "W26 touches")
        entry = top_of(pilot).query_one(Input)
        entry.value = "X2.cab.66"
        await pilot.press("enter")
        assert isinstance(top_of(pilot), AskScreen)
        wrong = str(top_of(pilot).query_one("#wrong", Static).visual)
        assert "Did you mean X2.cab.6?" in " ".join(wrong.split())
        entry.value = "X2 6"
        await pilot.pause()
        assert [row.key for row in top_of(pilot).query_one(RowList).rows][:2] == ["X2.cab.6", "X2.engine.6"]
        await pilot.press("down", "down", "enter")
        await at_rest(pilot)
        seen = top_of(pilot)
        assert isinstance(seen, SeenScreen)
        assert seen.fault == Fault("W26", FaultKind.TOUCHES, "X2.engine.6")


async def test_a_fault_that_cannot_be_is_told(tmp_path: Path) -> None:
    """Where a wire has no body beside it the reason stands in a dialog, and the choice stays."""
    path = tmp_path / "two_wires.toml"
    path.write_text(
        """format = 1
build = { name = "No body", nominal_volts = 12, chassis = false }
key_states = [ { name = "off" } ]
batteries = [ { id = "G1" } ]
loads = [ { id = "E1", kind = "lamp", watts = 5 } ]
wires = [ { id = "W1", from = "G1.+", to = "E1.+" }, { id = "W2", from = "E1.-", to = "G1.-" } ]
""",
        encoding="utf-8",
    )
    async with looking_at(WhatIfScreen(["W1"]), put_on_bench(path)) as pilot:
        for _ in range(2):
            await choose(pilot, "W1 to body")
            assert "W1 cannot touch the body." in screen_text(pilot.app)
            await pilot.press("enter")
            assert isinstance(top_of(pilot), WhatIfScreen)


async def test_x_on_a_walk_asks_about_what_leads_there() -> None:
    """The wire before the marked point stands first, then the part of the point."""
    async with looking_at(WalkScreen("M2:load"), put_on_bench()) as pilot:
        await pilot.press("down", "down", "x")
        await at_rest(pilot)
        screen = top_of(pilot)
        assert isinstance(screen, WhatIfScreen)
        assert len(screen.part_ids) in (1, 2)
        assert all(part_id in standing_of(pilot).harness.parts for part_id in screen.part_ids)


@pytest.mark.slow
async def test_every_part_can_be_asked_about_and_ten_thousand_sites_scroll(tmp_path: Path) -> None:
    """The choice opens for every part, whatever it is called, and for a plug of ten thousand cavities."""
    standing = put_on_bench(every_kind(tmp_path))
    async with looking_at(None, standing, (60, 20)) as pilot:
        for part_id in standing.harness.parts:
            screen = WhatIfScreen([part_id], "X2.9999" if part_id == "X2" else "")
            await pilot.app.push_screen(screen)
            await at_rest(pilot)
            assert no_control_bytes(screen_text(pilot.app))
            if part_id == "X2":
                marked = screen.query_one(RowList).marked_row
                assert marked is not None
                assert marked.key == "X2.9999 open"
                await pilot.press("end")
                assert "X2.9999/10000" in screen_text(pilot.app)
            await pilot.press("escape")


async def test_what_is_left_is_not_worked_out_to_its_end(monkeypatch: pytest.MonkeyPatch) -> None:
    """Esc while it is being worked out goes back at once, and the work stops at its next circuit."""
    from model.circuit.bench import Bench

    hold, ended = threading.Event(), threading.Event()
    survey = Bench.survey

    def slow(self: Bench, condition: Any) -> Any:  # noqa: ANN401
        if condition.faults:
            hold.wait(10)
        return survey(self, condition)

    async with looking_at(None, put_on_bench()) as pilot:
        monkeypatch.setattr(Bench, "survey", slow)
        screen = SeenScreen(parse_fault(standing_of(pilot).harness, "W26=open"))
        work = screen.worked_out

        def watched(standing: Standing) -> Any:  # noqa: ANN401
            try:
                return work(standing)
            finally:
                ended.set()

        monkeypatch.setattr(screen, "worked_out", watched)
        await pilot.app.push_screen(screen)
        await until(pilot, lambda: "Solving circuits" in screen_text(pilot.app), 3000)
        await pilot.press("escape")
        assert top_of(pilot) is not screen
        hold.set()
        await until(pilot, ended.is_set, 3000)
        assert screen.outcome is None


def test_work_that_nobody_waits_for_stops() -> None:
    """Before each circuit it is asked whether anybody still waits."""
    standing = put_on_bench()
    fault = parse_fault(standing.harness, "W26=open")
    said: list[str] = []
    with pytest.raises(NobodyWaitsError):
        run_what_if(standing, fault, said.append, lambda: len(said) > 45)
    assert said[0] == "Finding out when each load should work: 1 of 41."
    assert said[-1].startswith("Solving circuits: ")
    assert len(said) == 46


@pytest.mark.slow
async def test_what_has_to_be_set_to_see_it_is_said() -> None:
    """A gauge that lights through a socket's lost ground does so only with something in that socket."""
    async with looking_at(None, put_on_bench(), (120, 40)) as pilot:
        await see(pilot, "GND7=open")
        told = [text.strip() for text in rows_of(pilot)]
        assert told[told.index("E12 Rear socket   rear box") - 1] == "works › dead in every key state"
        assert told[-2].startswith(
            "off › unasked in off, accessory with E12 (Rear socket) on; works › dead in ignition"
        )
        assert told[-1].split()[:3] == ["E26", "Fuel", "gauge"]


async def test_it_can_be_put_in_before_it_is_worked_out() -> None:
    """Enter does not wait for the outcome."""
    async with looking_at(None, put_on_bench()) as pilot:
        screen = SeenScreen(parse_fault(standing_of(pilot).harness, "W26=open"))
        await pilot.app.push_screen(screen)
        screen.action_keep()
        await pilot.pause()
        assert standing_of(pilot).condition.faults == (screen.fault,)
        assert top_of(pilot) is not screen


async def test_a_question_on_a_restraint_is_on_paper_only(tmp_path: Path) -> None:
    """Before the faults of wiring that nobody touches stands its caution; before those of a relay there is none."""
    async with looking_at(WhatIfScreen(["A2"]), put_on_bench(every_kind(tmp_path)), (60, 20)) as pilot:
        shown = " ".join(screen_text(pilot.app).split())
        assert "on paper only: nothing here is touched. This wiring belongs to an airbag" in shown
        assert "by its maker's procedure." in shown
        await pilot.app.push_screen(WhatIfScreen(["K1"]))
        await at_rest(pilot)
        assert "on paper only" not in screen_text(pilot.app)
