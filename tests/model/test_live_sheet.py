"""What is live as a sheet, as CSV and as JSON."""

from __future__ import annotations

import csv
import json
from io import StringIO
from pathlib import Path

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.harness.toml_file import read_harness, read_harness_text
from model.review.live_points import LiveKind
from model.review.live_review import LiveReview, live_review
from model.sheets.columns import WIDTH, cell_width
from model.sheets.live_json import live_csv, live_json
from model.sheets.live_sheet import NOT_LISTED, live_sheet
from model.sheets.review_html import review_html
from model.sheets.review_markdown import review_markdown
from model.sheets.review_sheet import Section
from model.sheets.review_text import review_text
from tests.model.circuit.rig import CHAIN, condition, harness
from tests.model.html_tags import parsed
from tests.model.review.test_live_compared import BUZZER
from tests.model.review.test_live_points import GROUND_SWITCHED
from tests.tui.hostile_build import hostile_build
from tui.review_live import live_outcome

BUILDS = sorted((Path(__file__).parents[2] / "demo_builds").glob("*.toml"))


def reviewed(rig: Harness, *words: str, key: str | None = None, other: str | None = None) -> LiveReview:
    """Review a rig in a condition."""
    asked = condition(rig, *words, key=key)
    return live_review(Bench(rig), asked, None if other is None else asked.at_key(other))


def section(review: LiveReview, head: str, *, by_place: bool = False) -> Section:
    """Give the section of a sheet whose head begins so."""
    found = [one for one in live_sheet(review, by_place=by_place).sections if one.head.startswith(head)]
    assert len(found) == 1, head
    return found[0]


def rows(review: LiveReview, head: str, *, by_place: bool = False) -> tuple[tuple[str, ...], ...]:
    """Give the rows of the table of a section."""
    grid = section(review, head, by_place=by_place).grid
    assert grid is not None
    return grid.rows


def test_the_head_says_that_what_is_not_listed_is_measured() -> None:
    """First of all: it is computed, and a point not listed is expected at 0.0 V and measured before it is touched."""
    about = live_sheet(reviewed(harness(CHAIN))).about
    assert about[0] == NOT_LISTED
    assert "0.0 V expected: measure" in about[0]
    assert "4 points with over 0.1 V, 2 of them without a fuse before it" in " ".join(about)


def test_rows_go_by_feed_unfused_first() -> None:
    """The post and F1's near end without a fuse; behind F1 what hangs on it, and why."""
    review = reviewed(harness(CHAIN))
    assert rows(review, "Without a fuse") == (
        ("G1.+", "not given", "12.00", "a post of the battery"),
        ("F1.in", "not given", "12.00", "by wire from G1.+"),
    )
    assert rows(review, "Fuse by fuse") == (("F1", "F1.out, S1.1", "not given", "12.00", "behind F1, 100 A"),)


def test_points_of_one_metal_stand_in_a_row_until_the_place_or_the_way_changes() -> None:
    """In the buggy both halves of the sill plug share a row; the door lamp's far end has one of its own."""
    found = rows(reviewed(read_harness(BUILDS[-1])), "Fuse by fuse")
    points = {row[1]: row for row in found}
    assert points["X3.front.4, X3.rear.4 (Sill plug)"][0::2] == ("F18", "left sill", "by wire from F18")
    assert points["E9.- (Door lamp)"][4] == "through lamp E9 (Door lamp)"
    assert len(found) < 40


def test_by_place_every_place_has_its_rows_and_how_to_get_there() -> None:
    """Under the tank's place what is to be found there, with the fuse before it."""
    review = reviewed(read_harness(BUILDS[-1]))
    assert rows(review, "Left sill, kick plate out, six screws", by_place=True)[0][1] in ("F18", "F23")
    listed = {name for one in live_sheet(review, by_place=True).sections if one.grid for name in one.grid.parts}
    assert {"G1.+", "E9.-"} <= listed


def test_every_live_point_is_named_in_both_orders() -> None:
    """Nothing is lost in the rows: each point's id stands in the sheet by feed and in the sheet by place."""
    for path in BUILDS:
        review = reviewed(read_harness(path), key=read_harness(path).key_names[-1])
        for by_place in (False, True):
            shown = " ".join(
                f" {cell},"
                for one in live_sheet(review, by_place=by_place).sections
                if one.grid
                for row in one.grid.rows
                for cell in row
            )
            words = set(shown.replace(",", " ").split())
            assert {one.point for one in review.live.points} <= words


def test_a_contact_closed_at_rest_is_said_to_be() -> None:
    """Through K1 30-87a, closed at rest."""
    rig = harness(
        'relays = [ { id = "K1", contacts = "changeover" } ]\n'
        'wires = [ { id = "W1", from = "G1.+", to = "K1.30" }, { id = "W2", from = "K1.87a" } ]'
    )
    found = {row[0]: row[3] for row in rows(reviewed(rig), "Without a fuse")}
    assert found["K1.87a, W2.b"] == "through K1 30-87a, closed at rest"


def test_a_lamp_switched_on_its_ground_side_has_a_sentence_of_its_own_and_is_no_fault() -> None:
    """It is fed, the switch grounds it, and that is how it is built."""
    found = section(reviewed(harness(GROUND_SWITCHED)), "Fed, and switched")
    assert found.items == ("Lamp E1 is fed; switch S1 grounds it.",)
    assert "no fault" in found.words[0]


def test_the_ground_side_stands_apart() -> None:
    """With the heater on, its far end and the ground points are listed on the ground side, with what lifts them."""
    found = rows(reviewed(harness(CHAIN), "S1=on"), "On the ground side")
    assert "E1.-" in found[0][0]
    assert found[0][3] == "lifted by current in the ground path, heater E1 among it"
    assert "E1.-" not in str(rows(reviewed(harness(CHAIN), "S1=on"), "Fuse by fuse"))


def test_unfused_wires_are_summed_and_assumed_lengths_said() -> None:
    """1.5 m of a wire without a length; the note says so."""
    rig = harness('wires = [ { id = "W1", from = "G1.+" } ]')
    found = section(reviewed(rig), "How far without a fuse")
    assert found.grid is not None
    assert found.grid.rows == (("G1.+", "W1", "1.5 assumed", "W1.b without any, at wire W1, colour not given 0.2"),)
    assert found.notes[-1].startswith("Assumed")


def test_fuses_that_leave_something_live_and_isolators_are_told_only_where_there_are_some() -> None:
    """The chain has neither; the launch with its engine running has both."""
    heads = [one.head for one in live_sheet(reviewed(harness(CHAIN))).sections]
    assert "With a fuse pulled" not in heads
    review = reviewed(read_harness(BUILDS[1]), key="running")
    assert any(
        "F20 (Engine panel), 7.5 A pulled: F20.out still has 2.08 V" in one
        for one in section(review, "With a fuse pulled").items
    )
    assert "S10 (House isolator) and switch S11" in section(review, "With the isolators open").words[0]
    assert (
        "cable is off the battery's negative post"
        in section(reviewed(harness(CHAIN)), "With the isolators open").words[0]
    )


def test_another_key_state_says_what_comes_alive_dies_and_changes() -> None:
    """Off to ignition in the buggy: the ignition bus comes alive; nothing dies, and that is said too."""
    review = reviewed(read_harness(BUILDS[-1]), other="ignition")
    alive = rows(review, "Comes alive, off to ignition")
    assert any("BB4 (Ignition bus)" in row[0] and row[2] == "0.00" for row in alive)
    assert section(review, "Dies, off to ignition").words == ("Nothing.",)


def test_what_never_rests_is_to_be_taken_as_live() -> None:
    """A relay that buzzes: its coil has no figure and is named."""
    review = reviewed(harness(BUZZER))
    assert "K1.86" in section(review, "Never at rest").words[0]
    assert "buzzes" in " ".join(live_sheet(review).about)


RESTRAINT = """
modules = [ { id = "A1", hazard = "restraint", label = "Airbags", feeds = [ { terminal = "15", amps = 0.1 } ] } ]
wires = [
  { id = "W1", from = "G1.+", to = "A1.15", length = 1 },
  { id = "W2", from = "A1.31", to = "G1.-", length = 1 },
  { id = "W3", from = "G1.+", length = 1 },
]
"""


def test_restraint_is_listed_without_volts_and_the_refusal_stands_first() -> None:
    """No probe goes there, and why stands before all other cautions; the JSON still has its computed volts."""
    review = reviewed(harness(RESTRAINT), other="on")
    sheet = live_sheet(review)
    assert "no probe goes there" in sheet.cautions[0]
    row = next(row for row in rows(review, "Without a fuse") if row[0].startswith("A1.15"))
    assert row[2] == "no probe"
    found = live_json(review)
    assert found["points"]["A1.15"] == pytest.approx(12.0, abs=0.05)
    assert "A1.15" in found["no_probe"]
    assert "G1.+" not in found["no_probe"]


def test_an_empty_sheet_says_so() -> None:
    """The battery out, nothing is live by the file."""
    sheet = live_sheet(reviewed(harness(CHAIN), "G1=out"))
    assert sheet.sections[0].words == ("Nothing is live by the file.",)
    assert live_json(reviewed(harness(CHAIN), "G1=out"))["points"] == {}
    bare = reviewed(harness(""), "G1=out")
    assert "No points with over 0.1 V" in review_text(live_sheet(bare))
    assert live_json(bare)["points"] == {}


@pytest.mark.parametrize("path", BUILDS, ids=lambda path: path.stem)
def test_the_points_of_the_json_are_those_of_the_circuit(path: Path) -> None:
    """Each point with over 0.1 V either way and no other, to a microvolt, in every key state."""
    rig = read_harness(path)
    bench = Bench(rig)
    for key in rig.key_names:
        settled = bench.survey(Condition(key)).settled
        found = live_json(live_review(bench, Condition(key)))
        expected = {
            settled.net.names[node]: round(float(settled.volts[node]), 6)
            for node in settled.point_nodes
            if abs(float(settled.volts[node])) > 0.1
        }
        assert found["points"] == expected
        assert found["why"].keys() == expected.keys()
        assert json.loads(json.dumps(found, allow_nan=False)) == json.loads(json.dumps(found))


def test_the_json_tells_the_way_to_each_point() -> None:
    """Key, settings, and of S1.1 the steps with site, kind and both points."""
    found = live_json(reviewed(harness(CHAIN), "S1=on"))
    assert (found["format"], found["key"], found["settings"]) == ("fusewalk live", "off", {"S1": "on"})
    assert found["why"]["S1.1"]["path"][-1] == {"site": "W2", "kind": "wire", "from": "F1.out", "to": "S1.1"}
    assert found["why"]["S1.1"]["to_first_fuse"] == {"metres": 1.0, "assumed": False}
    assert found["unfused"][0]["wires"] == ["W1"]
    assert found["compared"] is None


def test_the_csv_has_a_row_a_point() -> None:
    """Each with its way, its fuses and the metres to the first."""
    lines = list(csv.DictReader(StringIO(live_csv(reviewed(harness(CHAIN))))))
    assert [line["point"] for line in lines] == ["G1.+", "F1.in", "F1.out", "S1.1"]
    assert lines[-1]["way"] == "W1; F1; W2"
    assert lines[-1]["metres to the first fuse"] == "1"
    assert lines[-1]["behind fuse"] == "F1"


def test_every_form_shows_nasty_labels_harmless() -> None:
    """Brackets, wide letters and escape bytes from the file: no line too long, no control byte, no tag left open."""
    rig = read_harness_text(hostile_build(), "hostile.toml")
    review = live_review(Bench(rig), Condition(rig.key_names[0]), Condition(rig.key_names[1]))
    for by_place in (False, True):
        sheet = live_sheet(review, by_place=by_place)
        text = review_text(sheet)
        assert max(cell_width(line) for line in text.splitlines()) <= WIDTH
        for shown in (
            text,
            review_markdown(sheet),
            review_html(sheet),
            json.dumps(live_json(review)),
            live_csv(review),
        ):
            assert not [c for c in shown if (ord(c) < 32 and c not in "\n\r") or 0x7F <= ord(c) < 0xA0]
        parsed(review_html(sheet))


def test_no_sheet_calls_a_circuit_safe() -> None:
    """Nowhere, in no build, in no order."""
    for path in BUILDS:
        review = reviewed(read_harness(path))
        assert "safe" not in review_text(live_sheet(review)).casefold()


def test_the_sheet_counts_what_is_fed_and_what_is_lifted_apart() -> None:
    """The first figure is that of the screen; points of the launch's ground side, lifted at the start, come after."""
    review = reviewed(read_harness(BUILDS[1]), "S10=on", "S11=on", key="start")
    fed = [one for one in review.live.points if one.kind is not LiveKind.GROUND]
    lifted = len(review.live.points) - len(fed)
    about = " ".join(live_sheet(review).about)
    assert lifted > 0
    assert f"{len(fed)} points with over 0.1 V" in about
    assert f"; {lifted} more on the ground side." in about
    assert live_outcome(review).startswith(f"{len(fed)} points live")
