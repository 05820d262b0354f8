"""The loads as lines: the same from the bare tables as from the checked harness."""

import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.harness.toml_file import read_harness, read_harness_text
from tests.tui.builds import BUILDS
from tests.tui.hostile_build import hostile_build
from tui.load_filling import AT_ONCE_MOST_BYTES, tables_at_once
from tui.load_lines import LoadLine, Order, in_order, lines_of_harness, lines_of_tables

anything = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=10,
)
KEYS = ["id", "label", "location", "inside", "elements", "feeds", "name", "terminal", "reach"]
ROWS = st.lists(st.dictionaries(st.sampled_from(KEYS), anything, max_size=6) | anything, max_size=4)
TABLES = st.dictionaries(st.sampled_from(["loads", "modules", "locations", "fuses", "build"]), ROWS | anything)


@pytest.mark.parametrize("path", sorted(BUILDS.glob("*.toml")), ids=lambda path: path.stem)
def test_bare_tables_give_the_same_lines(path: Path) -> None:
    """What stands with the first paint is what stands there once the file has been checked, in the same order."""
    first = in_order(lines_of_tables(tomllib.loads(path.read_text(encoding="utf-8"))), Order.BY_PLACE)
    later = in_order(lines_of_harness(read_harness(path)), Order.BY_PLACE)
    assert [(line.name, line.label, line.place) for line in first] == [
        (line.name, line.label, line.place) for line in later
    ]


def test_nasty_names_give_the_same_lines() -> None:
    """Also where everything has a nasty name."""
    text = hostile_build()
    first = lines_of_tables(tomllib.loads(text))
    later = lines_of_harness(read_harness_text(text, "nasty.toml"))
    assert [(line.name, line.label, line.place) for line in first] == [
        (line.name, line.label, line.place) for line in later
    ]


@given(TABLES)
def test_any_tables_give_lines(tables: dict[str, Any]) -> None:
    """Whatever stands in a file, the lines that can be made of it are made and nothing fails."""
    for line in in_order(lines_of_tables(tables), Order.BY_NAME):
        assert line.label


def test_parts_inside_others_are_where_those_are() -> None:
    """A load without a place is where the part is in whose housing it sits; a ring of housings ends."""
    tables = {
        "locations": [{"name": "nose", "reach": "two screws"}],
        "relays": [{"id": "K1", "location": "nose"}, {"id": "K2", "inside": "K3"}, {"id": "K3", "inside": "K2"}],
        "loads": [{"id": "E1", "inside": "K1"}, {"id": "E2", "inside": "K2"}],
    }
    assert [(line.place, line.place_words) for line in lines_of_tables(tables)] == [
        ("nose", "nose, two screws"),
        ("", "place not given"),
    ]


def test_orders() -> None:
    """Numbers count as numbers, capitals do not count, and what has no place comes last."""
    lines = [
        LoadLine("E10", "lamp 10", "nose", "nose"),
        LoadLine("E2", "Lamp 2", "", "place not given"),
        LoadLine("E3", "horn", "Nose", "Nose"),
    ]
    assert [line.name for line in in_order(lines, Order.BY_NAME)] == ["E3", "E2", "E10"]
    assert [line.name for line in in_order(lines, Order.BY_PLACE)] == ["E3", "E10", "E2"]
    assert Order.BY_NAME.other is Order.BY_PLACE


def test_a_large_file_does_not_hold_up_the_first_paint(tmp_path: Path) -> None:
    """A file that takes too long to parse is left to the thread; so is one that is no TOML, or not there."""
    path = tmp_path / "large.toml"
    path.write_text("# \n" * AT_ONCE_MOST_BYTES, encoding="utf-8")
    assert tables_at_once(path) == {}
    path.write_bytes(b"\xff\xfe")
    assert tables_at_once(path) == {}
    path.write_text("[" * 5000, encoding="utf-8")
    assert tables_at_once(path) == {}
    assert tables_at_once(tmp_path / "gone.toml") == {}
