"""A hand-written file changed by program: what a person typed stays, byte for byte, but for what was asked."""

import difflib
import tomllib
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.errors import FusewalkError
from model.harness.toml_edit import HarnessText, value_text
from model.harness.toml_file import read_harness_text
from tests.model.harness.two_spellings import Document, Spelling, write

BUILDS = sorted((Path(__file__).parent.parent.parent.parent / "demo_builds").glob("*.toml"))

SHORT = """# my loom
format = 1
build = { name = "Lamp", nominal_volts = 12 } # twelve
key_states = [ { name = "off" } ]
batteries = [ { id = "G1" } ]
loads = [ { id = "E1", kind = "lamp", watts = 21 } ]
wires = [
  # the feed
  { id = "W1", from = "G1.+",   to = "E1.+", size = 2.5 }, # thick
  { id = "W2", from = "E1.-",   to = "G1.-" }
]
"""

LONG = """format = 1
[build]
name = "Lamp"
nominal_volts = 12

# the battery
[[key_states]]
name = "off"
[[batteries]]
id = "G1"
[[loads]]
id = "E1"
kind = "lamp"
watts = 21
[[wires]]
id = "W1" # the feed
from = "G1.+"
to = "E1.+"

[[wires]]
id = "W2"
from = "E1.-"
to = "G1.-"
"""


def changed(before: str, after: str) -> list[str]:
    """Give the lines that went and came."""
    lines = difflib.unified_diff(before.splitlines(), after.splitlines(), lineterm="", n=0)
    return [line for line in lines if line[0] in "+-" and not line.startswith(("+++", "---"))]


@pytest.mark.parametrize("path", BUILDS, ids=lambda path: path.stem)
def test_what_is_not_changed_comes_back_byte_for_byte(path: Path) -> None:
    """A file that is read and written is the same file."""
    text = path.read_text(encoding="utf-8")
    assert HarnessText(text).text == text


def test_a_value_is_changed_in_its_place() -> None:
    """Only the figure changes; the remark behind the row stays."""
    text = HarnessText(SHORT)
    text.set("wires", "W1", "size", 4.0)
    assert changed(SHORT, text.text) == [
        '-  { id = "W1", from = "G1.+",   to = "E1.+", size = 2.5 }, # thick',
        '+  { id = "W1", from = "G1.+",   to = "E1.+", size = 4.0 }, # thick',
    ]


def test_a_key_that_a_row_lacks_comes_at_its_end() -> None:
    """The space before the brace stays, and so does every other line."""
    text = HarnessText(SHORT)
    text.set("wires", "W2", "note", 'a "quoted" [note]')
    text.set_build("revision", 2)
    assert changed(SHORT, text.text) == [
        '-build = { name = "Lamp", nominal_volts = 12 } # twelve',
        '+build = { name = "Lamp", nominal_volts = 12, revision = 2 } # twelve',
        '-  { id = "W2", from = "E1.-",   to = "G1.-" }',
        '+  { id = "W2", from = "E1.-",   to = "G1.-", note = "a \\"quoted\\" [note]" }',
    ]
    assert read_harness_text(text.text, "x").parts["W2"].note == 'a "quoted" [note]'


def test_rows_under_headers_are_changed_in_their_own_spelling() -> None:
    """Keys come on lines of their own, a new row under a header of its own."""
    text = HarnessText(LONG)
    text.set("wires", "W1", "size", 4.0)
    text.set_build("revision", 2)
    text.add("wires", {"id": "W3", "from": "E1.-", "to": "CHASSIS"})
    text.unset("loads", "E1", "watts")
    text.set("loads", "E1", "amps", 2)
    harness = read_harness_text(text.text, "x")
    assert (harness.build.revision, harness.parts["W1"].size, harness.parts["E1"].amps) == (2, 4.0, 2)  # type: ignore[attr-defined]
    assert harness.parts["W3"].to_point == "CHASSIS"  # type: ignore[attr-defined]
    assert not [line for line in changed(LONG, text.text) if line.startswith("-") and line != "-watts = 21"]
    assert "# the feed" in text.text
    assert "# the battery" in text.text


@pytest.mark.parametrize("text", [SHORT, LONG])
def test_a_row_is_added_and_taken_out_again(text: str) -> None:
    """What was added and removed leaves the rows as they were."""
    one = HarnessText(text)
    one.add("wires", {"id": "W3", "to": "CHASSIS", "from": "E1.-", "via": [], "spare": True})
    assert "W3" in read_harness_text(one.text, "x").parts
    one.remove("wires", "W3")
    assert [line for line in changed(text, one.text) if line.strip("+-, ")] in (
        [],
        ['-  { id = "W2", from = "E1.-",   to = "G1.-" }', '+  { id = "W2", from = "E1.-",   to = "G1.-" },'],
    )


@pytest.mark.parametrize("text", [SHORT, LONG])
def test_a_table_that_the_file_lacks_is_made(text: str) -> None:
    """It comes last, spelled so that the file still reads."""
    one = HarnessText(text)
    one.add("switches", {"id": "S1", "positions": {"off": [], "on": [[1, 2]]}})
    one.add("switches", {"id": "S2"})
    one.add("locations", {"name": "nose"})
    one.set("locations", "nose", "reach", "two screws")
    harness = read_harness_text(one.text, "x")
    assert [switch.id for switch in harness.switches] == ["S1", "S2"]
    assert harness.locations[0].reach == "two screws"


@pytest.mark.parametrize("text", [SHORT, LONG, SHORT.replace("\n", "\r\n")])
def test_defaults_are_set_whether_the_file_has_any_or_not(text: str) -> None:
    """A table of its own comes behind the line of the format; one that is there gets the key."""
    one = HarnessText(text)
    one.set_default("size", 1.5)
    one.set_default("crimp", 0.0002)
    harness = read_harness_text(one.text, "x")
    assert (harness.defaults.size, harness.defaults.crimp) == (1.5, 0.0002)
    assert [line.strip("\r") for line in changed(text, one.text)] == ["+defaults = { size = 1.5, crimp = 0.0002 }"]
    one.set_default("size", 2.5)
    assert read_harness_text(one.text, "x").defaults.size == 2.5


def test_what_is_not_there_is_named() -> None:
    """A row or a table that the file does not have is refused by its name."""
    with pytest.raises(FusewalkError, match="no W9 in the table wires"):
        HarnessText(SHORT).set("wires", "W9", "size", 1.0)
    with pytest.raises(FusewalkError, match="no table relays"):
        HarnessText(SHORT).remove("relays", "K1")
    with pytest.raises(FusewalkError, match="cannot be changed by program"):
        HarnessText("format = = 1")


@given(
    st.recursive(
        st.one_of(
            st.booleans(),
            st.integers(-(2**60), 2**60),
            st.floats(allow_nan=False, allow_infinity=False),
            st.text(max_size=8),
        ),
        lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=4), inner, max_size=3)),
        max_leaves=6,
    )
)
def test_a_value_is_spelled_so_that_it_reads_back(value: object) -> None:
    """Whatever a row may hold stands on one line and reads back as it was."""
    text = f"value = {value_text(value)}"
    assert "\n" not in text
    assert tomllib.loads(text)["value"] == value


@pytest.mark.parametrize(
    ("row", "left"),
    [
        ('{ id = "F1", amps = 10, note = "x  y" }', '{ id = "F1", amps = 10 }'),
        ('{ id = "F1", note = "x", amps = 10 }', '{ id = "F1", amps = 10 }'),
        ('{ note = "x", id = "F1", amps = 10}', '{ id = "F1", amps = 10}'),
        ('{id="F1",note="x",amps=10}', '{id="F1",amps=10}'),
    ],
)
def test_a_key_taken_out_of_a_line_leaves_no_gap(row: str, left: str) -> None:
    """Wherever in its line the key stood, one space is left between the others."""
    text = HarnessText(f"fuses = [ {row} ]\n")
    text.unset("fuses", "F1", "note")
    assert text.text == f"fuses = [ {left} ]\n"
    text.set("fuses", "F1", "amps", 15)
    text.unset("fuses", "F1", "note")
    assert text.text == f"fuses = [ {left.replace('10', '15')} ]\n"


GROUPED = """format = 1
build.name = "Lamp" # mine
build.nominal_volts = 12
[[key_states]]
name = "off"

# --- lights
[[fuses]]
id = "F1" # of the lights
amps = 5
[[wires]]
id = "W1"
from = "F1.out"

# --- horn
[[fuses]]
id = "F2"
[[switches]]
id = "S1"
  [switches.positions] # of the horn
  off = []
  on = [[1, 2]]
# --- end
"""


def test_a_file_grouped_by_circuit_stays_grouped() -> None:
    """Rows of one table may stand apart, with remarks between them: only the line asked for comes or goes."""
    text = HarnessText(GROUPED)
    text.set("fuses", "F2", "amps", 10)
    text.set("switches", "S1", "momentary", value=True)
    text.set_build("revision", 2)
    assert changed(GROUPED, text.text) == ["+build.revision = 2", "+amps = 10", "+momentary = true"]
    text.set("switches", "S1", "positions", {"off": []})
    assert "[switches.positions]" not in text.text
    text.remove("wires", "W1")
    assert "# --- horn" in text.text
    text.set_build("revision", 3)
    assert text.text.count("build.revision") == 1


def test_a_remark_behind_a_row_taken_out_stays() -> None:
    """What stands below the last line of a row is said of what comes next."""
    text = HarnessText(LONG.replace("# the battery\n", "").replace("[[batteries]]", "# the battery\n[[batteries]]"))
    text.remove("key_states", "off")
    assert "nominal_volts = 12\n\n# the battery\n[[batteries]]" in text.text


@pytest.mark.parametrize(
    ("rows", "left"),
    [
        ("[ { id = 'F1' }, { id = 'F2' } ]", "[ { id = 'F1' } ]"),
        ("[ { id = 'F1' }, { id = 'F2' }, ]", "[ { id = 'F1' }, ]"),
        (
            "[\n  { id = 'F1' }, # one, two\n  { id = 'F2' } # last\n  # end\n]",
            "[\n  { id = 'F1' }, # one, two\n  # end\n]",
        ),
        ("[\n  { id = 'F1' }, { id = 'F2' },\n]", "[\n  { id = 'F1' },\n]"),
        ("[\n  { id = 'F2' }, { id = 'F1' },\n]", "[\n  { id = 'F1' },\n]"),
    ],
)
def test_a_row_taken_out_of_an_array_takes_its_comma_and_its_remark(rows: str, left: str) -> None:
    """Whether the rows stand on lines of their own or not, what is left is spelled as it was."""
    text = HarnessText(f"fuses = {rows}\n")
    text.remove("fuses", "F2")
    assert text.text == f"fuses = {left}\n"


@pytest.mark.parametrize(
    ("rows", "grown"),
    [
        ("[]", '[\n  { id = "F9" },\n]'),
        ("[\n  # none yet\n]", '[\n  # none yet\n  { id = "F9" },\n]'),
        ("[ { id = 'F1' } ]", "[ { id = 'F1' }, { id = \"F9\" } ]"),
        ("[ { id = 'F1' }, ]", "[ { id = 'F1' }, { id = \"F9\" }, ]"),
        ("[\n\t{ id = 'F1' } # one, two\n]", "[\n\t{ id = 'F1' }, # one, two\n\t{ id = \"F9\" },\n]"),
        ("[\n  { id = 'F1' }]", "[\n  { id = 'F1' },\n  { id = \"F9\" },]"),
    ],
)
def test_a_row_is_added_as_the_others_stand(rows: str, grown: str) -> None:
    """On a line of its own, with the space and the comma of the others, before what remarks close the array."""
    text = HarnessText(f"fuses = {rows}\n")
    text.add("fuses", {"id": "F9"})
    assert text.text == f"fuses = {grown}\n"


KEYS = st.sampled_from(["label", "note", "a-b", "key with space", "ü", "#", "]"])
VALUES: st.SearchStrategy[Any] = st.recursive(
    st.booleans()
    | st.integers(-9, 10**6)
    | st.sampled_from([1.5, 6e-7, "a # b", "} ]", "[[wires]]", '"', "x\ny", ","]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, min_size=1, max_size=3),
    max_leaves=5,
)
NOISE = st.sampled_from(["", "", "\n", "# a remark\n", '  # [wires] = { "\n\n', "\t\n# ''' \"\"\"\n"])


@st.composite
def documents(draw: st.DrawFn) -> Document:
    """Draw a document with a build and up to three tables of rows that have ids."""
    keys = st.dictionaries(KEYS, VALUES, max_size=3)
    found: Document = {"format": 1, "build": {"name": "x", **draw(keys)}}
    for table in draw(st.sets(st.sampled_from(["wires", "fuses", "loads"]), min_size=1)):
        found[table] = [{"id": f"{table}{place}", **draw(keys)} for place in range(draw(st.integers(1, 3)))]
    return found


def change(one: HarnessText, wanted: Document, work: str, table: str, pair: tuple[str, Any]) -> None:
    """Make a change to a text, and to what it is to say."""
    key, value = pair
    row, new = f"{table}0", {"id": f"new {len(wanted[table])}", key: value}
    match work:
        case "set":
            one.set(table, row, key, value)
            wanted[table][0][key] = value
        case "unset":
            one.unset(table, row, key)
            wanted[table][0].pop(key, None)
        case "add":
            one.add(table, new)
            wanted[table].append(new)
        case "new table":
            one.add("relays", new)
            wanted.setdefault("relays", []).append(new)
        case "build":
            one.set_build(key, value)
            wanted["build"][key] = value
        case "remove":
            one.remove(table, row)
            del wanted[table][0]


GROWING = ["set", "unset", "add", "new table", "build"]


@pytest.mark.slow
@settings(deadline=None, max_examples=300)
@given(documents(), st.sampled_from(list(Spelling)), st.booleans(), st.data())
def test_any_change_in_any_spelling_says_what_was_asked(
    document: Document, spelling: Spelling, is_crlf: bool, data: st.DataObject
) -> None:
    """Both spellings and both line ends: the file then says what it said with the changes, remarks outside stand."""
    text, _ = write(document, spelling, lambda: data.draw(NOISE))
    text = text.replace("\n", "\r\n") if is_crlf else text
    wanted = deepcopy(tomllib.loads(text))
    table = data.draw(st.sampled_from([name for name in document if name not in ("format", "build")]))
    one = HarnessText(text)
    works = data.draw(st.lists(st.sampled_from(GROWING), max_size=3)) + data.draw(st.sampled_from([[], ["remove"]]))
    for work in works:
        change(one, wanted, work, table, (data.draw(KEYS), data.draw(VALUES)))
    after = one.text
    assert _with_rows(tomllib.loads(after)) == _with_rows(wanted)
    assert not is_crlf or "\n" not in after.replace("\r\n", "")
    if set(works) <= {"add", "new table"}:
        lines = iter(after.splitlines())
        assert all(line.rstrip("\r") in lines for line in text.splitlines())


def _with_rows(document: Document) -> Document:
    return {name: rows for name, rows in document.items() if rows != []}
