"""The sheet of the feeds, in words."""

from __future__ import annotations

import csv
import json
from io import StringIO

import pytest

from model.circuit.bench import Bench
from model.harness.harness import Harness
from model.review.fed_points import fed_in
from model.review.key_feeds import key_feeds
from model.review.spread import spread_of
from model.review.sweep import sweep
from model.review.terminal_feeds import terminal_remarks
from model.sheets.columns import cell_width
from model.sheets.feeds_sheet import CSV_COLUMNS, FeedsReview, feeds_csv, feeds_json, feeds_sheet
from model.sheets.review_html import review_html
from model.sheets.review_text import review_text
from tests.model.html_tags import parsed
from tests.model.review.fuse_rigs import KEYS, short_wires, stiff_rig
from tests.model.tracing.rigs import DEMO_NAMES, demo

ODD = (
    'switches = [ { id = "S0", key = true, terminals = [30, 75, 15], positions = { off = [], accessory = [[30, 75]], '
    "ignition = [[30, 75, 15]], crank = [] } } ]\n"
    'loads = [ { id = "E1", label = "Coil feed", kind = "heater", amps = 2, works_in = ["ignition", "crank"] }, '
    '{ id = "E2", label = "Clock", kind = "heater", amps = 1, works_in = ["ignition"] }, '
    '{ id = "E3", label = "Fan", kind = "motor", amps = 1 } ]\n'
    + short_wires("G1.+ S0.30", "S0.15 E1.+", "S0.30 E2.+", "S0.75 E3.+", "E1.- G1.-", "E2.- G1.-", "E3.- G1.-")
)


def review_of(harness: Harness) -> FeedsReview:
    """Review the feeds of a harness."""
    found = sweep(Bench(harness))
    return FeedsReview(harness, key_feeds(found.bench, found), terminal_remarks(harness, fed_in(spread_of(found))))


def text_of(harness: Harness) -> str:
    """Print the feeds of a harness, every line end a space."""
    return " ".join(review_text(feeds_sheet(review_of(harness))).split())


def test_what_differs_from_the_file_is_said_in_sentences() -> None:
    """Dropped while cranking, live with the key off, kept, and a load that asks for nothing."""
    printed = text_of(stiff_rig(ODD, states=KEYS))
    assert "Coil feed (E1) loses its feed in crank: it is dropped while the starter turns" in printed
    assert "Clock (E2) works in off and accessory with nothing switched on, where the file does not ask" in printed
    assert "Clock (E2) keeps its feed in crank with nothing switched on" in printed
    assert "1 of 3 load circuits is without key states in the file" in printed


def test_a_terminal_is_remarked_and_not_blamed() -> None:
    """15 is dead in crank, where its number says live: a remark with its source."""
    printed = text_of(stiff_rig(ODD, states=KEYS))
    assert "S0 pin 15, wire side is dead in crank; a terminal 15" in printed
    assert "DIN 72552" in printed
    assert "A remark, no fault" in printed


def test_cranking_is_cautioned_before_the_table() -> None:
    """Where a key state cranks, and nowhere else."""
    cranked = feeds_sheet(review_of(stiff_rig(ODD, states=KEYS)))
    assert any("engine turns" in words for words in cranked.cautions)
    plain = stiff_rig('loads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n' + short_wires("G1.+ E1.+", "E1.- G1.-"))
    assert feeds_sheet(review_of(plain)).cautions == ()


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_sheet_of_a_demo_build_has_a_row_a_load_in_every_form(name: str) -> None:
    """80 columns as text, closed tags as HTML, a row for each load and key state as CSV, all loads in JSON."""
    review = review_of(demo(name))
    sheet = feeds_sheet(review)
    printed = review_text(sheet)
    assert max(cell_width(line) for line in printed.splitlines()) <= 80
    assert "safe" not in printed.casefold()
    tags = parsed(review_html(sheet))
    assert (tags.open, tags.links) == ([], [])
    rows = list(csv.DictReader(StringIO(feeds_csv(review))))
    assert tuple(rows[0]) == CSV_COLUMNS
    assert len(rows) == len(review.loads) * len(review.harness.key_names)
    found = json.loads(json.dumps(feeds_json(review), allow_nan=False))
    assert found["format"] == "fusewalk feeds"
    assert list(found["loads"]) == [load.element.name for load in review.loads]


def test_a_restraint_is_never_probed_and_the_sheet_says_why() -> None:
    """No volts stand at its feed; the reason stands before the table; JSON and CSV mark it."""
    harness = stiff_rig(
        'loads = [ { id = "A9", kind = "electronics", amps = 1, hazard = "restraint" } ]\n'
        + short_wires("G1.+ A9.+", "A9.- G1.-")
    )
    review = review_of(harness)
    sheet = feeds_sheet(review)
    assert any("no probe goes there" in words for words in sheet.cautions)
    volts = next(section.grid for section in sheet.sections if section.head == "Volts at the feed")
    assert volts is not None
    assert volts.rows[0][-1] == "no probe"
    assert feeds_json(review)["loads"]["A9:load"]["no_probe"] is True


def test_ignition_wiring_is_not_probed_while_the_engine_turns() -> None:
    """The buggy's coil has its volts in ignition, and no probe where the engine turns; a caution says so."""
    review = review_of(demo("trail_buggy"))
    keys = feeds_json(review)["loads"]["L1:primary"]["keys"]
    assert [key for key, one in keys.items() if one["no_probe"]] == ["crank", "running"]
    assert any("ignition" in words.casefold() for words in feeds_sheet(review).cautions)


def test_a_file_without_loads_says_so() -> None:
    """There is a sheet all the same."""
    assert "The file has no load and no control unit." in text_of(stiff_rig(""))
