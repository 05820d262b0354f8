"""A sheet of a review as rows for a screen."""

from __future__ import annotations

import pytest

from model.errors import ArgumentError
from model.sheets.review_sheet import Column, Grid, ReviewSheet, Section
from tests.tui.on_screen import NASTY
from tui.review_columns import fit_columns
from tui.review_find import found_line, offered_lines
from tui.review_rows import Laid, lay_out, told_below

COLUMNS = (Column("point"), Column("place"), Column("V", is_figure=True), Column("why it is live"))
ROWS = (
    ("F1.out", "fuse box under the dash", "12.70", "permanent wire"),
    ("K7.87", "rear box, behind the seat, two clips", "-12.46", "through the clock's diode"),
)
GRID = Grid(COLUMNS, ROWS, ("F1.out", "K7.87"))
SHEET = ReviewSheet(
    "live points",
    "Rig",
    ("What is not listed here has to be measured all the same before anybody touches it.",),
    (
        Section("fed by F1", words=("10 A, blade.",), grid=GRID, notes=("Computed from the file.",)),
        Section("sentences", items=("Wire W7 ends nowhere.", "Wire W8 ends nowhere."), item_parts=("W7", "W8")),
    ),
    cautions=("Disconnect the battery before a wire is cut.",),
)


def lines_of(laid: Laid) -> list[str]:
    """Return the rows as text."""
    return [row.content.plain for row in laid.rows]


def test_cautions_stand_first() -> None:
    """The caution is the first row, before what holds for the whole."""
    lines = lines_of(lay_out(SHEET, 100))
    assert lines[0] == "Caution: Disconnect the battery before a wire is cut."
    assert lines[1].startswith("What is not listed here")


def test_only_rows_that_tell_of_something_can_be_marked() -> None:
    """Heads, sentences and small print join no mark; table rows and items do, each once however many its lines."""
    laid = lay_out(SHEET, 40)
    marked = [row.key for row in laid.rows if row.can_be_marked]
    assert marked == ["F1.out", "K7.87", "W7", "W8"]
    assert set(marked) == set(laid.told)
    assert laid.told["W8"].part == "W8"


@pytest.mark.parametrize("cells", range(30, 130, 7))
def test_no_row_is_wider_than_the_list_and_nothing_is_cut(cells: int) -> None:
    """At every width all words stand in the rows, or in what the marked row leaves out."""
    laid = lay_out(SHEET, cells)
    assert all(row.content.cell_length <= cells for row in laid.rows)
    for key, row in zip(("F1.out", "K7.87"), ROWS, strict=True):
        shown = " ".join(line.content.plain for line in laid.rows if line.key == key).split()
        shown += [word for _, words in laid.told[key].left_out for word in words.split()]
        assert {word for words in row for word in words.split()} <= set(shown)
        assert "…" not in "".join(shown)


def test_a_long_head_goes_on_below() -> None:
    """No width cuts a head: what has no room in its column stands in a second line."""
    head = "Dies without it, and what else goes out with that"
    grid = Grid((Column("Fuse"), Column("A", is_figure=True), Column(head)), (("F1", "12.5", "M1"),))
    for cells in range(30, 100):
        laid = lay_out(ReviewSheet("t", "v", (), (Section(grid=grid),)), cells)
        left_out = [words for told in laid.told.values() for words, _ in told.left_out]
        shown = " ".join((*lines_of(laid), *left_out))
        assert "…" not in shown
        assert set(head.split()) <= set(shown.split())


def test_words_give_way_before_figures() -> None:
    """20 cells of which the point takes 10 and the volts 6 leave none for words: the figure stays, those go."""
    widths = fit_columns([GRID], 20)
    assert widths[1] == widths[3] == 0
    assert widths[2] == len("-12.46")


def test_a_column_that_says_nothing_takes_no_room() -> None:
    """A column whose every cell is empty is left out with its head."""
    grid = Grid(COLUMNS, (("F1.out", "", "12.70", "a permanent wire"),))
    assert fit_columns([grid], 80)[1] == 0
    laid = lay_out(ReviewSheet("t", "v", (), (Section(grid=grid),)), 80)
    assert lines_of(laid)[0].split() == ["point", "V", "why", "it", "is", "live"]


def test_tables_alike_share_widths() -> None:
    """The figures of two tables of the same columns stand below each other."""
    other = Grid(COLUMNS, (("X1.plug.12", "nose", "0.12", "lifted"),))
    laid = lay_out(ReviewSheet("t", "v", (), (Section("a", grid=GRID), Section("b", grid=other))), 120)
    lines = lines_of(laid)
    ends = {line.index(volts) + len(volts) for line in lines for volts in ("12.70", "-12.46", "0.12") if volts in line}
    assert len(ends) == 1


def test_the_heads_of_a_table_stay_while_it_lasts() -> None:
    """Over a row of a table whose heads have left the window stand those heads, over all else none."""
    other = Grid((Column("fuse"), Column("A", is_figure=True)), (("F9", "12"), ("F10", "3")))
    sections = (Section("a", grid=GRID), Section("b", words=("Some words.",), grid=other))
    laid = lay_out(ReviewSheet("t", "v", (), sections), 120)
    shown = [laid.heads_over(top) for top in range(len(laid.rows))]
    lines = lines_of(laid)
    assert lines[1].split()[0] == "point"
    assert [None if one is None else one.plain.split()[0] for one in shown] == [
        *(None, None, "point", "point"),
        *(None, None, None, None, "fuse", "fuse"),
    ]
    assert lines[7] == "fuse   A"


def test_what_is_left_out_is_told_below() -> None:
    """What has no room is told with its head under what the row is called, wrapped beside the head."""
    laid = lay_out(SHEET, 30)
    told = laid.told["K7.87"]
    assert laid.leaves_out
    below = told_below("K7.87", told.left_out, 60)
    assert [line.plain for line in below] == ["K7.87", "why it is live  through the clock's diode"]
    wrapped = told_below("", [("do", "Fit a fuse of at most 8 A.")], 20)
    assert [line.plain.rstrip() for line in wrapped] == ["do  Fit a fuse of at", "    most 8 A."]


def test_the_same_part_twice_has_two_keys() -> None:
    """Two rows of one part can be marked apart, under the same names after laying out anew."""
    grid = Grid(COLUMNS[:1], (("W1 begin",), ("W1 end",)), ("W1", "W1"))
    sheet = ReviewSheet("t", "v", (), (Section(grid=grid),))
    assert list(lay_out(sheet, 80).told) == list(lay_out(sheet, 30).told) == ["W1", "W1 (2)"]


def test_nasty_words_are_shown_not_obeyed() -> None:
    """Markup stands as it is and escapes are gone, in heads, sentences, items and cells."""
    for label in NASTY:
        grid = Grid((Column(label or "x"),), ((label or "x",),), (label,))
        words = (label,)
        section = Section(label, words, words, words, item_parts=words, grid=grid, notes=words)
        lines = "\n".join(lines_of(lay_out(ReviewSheet(label, label, (label,), (section,), (label,)), 30)))
        assert "\x1b" not in lines
        assert "[on]" in lines or "[on]" not in label


def test_rows_are_found_by_any_word() -> None:
    """All words typed must stand in a row; its key leads to it, and nothing typed leads nowhere."""
    told = lay_out(SHEET, 30).told
    assert [key for key, _ in offered_lines(told, "rear CLIPS")] == ["K7.87"]
    assert found_line(told, "w8") == "W8"
    with pytest.raises(ArgumentError, match="No row has"):
        found_line(told, "gearbox")
    with pytest.raises(ArgumentError):
        found_line(told, " ")
