"""Cleaning of text from files, and figures as people read them."""

import math
import subprocess
import sys
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model import words

TROUBLE = (
    "\x00\x07\x1b\x7f\x85\x9b\u00ad\u061c\u200b\u200e\u200f\u2028\u2029"
    "\u202a\u202e\u2060\u2066\u2069\ufe0f\ufeff\U000e0041"
)
ANY_TEXT = st.text(alphabet=st.characters(exclude_categories=())) | st.text(
    alphabet=st.sampled_from(TROUBLE + "a\t\r\n\ud800e\u0301")
)
COLOURS = ["BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "GD", "TQ", "SR"]


def obeyed(character: str) -> bool:
    """Return whether a terminal may obey a character, or turn its line round for it."""
    return unicodedata.category(character) in {"Cc", "Cs", "Zl", "Zp"} or unicodedata.bidirectional(character) in {
        "LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI",
    }  # fmt: skip


@given(ANY_TEXT)
def test_nothing_a_terminal_obeys_is_left(text: str) -> None:
    """Whatever the file says, no control, surrogate, line separator or direction mark is shown."""
    assert not [character for character in words.clean(text) if obeyed(character)]


@given(ANY_TEXT)
def test_cleaning_twice_is_cleaning_once(text: str) -> None:
    """A cleaned text is clean, composed, and at most 200 characters."""
    once = words.clean(text)
    assert words.clean(once) == once
    assert unicodedata.is_normalized("NFC", once)
    assert len(once) <= 200


@given(st.text(alphabet=st.characters(categories=("Lu", "Ll", "Nd", "Ps", "Pe", "Po")), max_size=200))
def test_ordinary_labels_stay(text: str) -> None:
    """Letters, digits, brackets and signs pass as they are, composed."""
    assert words.clean(text) == unicodedata.normalize("NFC", text)


@pytest.mark.parametrize(
    ("written", "shown"),
    [
        ("S1 [on]", "S1 [on]"),
        ("left\tsill\nrear\r\nend", "left sill rear end"),
        ("\x1b]0;gone\x07horn", "]0;gonehorn"),
        ("\x9b2Jhorn", "2Jhorn"),
        ("a\u202eb\u200bc\u2060d\ufeff", "abcd"),
        ("horn\ud800", "horn\ufffd"),
        ("Ru\u0308cklicht", "R\u00fccklicht"),
        ("e\u200b\u0301", "\u00e9"),
        ("\u26a0\ufe0f hot", "\u26a0 hot"),
    ],
)
def test_clean_cases(written: str, shown: str) -> None:
    """Each kind of trouble leaves the rest of the label whole."""
    assert words.clean(written) == shown


def test_long_text_ends_in_three_points() -> None:
    """The cut is seen, and the limit holds however small it is."""
    assert words.clean("x" * 201) == "x" * 197 + "..."
    assert words.clean("x" * 200) == "x" * 200
    assert words.clean("horn relay", 8) == "horn ..."
    assert words.clean("horn", 2) == "ho"


@pytest.mark.parametrize(
    ("word", "near"),
    [("fusse", "fuses"), ("WIRES", "wires"), ("wire", "wires"), ("zebra", None), ("", None)],
)
def test_nearest_finds_the_slip_and_nothing_else(word: str, near: str | None) -> None:
    """A slip of the finger is found, a strange word is not."""
    assert words.nearest(word, ["fuses", "wires", "relays"]) == near


@pytest.mark.parametrize(
    ("volts", "text"),
    [
        (12.364, "12.36"),
        (0.0799, "0.08"),
        (-0.004, "0.00"),
        (-0.0, "0.00"),
        (-1.5, "-1.50"),
        (12, "12.00"),
        (math.nan, "?"),
    ],
)
def test_volts_have_two_decimals_and_no_negative_nought(volts: float, text: str) -> None:
    """Two decimals as a meter shows them; a rounding to nought loses its sign."""
    assert words.volts_text(volts) == text


@pytest.mark.parametrize(
    ("amps", "text"),
    [
        (6.2, "6.2 A"),
        (0.035, "35 mA"),
        (0.9996, "1 A"),
        (120.4, "120 A"),
        (0.00004, "0 A"),
        (-0.00042, "-0.42 mA"),
        (math.nan, "?"),
    ],
)
def test_amps_choose_their_unit(amps: float, text: str) -> None:
    """Three figures; under an ampere in milliamperes."""
    assert words.amps_text(amps) == text


@pytest.mark.parametrize(
    ("ohms", "text"),
    [
        (0.0085, "8.5 mΩ"), (0.0001, "0.1 mΩ"), (0.0999, "99.9 mΩ"), (0.09999, "0.1 Ω"), (0.374, "0.374 Ω"),
        (85, "85 Ω"),
        (999.7, "1 kΩ"), (4700, "4.7 kΩ"), (1e7, "10 MΩ"), (1e10, "open"), (math.inf, "open"),
        (0, "0 Ω"), (math.nan, "?"),
    ],
)  # fmt: skip
def test_ohms_choose_their_unit(ohms: float, text: str) -> None:
    """Milliohms for a crimp, kilohms for a sender, the word for a break."""
    assert words.ohms_text(ohms) == text


@pytest.mark.parametrize(
    ("watts", "text"), [(55, "55 W"), (0.42, "0.42 W"), (1240, "1.24 kW"), (0.001, "0 W"), (math.nan, "?")]
)
def test_watts_choose_their_unit(watts: float, text: str) -> None:
    """Three figures; kilowatts from a thousand watts on."""
    assert words.watts_text(watts) == text


@pytest.mark.parametrize(
    ("area_mm2", "text"), [(1.5, "1.5"), (0.519, "0.52"), (25.0, "25"), (120, "120"), (10.0, "10")]
)
def test_sizes_lose_needless_noughts(area_mm2: float, text: str) -> None:
    """A size is written as it is stamped on the reel."""
    assert words.size_text(area_mm2) == text


@pytest.mark.parametrize(
    ("number", "noun", "text"),
    [(1, "wire", "1 wire"), (3, "wire", "3 wires"), (0, "fuse", "no fuses"), (2, "battery", "2 batteries"),
     (2, "switch", "2 switches"), (2, "way", "2 ways"), (2, "busbar", "2 busbars"), (4, "bus", "4 buses")],
)  # fmt: skip
def test_plural(number: int, noun: str, text: str) -> None:
    """One, several and none are told as one says them."""
    assert words.plural(number, noun) == text


def test_plural_takes_an_irregular_word() -> None:
    """Where the rule fails, the caller gives the word."""
    assert words.plural(2, "body", "pieces of metal") == "2 pieces of metal"


@pytest.mark.parametrize(
    ("code", "told"),
    [("GN/WH", "green with white stripe"), ("RD", "red"),
     ("GNYE", "green and yellow"), ("gn/wh/rd", "green with white and red stripes"),
     ("QQ/BK", "QQ with black stripe"), ("", "colour unknown"), ("/", "colour unknown")],
)  # fmt: skip
def test_colours_in_words(code: str, told: str) -> None:
    """A code of IEC 60757 is told in words; what is none stays as written."""
    assert words.colour_words(code) == told


@given(
    st.lists(
        st.sampled_from(["BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "GD", "TQ", "SR"]),
        min_size=1,
        max_size=2,
    )
)
def test_colour_codes_are_the_way_back(codes: list[str]) -> None:
    """The words of a code give the code again."""
    told = words.colour_words("/".join(codes)).removesuffix(" stripe").split(" with ")
    assert words.colour_codes(told) == "/".join(codes)


def test_a_strange_colour_is_refused() -> None:
    """A word that names no colour is named in the refusal; other spellings of a colour are taken."""
    assert words.colour_codes(["Gray", "purple"]) == "GY/VT"
    with pytest.raises(ValueError, match="teal"):
        words.colour_codes(["teal"])


def test_words_load_nothing_heavy() -> None:
    """A fast command may import this module: no third-party package and no difflib comes with it."""
    script = (
        "import sys, model.words; print(sorted({'numpy', 'pydantic', 'textual', 'rich', 'difflib'} & set(sys.modules)))"
    )
    told = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"
