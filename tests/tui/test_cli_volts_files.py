"""The volts written into files."""

from __future__ import annotations

import csv
import json
from io import StringIO
from pathlib import Path

import pytest

from tests.tui.test_cli_volts import BUGGY, SMALL
from tui.__main__ import main


def test_the_volts_go_into_a_table_or_a_page(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """CSV has the points and loads of the JSON object with their volts; HTML has a table of each kind."""
    path = tmp_path / "small.toml"
    path.write_text(SMALL, encoding="utf-8")
    assert main(["volts", str(path), "--csv"]) == 0
    rows = list(csv.DictReader(StringIO(capsys.readouterr().out)))
    assert main(["volts", str(path), "--json"]) == 0
    listed = json.loads(capsys.readouterr().out)
    points = {row["name"]: row for row in rows if row["what"] == "point"}
    assert list(points) == list(listed["points"])
    for name, volts in listed["points"].items():
        row = points[name]
        assert row["state"] if not row["volts, V"] else float(row["volts, V"]) == pytest.approx(volts, abs=1e-4)
    assert [row["name"] for row in rows if row["what"] == "load"] == list(listed["loads"])
    page = tmp_path / "small.html"
    assert main(["volts", str(path), "-o", str(page)]) == 0
    assert page.read_text(encoding="utf-8").count("<table>") == 4


def test_an_older_json_is_written_over(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """A file says what it is before its figures, and the next one takes its place; printed it is the same."""
    path = tmp_path / "volts.json"
    for key in ("off", "ignition"):
        assert main(["volts", BUGGY, "--key", key, "-o", str(path)]) == 0
        capsys.readouterr()
    assert path.read_text(encoding="utf-8").startswith('{"format": "fusewalk volts", "key": "ignition"')
    assert main(["volts", BUGGY, "--key", "ignition", "--json"]) == 0
    assert capsys.readouterr().out == path.read_text(encoding="utf-8")
