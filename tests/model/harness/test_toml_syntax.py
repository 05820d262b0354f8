"""Texts that are no TOML, and what the person who typed them is told."""

import pytest

from model.errors import Breach, HarnessFileError
from model.harness.toml_file import read_harness_text

HEAD = 'format = 1\nbuild = { name = "b", nominal_volts = 12 }\n'
"""Two lines that are right, so that what follows begins on line 3."""

ROWS = [
    ('  { id = "W1",\n    from = "F1.out" },', 4, "W1", "stands on one line"),
    ('  { id = "W1"\n    , from = "F1.out" },', 4, "W1", "stands on one line"),
    ('  { id = "W1", size = 1.5, },', 4, "W1", "no comma stands before the closing }"),
    ('  { id = "W1", label = [49a, 3] },', 4, "W1", 'wants quotes: "49a"'),
    ('  { id = "W1", label = [010] },', 4, "W1", 'wants quotes: "010"'),
    ('  { id = "W1", from = F1.out },', 4, "W1", 'a text wants quotes: "F1.out"'),
    ('  { id = "W1" }\n  { id = "W2" },', 5, "W2", "a comma is missing after the row before"),
    ('  { id = "W1" size = 1.5 },', 4, "W1", "with a comma between"),
    ('  { id = "W1", from = "F1.out, to = "K1.30" },', 4, "W1", "one is missing on this line"),
    ('  { id = "W1", size = 0,5 },', 4, "W1", "a decimal point"),
    ('  { id = "W1", pins = { + = 1 } },', 4, "W1", "other keys want quotes"),
    ('  { id = "W1", id = "W2" },', 4, "W2", "a key stands once in a row"),
    ('  { id = "W1", colour = \u201cRD\u201d },', 4, "W1", "straight quotes"),
]
TABLES = [
    ("label = 49a", 'wants quotes: "49a"'),
    ("label = 010", 'wants quotes: "010"'),
    ("size = 1.5mm", "a figure has no unit"),
    ("size = 1,5", "a decimal point"),
    ("size = .5", "a digit before its point"),
    ("size =", "a value is missing"),
    ("spare = True", "true and false"),
    ('from = "F1.out', "close its quotes"),
    ("from = F1.out", 'a text wants quotes: "F1.out"'),
    ('from: "F1.out"', "an = stands between"),
    ('label = "C:\\dir"', "a backslash in double quotes"),
    ('label = "a\x00b"', "a control character"),
    ('id = "W2"', "a table or key stands once"),
    ("// a remark", "a remark begins with #"),
    ("; a remark", "a remark begins with #"),
    ("<<<<<<< HEAD", "a line is a key with its value"),
    ("[[wires]", "a header is a table's name in brackets"),
    (f"size = {'9' * 5000}", "at most twenty digits"),
]


def the_breach(text: str) -> Breach:
    """Read a text that is no TOML and give the one thing that is said about it."""
    with pytest.raises(HarnessFileError) as caught:
        read_harness_text(text, "bench.toml")
    (breach,) = caught.value.breaches
    return breach


@pytest.mark.parametrize(("row", "line", "row_id", "right"), ROWS)
def test_traps_of_rows_on_a_line(row: str, line: int, row_id: str, right: str) -> None:
    """A slip in a one-a-line row is told with its line, table, id and the way out."""
    breach = the_breach(f"{HEAD}wires = [\n{row}\n]\n")
    assert (breach.line, breach.table, breach.id) == (line, "wires", row_id)
    assert right in breach.right
    assert breach.found


@pytest.mark.parametrize(("typed", "right"), TABLES)
def test_traps_of_rows_with_headers(typed: str, right: str) -> None:
    """A slip below a header is told with its line, table, id and the way out."""
    breach = the_breach(f'{HEAD}[[wires]]\nid = "W1"\n{typed}\n[[wires]]\nid = "W3"\n')
    assert (breach.line, breach.table) == (5, "wires")
    assert breach.key == typed.split("=")[0].strip() or "=" not in typed or "stands once" in breach.right
    assert breach.id in (("W1", "W2") if not typed.startswith("[[") else ("",))
    assert right in breach.right


@pytest.mark.parametrize(
    ("after", "line"), [("\ngrounds = [\n]\n", 6), ("[[grounds]]\nid = 'GND1'\n", 5), ("\n\n", 4), ("", 4)]
)
def test_a_list_left_open_is_told_where_it_opened(after: str, line: int) -> None:
    """A missing bracket at the end of a list is noticed only later: the message names the line of the first."""
    breach = the_breach(f'{HEAD}wires = [\n  {{ id = "W1" }},\n{after}')
    assert breach.line == line
    assert breach.right == "the list wires, opened on line 3, is not closed: put a ] after its last row"


@pytest.mark.parametrize(
    "text",
    ["wires = []\n[[wires]]\nid = 'W1'\n", "[[wires]]\nid = 'W1'\n[wires]\nid = 'W2'\n", "wires = []\nwires = []\n"],
)
def test_a_table_in_two_spellings_is_told(text: str) -> None:
    """A table that stands twice is told on the line of the second."""
    breach = the_breach(HEAD + text)
    assert breach.line == 2 + [line.startswith(("[", "wires")) for line in text.splitlines()].index(True, 1) + 1
    assert "stands once" in breach.right or "one spelling" in breach.right
    assert breach.table == "wires"


def test_a_long_line_is_shown_in_part() -> None:
    """Of a line too long to show, the part with the slip is shown."""
    breach = the_breach(HEAD + 'a = "' + "x" * 500 + '", b = here\n')
    assert len(breach.found) < 120
    assert "b = here" in breach.found
