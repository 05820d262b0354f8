"""The repair that a trace has found, put into the file from its end; the trace goes on to its proof."""

from pathlib import Path

import pytest

from model.amending import standing_amendments
from model.harness.toml_file import read_harness
from model.record import read_record
from tests.tui.builds import standing_of
from tests.tui.filled_in import form_of, names, shown
from tests.tui.filled_in import press as press_each
from tests.tui.on_screen import until
from tests.tui.test_trace_replies import TO_THE_END
from tests.tui.traced import RELAY_LAMP, finding_of, kinds_of, press, scripted, to_the_proof, tracing
from tui.form_rows import PUT_IN
from tui.screens.amend import AmendScreen
from tui.screens.card import CardScreen
from tui.screens.choose import ChooseScreen
from tui.screens.loads import LoadsScreen
from tui.screens.trace import TraceScreen
from tui.screens.trace_found import FoundScreen
from tui.screens.trace_prove import ProveScreen
from tui.widgets.rows import RowList

SPARE = RELAY_LAMP.replace(
    "wires = [\n",
    'wires = [\n  { id = "W20", from_location = "dash", to_location = "nose", colour = "BU", size = 2.5, length = 3, '
    "spare = true },\n",
).replace('id = "G1",', 'id = "G1", location = "nose",')
"""The wire from the battery to the fuse has a spare beside it."""


@pytest.fixture(autouse=True)
def _scripted(monkeypatch: pytest.MonkeyPatch) -> None:
    scripted(monkeypatch)


@pytest.mark.first_few(1)
@pytest.mark.parametrize("size", [(60, 20), (80, 24)])
async def test_the_repair_goes_into_the_file_and_the_trace_to_its_proof(tmp_path: Path, size: tuple[int, int]) -> None:
    """The spare that the repair names does the work, reason and readings are those of the trace, the record has all."""
    async with tracing(tmp_path, SPARE, size) as (app, pilot, path):
        await press(app, pilot, *TO_THE_END)
        assert isinstance(app.screen, FoundScreen)
        finding = finding_of(app)
        wire = finding.group[0].part
        before = path.read_text(encoding="utf-8")
        await press(app, pilot, "e")
        assert isinstance(app.screen, ChooseScreen)
        assert "moved to a spare" in shown(app)
        await press(app, pilot, "enter")
        assert isinstance(app.screen, AmendScreen)
        assert {one.key: one.value for one in form_of(app).form_lines()}["spares"] == "W20"
        await press_each(app, pilot, "tab")
        row = app.screen.query_one(RowList).marked_row
        assert row is not None
        assert row.key == PUT_IN
        await press_each(app, pilot, "enter", "enter")
        await until(pilot, lambda: isinstance(app.screen, FoundScreen))
        await until(pilot, lambda: "The file is revision 2" in shown(app))
        amended = read_harness(path)
        assert amended.parts[wire].superseded_by == "W20"
        assert standing_of(app).harness == amended
        assert (tmp_path / "lamp.rev1.toml").read_text(encoding="utf-8") == before
        (entry,) = standing_amendments(read_record(path).entries)
        assert (entry.reason, entry.readings) == (finding.sentence, finding.because)
        await press(app, pilot, "e")
        assert "amended since this trace was begun" in shown(app)
        await to_the_proof(app, pilot)
        await press(app, pilot, *("1", "2", "full_stop", "2"), "enter", "enter", "enter")
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen))
        assert [kind for kind in kinds_of(path) if kind in ("finding", "amended", "repaired")] == [
            "finding", "amended", "repaired",
        ]  # fmt: skip
        assert names(tmp_path) == ["lamp.record.toml", "lamp.rev1.toml", "lamp.toml"]


@pytest.mark.slow
async def test_the_reading_that_proves_it_is_told_with_it(tmp_path: Path) -> None:
    """From the proof, once a reading has been typed, e fills that in too."""
    async with tracing(tmp_path, SPARE) as (app, pilot, path):
        await press(app, pilot, *TO_THE_END, "enter")
        assert isinstance(app.screen, ProveScreen)
        await press(app, pilot, *("1", "2", "full_stop", "2"), "enter", "e", "enter")
        await press_each(app, pilot, "tab", "enter", "enter")
        await until(pilot, lambda: isinstance(app.screen, ProveScreen))
        (entry,) = standing_amendments(read_record(path).entries)
        assert "the reading is good" in entry.readings[-1]
        await press(app, pilot, "1", "enter")
        await press(app, pilot, "enter")
        assert kinds_of(path)[-1] == "repaired"


@pytest.mark.slow
async def test_leaving_it_changes_nothing(tmp_path: Path) -> None:
    """Esc leads back to the finding; nothing is written."""
    async with tracing(tmp_path, SPARE) as (app, pilot, path):
        before = path.read_bytes()
        await press(app, pilot, *TO_THE_END, "e", "enter", "escape")
        assert isinstance(app.screen, FoundScreen)
        await press(app, pilot, "e", "escape")
        assert isinstance(app.screen, FoundScreen)
        assert path.read_bytes() == before


@pytest.mark.slow
async def test_a_part_amended_from_its_card_over_a_trace(tmp_path: Path) -> None:
    """The record, which the trace holds, tells of it; Esc leads back to the trace, which goes on."""
    async with tracing(tmp_path, SPARE) as (app, pilot, path):
        await press(app, pilot, "1", "2", "enter", "home", "p")
        await until(pilot, lambda: isinstance(app.screen, CardScreen) and app.screen.view is not None)
        await press_each(app, pilot, "e")
        assert isinstance(app.screen, ChooseScreen)
        await press_each(app, pilot, "up", "up", "up", "up")
        for _ in range(6):
            row = app.screen.query_one(RowList).marked_row
            if row is not None and row.content.plain.startswith("replaced"):
                break
            await press_each(app, pilot, "down")
        await press_each(app, pilot, "enter", "tab", "enter", "enter")
        await until(pilot, lambda: isinstance(app.screen, TraceScreen))
        await until(pilot, lambda: "The file is revision 2" in shown(app))
        assert "does not tell of it" not in shown(app)
        await press(app, pilot, "1", "2", "enter")
        kinds = kinds_of(path)
        assert kinds.index("amended") < len(kinds) - 1
        assert kinds[-1] == "reading"
