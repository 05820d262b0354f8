"""Letters three rows high."""

import string

import pytest

from tui.trace_big import big_block, big_rows, big_width


def test_every_letter_and_digit_differs() -> None:
    """No two signs that a step may have look the same, in blocks or in ASCII; each line is as wide as it says."""
    signs = string.ascii_uppercase + string.digits + ".,:-+/()'"
    for in_ascii in (False, True):
        drawn = {"\n".join(big_rows(sign, in_ascii)) for sign in signs}
        assert len(drawn) == len(signs)
    for sign in signs:
        assert {len(row) for row in big_rows(sign)} == {big_width(sign)}


def test_three_rows_in_blocks_and_plain_ascii_otherwise() -> None:
    """Three rows of half blocks; in ASCII five rows of #, and an empty one between lines."""
    assert big_rows("1.5") == ["▄█    █▀▀", " █    ▀▀█", "▀▀▀ ▀ ▀▀▀"]
    plain = big_rows("1", in_ascii=True)
    assert plain == [" # ", "## ", " # ", " # ", "###", ""]


def test_a_thousandth_of_a_volt_is_no_million_of_them() -> None:
    """MV is drawn unlike mV, mΩ unlike MΩ; all else is in capitals."""
    for unit in ("mV", "mA", "mΩ"):
        assert big_block([unit], 60, 3).plain != big_block([unit.upper()], 60, 3).plain
    assert big_block(["key on"], 60, 3).plain == big_block(["KEY ON"], 60, 3).plain


@pytest.mark.parametrize("cells", [38, 58, 78])
def test_a_long_line_is_broken_and_never_cut(cells: int) -> None:
    """Each line fits, words are broken only where they are too long by themselves."""
    words = "red X2.engine.7 abcdefghijklmnopqrstuvwxyz"
    rows = big_block([words], cells, 100).plain.splitlines()
    assert all(len(row.rstrip()) <= cells for row in rows)
    assert len(rows) % 3 == 0
    ink = sum(len(row) - row.count(" ") for row in rows)
    alone = sum(len(row) - row.count(" ") for word in words.split() for row in big_rows(word.upper()))
    assert ink == alone


def test_lines_without_room_are_left_out_whole() -> None:
    """Never a third of a line: seven rows hold two lines."""
    assert len(big_block(["1", "2", "3"], 20, 7).plain.splitlines()) == 6
