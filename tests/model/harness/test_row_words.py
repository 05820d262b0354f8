"""Words for what a record refuses: plain, for every key of every record."""

import re
from typing import Any

import pytest

from model.errors import HarnessFileError
from model.harness.fields import Record
from model.harness.harness import ROW_TYPES
from model.harness.parts import Coil, ContactGroups, Driver, Exciter, Feed, LoadElement, Output, ResistorElement
from model.harness.records import Build, Defaults
from model.harness.toml_file import read_harness_text
from tests.model.harness.sound_file import sound_document
from tests.model.harness.two_spellings import Spelling, write

RECORDS: list[tuple[str, tuple[str | int, ...], type[Record]]] = [
    ("build", (), Build),
    ("defaults", (), Defaults),
    *((table, (), kind) for table, kind in ROW_TYPES.items()),
    ("relays", ("coils", 0), Coil),
    ("relays", ("contacts",), ContactGroups),
    ("chargers", ("exciter",), Exciter),
    ("loads", ("elements", 0), LoadElement),
    ("resistors", ("elements", 0), ResistorElement),
    ("modules", ("feeds", 0), Feed),
    ("modules", ("drivers", 0), Driver),
    ("modules", ("outputs", 0), Output),
]


def keys() -> list[tuple[str, tuple[str | int, ...]]]:
    """Give the table and path of every key of every record."""
    return [
        (table, (*path, field.alias or name))
        for table, path, record in RECORDS
        for name, field in record.model_fields.items()
    ]


@pytest.mark.parametrize(("table", "path"), keys(), ids=str)
def test_every_key_says_what_it_takes(table: str, path: tuple[str | int, ...]) -> None:
    """A value of a kind that no key takes is answered in plain words, for each key of the format."""
    document = sound_document()
    rows = document[table]
    row = rows if isinstance(rows, dict) else {**rows[0], "id": "Z1", "name": "z"}
    if isinstance(rows, list):
        rows.append(row)
    holder: Any = row
    for part in path[:-1]:
        if isinstance(holder, dict):
            holder[part] = [{}] if part in ("coils", "elements", "feeds", "drivers", "outputs") else {}
        holder = holder[part]
    holder[path[-1]] = {"odd": [{"value": -1}]}
    with pytest.raises(HarnessFileError) as caught:
        read_harness_text(write(document, Spelling.ROWS)[0], "bench.toml")
    told = [
        breach for breach in caught.value.breaches if breach.key.endswith(str(path[-1])) or str(path[-1]) in breach.key
    ]
    assert told
    for breach in caught.value.breaches:
        said = f"{breach.found}; {breach.right}"
        assert not re.search(r"pydantic|Input|should|model_|_type|instance|validat|dict|tuple|None|string", said)
        assert "cannot be read" not in breach.right
