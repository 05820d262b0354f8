"""Tables that are spelled without a library are spelled as the library would read them, or would spell them."""

import json
import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.harness.toml_text import toml_document, toml_text
from model.harness.wire_list_earlier import earlier_text
from model.harness.wire_list_loom import Loom

TEXTS = st.text(alphabet=st.characters(codec="utf-8"), max_size=8) | st.sampled_from(
    ["", '"', "\\", "\x7f", "\x85", "\r\n", "},\n    {", "\u2028", "'''", "é"]
)
FLAT = st.one_of(
    TEXTS,
    st.booleans(),
    st.integers(-(10**15), 10**15),
    st.floats(allow_nan=False),
    st.sampled_from([12.0, -0.0, 1e15, 1e16, 1e-7, 0.1]),
)
VALUES = st.recursive(
    FLAT,
    lambda inner: (
        st.lists(inner, max_size=3) | st.lists(inner, max_size=2).map(tuple) | st.dictionaries(TEXTS, inner, max_size=3)
    ),
    max_leaves=6,
)
ROWS = st.dictionaries(TEXTS, FLAT, max_size=4) | st.dictionaries(TEXTS, VALUES, max_size=4)
TABLES = st.dictionaries(st.sampled_from(["wires", "fuses", "loads", "key_states"]), st.lists(ROWS, max_size=3))


@settings(max_examples=200, deadline=None)
@given(ROWS, ROWS, TABLES)
def test_a_document_is_what_is_read_in_its_text(
    build: dict[str, object], defaults: dict[str, object], rows: dict[str, list[dict[str, object]]]
) -> None:
    """What a loom's text is taken to say is what `tomllib` reads in it: values, types and order."""
    read = tomllib.loads(toml_text(build, defaults, rows))
    assert repr(toml_document(build, defaults, rows)) == repr(read)


@pytest.mark.slow
@settings(max_examples=200, deadline=None)
@given(ROWS, TABLES, st.dictionaries(TEXTS, st.integers(0, 99), max_size=3))
def test_what_a_list_said_is_spelled_as_json_indents(
    build: dict[str, object], rows: dict[str, list[dict[str, object]]], lines: dict[str, int]
) -> None:
    """The kept list is byte for byte what `json.dumps` writes with an indent of one, rows within rows or not."""
    whole = {"format": "fusewalk list 1", "build": build, "tables": rows, "lines": lines}
    kept = earlier_text(Loom(build, {}, {}, [], lines), rows)
    assert kept == json.dumps(whole, ensure_ascii=False, indent=1) + "\n"
