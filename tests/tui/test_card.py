"""The card of a part."""

from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Static

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.faults import parse_fault
from model.circuit.survey import Survey
from model.errors import CircuitError
from tests.tui.on_bench import (
    CAVITIES,
    app_of,
    every_kind,
    looking_at,
    no_control_bytes,
    put_on_bench,
    row_texts,
    standing_of,
)
from tests.tui.on_screen import at_rest, screen_text, until
from tui.screens.card import CardScreen
from tui.widgets.face import FaceView
from tui.widgets.rows import RowList


def cells_of(screen: CardScreen, start: str) -> list[str]:
    """Return the words of the row that begins so."""
    return next(text.split() for text in row_texts(screen.query_one(RowList)) if text.startswith(start))


def row_of(screen: CardScreen, key: str) -> str:
    """Return what the row of a key says."""
    return next(row.content.plain for row in screen.query_one(RowList).rows if row.key == key)


def marked_point(screen: CardScreen) -> str:
    """Return the point that the marked row tells of."""
    mark = screen.marked()
    assert mark is not None
    return mark.point


def card_of(pilot: Pilot[Any]) -> CardScreen:
    """Return the card on top."""
    screen = pilot.app.screen
    assert isinstance(screen, CardScreen)
    return screen


async def test_a_relay_tells_its_pins() -> None:
    """Each pin stands with its cavity, wire, colour, size, other end and the volts of the key state as it is."""
    screen = CardScreen("K7")
    async with looking_at(screen, put_on_bench(key="ignition")):
        row = cells_of(screen, "30 ")
        assert row[:6] == ["30", "1", "W26", "▕▓▓▓▏RD/BU", "2.5", "X3.rear.1"]
        assert row[-1] == "12.41"
        texts = row_texts(screen.query_one(RowList))
        assert any(text.split() == ["now", "pulled", "in"] for text in texts)
        assert any("rear box, behind the left seat, two clips" in text for text in texts)
        assert screen.facts.key_state == "ignition"
        assert screen.facts.doing == "K7 Fuel pump relay"


async def test_the_key_turns_and_the_volts_follow() -> None:
    """Right turns the key: the relay falls off and what it fed is dead; a word stands where nothing holds a point."""
    screen = CardScreen("K7")
    async with looking_at(screen, put_on_bench(key="accessory")) as pilot:
        assert cells_of(screen, "87 ")[-1] == "0.00"
        await pilot.press("right")
        await until(pilot, lambda: cells_of(screen, "87 ")[-1] == "12.40")
        assert standing_of(pilot).condition.key == "ignition"
        standing = standing_of(pilot)
        app_of(pilot).standing = standing.with_fault(parse_fault(standing.harness, "W28=open"))
        await until(pilot, lambda: cells_of(screen, "87 ")[-1] != "12.40")
        await pilot.press("X")
        await until(pilot, lambda: cells_of(screen, "87 ")[-1] == "12.40")
        await pilot.press("X")
        assert "No fault is put in." in screen_text(pilot.app)


async def test_a_wide_screen_has_a_column_for_each_key_state() -> None:
    """At 120 columns the head names the key states in their order, and the figures stand below them."""
    screen = CardScreen("W26")
    async with looking_at(screen, put_on_bench(), (120, 40)):
        head = cells_of(screen, "point ")
        assert head[-5:] == ["off", "accessory", "ignition", "crank", "running"]
        assert cells_of(screen, "to ")[-5:] == ["12.70", "12.67", "12.41", "10.96", "13.56"]


async def test_the_detail_tells_all_key_states_on_a_narrow_screen() -> None:
    """The marked row is told in full: colour in words, the label and place of the other end, all key states."""
    screen = CardScreen("X2", "X2.cab.6")
    async with looking_at(screen, put_on_bench(key="ignition"), (60, 20)):
        told = " ".join(str(screen.query_one("#detail", Static).visual).split())
        assert told.startswith("X2.cab.6: W23")
        assert "BU, blue, 0.75 mm², to E20.-, Charge lamp, dash, instrument panel forward, four screws." in told
        assert told.endswith("V: off 0.00, accessory 0.00, ignition 0.67, crank 0.83, running 13.80.")


async def test_the_face_follows_the_mark() -> None:
    """The cavity of the marked row is marked from both sides; the mating side is the mirror of the wire side."""
    screen = CardScreen("X2", "X2.cab.6")
    async with looking_at(screen, put_on_bench()) as pilot:
        wire, mating = screen.query_one(FaceView).sides
        assert (wire.head, mating.head) == ("half cab, wire side", "half cab, mating side")
        assert [[cell.number for cell in row if cell] for row in wire.rows] == [[1, 2, 3, 4, 5], [6, 7, 8, 9, 10]]
        assert [row[::-1] for row in mating.rows] == list(wire.rows)
        assert asked_of(screen) == [6]
        await pilot.press("down")
        assert asked_of(screen) == [7]


def asked_of(screen: CardScreen) -> list[int]:
    """Return the cavities that the face from the wire side marks."""
    rows = screen.query_one(FaceView).sides[0].rows
    return [cell.number for row in rows for cell in row if cell is not None and cell.is_asked]


async def test_f_turns_the_face_where_one_side_has_room() -> None:
    """A narrow screen shows one side; f shows the other."""
    screen = CardScreen("X2", "X2.cab.6")
    async with looking_at(screen, put_on_bench(), (40, 30)) as pilot:
        assert "half cab, wire side   f: mating side" in screen_text(pilot.app)
        await pilot.press("f")
        await pilot.pause()
        assert "half cab, mating side   f: wire side" in screen_text(pilot.app)


async def test_enter_goes_along_the_loom_and_esc_back() -> None:
    """From a pin to its wire, from the wire's end to the plug with its cavity marked, and all the way back."""
    screen = CardScreen("K7")
    async with looking_at(screen, put_on_bench()) as pilot:
        await pilot.press("enter")
        await at_rest(pilot)
        assert card_of(pilot).part_id == "W26"
        await pilot.press("enter")
        await at_rest(pilot)
        plug = card_of(pilot)
        assert (plug.part_id, plug.point) == ("X3", "X3.rear.1")
        assert marked_point(plug) == "X3.rear.1"
        await pilot.press("escape", "escape")
        assert pilot.app.screen is screen


async def test_cautions_stand_first() -> None:
    """The cautions of a fuel pump stand above everything, in full, also where a point below was asked for."""
    screen = CardScreen("M2", "M2.-")
    async with looking_at(screen, put_on_bench(), (60, 20)) as pilot:
        shown = screen_text(pilot.app).splitlines()
        assert shown[2].split()[:2] == ["Caution:", "Fuel"]
        assert screen.query_one(RowList).scroll_offset.y == 0
        assert marked_point(screen) == "M2.-"
        await pilot.press("up", "down")
        assert screen.query_one(RowList).scroll_offset.y > 0


async def test_a_restraint_is_told_why_and_never_measured(tmp_path: Path) -> None:
    """No figure stands at a point of a restraint; the reason stands above all else."""
    screen = CardScreen("A2")
    async with looking_at(screen, put_on_bench(every_kind(tmp_path), key="on [2J")):
        texts = row_texts(screen.query_one(RowList))
        assert texts[0].startswith("No probe: ")
        assert "airbags and belt tensioners" in " ".join(texts)
        assert row_of(screen, "end A2.15 W9").split()[-2:] == ["no", "probe"]
        assert row_of(screen, "walk A2:15").split()[:3] == ["15", "off", "Enter:"]
        assert screen.view is not None
        assert screen.view.volts is not None
        assert "A2.15" not in screen.view.volts.texts


async def opens(pilot: Pilot[Any], part_id: str) -> None:
    """Open a card and leave it, and see that nothing in it is obeyed."""
    await pilot.app.push_screen(CardScreen(part_id))
    await at_rest(pilot)
    assert type(pilot.app.screen) is CardScreen
    assert no_control_bytes(screen_text(pilot.app))
    assert part_id in screen_text(pilot.app).splitlines()[0]
    await pilot.press("c")
    assert pilot.app.clipboard.startswith(part_id)
    await pilot.press("escape")


@pytest.mark.slow
async def test_every_part_has_a_card(tmp_path: Path) -> None:
    """Whatever a part is, is called and lacks, its card opens, some of them twice."""
    standing = put_on_bench(every_kind(tmp_path))
    async with looking_at(None, standing) as pilot:
        for part_id in [*standing.harness.parts, "CHASSIS", "X2", "A2"]:
            await opens(pilot, part_id)


@pytest.mark.slow
@pytest.mark.parametrize("size", [(40, 12), (40, 30), (60, 20), (120, 40)])
async def test_a_card_fits_any_size(tmp_path: Path, size: tuple[int, int]) -> None:
    """The largest and the oddest cards open at every size."""
    async with looking_at(None, put_on_bench(every_kind(tmp_path)), size) as pilot:
        for part_id in ("A2", "K1", "W3", "W11", "X2", "E1"):
            await opens(pilot, part_id)


@pytest.mark.slow
async def test_ten_thousand_cavities_scroll(tmp_path: Path) -> None:
    """A plug with ten thousand cavities shows those in use and the one asked for, and its list goes to the end."""
    screen = CardScreen("X2", "X2.plug.5000")
    async with looking_at(screen, put_on_bench(every_kind(tmp_path))) as pilot:
        assert marked_point(screen) == "X2.plug.5000"
        assert cells_of(screen, "plug.5000")[1] == "nothing"
        assert f"{CAVITIES} cavities" in screen_text(pilot.app)
        assert "read the cavity numbers on half plug itself" in " ".join(screen_text(pilot.app).split())
        await pilot.press("end")
        assert screen.marked() is not None


async def test_a_point_that_is_not_there_is_not_shown() -> None:
    """A cavity that the plug has not is no row."""
    screen = CardScreen("X2", "X2.cab.99")
    async with looking_at(screen, put_on_bench()):
        shown = row_texts(screen.query_one(RowList))
        assert any("cab.8" in text for text in shown)
        assert not any("cab.99" in text for text in shown)


async def test_resizing_makes_the_rows_anew() -> None:
    """From narrow to wide the key states come as columns, the mark stays."""
    screen = CardScreen("X2", "X2.cab.6")
    async with looking_at(screen, put_on_bench(), (60, 20)) as pilot:
        await pilot.resize_terminal(120, 40)
        await until(pilot, lambda: "accessory" in cells_of(screen, "point "))
        assert marked_point(screen) == "X2.cab.6"


async def test_a_circuit_leads_to_its_walk() -> None:
    """Enter on what a load does now shows the walk of that circuit."""
    from tui.screens.walk import WalkScreen

    screen = CardScreen("M2")
    async with looking_at(screen, put_on_bench()) as pilot:
        await pilot.press("enter")
        await at_rest(pilot)
        assert type(pilot.app.screen) is WalkScreen
        assert pilot.app.screen.element_name == "M2:load"


async def test_a_circuit_without_an_answer_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where a key state cannot be solved the card says why and shows the others."""
    survey = Bench.survey

    def fails_at_ignition(self: Bench, condition: Condition) -> Survey:
        if condition.key == "ignition":
            raise CircuitError("The circuit finds no rest.")
        return survey(self, condition)

    monkeypatch.setattr(Bench, "survey", fails_at_ignition)
    screen = CardScreen("K7")
    async with looking_at(screen, put_on_bench(key="ignition"), (120, 40)) as pilot:
        row = row_of(screen, "end K7.30 W26").split()
        assert row[-6:] == ["12.70", "12.67", "no", "answer", "10.96", "13.56"]
        assert "now    The circuit finds no rest." in screen_text(pilot.app)
