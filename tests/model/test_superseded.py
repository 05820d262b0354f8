"""A conductor out of work: every card that the move touches and every walk over the new one says so."""

from datetime import UTC, datetime
from pathlib import Path

from model.amending import Why, amend_file, undo_file
from model.circuit.bench import Bench
from model.harness.amendment_spare import moved_to_spare
from model.harness.harness import all_elements
from model.harness.toml_file import read_harness
from model.record import read_record
from model.sheets.card import card_lines, part_card
from model.sheets.card_history import history_of
from model.sheets.walk_sheet import walk_text
from model.tracing.rows import tell_walk
from model.tracing.walk import Walker
from tests.model.harness.test_amendments import LOOM

WHEN = datetime(2026, 5, 1, 14, 25, tzinfo=UTC)


def moved(directory: Path) -> Path:
    """Give the trailer's file with its lamp moved to the spares, one old end left on."""
    path = directory / "trailer.toml"
    path.write_text(LOOM, encoding="utf-8")
    amendment = moved_to_spare(read_harness(path), ["W2", "W3"], ["W6", "W7"], left_on=["W2.a"])
    amend_file(path, amendment, WHEN, Why("broken in the spine"))
    return path


def card(path: Path, part_id: str, point: str = "") -> str:
    """Give the card of a part, with the volts of one point."""
    harness, entries = read_harness(path), read_record(path).entries
    volts = {point: {"off": "12.70"}} if point else None
    return "\n".join(card_lines(part_card(harness, part_id, volts=volts, history=history_of(entries, part_id))))


def test_the_card_of_the_new_wire_says_what_it_supersedes_and_where_that_ends(tmp_path: Path) -> None:
    """One end of the old wire is off, the other still on the fuse, whose volts the card can show."""
    text = card(moved(tmp_path), "W6", "F1.out")
    assert "in place of W2; W2.a at box: still on F1.out; W2.b at nose: still on X1.box.1" in " ".join(text.split())
    assert "12.70" in text
    assert "revision 4, 2026-05-01: The work of W2, W3 is done by W6, W7 now." in " ".join(text.split())


def test_the_card_of_the_old_wire_names_its_successor_and_its_ends(tmp_path: Path) -> None:
    """Off its terminal means that somebody caps it."""
    text = " ".join(card(moved(tmp_path), "W3").split())
    assert "superseded W7 does its work now" in text
    assert "W3.b at tail: off its terminal: capped, or to be capped" in text


def test_parts_at_the_ends_have_the_amendment_on_their_cards_until_it_is_taken_back(tmp_path: Path) -> None:
    """The fuse and the lamp were touched, the battery was not."""
    path = moved(tmp_path)
    for part_id, is_told in (("F1", True), ("E1", True), ("G1", False)):
        assert ("Broken in the spine." in " ".join(card(path, part_id).split())) is is_told
    undo_file(path, WHEN, Why())
    assert "amended" not in card(path, "F1")


def test_the_walk_over_the_new_wire_says_in_whose_place_it_lies(tmp_path: Path) -> None:
    """Beside the colour and the size of the wire."""
    bench = Bench(read_harness(moved(tmp_path)))
    element = next(one for one in all_elements(bench.harness) if one.part_id == "E1")
    text = " ".join(walk_text(bench.harness, tell_walk(bench, Walker(bench).walk(element))).split())
    assert "in place of W2" in text
    assert "in place of W3" in text
