"""``fusewalk draw``: the draw as computed before its plan, in five forms, and readings kept in the record."""

from __future__ import annotations

import csv
import json
from io import StringIO
from pathlib import Path

import pytest

from model.record import read_record
from model.record_entries import Measured
from tui.__main__ import main

LOOM = """format = 1
build = { name = "Small", nominal_volts = 12 }
key_states = [ { name = "off" }, { name = "on" } ]
locations = [ { name = "box" } ]
batteries = [ { id = "G1", amp_hours = 60 } ]
fuses = [ { id = "F1", amps = 10, location = "box" }, { id = "F2", amps = 10, location = "box" } ]
loads = [ { id = "P1", kind = "horn", amps = 4, label = "Horn" } ]
relays = [ { id = "K1", label = "Horn relay", location = "box" } ]
modules = [ { id = "A1", feeds = [ { terminal = "30", amps = 0.06, asleep_amps = 0.003 } ], asleep_after_minutes = 20 }]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", size = 1.5, length = 1 },
  { id = "W2", from = "F1.out", to = "A1.30", size = 1.5, length = 1 },
  { id = "W3", from = "A1.31", to = "CHASSIS", size = 1.5, length = 1 },
  { id = "W4", from = "G1.+", to = "F2.in", size = 1.5, length = 1 },
  { id = "W5", from = "F2.out", to = "K1.30", size = 1.5, length = 1 },
  { id = "W6", from = "K1.87", to = "P1.+", size = 1.5, length = 1 },
  { id = "W7", from = "P1.-", to = "CHASSIS", size = 1.5, length = 1 },
  { id = "W8", from = "G1.-", to = "CHASSIS", size = 1.5, length = 1 },
]
"""


@pytest.fixture(name="file")
def _file(tmp_path: Path) -> Path:
    file = tmp_path / "small.toml"
    file.write_text(LOOM, encoding="utf-8")
    return file


def told(capsys: pytest.CaptureFixture[str], *words: str | Path) -> str:
    """Run the command and give what it printed."""
    assert main(["draw", *map(str, words)]) == 0
    return capsys.readouterr().out


@pytest.mark.parametrize("form", ["text", "markdown", "html"])
def test_the_review_stands_before_the_plan(file: Path, capsys: pytest.CaptureFixture[str], form: str) -> None:
    """What the file draws, then the rows that measure it; one HTML file, not two."""
    out = told(capsys, file, *([] if form == "text" else [f"--{form}"]))
    head, plan = out.index("raw with the key off"), out.index("Draw: what the battery loses")
    assert head < out.index("How long the battery bears it") < out.index("By fuse") < plan
    assert out.count("<!DOCTYPE") == out.count("</html>") == (form == "html")
    assert "meter in G1" in out or form == "markdown"


def test_json_is_that_of_a_plan_with_the_review_in_it(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """3.2 mA asleep at 12.7 V: the review has it, and the row expects it."""
    found = json.loads(told(capsys, file, "--json"))
    assert found["format"].startswith("fusewalk plan")
    assert found["plan"] == "draw"
    assert found["review"]["asleep_amps"] == pytest.approx(0.003175, rel=0.01)
    rows = {row["key"]: row for row in found["rows"]}
    assert (rows["draw asleep G1"]["after"], rows["draw asleep G1"]["wait_minutes"]) == ("meter in G1", 20.0)
    assert [rows[key]["cold_ohms"] for key in ("fuse F1", "rest G1")] == [0.0077, None]
    assert rows["draw asleep G1"]["expect"] == pytest.approx(found["review"]["asleep_amps"])


def test_csv_is_the_plan_and_with_the_review_alone_fuse_by_fuse(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One table a file: the rows of the plan, or the fuses."""
    plan = list(csv.DictReader(StringIO(told(capsys, file, "--csv"), newline="")))
    assert [row["key of the row"] for row in plan][1] == "meter in G1"
    fuses = list(csv.DictReader(StringIO(told(capsys, file, "--review", "--csv"), newline="")))
    assert [row["fuse"] for row in fuses] == ["F1", "F2"]


def test_the_review_alone_leaves_the_plan_out(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """In text no rows, in JSON an object of its own."""
    assert "Fusewalk plan" not in told(capsys, file, "--review")
    assert json.loads(told(capsys, file, "--review", "--json"))["format"].startswith("fusewalk draw")


def test_it_is_written_over_its_own_sheet(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """As every sheet that nobody types into."""
    for form in ("sheet.txt", "sheet.md", "sheet.html", "sheet.json"):
        for _ in range(2):
            assert "Written to" in told(capsys, file, "-o", file.with_name(form))


def test_a_reading_is_told_in_amperes_kept_and_leads_on(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """0.9 mV across 7.7 mΩ is about 117 mA: bad, kept, the relay named; the next sheet begins with where to look."""
    out = told(capsys, file, "--read", "meter in G1=good", "--read", "fuse F1=0.0", "--read", "fuse F2=0.9")
    assert "fuse F1: GOOD." in out
    assert "fuse F2: BAD. 0.9 mV" in out
    assert "about 117 mA, between 93.5 mA and 156 mA, and 0 A is expected" in out
    assert "K1 (Horn relay), box" in out
    measured = [entry for entry in read_record(file).entries if isinstance(entry, Measured)]
    assert [(entry.plan, entry.row) for entry in measured][1:] == [("draw", "fuse F1"), ("draw", "fuse F2")]
    assert measured[-1].millivolts == pytest.approx(0.9)
    sheet = " ".join(told(capsys, file).split())
    assert "Where to look next" in sheet
    assert "F2: 0 A expected, about 117 mA read: look here next." in sheet
    assert sheet.index("look here next") < sheet.index("Draw: what the battery loses")


def test_the_clock_of_the_record_holds_a_reading_back(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """In a moment ago: 200 mA prove nothing yet, by the sentence and in the record, and the sheet says not before."""
    told(capsys, file, "--read", "meter in G1=good")
    out = told(capsys, file, "--read", "draw asleep G1=0.2")
    assert out.startswith("draw asleep G1: UNPROVEN. Read at ")
    assert "75 min" not in out
    (entry,) = [one for one in read_record(file).entries if isinstance(one, Measured) and one.row == "draw asleep G1"]
    assert entry.verdict == "unproven"
    assert "Not before " in told(capsys, file)
