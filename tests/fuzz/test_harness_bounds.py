"""A harness file with more in it than any loom is refused in words before it costs time, and a large loom is not."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable
from itertools import islice
from pathlib import Path
from time import process_time

import pytest

from model.errors import FusewalkError, HarnessFileError
from model.harness import toml_file
from model.harness.file_bytes import file_bytes
from model.harness.toml_bounds import MOST_KEY_PARTS, MOST_SIGNS
from model.harness.toml_file import read_harness, read_harness_text
from tests.fuzz.big_files import HEAD, breaches, nested_within, unknown_keys, unknown_tables, wide_connectors


@pytest.mark.parametrize("name", ["a", '"a"', "'a.b'", '"\\""'])
@pytest.mark.parametrize("dot", [".", " . "])
def test_a_key_of_many_names_is_refused_however_it_is_spelled(name: str, dot: str) -> None:
    """Bare, quoted and spaced names count alike; one fewer is read and told as a table that is not known."""
    with pytest.raises(FusewalkError, match="nested too deeply"):
        read_harness_text(f"{HEAD}{dot.join([name] * (MOST_KEY_PARTS + 1))} = 1\n", "bench.toml")
    with pytest.raises(HarnessFileError):
        read_harness_text(f"{HEAD}{dot.join([name] * MOST_KEY_PARTS)} = 1\n", "bench.toml")


def test_dots_within_a_text_or_a_remark_are_no_key() -> None:
    """A note and a remark may have as many dotted words as they like."""
    dots = ".".join(["a"] * 40)
    assert read_harness_text(f'# {dots}\n{HEAD}splices = [ {{ id = "J1", note = "{dots}" }} ] # {dots}\n', "b.toml")


@pytest.mark.parametrize("number", ["9" * 5000, f"0x{'f' * 5000}", f"0.{'1' * 5000}", f"1e{'9' * 5000}", "1_" * 2500])
def test_an_endless_number_is_told_with_its_line(number: str) -> None:
    """However it is written, a number of thousands of digits is told on its line and not read."""
    with pytest.raises(HarnessFileError) as told:
        read_harness_text(f"{HEAD}[defaults]\ncrimp = {number}\n", "bench.toml")
    (breach,) = told.value.breaches
    assert breach.line == HEAD.count("\n") + 2
    assert "twenty digits" in breach.right


def test_digits_within_a_text_are_no_number() -> None:
    """A note of thousands of digits is read, and a number behind it is told where it stands."""
    digits = "9" * 5000
    assert read_harness_text(f'{HEAD}splices = [ {{ id = "J1", note = "{digits}" }} ] # {digits}\n', "bench.toml")
    with pytest.raises(HarnessFileError) as told:
        read_harness_text(
            f'{HEAD}splices = [ {{ id = "J1", note = "{digits}" }} ]\nfuses = [ 0x{digits} ]', "bench.toml"
        )
    assert [breach.line for breach in told.value.breaches] == [HEAD.count("\n") + 2]


@pytest.mark.parametrize(
    ("before", "piece", "after", "right"),
    [
        ('a = "', '\\"', '"\n', "the tables are build"),
        ('a = """', "a[", "", "a text has quotes at both ends: one is missing on this line"),
        ('a = ["', "{", '", [ =\n', "a value is missing"),
        ("splices = [\nb =", "  ", "x\n", "a line is a key with its value"),
    ],
)
def test_what_is_wrong_in_a_long_text_is_told_at_once(before: str, piece: str, after: str, right: str) -> None:
    """No part of a text is gone through again from each of its places: that would take a minute, or gigabytes."""
    begun = process_time()
    with pytest.raises(HarnessFileError) as told:
        read_harness_text(f"{before}{piece * 60_000}{after}", "bench.toml")
    assert process_time() - begun < 5.0
    assert any(right in breach.right for breach in told.value.breaches)


def test_more_values_than_any_loom_has_are_refused() -> None:
    """A text of as many commas as are borne is looked at as TOML, one of more is not."""
    with pytest.raises(FusewalkError, match="commas, brackets and equals signs"):
        read_harness_text("," * (MOST_SIGNS + 1), "bench.toml")
    with pytest.raises(HarnessFileError):
        read_harness_text("," * MOST_SIGNS, "bench.toml")


@pytest.mark.parametrize("pieces", [breaches(100), unknown_tables(100)])
def test_a_hopeless_file_is_told_in_part(pieces: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """Of more breaches than anybody puts right at once the first are told, and that there are more."""
    monkeypatch.setattr(toml_file, "MOST_BREACHES", 50)
    with pytest.raises(HarnessFileError) as told:
        read_harness_text("".join(pieces), "bench.toml")
    assert len(told.value.breaches) == 51
    assert told.value.breaches[-1].found == "more than 50 things to put right"
    lines = [breach.line for breach in told.value.breaches]
    assert lines == sorted(lines)


def test_a_row_of_many_strange_keys_is_told() -> None:
    """A thousand of them are named, and the row is read without them."""
    with pytest.raises(HarnessFileError) as told:
        read_harness_text("".join(unknown_keys(1200)), "bench.toml")
    assert len(told.value.breaches) == 1000


def test_parts_inside_each_other_are_gone_through_once() -> None:
    """Housings in housings are read twenty deep, and told once beyond; those that come back to themselves are told."""
    chain = list(nested_within(1000))
    assert len(read_harness_text("".join([*chain[:21], "]\n"]), "bench.toml").splices) == 21
    with pytest.raises(HarnessFileError) as told:
        read_harness_text("".join(chain), "bench.toml")
    assert [(breach.id, breach.right) for breach in told.value.breaches] == [
        ("J21", "parts sit inside each other at most 20 deep")
    ]
    chain[0] = chain[0].replace('"J0"', '"J0", inside = "J2"')
    with pytest.raises(HarnessFileError) as told:
        read_harness_text("".join([*chain[:10], "]\n"]), "bench.toml")
    assert [breach.id for breach in told.value.breaches] == ["J0", "J1", "J2"]


def test_more_cavities_than_any_loom_has_are_told() -> None:
    """All connectors together have at most fifty thousand; the one with which they are more is named."""
    assert len(read_harness_text("".join(wide_connectors(5, 10_000)), "bench.toml").connectors) == 5
    with pytest.raises(HarnessFileError) as told:
        read_harness_text("".join(wide_connectors(7, 10_000)), "bench.toml")
    assert [breach.id for breach in told.value.breaches] == ["X5"]


def _fifo(path: Path) -> Path:
    os.mkfifo(path)
    return path


def _directory(path: Path) -> Path:
    path.mkdir()
    return path


def _loop(path: Path) -> Path:
    path.symlink_to(path)
    return path


def _link_to_nothing(path: Path) -> Path:
    path.symlink_to(path.with_name("nothing"))
    return path


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no pipes in the file system")
@pytest.mark.parametrize(
    ("make", "told"),
    [
        (_fifo, "this is a pipe and no file. Write what comes out of it to a file"),
        (_directory, "this is a directory. Give the harness file in it."),
        (_loop, "the file cannot be read: Too many levels of symbolic links."),
        (_link_to_nothing, "there is no such file."),
        (lambda path: Path("/dev/zero"), "this is a device and no file."),
        (lambda path: path / "\0", "the file cannot be read: embedded null byte."),
        (lambda path: path.with_name("x" * 300), "the file cannot be read: File name too long."),
    ],
)
def test_what_is_no_file_is_refused_at_once(tmp_path: Path, make: Callable[[Path], Path], told: str) -> None:
    """Pipes, devices, directories and links that lead nowhere are named as what they are, and never waited for."""
    with pytest.raises(FusewalkError) as caught:
        read_harness(make(tmp_path / "bench.toml"))
    assert told in str(caught.value)


def test_a_file_that_changes_while_it_is_read_is_read_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is read is what stood there at one time; where it never rests that is told."""
    path = tmp_path / "bench.toml"
    path.write_bytes(b"old")
    real = os.fstat
    texts = iter([b"middle", b"new"])

    def restless(descriptor: int) -> os.stat_result:
        seen = real(descriptor)
        for text in islice(texts, int(stat.S_ISREG(seen.st_mode))):
            path.write_bytes(text)
        return seen

    monkeypatch.setattr("model.harness.file_bytes.os.fstat", restless)
    assert file_bytes(path, 100, in_it="", check="") == b"new"
    texts = iter(b"x" * number for number in range(1, 100))
    with pytest.raises(FusewalkError, match="changes while it is read"):
        file_bytes(path, 100, in_it="", check="")
