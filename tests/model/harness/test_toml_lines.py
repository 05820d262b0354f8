"""Lines of keys and rows in a TOML text, compared with where a generator put them."""

import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.harness.toml_lines import open_brackets, toml_lines
from tests.model.harness.two_spellings import Document, Spelling, key_text, write

TRICKY = st.sampled_from(
    ["", "a # b", "x ] }", "[[wires]]", 'quote " in', "it's", "= {", "\\", "ü → 電", "tab\tend", ","]
)
TEXTS = TRICKY | st.text(max_size=8)
KEYS = st.sampled_from(["id", "from", "to", "size", "a-b", "key with space", "dotted.key", "30", "ü", "#", '"', "]"])
SCALARS = st.booleans() | st.integers(-9, 10**6) | st.sampled_from([1.5, -0.25, 6e-7, float("inf")]) | TEXTS
VALUES: st.SearchStrategy[Any] = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=3),
    max_leaves=6,
)
ROWS = st.dictionaries(KEYS, VALUES, min_size=1, max_size=4)
DOCUMENTS = st.dictionaries(
    st.sampled_from(["format", "build", "wires", "loads", "odd table", "fuses"]),
    SCALARS | ROWS | st.lists(ROWS, min_size=1, max_size=4),
    max_size=5,
)
NOISE = st.sampled_from(["", "", "\n", "# a remark\n", '  # [wires] = { "\n\n', "\t\n# ''' \"\"\"\n"])


@pytest.mark.slow
@settings(deadline=None, max_examples=300)
@given(DOCUMENTS, st.sampled_from(list(Spelling)), st.data())
def test_everything_is_found_where_it_was_put(document: Document, spelling: Spelling, data: st.DataObject) -> None:
    """Every key, row and element of a document lies on the line on which it was written, whatever stands between."""
    text, places = write(document, spelling, lambda: data.draw(NOISE))
    assert tomllib.loads(text) == document
    lines = toml_lines(text)
    assert {path: lines.of(path) for path in places} == places


@given(st.lists(KEYS, min_size=1, max_size=4, unique=True), st.lists(KEYS, min_size=1, max_size=3, unique=True))
def test_dotted_keys_open_tables(names: list[str], inner: list[str]) -> None:
    """Each table that a dotted key or header opens stands on the line of that key."""
    header = ".".join(map(key_text, names))
    dotted = " . ".join(map(key_text, inner))
    text = f"# first\n[ {header} ] # second\n\n{dotted} = 1\n"
    assert tomllib.loads(text)
    lines = toml_lines(text)
    for depth in range(1, len(names) + 1):
        assert lines.of(tuple(names[:depth])) == 2
    for depth in range(1, len(inner) + 1):
        assert lines.of((*names, *inner[:depth])) == 4


def test_multi_line_texts_and_lists_are_passed_over() -> None:
    """Brackets, quotes and equal signs within a text of several lines count for nothing."""
    text = (
        'a = """\n[b]\nc = "]" \\""""\nd = \'\'\'\n]]]\'\'\'\'\'\n'
        'e = [ # [\n 1,\n\n { f = [ "]",\n 2 ] } ]\ng = 1979-05-27 07:32:00\n'
    )
    assert list(tomllib.loads(text)) == ["a", "d", "e", "g"]
    lines = toml_lines(text)
    found = {path: number for path, number in lines.numbers.items() if len(path) == 1}
    assert found == {("a",): 1, ("d",): 4, ("e",): 6, ("g",): 11}
    assert lines.of(("e", 0)) == 7
    assert lines.of(("e", 1, "f", 1)) == 10


def test_what_has_no_line_has_that_of_what_is_around_it() -> None:
    """A missing key stands with its row, a missing table at the top of the file."""
    lines = toml_lines("\n\nwires = [\n  { id = 1 },\n  { id = 2 },\n]\n")
    assert lines.of(("wires", 1, "size", 0)) == 5
    assert lines.of(("wires", 7)) == 3
    assert lines.of(("loads", 0)) == 1


def test_rows_of_rows_are_counted_anew() -> None:
    """The elements of the second load begin at nought again, and a table below a row belongs to the last one."""
    text = "[[loads]]\n[[loads.elements]]\n[[loads.elements]]\n[[loads]]\n[[loads.elements]]\na=1\n[loads.pins]\n30=1\n"
    lines = toml_lines(text)
    assert [lines.of(("loads", 0, "elements", 1)), lines.of(("loads", 1, "elements", 0, "a"))] == [3, 6]
    assert lines.of(("loads", 1, "pins", "30")) == 8


def test_open_brackets_are_those_not_closed() -> None:
    """At the end of a text the innermost open bracket comes last, with the line on which it opened."""
    assert open_brackets("a = [1]\nwires = [\n { id = 'x', pins = {") == [
        ((), 0, "wires"),
        (("wires",), 2, ""),
        (("wires", 0), 3, "pins"),
        (("wires", 0, "pins"), 3, ""),
    ]
    assert open_brackets("[[wires]]\nid = 1\n") == [(("wires", 0), 0, "")]
    assert open_brackets("[[wires]]\nfrom = ")[-1].key == "from"


@given(st.text(alphabet="[]{}=,.\"'#\\\n a1", max_size=60))
def test_a_text_that_is_no_toml_is_scanned_without_harm(text: str) -> None:
    """The scan gives something for any text, and no line beyond the last."""
    assert all(1 <= number <= text.count("\n") + 1 for number in toml_lines(text).numbers.values())


def test_brackets_in_a_text_that_is_left_open_are_no_brackets() -> None:
    """What stands behind a quote that nothing closes is text, up to where it would have to end."""
    assert [one.key for one in open_brackets('note = """{ a [')] == ["note"]
    assert [one.path for one in open_brackets("wires = [\n  { id = 'W1 [ { ")] == [(), ("wires",), ("wires", 0)]


def test_what_lies_deeper_than_any_harness_has_the_line_of_what_it_lies_in() -> None:
    """Forty arrays within each other: the innermost is told with the line of one around it."""
    lines = toml_lines(f"a = [\n{'[' * 20}\n{'[' * 20}{']' * 41}\nb = 1\n")
    assert lines.of(("a", *[0] * 10)) == 2
    assert lines.of(("a", *[0] * 40)) == 2
    assert lines.of(("b",)) == 4
