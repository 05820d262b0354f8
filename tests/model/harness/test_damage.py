"""Whatever a file holds, reading it ends in a harness or in words for a person."""

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from model.errors import FusewalkError, HarnessFileError
from model.harness.harness import ROW_TYPES, Harness
from model.harness.toml_file import read_harness, read_harness_text
from model.words import clean
from tests.model.harness.sound_file import SOUND, sound_document
from tests.model.harness.two_spellings import Document, Spelling, TomlPath, write

HEADERS = write(sound_document(), Spelling.HEADERS)[0]
PIECES = (
    *(
        "",
        "[",
        "]",
        "{",
        "}",
        "=",
        '"',
        "'",
        ",",
        ".",
        "\n",
        "#",
        "\\",
        "\x00",
        "\x1b",
        "-1",
        "nan",
        "[[",
        "49a",
        "ü",
        '"""',
    ),
    *("\r", "id", "from", "wires", "elements", "F1.out", "K1.87b", "true", "1e400", "0x10", "1979-05-27", "CHASSIS"),
)


def what_is_told(read: Callable[[], Harness]) -> FusewalkError | None:
    """Read a harness and give what is told; anything but words for a person goes through."""
    try:
        read()
    except FusewalkError as error:
        return error
    return None


def check(text: str) -> None:
    """Read a text and hold what is told against it: lines that it has, in order, and nothing that a terminal obeys."""
    error = what_is_told(lambda: read_harness_text(text, "bench.toml"))
    if not isinstance(error, HarnessFileError):
        assert error is None or error.what
        return
    lines = [breach.line for breach in error.breaches]
    assert lines
    assert lines == sorted(lines)
    assert lines[0] >= 1
    assert lines[-1] <= text.count("\n") + 1
    for breach in error.breaches:
        assert breach.found
        assert breach.right
        said = breach.text("bench.toml")
        assert clean(said, len(said)) == said


@pytest.mark.slow
@settings(deadline=None, max_examples=300)
@given(st.text() | st.text(alphabet="[]{}=,.\"'#\\\n abc1é\x1b", max_size=80))
def test_any_text_is_read_or_told(text: str) -> None:
    """No text brings the reader down."""
    check(text)


@given(content=st.binary(max_size=200))
@settings(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_bytes_are_told(tmp_path: Path, content: bytes) -> None:
    """No file brings the reader down, and noise is no harness."""
    path = tmp_path / "bench.toml"
    path.write_bytes(content)
    error = what_is_told(lambda: read_harness(path))
    assert error is not None
    assert error.what


@pytest.mark.slow
@settings(deadline=None, max_examples=300)
@given(st.sampled_from([SOUND, HEADERS]), st.data())
def test_a_damaged_file_is_read_or_told(text: str, data: st.DataObject) -> None:
    """A good file with pieces cut out and others put in is read, or told on lines that it has."""
    for _ in range(data.draw(st.integers(1, 4))):
        start = data.draw(st.integers(0, len(text)))
        length = data.draw(st.integers(0, 12))
        text = text[:start] + data.draw(st.sampled_from(PIECES)) + text[start + length :]
    check(text)


ODD = (None, True, 0, -1, 1.5, float("nan"), float("inf"), 10**30, "", "x", "F1.out", "BB1", "off", "\x1b", "rest")
ODD_VALUES: st.SearchStrategy[Any] = st.recursive(
    st.sampled_from([[] if one is None else one for one in ODD]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(["rest", "from", "", "1"]), inner),
    max_leaves=5,
)


def places(value: object, path: TomlPath = ()) -> list[TomlPath]:
    """List the path of everything in a document."""
    inner: list[tuple[str | int, object]] = []
    if isinstance(value, dict):
        inner = list(value.items())
    elif isinstance(value, list):
        inner = list(enumerate(value))
    return [one for key, below in inner for one in [(*path, key), *places(below, (*path, key))]]


CHANGES = st.tuples(st.sampled_from(places(sound_document())), ODD_VALUES)


@pytest.mark.slow
@settings(deadline=None, max_examples=300)
@example([(("switches", 1, "id"), [])], Spelling.ROWS)
@given(st.lists(CHANGES, min_size=1, max_size=4), st.sampled_from(list(Spelling)))
def test_odd_values_anywhere_are_read_or_told(changes: list[tuple[TomlPath, Any]], spelling: Spelling) -> None:
    """Values of any kind in any place of a good file are read, or told on lines that it has."""
    document: Document = sound_document()
    for path, value in changes:
        put(document, path, value)
    text = write(document, spelling)[0]
    tomllib.loads(text)
    check(text)


def put(document: Document, path: TomlPath, value: object) -> None:
    """Put a value at a path, unless an earlier change has taken the place away."""
    holder: Any = document
    try:
        for part in path[:-1]:
            holder = holder[part]
        if isinstance(holder, dict) == isinstance(path[-1], str):
            holder[path[-1]] = value
    except (IndexError, KeyError, TypeError):
        return


@settings(deadline=None, max_examples=30)
@given(st.permutations(list(ROW_TYPES)), st.sampled_from(list(Spelling)))
def test_the_order_of_tables_does_not_matter(order: list[str], spelling: Spelling) -> None:
    """Tables may stand in any order: the harness is the same."""
    document = sound_document()
    head = {table: document[table] for table in ("format", "build", "defaults")}
    text = write({**head, **{table: document[table] for table in order if table in document}}, spelling)[0]
    assert read_harness_text(text, "bench.toml") == read_harness_text(SOUND, "bench.toml")
