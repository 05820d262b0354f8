"""Breaches that concern a table as a whole: missing, misspelled, swallowed by a header, or no list of rows."""

import pytest

from model.errors import Breach, HarnessFileError
from model.harness.toml_file import read_harness_text
from tests.model.harness.sound_file import SOUND, sound_document
from tests.model.harness.two_spellings import Document, Spelling, write

BOTH = pytest.mark.parametrize("spelling", list(Spelling))


def the_breach(text: str) -> Breach:
    """Read a text with one thing wrong and give what is said about it."""
    with pytest.raises(HarnessFileError) as caught:
        read_harness_text(text, "bench.toml")
    (breach,) = caught.value.breaches
    return breach


def without(table: str) -> Document:
    """Give the sound file without one of its tables."""
    document = sound_document()
    del document[table]
    return document


@BOTH
def test_a_file_without_its_format_is_told(spelling: Spelling) -> None:
    """The format is what makes a TOML file a harness file."""
    breach = the_breach(write(without("format"), spelling)[0])
    assert (breach.line, breach.key, breach.right) == (1, "format", "the first line of a harness file is format = 1")


@BOTH
@pytest.mark.parametrize(
    ("value", "says"), [(2, "a newer program"), (0, "format = 1"), ("1", "format = 1"), (True, "= 1")]
)
def test_another_format_is_told(value: object, says: str, spelling: Spelling) -> None:
    """A newer format wants a newer program; anything else is no format."""
    text, places = write({**without("format"), "format": value}, spelling)
    breach = the_breach(text)
    assert breach.line == places["format",]
    assert says in breach.right


@BOTH
@pytest.mark.parametrize(("table", "right"), [("build", "build = {"), ("batteries", "at least one battery")])
def test_a_table_that_must_be_there_is_missed(table: str, right: str, spelling: Spelling) -> None:
    """A file without a build or a battery is told so at its top."""
    document = without(table)
    if table == "batteries":
        document["build"].pop("reference")
        document["wires"].pop(0)
    breach = the_breach(write(document, spelling)[0])
    assert (breach.line, breach.table) == (1, table)
    assert right in breach.right


def test_an_empty_list_of_key_states_is_missed() -> None:
    """A list with no row is told where it stands."""
    text = 'format = 1\nbuild = { name = "b", nominal_volts = 12 }\n\nkey_states = []\nbatteries = [ { id = "G1" } ]\n'
    breach = the_breach(text)
    assert (breach.line, breach.table, breach.right) == (4, "key_states", "a file has at least one key state")


@BOTH
@pytest.mark.parametrize(("table", "typed"), [("wires", "wire"), ("busbars", "bus_bars"), ("fuses", "Fuses")])
def test_a_misspelled_table_is_read_all_the_same(table: str, typed: str, spelling: Spelling) -> None:
    """Its name is told once, and nothing that stands in it is said to be missing."""
    document = {typed if name == table else name: value for name, value in sound_document().items()}
    text, places = write(document, spelling)
    breach = the_breach(text)
    assert breach.line == places[typed,]
    assert breach.right == f"there is no such table; did you mean {table}?"


@BOTH
def test_an_unknown_table_is_told_with_those_there_are(spelling: Spelling) -> None:
    """What is near no table gets the list of them."""
    text, places = write({**sound_document(), "zzz": [{"id": "A"}]}, spelling)
    breach = the_breach(text)
    assert (breach.line, breach.table) == (places["zzz",], "zzz")
    assert "key_states, locations, trunks" in breach.right


@pytest.mark.parametrize("header", ["[build]\nname = 'b'\nnominal_volts = 12", "[[splices]]\nid = 'J1'"])
def test_a_list_below_a_header_is_to_be_moved_up(header: str) -> None:
    """A list that a header above it has swallowed is told once, and its rows count as there."""
    lines = [
        line for line in SOUND.splitlines() if not line.startswith("build =" if "build" in header else "splices =")
    ]
    start = lines.index("wires = [")
    text = "\n".join([*lines[:start], header, *lines[start:]])
    breach = the_breach(text)
    assert breach.line == text.splitlines().index("wires = [") + 1
    assert breach.table == "wires"
    assert "move wires up, above the first [header]" in breach.right
    with pytest.raises(HarnessFileError) as caught:
        read_harness_text(text.replace("size = 16, length", "size = -16, length"), "bench.toml")
    assert [(one.table, one.id) for one in caught.value.breaches] == [("wires", ""), ("wires", "W1")]
    assert caught.value.breaches[1].line == breach.line + 1


def test_single_brackets_round_a_list_of_rows_are_told() -> None:
    """``[diodes]`` is one table, where rows have two brackets; its row counts as there."""
    text = SOUND.replace('diodes = [ { id = "V1" } ]\n', "") + '[diodes]\nid = "V1"\n'
    text = text.replace('from = "J1"', 'from = "V1.anode"')
    breach = the_breach(text)
    assert breach.line == text.splitlines().index("[diodes]") + 1
    assert "[[diodes]] with two brackets" in breach.right


@pytest.mark.parametrize("value", ["3", '"BB1"', '[ "BB1", "BB2" ]', "{ BB1 = { label = 'x' }, BB2 = {} }"])
def test_a_table_that_cannot_be_read_hides_what_is_named_in_it(value: str) -> None:
    """Points and buses that may stand in an unreadable table are not reported as missing."""
    text = SOUND.replace('[ { id = "BB1" }, { id = "BB2" } ]', value)
    with pytest.raises(HarnessFileError) as caught:
        read_harness_text(text, "bench.toml")
    assert {breach.table for breach in caught.value.breaches} == {"busbars"}


@BOTH
@pytest.mark.parametrize("table", ["build", "defaults"])
def test_a_single_table_is_no_number(table: str, spelling: Spelling) -> None:
    """The build is a table of its own, and so are the defaults."""
    text, places = write({**sound_document(), table: 3}, spelling)
    breach = the_breach(text)
    assert (breach.line, breach.table) == (places[table,], table)
    assert f"[{table}]" in breach.right


@BOTH
def test_without_a_body_nothing_is_bonded_to_it(spelling: Spelling) -> None:
    """Where the build has no chassis, neither a point nor a ground is on it."""
    document = sound_document()
    document["build"]["chassis"] = False
    document["grounds"] += [{"id": "BAR"}, {"id": "GND3", "bonded": True}, {"id": "GND4", "body": "CHASSIS"}]
    text, places = write(document, spelling)
    with pytest.raises(HarnessFileError) as caught:
        read_harness_text(text, "bench.toml")
    told = [(breach.line, breach.id, breach.key) for breach in caught.value.breaches]
    assert told == [
        (places["grounds", 3, "bonded"], "GND3", "bonded"),
        (places["grounds", 4, "body"], "GND4", "body"),
        (places["wires", 4, "to"], "W5", "to"),
    ]


@BOTH
def test_a_wrong_row_keeps_its_id_and_its_good_keys(spelling: Spelling) -> None:
    """A relay with a wrong figure is still there: its good terminals are known, its bad ones told."""
    document = sound_document()
    document["relays"][0]["pull_in"] = -1
    document["wires"][4]["from"] = "K1.88"
    text, places = write(document, spelling)
    with pytest.raises(HarnessFileError) as caught:
        read_harness_text(text, "bench.toml")
    told = [(breach.line, breach.id, breach.key) for breach in caught.value.breaches]
    assert told == [(places["relays", 0, "pull_in"], "K1", "pull_in"), (places["wires", 4, "from"], "W5", "from")]


@BOTH
def test_terminals_that_a_wrong_key_may_name_are_not_missed(spelling: Spelling) -> None:
    """Where the contacts of a relay cannot be read, any terminal of it may exist."""
    document = sound_document()
    document["relays"][0]["contacts"] = "chnageover"
    document["relays"][0].pop("pins")
    document["wires"][4]["from"] = "K1.88"
    text, places = write(document, spelling)
    assert the_breach(text).line == places["relays", 0, "contacts"]


@BOTH
def test_chains_of_superseded_wires_do_not_close(spelling: Spelling) -> None:
    """Two wires that each do the other's work are both told, one that leads to them is not."""
    document = sound_document()
    for number, successor in ((0, "W2"), (1, "W3"), (2, "W2")):
        document["wires"][number]["superseded_by"] = successor
    text, places = write(document, spelling)
    with pytest.raises(HarnessFileError) as caught:
        read_harness_text(text, "bench.toml")
    lines = [breach.line for breach in caught.value.breaches]
    assert lines == [places["wires", number, "superseded_by"] for number in (1, 2)]


def test_a_list_below_the_header_of_an_inner_table_is_to_be_moved_up() -> None:
    """What a table within a row, or a row that is not the last, has swallowed is found there."""
    lines = [line for line in SOUND.splitlines() if not line.startswith("splices =")]
    start = lines.index("wires = [")
    inner = ["[[splices]]", 'id = "J1"', "[splices.pins]", *lines[start:], "[[splices]]", 'id = "J2"']
    breach = the_breach("\n".join([*lines[:start], *inner]))
    assert breach.line == start + 4
    assert breach.found == "wires = ... below a header of splices"


def test_rows_in_two_places_are_all_read() -> None:
    """Where some rows of a table stand in their place and others below a header, both count."""
    text = (
        SOUND.replace('splices = [ { id = "J1" } ]\n', "")
        + '[[splices]]\nid = "J1"\nwires = [ { id = "W8", from = "J2" } ]\n'
    )
    with pytest.raises(HarnessFileError) as caught:
        read_harness_text(text, "bench.toml")
    assert [(one.table, one.id, one.key) for one in caught.value.breaches] == [
        ("wires", "", ""),
        ("wires", "W8", "from"),
    ]
