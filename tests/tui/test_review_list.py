"""The list of reviews in a narrow window."""

import pytest

from model.errors import CircuitError
from tui.review_list import list_rows
from tui.review_making import ReviewKind

NAME_CELLS = max(map(len, ReviewKind))
OUTCOME = "55 points live with the key off, 3 unfused"


@pytest.mark.parametrize("cells", [35, 55, 75])
def test_no_word_of_an_outcome_is_cut(cells: int) -> None:
    """Down to the forty columns of a phone each outcome stands there whole, in as many lines as it takes."""
    made = {kind: CircuitError(OUTCOME) for kind in ReviewKind}
    lines = [row.content.plain for row in list_rows(made, cells)]
    assert max(map(len, lines)) <= cells
    words = " ".join(" ".join(line[NAME_CELLS:] for line in lines).split())
    assert words.count(OUTCOME) == len(ReviewKind)
