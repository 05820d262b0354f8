"""The face of a plug on the screen."""

from __future__ import annotations

import pytest
from textual.app import App, ComposeResult
from textual.content import Content

from model.sheets.face import CellRows, FaceCell
from tests.tui.on_screen import screen_text
from tui.text import is_paint
from tui.widgets.face import FaceView, Side, face_block


def rows_of(*rows: tuple[int, ...], asked: int = 0, colour: str = "RD/BU") -> CellRows:
    """Make rows of cavities, all with one colour, those below 0 unused, 0 a gap."""
    return tuple(
        tuple(FaceCell(abs(n), n > 0, n == asked, (colour,) if n > 0 else ()) if n else None for n in row)
        for row in rows
    )


SIDES = (
    Side("half plug, wire side", rows_of((1, 2, 3), (4, 5, -6), asked=5)),
    Side("half plug, mating side", rows_of((3, 2, 1), (-6, 5, 4), asked=5)),
)


def words(lines: list[Content]) -> list[str]:
    """Return each line, the paint of swatches as one sign."""
    return [" ".join(line.plain.replace("▕▓▓▓▏", " # ").split()) for line in lines]


@pytest.mark.parametrize(
    ("cells", "first_row"),
    [
        (80, "1 # 2 # 3 # 3 # 2 # 1 #"),
        (62, "1 # 2 # 3 # 3 2 1"),
        (40, "1 # 2 # 3 #"),
        (20, "1 2 3"),
    ],
)
def test_colours_stand_where_there_is_room(cells: int, first_row: str) -> None:
    """Both sides painted, then the first alone painted, then the first side alone, then numbers alone."""
    drawn = face_block(SIDES, 0, cells, 8)
    assert words(drawn)[1] == first_row
    assert all(line.cell_length <= cells for line in drawn)


def test_the_other_side_comes_first_once_it_is_asked_for() -> None:
    """Its head says which it is, and the key that turns it."""
    assert words(face_block(SIDES, 0, 50, 8))[0] == "half plug, wire side f: mating side"
    assert words(face_block(SIDES, 1, 50, 8))[:2] == ["half plug, mating side f: wire side", "3 # 2 # 1 #"]


def test_without_colours_both_sides_are_numbers() -> None:
    """Unused cavities as two dashes in the place of their number, as on paper."""
    drawn = words(face_block(SIDES, 0, 60, 8, has_colours=False))
    assert drawn[1:] == ["1 2 3 3 2 1", "4 >5< -- -- >5< 4"]


def test_an_unused_cavity_keeps_its_number_where_there_is_room() -> None:
    """The dashes stand where the colour of a wire would; a wire without a colour has a question mark."""
    assert words(face_block(SIDES[:1], 0, 60, 8))[2] == "4 # >5< # 6 --"
    unknown = (Side("wire side", rows_of((1, 2), colour="")),)
    assert words(face_block(unknown, 0, 60, 8))[1] == "1 ? 2 ?"


def test_the_cavity_asked_for_is_marked_by_more_than_brackets() -> None:
    """It stands in reverse video, both times, and its colour beside it does not."""
    line = face_block(SIDES, 0, 80, 8)[2]
    marked = [line.plain[span.start : span.end] for span in line.spans if "reverse" in str(span.style)]
    assert marked == [">5<", ">5<"]
    assert sum(is_paint(str(span.style)) for span in line.spans) == 12


@pytest.mark.slow
@pytest.mark.parametrize(("cells", "most_lines"), [(40, 5), (80, 3), (24, 2), (12, 2)])
@pytest.mark.parametrize("has_colours", [True, False])
def test_a_large_face_is_cut_round_the_cavity_and_says_so(cells: int, most_lines: int, has_colours: bool) -> None:
    """A hundred rows of thirty columns: whole columns with the one asked for among them, which ones in words."""
    rows = rows_of(*(tuple(range(r * 30 + 1, r * 30 + 31)) for r in range(100)), asked=1527)
    drawn = face_block((Side("wire side", rows),), 0, cells, most_lines, has_colours=has_colours)
    assert all(line.cell_length <= cells for line in drawn)
    assert any(">1527<" in line.plain for line in drawn)
    told = " ".join(" ".join(words(drawn)).split(">")[0].split())
    assert "of 30" in told
    assert "of 100" in told


def test_the_words_name_the_columns_that_stand_there() -> None:
    """Twenty columns in forty cells: four with their colours, 9 to 12 round cavity 11."""
    drawn = face_block((Side("wire side", rows_of(tuple(range(1, 21)), asked=11)),), 0, 40, 5)
    assert words(drawn) == ["wire side columns 9 to 12 of 20", "9 # 10 # >11< # 12 #"]


def test_nothing_is_drawn_without_room_or_sides() -> None:
    """No side, or not two lines."""
    assert face_block((), 0, 40, 5) == []
    assert face_block(SIDES, 0, 40, 1) == []


async def test_the_widget_takes_the_lines_it_needs() -> None:
    """It is as high as the face, and follows what it is given."""

    class Alone(App[None]):
        def compose(self) -> ComposeResult:
            yield FaceView()

    app = Alone()
    async with app.run_test(size=(60, 12)) as pilot:
        face = app.query_one(FaceView)
        assert face.size.height == 0
        face.sides = SIDES
        await pilot.pause()
        assert face.size.height == 3
        assert "mating side" in screen_text(app)
        face.most_lines = 2
        await pilot.pause()
        assert face.size.height == 2
        assert "row 2" in screen_text(app)


def test_the_sentence_on_a_face_that_is_not_given_stands_whole() -> None:
    """It is wrapped to the width there is, never cut."""
    sentence = "The file gives no face for X2: read the cavity numbers on half plug itself, not by its place."
    drawn = face_block((Side("half plug", said=(sentence,)),), 0, 40, 2)
    assert all(line.cell_length <= 40 for line in drawn)
    assert " ".join(" ".join(line.plain for line in drawn[1:]).split()) == sentence
