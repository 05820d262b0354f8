"""Labels, cut list and connector tables: every wire twice, every length once, every cavity where it lies."""

import csv
from collections import Counter
from io import StringIO
from pathlib import Path

import pytest

from model.errors import ArgumentError
from model.harness.harness import Harness
from model.harness.records import Connector
from model.harness.toml_file import read_harness, read_harness_text
from model.sheets.cut_list import cut_list, cut_list_csv, cut_list_json, cut_list_sheet
from model.sheets.plug_tables import plug_tables, plug_tables_csv, plug_tables_json, plugs_of
from model.sheets.review_html import review_html
from model.sheets.review_markdown import review_markdown
from model.sheets.review_text import review_text
from model.sheets.wire_labels import labels_csv, labels_html, labels_json, labels_sheet, wire_labels
from tests.model.harness.test_amendments import LOOM
from tests.model.html_tags import parsed
from tests.tui.hostile_build import hostile_build

BUILDS = sorted((Path(__file__).parent.parent.parent / "demo_builds").glob("*.toml"))
EMPTY = """format = 1
build = { name = "Bare", nominal_volts = 12 }
key_states = [ { name = "off" } ]
batteries = [ { id = "G1" } ]
"""


@pytest.fixture(params=BUILDS, ids=lambda path: path.stem)
def harness(request: pytest.FixtureRequest) -> Harness:
    """Give each demo build."""
    return read_harness(request.param)


def rows(text: str) -> list[dict[str, str]]:
    """Read CSV as a spreadsheet does."""
    return list(csv.DictReader(StringIO(text)))


def test_a_wire_out_of_work_is_labelled_so_and_not_cut_again() -> None:
    """Its ends still hang in the vehicle; who lays the loom anew needs the wire that does its work."""
    text = LOOM.replace('via = ["spine"] }, # feed', 'via = ["spine"], superseded_by = "W6" }, # feed')
    harness = read_harness_text(text, "trailer")
    lines = {one.wire_id: one.lines[0] for one in wire_labels(harness)}
    assert lines["W2"].endswith(" out of work")
    assert lines["W6"].endswith(" spare")
    cut = {one.wire.id for reel in cut_list(harness) for one in reel.cuts}
    assert cut == {wire.id for wire in harness.wires} - {"W2"}
    assert "others do their work now: W2." in review_text(cut_list_sheet(harness)).replace("\n  ", " ")


def test_each_wire_has_a_label_at_either_end_that_names_the_other(harness: Harness) -> None:
    """Here on one end is there on the other."""
    labels = {(one.wire_id, one.end): one for one in wire_labels(harness)}
    assert len(labels) == 2 * len(harness.wires)
    for wire in harness.wires:
        one, other = labels[wire.id, "a"], labels[wire.id, "b"]
        assert (
            (one.here, one.there)
            == (other.there, other.here)
            == (wire.from_point or "free end", wire.to_point or "free end")
        )
        assert one.lines[0].startswith(wire.id)
    assert len(rows(labels_csv(harness))) == len(labels)
    assert labels_html(harness).count("<td") == len(labels)
    assert len(labels_json(harness)["labels"]) == len(labels)  # type: ignore[arg-type]
    assert review_text(labels_sheet(harness)).count("\n") > len(labels)


def test_the_reels_add_up_to_all_wires_with_both_allowances(harness: Harness) -> None:
    """Metres in all are the lengths and twice 0.1 m a wire; no wire is on two reels."""
    reels = cut_list(harness, 0.1)
    cuts = [cut for reel in reels for cut in reel.cuts]
    assert Counter(cut.wire.id for cut in cuts) == Counter(wire.id for wire in harness.wires)
    metres = sum(cut.length_m for cut in cuts) + 0.2 * len(cuts)
    assert sum(reel.cut_m for reel in reels) == pytest.approx(metres)
    assert f"{metres:.1f} m in all" in " ".join(review_text(cut_list_sheet(harness, 0.1)).split())
    assert sum(float(row["cut, m"]) for row in rows(cut_list_csv(harness, 0.1))) == pytest.approx(metres, rel=1e-4)
    assert sum(reel["cut_m"] for reel in cut_list_json(harness, 0.1)["reels"]) == pytest.approx(metres, abs=0.1)  # type: ignore[attr-defined]


def test_a_length_that_the_file_leaves_out_is_marked_and_counted() -> None:
    """W8 of the trailer has none: 1.5 m are taken and said to be assumed, and 0.2 m come on top."""
    harness = read_harness_text(LOOM, "trailer")
    cut = next(cut for reel in cut_list(harness, 0.1) for cut in reel.cuts if cut.wire.id == "W8")
    assert (cut.length_m, cut.is_assumed) == (1.5, True)
    assert cut.cut_m == pytest.approx(1.7)
    text = review_text(cut_list_sheet(harness, 0.1))
    assert "1.70?" in text
    assert "is assumed" in text


def test_every_cavity_of_every_plug_stands_in_its_table(harness: Harness) -> None:
    """Of a connector both halves have all cavities; each wire on a plug stands where it ends."""
    plugs = plugs_of(harness)
    for connector in harness.connectors:
        halves = [plug for plug in plugs if plug.part.id == connector.id]
        assert [plug.half for plug in halves] == list(connector.halves)
        assert all({row.cavity for row in plug.rows} == set(range(1, connector.cavities + 1)) for plug in halves)
    ends = {point for wire in harness.wires for point in (wire.from_point, wire.to_point) if point}
    told = {row.point for plug in plugs for row in plug.rows if row.wire_id}
    plugged = {part.id for part in harness.each_part() if isinstance(part, Connector) or part.pins}
    assert told == {point for point in ends if point.partition(".")[0] in plugged}
    assert {row["wire"] for row in rows(plug_tables_csv(harness)) if row["wire"]} == {
        row.wire_id for plug in plugs for row in plug.rows if row.wire_id
    }
    assert len(plug_tables_json(harness)["plugs"]) == len(plugs)  # type: ignore[arg-type]


def test_the_mating_side_is_the_mirror_of_the_wire_side() -> None:
    """Cavities 1 2 3 from the wire side are 3 2 1 from the other; the second half lies the other way round."""
    harness = read_harness(next(path for path in BUILDS if path.stem == "trail_buggy"))
    lines = review_text(plug_tables(harness, ("X3",))).splitlines()
    drawn = [line.split() for line in lines if line.split() and all(word.isdigit() for word in line.split())]
    assert drawn == [list(row) for row in ("123", "456", "321", "654", "321", "654", "123", "456")]


def test_a_part_without_a_plug_is_refused_by_name() -> None:
    """So is one that is not there."""
    harness = read_harness_text(LOOM, "trailer")
    with pytest.raises(ArgumentError, match="F1 has no plug"):
        plug_tables(harness, ("F1",))
    with pytest.raises(ArgumentError, match="no part X7"):
        plug_tables(harness, ("X7",))


def test_a_file_without_wires_says_so_and_hostile_words_stay_words() -> None:
    """Nothing falls over; HTML stays whole and shows no mark of a label."""
    bare = read_harness_text(EMPTY, "bare")
    assert "No wire is in this file." in review_text(cut_list_sheet(bare))
    assert "No connector" in review_text(plug_tables(bare))
    assert labels_html(bare).count("<td") == 0
    hostile = read_harness_text(hostile_build(), "hostile")
    for sheet in (labels_sheet(hostile), cut_list_sheet(hostile), plug_tables(hostile)):
        html = review_html(sheet)
        assert parsed(html).open == []
        assert "\x1b" not in html + review_text(sheet) + review_markdown(sheet)
    assert parsed(labels_html(hostile)).open == []


def test_a_label_says_what_a_part_is_called() -> None:
    """``E1.+`` alone needs a second paper: the lamp's name stands beside it."""
    label = next(
        one for one in wire_labels(read_harness_text(LOOM, "trailer")) if (one.wire_id, one.end) == ("W3", "a")
    )
    assert label.lines == ("W3 GN/BU 1 mm²", "X1.tail.1", "to E1.+ Tail lamp")
