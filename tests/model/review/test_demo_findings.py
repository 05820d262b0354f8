"""The demo builds have exactly the findings that their pages list."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from model.circuit.bench import Bench
from model.harness.toml_file import read_harness
from model.review.findings import find_all

BUILDS = Path(__file__).parents[3] / "demo_builds"
_ROW = re.compile(r"^- \*\*(?P<rule>[^*]+)\*\*: (?P<ids>(`[A-Za-z0-9_-]+` ?)+)\. ", re.MULTILINE)


def _listed(page: str) -> list[tuple[str, tuple[str, ...]]]:
    """Give the rule and the ids of each finding that a page lists in its section."""
    _, found, section = page.partition("\n## Findings\n")
    assert found
    section = section.partition("\n## ")[0]
    rows = [(row["rule"], tuple(re.findall(r"`([^`]+)`", row["ids"]))) for row in _ROW.finditer(section)]
    assert len(rows) == section.count("\n- ")
    return rows


@pytest.mark.first_few(1)
@pytest.mark.parametrize("name", ["field_tractor", "harbour_launch", "trail_buggy"])
def test_a_demo_build_has_the_findings_of_its_page_and_no_more(name: str) -> None:
    """Rule by rule and part by part, in the order in which the command prints them."""
    found = find_all(Bench(read_harness(BUILDS / f"{name}.toml")))
    listed = _listed((BUILDS / f"{name}.md").read_text(encoding="utf-8"))
    assert [(str(one.rule), one.part_ids) for one in found] == listed
