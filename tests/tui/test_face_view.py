"""The face of a plug on the screen."""

from textual.app import App, ComposeResult

from tests.tui.on_screen import screen_text
from tui.widgets.face import FaceView, face_block, face_window

WIRE = ("   1    2    3 ", "   4  >5<   6 ")
MATING = ("   3    2    1 ", "   6  >5<   4 ")
SIDES = (("wire side", WIRE), ("mating side", MATING))


def words(cells: int, first: int = 0, most_lines: int = 8) -> list[list[str]]:
    """Return the words of each line."""
    return [line.plain.split() for line in face_block(SIDES, first, cells, most_lines)]


def test_both_sides_stand_side_by_side_where_there_is_room() -> None:
    """Heads above, rows beside each other."""
    assert words(80) == [
        ["wire", "side", "mating", "side"],
        ["1", "2", "3", "3", "2", "1"],
        ["4", ">5<", "6", "6", ">5<", "4"],
    ]


def test_one_side_after_the_other_where_there_is_not() -> None:
    """The side that is asked for."""
    assert words(30) == [["wire", "side", "f:", "mating", "side"], ["1", "2", "3"], ["4", ">5<", "6"]]
    assert words(30, first=1)[0] == ["mating", "side", "f:", "wire", "side"]
    assert words(20, first=2)[0] == ["wire", "side"]


def test_the_cavity_asked_for_is_marked_by_more_than_brackets() -> None:
    """It stands in reverse video, both times."""
    line = face_block(SIDES, 0, 80, 8)[2]
    marked = [line.plain[span.start : span.end] for span in line.spans if "reverse" in str(span.style)]
    assert marked == [">5<", ">5<"]


def test_a_large_face_is_cut_round_the_cavity() -> None:
    """A hundred rows of a hundred cavities: the one asked for is in the window, whatever its size."""
    lines = [" ".join(f"{f'>{n}<' if n == 4321 else n:>6}" for n in range(r * 100, r * 100 + 100)) for r in range(100)]
    for cells, most_lines in ((40, 5), (80, 3), (12, 1)):
        window = face_window(lines, cells, most_lines)
        assert len(window) == most_lines
        assert all(len(line) <= cells for line in window)
        assert any(">4321<" in line for line in window)
    assert face_window((), 40, 5) == []
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


def test_the_sentence_on_a_face_that_is_not_given_stands_whole() -> None:
    """It is wrapped to the width there is, never cut."""
    sentence = "The file gives no face for X2: read the cavity numbers on half plug itself, not by its place."
    drawn = face_block((("half plug", (sentence,)),), 0, 40, 2)
    assert all(line.cell_length <= 40 for line in drawn)
    assert " ".join(" ".join(line.plain for line in drawn[1:]).split()) == sentence
