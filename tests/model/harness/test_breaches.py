"""Each rule of the harness format, broken by itself and along with others, in both spellings."""

import random

import pytest

from model.errors import Breach, HarnessFileError
from model.harness.toml_file import read_harness_text
from tests.model.harness.breach_cases import CASES, Case
from tests.model.harness.sound_file import sound_document
from tests.model.harness.two_spellings import Document, Spelling, TomlPath, write

BOTH = pytest.mark.parametrize("spelling", list(Spelling))


def breaches_of(text: str) -> tuple[Breach, ...]:
    """Read a text that is wrong and give what is said about it."""
    with pytest.raises(HarnessFileError) as caught:
        read_harness_text(text, "bench.toml")
    return caught.value.breaches


def line_of(places: dict[TomlPath, int], path: TomlPath) -> int:
    """Give the line of a path, or of the row or table around it where it was taken out."""
    while path not in places:
        path = path[:-1]
    return places[path]


def test_the_sound_file_is_one_harness_in_both_spellings() -> None:
    """Nothing is wrong with the file that the others damage, and both spellings of it are equal."""
    one, other = (read_harness_text(write(sound_document(), spelling)[0], "bench.toml") for spelling in Spelling)
    assert one == other
    assert len(one.parts) == 33


@BOTH
@pytest.mark.parametrize("case", CASES, ids=str)
def test_one_breach_is_told_once_and_where_it_stands(case: Case, spelling: Spelling) -> None:
    """A single breach gives a single report with its line, table, id, key, and what would be right."""
    document = sound_document()
    path = case.breach(document)
    text, places = write(document, spelling)
    (breach,) = breaches_of(text)
    assert breach.line == line_of(places, path)
    assert breach.table == path[0]
    assert breach.id == expected_id(document, path, case)
    assert breach.key == case.reported_key()
    for piece in case.says:
        assert piece in f"{breach.found}; {breach.right}"


def expected_id(document: Document, path: TomlPath, case: Case) -> str:
    """Give what a report calls the row."""
    if len(path) == 1 or not isinstance(path[1], int):
        return ""
    row = document[str(path[0])][path[1]]
    return str(row.get("id", row.get("name", f"row {path[1] + 1}")))


@BOTH
@pytest.mark.parametrize("count", [2, 5, 20])
@pytest.mark.parametrize("seed", range(4))
def test_many_breaches_are_all_told_in_one_go(count: int, seed: int, spelling: Spelling) -> None:
    """Two, five or twenty breaches in one file are all reported, none hidden by another and none made up."""
    document = sound_document()
    expected: list[tuple[str, str, TomlPath]] = []
    for case in apart(count, seed):
        path = case.breach(document)
        expected.append((expected_id(document, path, case), case.reported_key(), path))
    text, places = write(document, spelling)
    breaches = breaches_of(text)
    told = [(breach.id, breach.key, breach.line) for breach in breaches]
    assert sorted(told) == sorted((row, key, line_of(places, path)) for row, key, path in expected)
    assert [breach.line for breach in breaches] == sorted(breach.line for breach in breaches)


def apart(count: int, seed: int) -> list[Case]:
    """Choose breaches of different rows; the terminals that other rows name stay as they are."""
    cases = [case for case in CASES if case.sub[0] not in ("id", "name", "contacts", "halves", "cavities")]
    random.Random(seed).shuffle(cases)
    by_row: dict[str, Case] = {}
    for case in cases:
        by_row.setdefault(case.row, case)
    assert len(by_row) >= count
    return list(by_row.values())[:count]
