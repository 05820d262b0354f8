"""A plan as text, Markdown, HTML, CSV and JSON: each says the same, none takes a label for its own signs."""

from __future__ import annotations

import csv
import json
import re
from io import StringIO

import pytest

from model.sheets.columns import cell_width
from model.sheets.plan_csv import COLUMNS, disarmed, plan_csv
from model.sheets.plan_html import plan_html
from model.sheets.plan_json import plan_json
from model.sheets.plan_markdown import plan_markdown
from model.sheets.plan_paper import css_text, html_page
from model.sheets.plan_sheet import PlanSheet, plan_sheet
from model.sheets.plan_text import plan_text
from tests.model.html_tags import parsed
from tests.model.plan_rows import FUEL, HOSTILE, hostile_plan, small_harness, small_plan, some_answers

FORMS = {"text": plan_text, "markdown": plan_markdown, "html": plan_html}


def blank_sheet() -> PlanSheet:
    """Give the small plan without an answer."""
    return plan_sheet(small_harness(), small_plan())


def answered_sheet() -> PlanSheet:
    """Give the small plan with answers."""
    plan = small_plan()
    return plan_sheet(small_harness(), plan, some_answers(plan))


def hostile_sheet() -> PlanSheet:
    """Give the plan whose every text is nasty, of a harness whose label is."""
    return plan_sheet(small_harness(HOSTILE), hostile_plan())


def shown(form: str, sheet: PlanSheet) -> str:
    """Give a form of a sheet as running text, what a form adds for itself taken off."""
    text = FORMS[form](sheet)
    if form == "html":
        text = parsed(text).text
    if form == "markdown":
        text = re.sub(r"\\(.)", r"\1", text)
    return " ".join(text.split())


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize(
    "words",
    [
        "Continuity: every conductor end to end",
        "Loom fitted, all apart",
        "It proves what it proves.",
        "6 rows: 2 good, 1 bad, 1 unproven, 1 skipped, 1 open",
        "W2 F1.out to M1.+",
        "fuse box → tank",
        "M1 (Fuel pump) terminal +, wire side",
        "Cannot fail as it stands: P1 stands beside it. Take apart first: horn P1.",
        "at most 0.45 Ω",
        "24 mV at 4.6 A",
        "AC 43.13-1B 11-188",
        "rows 1, 2: 1.2 m of 1.5 mm², two crimps",
        "Left out, not measured (1, not counted)",
        "What no row here can show (1, not counted)",
        "lowest range, leads zeroed",
        "Pull F1.",
        "Do first what stands before row 1.",
    ],
)
def test_every_form_says_the_same(form: str, words: str) -> None:
    """Heads, probes, limits with their sources, answers, and what is not proven."""
    assert words in shown(form, answered_sheet())


@pytest.mark.parametrize("form", FORMS)
def test_cautions_stand_before_the_rows_they_are_of(form: str) -> None:
    """The one of a row before that row, the general ones before the first."""
    text = shown(form, blank_sheet())
    assert text.index("Rings and watch off.") < text.index("W2 F1.out to M1.+")
    assert text.index(FUEL) < text.index("W2 F1.out to M1.+")


@pytest.mark.parametrize("make", [blank_sheet, answered_sheet, hostile_sheet])
def test_text_is_at_most_80_cells_wide(make: object) -> None:
    """Whatever the labels."""
    assert callable(make)
    assert all(cell_width(line) <= 80 for line in plan_text(make()).splitlines())


@pytest.mark.parametrize("form", FORMS)
def test_control_bytes_do_not_reach_any_form(form: str) -> None:
    """What a terminal would obey is gone."""
    text = FORMS[form](hostile_sheet()).replace("\n", "")
    assert not any(ord(sign) < 32 or 0x7F <= ord(sign) < 0xA0 for sign in text)


def test_nothing_in_a_label_is_taken_for_html() -> None:
    """The label stands there as it is; no tag, link or script comes of it, in the style sheet neither."""
    html = plan_html(hostile_sheet())
    tags = parsed(html)
    assert HOSTILE in tags.text
    assert "script" not in tags.tags
    assert tags.links == []
    style = html[html.index("<style>") : html.index("</style>")]
    assert "<script" not in style
    assert "alert(" not in style


def test_text_in_the_style_sheet_is_spelled_in_numbers() -> None:
    """Quote, backslash and the end of the style element can do nothing there."""
    assert css_text('a"\\</style>\n') == "a\\000022\\00005c\\00003c\\00002fstyle\\00003e\\000020"


def test_nothing_in_a_label_is_taken_for_markdown() -> None:
    """Every sign of Markdown is escaped, and every row has its nine cells."""
    markdown = plan_markdown(hostile_sheet()).removeprefix("<!-- Fusewalk plan -->")
    assert re.search(r"(?<!\\)<", markdown) is None
    rows = [line for line in markdown.splitlines() if line.startswith("|")]
    assert {len(re.sub(r"\\.", "", row).split("|")) for row in rows} == {11}


def test_the_html_stands_alone_prints_on_any_paper_and_fits_a_telephone() -> None:
    """Nothing fetched, no paper size, numbered pages, heads repeated, rows whole, blocks on a narrow screen."""
    html = plan_html(blank_sheet())
    assert parsed(html).links == []
    assert "url(" not in html
    assert "@import" not in html
    assert "size: A4" not in html
    assert 'counter(page) " of " counter(pages)' in html
    assert "display: table-header-group" in html
    assert "tbody { break-inside: avoid; }" in html
    assert '<meta name="viewport"' in html
    assert "max-width: 600px" in html
    assert html.count("<tbody>") == len(blank_sheet().rows)


def test_the_html_has_a_box_and_blanks_for_every_row() -> None:
    """Date, who, meter, ambient and posts to be filled in by hand, a box to tick in each row."""
    html = plan_html(blank_sheet())
    for name in ("Date", "Who", "Meter", "Ambient, °C", "Posts, V"):
        assert f"<span>{name}: </span>" in html
    assert html.count('class="box"') == 6
    assert "✓" not in html


def test_where_nothing_is_measured_the_words_have_the_room_of_the_meter() -> None:
    """Every row has six cells or one that takes two: of the small plan the row of what is seen alone."""
    rows = re.findall(r'<tr><td data-name="row".*?</tr>', plan_html(blank_sheet()), re.DOTALL)
    wide = [row for row in rows if 'colspan="2"' in row]
    assert len(rows) == len(blank_sheet().rows)
    assert {row.count("<td") + row.count('colspan="2"') for row in rows} == {6}
    assert len(wide) == sum(not (row.meter or row.red or row.black) for row in blank_sheet().rows) == 1


def test_a_page_without_columns_is_still_a_page() -> None:
    """Nothing hangs on a table."""
    assert parsed(html_page("t", (), ["<p>x</p>"])).text.split() == ["t", "x"]


@pytest.mark.parametrize("form", FORMS)
def test_an_empty_plan_says_so(form: str) -> None:
    """No table of nothing."""
    sheet = plan_sheet(small_harness(), small_plan(()))
    assert sheet.counted == "no rows"
    assert "There is nothing to measure." in shown(form, sheet)


def csv_rows(text: str) -> list[dict[str, str]]:
    """Read CSV."""
    return list(csv.DictReader(StringIO(text, newline=""), strict=True))


def test_csv_is_of_rfc_4180() -> None:
    """Lines end with CR LF, the first names the columns with their units, each has as many fields."""
    plan = small_plan()
    text = plan_csv(plan_sheet(small_harness(), plan, some_answers(plan)))
    assert text.count("\r\n") == text.count("\n") == 7
    rows = csv_rows(text)
    assert tuple(rows[0]) == COLUMNS
    assert (rows[0]["read, in unit"], rows[0]["unit"], rows[0]["verdict"]) == ("0.31", "Ω", "good")
    assert (rows[0]["high limit, in unit"], rows[0]["low limit, in unit"]) == ("0.45", "")
    assert rows[2]["expect, in unit"] == rows[2]["read, in unit"] == "open"
    assert (rows[3]["at, A"], rows[3]["read at, A"]) == ("5", "4.6")
    assert rows[1]["can fail"] == "no"
    assert (rows[5]["verdict"], rows[5]["when"]) == ("open", "")
    assert rows[0]["ambient, °C"] == "14.5"


@pytest.mark.parametrize("start", ["=1+1", "+1", "-1", "@x", " =1", "＝1"])
def test_what_a_spreadsheet_would_run_is_disarmed(start: str) -> None:
    """By an apostrophe before it; plain text stays."""
    assert disarmed(start) == f"'{start}"
    assert disarmed(f"a{start}") == f"a{start}"


def test_no_cell_of_a_hostile_plan_is_run() -> None:
    """No cell begins with a sign of a formula, tab or line end, and negative numbers stay numbers."""
    for row in csv_rows(plan_csv(hostile_sheet())):
        assert not any(cell.startswith(("=", "+", "-", "@", "\t", "\r", "\n")) for cell in row.values())
        assert row["title"].startswith("'=")


def test_json_holds_every_row_with_all_fields() -> None:
    """Infinite is a word, what is not there null; the verdict and its reasons stand beside what was read."""
    plan = small_plan()
    entries = some_answers(plan)
    found = json.loads(json.dumps(plan_json(plan_sheet(small_harness(), plan, entries)), allow_nan=False))
    assert (found["plan"], found["state"], found["revision"]) == ("continuity", "fitted, all apart", 3)
    assert found["counts"] == {"open": 1, "good": 2, "bad": 1, "skipped": 1, "unproven": 1}
    first, third = found["rows"][0], found["rows"][2]
    assert first["limit"] == {
        "low": None,
        "high": 0.45,
        "source": "computed",
        "source_kind": "judgement",
        "computed_from": "1.2 m of 1.5 mm², two crimps",
    }
    assert first["answer"]["value"] == 0.31
    assert first["verdict"] == "good"
    assert (third["expect"], third["answer"]["value"]) == ("open", "open")
    assert found["rows"][5]["answer"] is None
    assert found["left_out"] == list(plan.left_out)


def test_control_bytes_do_not_reach_json() -> None:
    """Its text may be shown on a terminal as it stands."""
    text = json.dumps(plan_json(hostile_sheet()), ensure_ascii=False)
    assert "\\u001b" not in text
    assert HOSTILE in json.loads(text)["rows"][0]["title"]
