"""Finding wires, parts and points by what one holds in the hand or reads off a label."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from model.harness.harness import Harness
from model.harness.toml_file import read_harness_text
from model.tracing.find import FindKind, Found, find, search
from model.tracing.find_terms import colours_of
from model.tracing.find_typos import slips
from model.words import clean

DEMO = Path(__file__).parents[2] / "demo_builds"

TEXT = r"""
format = 1
build = { name = "Van", nominal_volts = 12 }
key_states = [ { name = "off" } ]
locations = [
  { name = "left sill", access = "buried", reach = "kick plate out" },
  { name = "roof", reach = "lining, six studs" },
  { name = "Motorhaube", exposure = ["hot"] },
]
trunks = [ { name = "rear run", length = 2 } ]
batteries = [ { id = "G1", label = "Battery" } ]
busbars = [ { id = "BB1" } ]
fuses = [
  { id = "F1", amps = 15, bus = "BB1", label = "Fuel pump" },
  { id = "F2", amps = 7.5, bus = "BB1", label = "F1 [/15A] [red]" },
]
relays = [ { id = "K7", label = "Fuel pump relay", location = "left sill", pins = { "30" = 1, "85" = 3 } } ]
loads = [
  { id = "M2", kind = "motor", amps = 6, label = "Fuel pump", location = "roof", role = "fuel pump" },
  { id = "M3", kind = "motor", amps = 6, label = "Ölpumpe", location = "Motorhaube" },
  { id = "E1", kind = "lamp", label = "Green lamp", location = "roof", watts = 21 },
]
connectors = [ { id = "X2", cavities = 8, halves = ["cab", "tail"], location = "left sill", label = "Sill plug" } ]
grounds = [ { id = "GND1", location = "roof" } ]
wires = [
  { id = "W1", from = "F1.out", to = "X2.cab.6", colour = "GN/WH", size = 1.5, via = ["rear run"] },
  { id = "W2", from = "X2.tail.6", to = "K7.30", colour = "GN/WH", size = 1.5 },
  { id = "W3", from = "K7.87", to = "M2.+", colour = "WH/GN", size = 1.5 },
  { id = "W4", from = "X2.tail.1", to = "E1.+", colour = "GN", size = "AWG 16" },
  { id = "W5", from = "E1.-", to = "GND1", colour = "BK", size = 2.5 },
  { id = "W6", from = "M2.-", to = "GND1", colour = "BK" },
  { id = "W7", from = "X2.cab.8", to_location = "roof", colour = "PK", size = 0.75, spare = true },
]
"""


@pytest.fixture(scope="module")
def van() -> Harness:
    """Give a small harness."""
    return read_harness_text(TEXT, "van.toml")


def ids(found: tuple[Found, ...]) -> list[str]:
    """Name what was found, in its order."""
    return [one.id for one in found]


def test_a_question_typed_as_it_is_asked(van: Harness) -> None:
    """Words that narrow nothing are dropped; colour, size and place are left."""
    result = search(van, ["I hold a green/white 1.5 in the left sill: what is it"])
    assert ids(result.found)[:2] == ["W1", "W2"]
    assert result.remarks == ()
    assert result.found[0].why == "colour “green/white”, size “1.5”, place “left sill”"
    assert "M2" not in ids(result.found)


def test_one_argument_or_many_is_the_same(van: Harness) -> None:
    """A shell parts words at spaces; it makes no difference."""
    assert find(van, ["green/white", "1.5", "left", "sill"]) == find(van, ["green/white 1.5 left sill"])


@pytest.mark.parametrize(
    "typed",
    ["GN/WH", "gn/wh", "green white", "green/white", "green-white", "green with white stripe", "white on green",
     "green with a white tracer", "Green And White", "GN WH"],
)  # fmt: skip
def test_a_colour_in_words_or_codes(van: Harness, typed: str) -> None:
    """Base and stripe as they are spoken; the other way round comes after, and says so."""
    found = find(van, [typed])
    assert ids(found) == ["W1", "W2", "W3"]
    assert found[2].why.startswith("colour the other way round")


def test_one_colour_finds_plain_wires_before_striped_ones(van: Harness) -> None:
    """A base counts more than a stripe, a plain wire more than both; a label with the word is found too."""
    assert ids(find(van, ["green"])) == ["W4", "E1", "W1", "W2", "W3", "W5"]


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("2.5 mm2", ["W5"]),
        ("2.5mm²", ["W5"]),
        ("2,5", ["W5"]),
        ("AWG 16", ["W4"]),
        ("awg16", ["W4"]),
        ("16 gauge", ["W4"]),
        ("15 A", ["F1", "F2"]),
        ("15A", ["F1", "F2"]),
        ("7.5 amps", ["F2"]),
        ("21 W", ["E1"]),
        ("spare", ["W7"]),
        ("X2.tail.6", ["X2.tail.6", "W2"]),
        ("X2 6", ["X2.cab.6", "X2.tail.6", "W1", "W2"]),
        ("X2 tail cavity 6", ["X2.tail.6", "W2"]),
        ("K7 30", ["K7.30", "W2"]),
        ("K7 pin 3", ["K7.85"]),
        ("K7.30", ["K7.30", "W2"]),
        ("G1.-", ["G1.-"]),
        ("W7 b", ["W7.b"]),
        ("fuel pump", ["M2", "F1", "K7", "W1", "W2", "W3", "W6"]),
        ("fuel pumps", ["M2", "K7", "F1", "W1", "W2", "W3", "W6"]),
        ("rear run", ["W1"]),
        ("olpumpe", ["M3"]),
        ("Ölpumpe", ["M3"]),
        ("earth", ["GND1", "CHASSIS", "W5", "W6"]),
        ("chassis", ["CHASSIS"]),
        ("bulb", ["E1", "W4", "W5"]),
        ("relay", ["K7", "W2", "W3"]),
    ],
)
def test_what_else_can_be_asked_for(van: Harness, typed: str, expected: list[str]) -> None:
    """Sizes, gauges, ratings, ids, points, cavities, pins, labels, trunks and kinds."""
    assert ids(find(van, [typed])) == expected


def test_several_words_narrow(van: Harness) -> None:
    """Each word more leaves no more than before."""
    assert ids(find(van, ["black"])) == ["W5", "W6"]
    assert ids(find(van, ["black 2.5"])) == ["W5"]
    assert ids(find(van, ["fuse fuel pump"])) == ["F1"]


def test_an_assumed_size_is_found_and_said(van: Harness) -> None:
    """A wire without a size is taken to be 1 mm², after those that are."""
    found = find(van, ["1 mm2"])
    assert ids(found) == ["W6"]
    assert (found[0].size, found[0].why) == ("1 mm² assumed", "size, assumed “1 mm2”")


def test_what_is_found_of_a_wire(van: Harness) -> None:
    """Both ends with their places, the colour in words, the size with its unit."""
    wire = find(van, ["W7"])[0]
    assert (wire.what, wire.kind, wire.ends) == (FindKind.WIRE, "wire", ("X2.cab.8", "W7.b"))
    assert wire.places == ("left sill, kick plate out", "roof, lining, six studs")
    assert (wire.colour, wire.colour_words, wire.size) == ("PK", "pink", "0.75 mm²")
    assert wire.points == wire.ends


def test_a_misspelled_word_is_taken_for_the_nearest_and_said(van: Harness) -> None:
    """The words of the file and the colours are known."""
    result = search(van, ["gren white"])
    assert ids(result.found) == ["W1", "W2", "W3"]
    assert result.remarks == ("There is no “gren”; taken as “green”.",)


@pytest.mark.parametrize(("typed", "meant"), [("leftt", "left"), ("sapre", "spare"), ("connektr", "connector")])
def test_a_slip_of_the_finger_is_mended(van: Harness, typed: str, meant: str) -> None:
    """One slip in a short word, two in one of seven letters or more."""
    assert search(van, [typed]).remarks == (f"There is no “{typed}”; taken as “{meant}”.",)


@pytest.mark.parametrize("typed", ["rof", "lxxt", "fpare", "kreen"])
def test_an_unlike_word_is_no_guess(van: Harness, typed: str) -> None:
    """Another first letter, more slips, or a word of three letters: it is taken for nothing else."""
    assert not any("taken as" in remark for remark in search(van, [typed]).remarks)


@pytest.mark.parametrize(
    ("one", "other", "count"),
    [("gren", "green", 1), ("grene", "green", 1), ("blinker", "liner", 2), ("pump", "pump", 0), ("abc", "", 3)],
)
def test_slips_are_counted(one: str, other: str, count: int) -> None:
    """A letter added, left out, changed, or turned about with its neighbour is one slip."""
    assert slips(one, other) == slips(other, one) == count


def test_an_id_is_never_guessed(van: Harness) -> None:
    """A wrong id would send the probe to another wire: the nearest is named, nothing is shown for it."""
    result = search(van, ["K8"])
    assert result.found == ()
    assert result.remarks == ("There is no “K8”; the nearest is K7.", "Nothing is found for “K8”.")


def test_what_fits_most_is_shown_where_nothing_fits_all(van: Harness) -> None:
    """The wire in the hand may be thicker than the file says; what does not fit is named."""
    result = search(van, ["green/white 2.5 left sill"])
    assert ids(result.found)[:2] == ["W1", "W2"]
    assert result.found[0].missing == ("2.5",)
    assert result.remarks == ("Nothing fits all of it. These fit most, each with what does not fit.",)


def test_nothing_typed_and_nothing_found_are_said(van: Harness) -> None:
    """Neither is an error."""
    assert search(van, []).remarks[0].startswith("Type an id")
    assert search(van, ["?!"]).found == ()
    result = search(van, ["qqqqqqqq"])
    assert (result.found, result.total) == ((), 0)
    assert result.remarks == ("Nothing is found for “qqqqqqqq”.",)


def test_words_that_narrow_nothing_still_find_what_is_called_so(van: Harness) -> None:
    """Alone, even a dropped word is looked up."""
    assert ids(find(van, ["W7", "a"])) == ["W7"]
    assert ids(find(van, ["out"]))[0] == "F1.out"
    assert find(van, ["please"]) == ()


def test_a_beginning_finds_while_it_is_typed(van: Harness) -> None:
    """Letters that begin a word find it, less surely than the whole word."""
    assert ids(find(van, ["fue"]))[:3] == ["M2", "K7", "F1"]
    assert ids(find(van, ["w"]))[:7] == ["W1", "W2", "W3", "W4", "W5", "W6", "W7"]


def test_the_limit_cuts_and_the_total_counts(van: Harness) -> None:
    """As many as asked for come back; how many there are is known."""
    result = search(van, ["wire"], limit=2)
    assert ids(result.found) == ["W1", "W2"]
    assert result.total == 7


def test_labels_with_brackets_come_back_whole(van: Harness) -> None:
    """Nothing of a label is read as markup, nor lost."""
    found = find(van, ["[/15A]", "[red]"])
    assert found[0].id == "F2"
    assert found[0].label == "F1 [/15A] [red]"


@pytest.mark.slow
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=200)
@given(words=st.lists(st.text(max_size=30), max_size=6))
def test_no_text_makes_it_fall(van: Harness, words: list[str]) -> None:
    """Whatever is typed: an answer, clean, the same again, the best first, each fitting or saying what does not."""
    result = search(van, words)
    assert result == search(van, words)
    assert [one.score for one in result.found] == sorted((one.score for one in result.found), reverse=True)
    assert len({one.id for one in result.found}) == len(result.found) <= result.total
    for text in (*result.remarks, *(one.why for one in result.found)):
        assert text == clean(text, 4000)


_WORDS = (
    "green white GN/WH 1.5 2.5 left sill roof X2 6 cavity K7 30 15 A fuel pump relay lamp W1 awg 16 in the on with /"
)
_ASKED = st.sampled_from(_WORDS.split())


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=200)
@given(words=st.lists(_ASKED, min_size=1, max_size=8))
def test_what_is_found_fits_or_says_what_does_not(van: Harness, words: list[str]) -> None:
    """Without a remark everything fits; with one every answer names what is missing."""
    result = search(van, words)
    nearly = any(remark.startswith("Nothing fits all") for remark in result.remarks)
    for one in result.found:
        assert bool(one.missing) is nearly
        assert one.why


@pytest.mark.slow
def test_ten_thousand_wires_are_searched_while_typing() -> None:
    """Every way of asking is answered in a loom of ten thousand wires."""
    colours = ["BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH"]
    head = TEXT[: TEXT.index("wires = [")]
    head = head.replace("loads = [", "\n".join(["loads = [", *(_lamp(number) for number in range(2000))]))
    wires = [_wire(number, f"{colours[number % 10]}/{colours[number // 10 % 10]}") for number in range(10_000)]
    large = read_harness_text("\n".join([head, "wires = [", *wires, "]"]), "large.toml")
    find(large, ["first"])
    for typed in ("I hold a green/white 1.5 in the left sill: what is it", "left sill", "l", "wire", "gren", "X2 6"):
        assert find(large, [typed]), typed


def _lamp(number: int) -> str:
    return f'  {{ id = "E{number + 100}", kind = "lamp", watts = 5, label = "Lamp {number}", location = "left sill" }},'


def _wire(number: int, colour: str) -> str:
    to = f"E{number % 2000 + 100}.+"
    return f'  {{ id = "W{number}", from = "X2.cab.{number % 8 + 1}", to = "{to}", colour = "{colour}", size = 1.5 }},'


@pytest.mark.parametrize("words", ["grn/wht", "gn/wt", "GRN WHT stripe"])
def test_short_forms_of_colours_are_read(van: Harness, words: str) -> None:
    """As wiring diagrams write them; of two letters only beside another colour: ``sw`` alone begins a switch."""
    assert colours_of("sw") == []
    assert colours_of("sw/ge") == ["BK", "YE"]
    assert ids(find(van, words.split()))[:2] == ["W1", "W2"]
