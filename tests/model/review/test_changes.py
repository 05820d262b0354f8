"""Two revisions compared: rows as typed, volts as solved."""

from pathlib import Path

import pytest

from model.harness.amendment_kinds import removed
from model.harness.amendment_spare import moved_to_spare
from model.harness.amendments import amended_text
from model.harness.toml_file import read_harness_text
from model.review.changes import Changes, KeyChange, changes_between
from model.sheets.changes_sheet import changes_csv, changes_json, changes_sheet
from model.sheets.review_text import review_text
from tests.model.harness.test_amendments import LOOM

BUILDS = sorted((Path(__file__).parent.parent.parent.parent / "demo_builds").glob("*.toml"))


def between(old: str, new: str) -> Changes:
    """Compare two texts."""
    return changes_between(read_harness_text(old, "old"), read_harness_text(new, "new"))


@pytest.mark.parametrize("path", BUILDS, ids=lambda path: path.stem)
def test_a_file_beside_itself_differs_in_nothing(path: Path) -> None:
    """No row, no point, no load, nothing to prove."""
    text = path.read_text(encoding="utf-8")
    found = between(text, text)
    assert (found.rows, found.points, found.loads, found.unlike, found.prove_again) == ((), (), (), (), ())
    assert "Nothing differs." in review_text(changes_sheet(found))


def test_a_lamp_of_twice_the_watts_is_told_with_its_key_and_nothing_else() -> None:
    """5 W to 50 W: the key changes, and the lamp's volts by the drop of 3.7 A more over about 0.15 Ω."""
    found = between(
        LOOM,
        LOOM.replace(
            'kind = "lamp", watts = 5, location = "tail" }, #', 'kind = "lamp", watts = 50, location = "tail" }, #'
        ),
    )
    (row,) = found.rows
    assert (row.table, row.name, row.did, row.keys) == ("loads", "E1", "changed", (KeyChange("watts", "5", "50"),))
    assert {one.name for one in found.loads} == {"E1:load"}
    (load,) = found.loads
    assert load.new_volts is not None
    assert load.old_volts is not None
    assert 0.2 < load.old_volts - load.new_volts < 1.0
    assert found.prove_again == ("W3", "W4", "E1:load")


def test_a_move_to_spares_is_told_wire_by_wire() -> None:
    """The old wires float now, the spares are live, and both are to be proven."""
    old = read_harness_text(LOOM, "old")
    amendment = moved_to_spare(old, ["W2", "W3"], ["W6", "W7"])
    found = between(LOOM, amended_text(LOOM, amendment.changes, 4, "2026-05-01"))
    by_name = {one.name: one for one in found.points}
    assert by_name["X1.box.1"].new_volts is None
    assert by_name["X1.box.4"].old_volts is None
    assert {row.name for row in found.rows} == {"build", "W2", "W3", "W6", "W7"}
    assert set(found.prove_again) >= {"W6", "W7"}
    assert "W2" not in found.prove_again


def test_what_was_taken_out_is_told_with_what_it_was() -> None:
    """A lamp that is gone has no volts any more."""
    old = read_harness_text(LOOM, "old")
    found = between(LOOM, amended_text(LOOM, removed(old, "E1").changes, 4, ""))
    gone = next(row for row in found.rows if row.name == "E1")
    assert gone.did == "taken out"
    assert KeyChange("watts", "5", "") in gone.keys
    (load,) = found.loads
    assert load.name == "E1:load"
    assert load.new_volts is None


def test_a_key_state_that_only_one_has_is_said() -> None:
    """Nothing is compared there, and nothing fails."""
    found = between(LOOM, LOOM.replace('[ { name = "off" } ]', '[ { name = "off" }, { name = "on" } ]'))
    assert [one.key for one in found.unlike] == ["on"]
    assert "Only one of the two can be so" in review_text(changes_sheet(found))


def test_all_forms_name_what_differs() -> None:
    """The sheet, the CSV and the JSON have the same row."""
    found = between(LOOM, LOOM.replace('"BK", size = 1,', '"BK", size = 2.5,'))
    assert "W4" in review_text(changes_sheet(found))
    assert "row,wires,W4,changed,size,,,1,2.5," in changes_csv(found)
    assert changes_json(found)["rows"][0]["keys"] == {"size": {"was": "1", "is": "2.5"}}
