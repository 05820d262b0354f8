"""Harness files that are read, and files that are none."""

import errno
import gc
from pathlib import Path

import pytest

from model.errors import FusewalkError, HarnessFileError
from model.harness.toml_bounds import LARGEST_BYTES
from model.harness.toml_file import read_harness, read_harness_text
from model.words import clean
from tests.model.harness.sound_file import SOUND, sound_document
from tests.model.harness.two_spellings import Spelling, write

BUILDS = sorted((Path(__file__).parents[3] / "demo_builds").glob("*.toml"))
BOTH = pytest.mark.parametrize("spelling", list(Spelling))


@pytest.mark.parametrize("path", BUILDS, ids=lambda path: path.stem)
def test_every_demo_build_is_read(path: Path) -> None:
    """No demo build breaks a rule, and each keeps the name of its file."""
    harness = read_harness(path)
    assert harness.source == path.name
    assert harness.wires


def test_records_hold_what_the_file_says(tmp_path: Path) -> None:
    """Numbers for names become text, inner rows become records, and what is left out has its default."""
    path = tmp_path / "bench.toml"
    path.write_text(SOUND, encoding="utf-8")
    harness = read_harness(path)
    assert harness.switches[0].terminals == ("30", "15")
    assert harness.switches[2].positions == {"closed": (("1", "2"),), "open": ()}
    assert harness.relays[0].pins == {"30": 1, "87": 2, "87a": 3, "85": 4, "86": 5}
    assert [element.watts for element in harness.loads[0].elements] == [55, 5]
    assert harness.wires[1].size == "AWG 6"
    assert harness.wires[5].to_point is None
    assert harness.batteries[0].ohms == 0.008
    assert harness.defaults.size == 1.5


def test_line_ends_and_a_byte_order_mark_change_nothing(tmp_path: Path) -> None:
    """A file from an editor that writes a mark at the front and CR LF at line ends is the same harness."""
    path = tmp_path / "bench.toml"
    path.write_bytes(b"\xef\xbb\xbf" + SOUND.encode().replace(b"\n", b"\r\n"))
    assert read_harness(path) == read_harness_text(SOUND, "bench.toml")


def test_lines_are_counted_alike_with_any_line_end() -> None:
    """A breach stands on the same line of a file with CR LF."""
    wrong = SOUND.replace("size = 16, length", "size = -16, length")
    lines = []
    for text in (wrong, wrong.replace("\n", "\r\n"), "\ufeff" + wrong):
        with pytest.raises(HarnessFileError) as caught:
            read_harness_text(text, "bench.toml")
        lines.append(caught.value.breaches[0].line)
    assert len(set(lines)) == 1
    assert "size = -16" in wrong.splitlines()[lines[0] - 1]


def test_a_date_needs_no_quotes() -> None:
    """A date as TOML knows it is taken as its text."""
    text = SOUND.replace("nominal_volts = 12", "nominal_volts = 12, date = 2024-05-01")
    assert read_harness_text(text, "bench.toml").build.date == "2024-05-01"


NASTY = [
    "S1 [on]",
    "F1 [/15A]",
    "[red]",
    "x" * 61,
    "Größe 電",
    "a\x1b[31mb\x9b2J",
    "left\u202eright",
    "tab\there\nend",
    "e\u0301",
]


@BOTH
@pytest.mark.parametrize("label", NASTY)
def test_texts_come_in_harmless(label: str, spelling: Spelling) -> None:
    """Labels, names and notes are cleaned on their way in, and names still fit the names that refer to them."""
    document = sound_document()
    document["wires"][0]["label"] = label
    document["batteries"][0]["note"] = label
    document["locations"][0]["name"] = label
    document["batteries"][0]["location"] = label
    document["loads"][1]["role"] = label
    document["switches"][2]["positions"] = {label: [[1, 2]], "open": []}
    document["switches"][2]["rest"] = label
    harness = read_harness_text(write(document, spelling)[0], "bench.toml")
    shown = clean(label)
    assert harness.wires[0].label == shown
    assert harness.batteries[0].note == shown
    assert list(harness.locations_by_name) == [shown, "tail"]
    assert harness.loads[1].role == shown
    assert list(harness.switches[2].positions) == [shown, "open"]


def test_a_text_is_cut_at_two_thousand_characters() -> None:
    """A text of any length is let in, cut."""
    document = sound_document()
    document["build"]["note"] = "n" * 5000
    assert len(read_harness_text(write(document, Spelling.ROWS)[0], "bench.toml").build.note) == 2000


def test_keys_that_read_alike_are_told() -> None:
    """Two positions that differ in what cannot be seen are not made one in silence."""
    document = sound_document()
    document["switches"][1]["positions"]["he\u200bad"] = []
    with pytest.raises(HarnessFileError, match="two keys that read alike"):
        read_harness_text(write(document, Spelling.ROWS)[0], "bench.toml")


def test_a_missing_file_is_told(tmp_path: Path) -> None:
    """A path with nothing there gives a sentence with that path."""
    with pytest.raises(FusewalkError, match="there is no such file") as caught:
        read_harness(tmp_path / "none.toml")
    assert str(tmp_path / "none.toml") in str(caught.value)


def test_a_directory_is_told(tmp_path: Path) -> None:
    """A directory is no harness file."""
    with pytest.raises(FusewalkError, match="this is a directory"):
        read_harness(tmp_path)


def test_a_file_that_may_not_be_read_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file without leave to read it gives the reason."""

    def refuse(*_: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr("model.harness.file_bytes.os.open", refuse)
    with pytest.raises(FusewalkError, match="cannot be read: Permission denied"):
        read_harness(tmp_path / "bench.toml")


@pytest.mark.parametrize("name", ["n" * 300 + ".toml", "a\x00b", "bench.toml/inner"])
def test_a_path_that_cannot_be_is_told(tmp_path: Path, name: str) -> None:
    """A name too long, with a null in it, or below a file gives a sentence."""
    (tmp_path / "bench.toml").touch()
    with pytest.raises(FusewalkError, match=r"cannot be read|no such file"):
        read_harness(tmp_path / name)


@pytest.mark.parametrize(
    ("content", "line", "found"),
    [(b"format = 1\n# caf\xe9\n", 2, "byte 0xE9"), (SOUND.encode("utf-16"), 1, "byte 0xFF"), (b"\x00" * 9, 1, "")],
)
def test_what_is_no_utf_8_text_is_told(tmp_path: Path, content: bytes, line: int, found: str) -> None:
    """Other encodings and binary files give one breach with its line."""
    path = tmp_path / "bench.toml"
    path.write_bytes(content)
    with pytest.raises(HarnessFileError) as caught:
        read_harness(path)
    (breach,) = caught.value.breaches
    assert breach.line == line
    assert found in breach.found


def test_a_file_over_four_megabytes_is_refused_unread(tmp_path: Path) -> None:
    """A file one byte too large is refused for its size, not for what stands in it."""
    path = tmp_path / "large.toml"
    with path.open("wb") as file:
        file.truncate(LARGEST_BYTES + 1)
    with pytest.raises(FusewalkError, match="larger than 4 MB"):
        read_harness(path)
    with pytest.raises(FusewalkError, match="larger than 4 MB"):
        read_harness_text("#" * (LARGEST_BYTES + 1), "large.toml")


@pytest.mark.parametrize("text", ["x = " + "[" * 5000 + "]" * 5000, "x = " + "{ a = " * 5000 + "1" + " }" * 5000])
def test_brackets_beyond_all_bounds_are_told(text: str) -> None:
    """Thousands of nested brackets give a sentence."""
    with pytest.raises(FusewalkError, match="nested too deeply"):
        read_harness_text(text, "deep.toml")


@pytest.mark.parametrize("text", ["a." * 100_000 + "a = 1", f"[{'a . ' * 100_000} a]\n"])
def test_keys_of_endless_parts_are_told_at_once(text: str) -> None:
    """A key of a hundred thousand parts gives the same sentence, and is not waited for."""
    with pytest.raises(FusewalkError, match="nested too deeply"):
        read_harness_text(text, "deep.toml")


@pytest.mark.parametrize("depth", [10, 100, 200, 300, 400, 470])
def test_many_brackets_are_an_unknown_table(depth: int) -> None:
    """What `tomllib` can still read is reported as what it is."""
    with pytest.raises(FusewalkError, match=r"a table x|nested too deeply"):
        read_harness_text("x = " + "[" * depth + "]" * depth, "deep.toml")


def test_reading_leaves_the_garbage_collector_as_it_was() -> None:
    """The collector rests while a file is read, and runs again after it, whatever came of it."""
    gc.enable()
    with pytest.raises(HarnessFileError):
        read_harness_text("", "bench.toml")
    assert gc.isenabled()
    gc.disable()
    try:
        read_harness_text(SOUND, "bench.toml")
        assert not gc.isenabled()
    finally:
        gc.enable()
