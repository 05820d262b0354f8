"""The rows of a plan in the cells that there are for them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from model.plans.judging import Taken
from model.plans.kept import Kept, kept_answers
from model.plans.plan import PlanRow
from tests.model.plan_rows import ROWS, answered, small_plan
from tui.plan_rows import plan_heads, row_content

NARROW, MIDDLE, WIDE = 58, 78, 118
GROUND, SEEN = ROWS[3], replace(ROWS[4], expect_words="On: Door lamp. Nothing else hums.")


def drawn(row: PlanRow, cells: int, kept: Kept | None = None) -> str:
    """Draw a row."""
    return row_content(row, "Row", kept, False, cells).plain


@pytest.mark.parametrize("cells", [NARROW, MIDDLE, WIDE])
def test_a_row_that_is_out_by_its_own_file_says_so_until_it_is_read(cells: int) -> None:
    """20 mV are expected where 12.5 mV are good; 6 mV are within, and of a row that was read the verdict stands."""
    outside = replace(GROUND, expect=20.0)
    assert drawn(outside, cells).rstrip().endswith("already out")
    assert "already out" not in drawn(GROUND, cells)
    plan = small_plan((outside,))
    kept = kept_answers(plan, [answered(plan, outside.key, Taken(20.0))])[outside.key]
    assert drawn(outside, cells, kept).rstrip().endswith("unproven")


@pytest.mark.parametrize(("cells", "told"), [(NARROW, 19), (MIDDLE, 19), (WIDE, 39)])
def test_what_is_to_be_seen_runs_on_over_columns_that_are_empty(cells: int, told: int) -> None:
    """Words without a figure have the cells of the limit and the reading too; the verdict stays in its column."""
    line = drawn(SEEN, cells)
    words = SEEN.expect_words if told > len(SEEN.expect_words) else f"{SEEN.expect_words[: told - 1]}…"
    assert words in line
    assert len(line) == len(drawn(GROUND, cells)) == len(drawn(replace(SEEN, tells=False), cells))
    verdict_from = plan_heads(cells).plain.index("verdict") - len("› ")
    assert drawn(replace(SEEN, tells=False), cells)[verdict_from:].startswith("cannot fail")


def test_words_do_not_run_over_a_figure() -> None:
    """Where a limit or a reading stands the words are cut before it."""
    line = drawn(replace(GROUND, expect=None, expect_words="6 mV, lamps off and doors shut"), WIDE)
    assert "6 mV, l…  at most 12 mV" in line
