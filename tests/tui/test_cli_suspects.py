"""The command of the insulation plan: a bad reading is told with what fits it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tui.__main__ import main

BUGGY = Path(__file__).parents[2] / "demo_builds" / "trail_buggy.toml"


@pytest.fixture(name="file")
def _file(tmp_path: Path) -> Path:
    file = tmp_path / "buggy.toml"
    file.write_bytes(BUGGY.read_bytes())
    return file


def test_a_bad_reading_is_followed_by_its_suspects(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """50 mΩ behind F1 with all fuses out: the wire behind it, through to the body, and where it runs."""
    assert main(["insulation", str(file), "--read", "group F1.out=0.05", "--read", "group F2.out=OL"]) == 0
    first, second, third = capsys.readouterr().out.splitlines()
    assert first.startswith("group F1.out: BAD.")
    assert second.startswith("  Wire W5")
    assert "through to the body" in second
    assert "fuse panel" in second
    assert third.startswith("group F2.out: GOOD.")


def test_json_lists_the_suspects(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A list of sentences with each answer, empty where nothing is bad."""
    assert main(["insulation", str(file), "--read", "group F1.out=0.05", "--read", "group F2.out=OL", "--json"]) == 0
    bad, good = json.loads(capsys.readouterr().out)["answers"]
    assert bad["suspects"][0].startswith("Wire W5")
    assert good["suspects"] == []
