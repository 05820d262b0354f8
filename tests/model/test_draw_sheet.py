"""The sheet of the draw with the key off: what it says first, its tables, and its other forms."""

from __future__ import annotations

import csv
import json
from io import StringIO

import pytest

from model.circuit.bench import Bench
from model.harness.harness import Harness
from model.review.draw import draw_review
from model.sheets.columns import cell_width
from model.sheets.draw_sheet import draw_csv, draw_json, draw_sheet
from model.sheets.review_html import review_html
from model.sheets.review_markdown import review_markdown
from model.sheets.review_text import review_text
from tests.model.tracing.rigs import DEMO_NAMES, demo, rig, wires

LOOM = (
    'fuses = [ { id = "F1", amps = 10, label = "Memory" }, { id = "F2", amps = 10 } ]\n'
    'loads = [ { id = "E1", kind = "heater", ohms = 1270, label = "Clock" },'
    ' { id = "E2", kind = "heater", ohms = 63.5, label = "Leak" } ]\n'
) + wires("G1.+ F1.in", "F1.out E1.+", "E1.- CHASSIS", "G1.+ E2.+", "E2.- CHASSIS", "G1.- CHASSIS", "G1.+ F2.in")


def text_of(loom: Harness, next_words: tuple[str, ...] = ()) -> str:
    """Give the sheet of a loom as one run of words."""
    return " ".join(review_text(draw_sheet(loom, draw_review(Bench(loom)), next_words)).split())


def test_it_says_how_much_how_long_and_against_what() -> None:
    """10 mA by F1 and 200 mA by no fuse: 210 mA are over 5 mA; 60 Ah assumed last 30 Ah / 214 mA = 5.8 days."""
    said = text_of(rig(LOOM, batteries='{ id = "G1", emf = 12.7, ohms = 0.001 }'))
    assert "In all 210 mA: over the limit of 5 mA (a judgement" in said
    assert "G1: 210 mA, from full 6 days until 50 % of 60 Ah, ASSUMED" in said
    assert "its own loss of 4.11 mA counted" in said
    assert "F1 (Memory), 10 A" in said
    assert "E1 (Clock)" in said
    assert "0 A expected through F2." in said
    assert "E2 (Leak) 200 mA 200 mA" in said


def test_where_to_look_next_stands_before_all_else() -> None:
    """The sentence that a reading has led to comes before the figures of the file."""
    said = text_of(rig(LOOM), ("F1: 10 mA expected, about 130 mA read: look here next.",))
    assert said.index("look here next") < said.index("How long the battery bears it")


@pytest.mark.parametrize(
    ("battery", "words"),
    [
        ("reserve_minutes = 100", "66 Ah, estimated from its reserve minutes (from memory: half of them and 16)"),
        ("amp_hours = 45", "50 % of 45 Ah are used"),
        ('amp_hours = 45, chemistry = "lithium"', "80 % of 45 Ah are used"),
    ],
)
def test_the_capacity_is_told_with_what_it_is_worth(battery: str, words: str) -> None:
    """Given, estimated from memory, lithium with a share of its own and its maker's say."""
    said = text_of(rig(LOOM, batteries=f'{{ id = "G1", {battery} }}'))
    assert words in said
    assert ("its maker has the say" in said) is ("lithium" in battery)


def test_peukerts_law_is_named_where_it_is_reckoned_with() -> None:
    """5 A out of 20 Ah: hours, not days, and the formula with its exponent and source."""
    loom = rig(LOOM.replace("63.5", "2.5"), batteries='{ id = "G1", amp_hours = 20 }')
    said = text_of(loom)
    assert "Peukert" in said
    assert "1.25" in said
    assert " h until 50 %" in said
    assert "Peukert" not in text_of(rig(LOOM))


def test_a_table_tells_what_millivolts_mean() -> None:
    """10 A, 7.7 mΩ: 0.1 mV 13 mA, 1 mV 130 mA, 10 mV 1.3 A, right within a quarter; once for both fuses."""
    said = text_of(rig(LOOM))
    assert said.count("10 A blade") == 1
    assert "10 A blade 7.7 mΩ 13 mA 39 mA 130 mA 390 mA 1.3 A 25 %" in said


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_form_holds_the_same_figures(name: str) -> None:
    """Text within 80 columns, HTML, Markdown, a CSV row a fuse, JSON that JSON can hold: amperes as computed."""
    loom = demo(name)
    review = draw_review(Bench(loom))
    sheet = draw_sheet(loom, review)
    assert all(cell_width(line) <= 80 for line in review_text(sheet).splitlines())
    assert review_html(sheet).count("<h2>") == review_markdown(sheet).count("\n## ") == len(sheet.sections)
    rows = list(csv.DictReader(StringIO(draw_csv(loom, review), newline="")))
    assert [row["fuse"] for row in rows] == [fuse.id for fuse in loom.fuses]
    found = json.loads(json.dumps(draw_json(loom, review, ("Look.",)), allow_nan=False))
    assert found["format"].startswith("fusewalk draw")
    assert found["next"] == ["Look."]
    for row, draw in zip(rows, review.fuses, strict=True):
        assert float(row["asleep, A"]) == pytest.approx(draw.asleep_amps, rel=1e-4, abs=1e-6)
        assert found["fuses"][draw.fuse_id]["asleep_amps"] == pytest.approx(draw.asleep_amps, abs=1e-7)


def test_nasty_labels_are_shown_and_not_obeyed() -> None:
    """Markup, escapes and formulas in every label go through each form as text."""
    nasty = LOOM.replace("Memory", "\\u001b[2J=1+1<script>").replace("Clock", "<script>alert(1)</script>")
    loom = rig(nasty)
    review = draw_review(Bench(loom))
    for told in (
        review_text(draw_sheet(loom, review)),
        review_markdown(draw_sheet(loom, review)),
        draw_csv(loom, review),
    ):
        assert "\x1b" not in told
    assert "<script" not in review_html(draw_sheet(loom, review))


def test_the_word_that_nobody_may_say_of_a_circuit_is_not_said() -> None:
    """Of no build is anything called safe."""
    for name in DEMO_NAMES:
        assert "safe" not in text_of(demo(name)).casefold()
