"""The file changed by program beside tomlkit, a general-purpose TOML library, as a reference.

Where tomlkit keeps a file as it is typed, a value changed in its place comes out the same, byte for byte; whatever is
changed, both hold the same document. Rows of one table that stand in several places, and lines ended by CR LF, tomlkit
does not keep; there only the document is compared.
"""

import tomllib
from pathlib import Path

import pytest
import tomlkit

from model.harness.toml_edit import HarnessText

BUILDS = sorted((Path(__file__).parents[3] / "demo_builds").glob("*.toml"))


@pytest.fixture(params=BUILDS, ids=lambda path: path.stem)
def text(request: pytest.FixtureRequest) -> str:
    """Give the text of each demo build."""
    path: Path = request.param
    return path.read_text(encoding="utf-8")


@pytest.mark.slow
def test_a_value_changed_in_its_place_comes_out_as_with_tomlkit(text: str) -> None:
    """Sizes of wires and watts of loads: the same bytes."""
    reference = tomlkit.parse(text)
    ours = HarnessText(text)
    for table, key, value in (("wires", "size", 2.5), ("wires", "colour", "GN/BU"), ("fuses", "amps", 7.5)):
        for place, row in enumerate(reference[table]):  # type: ignore[arg-type, var-annotated]
            if place % 5 == 0 and key in row:
                row[key] = value
                ours.set(table, str(row["id"]), key, value)
    assert ours.text == tomlkit.dumps(reference)


@pytest.mark.slow
def test_rows_added_and_taken_out_hold_what_tomlkit_holds(text: str) -> None:
    """Whatever the spelling, the documents are the same, and tomlkit reads what is written."""
    reference = tomllib.loads(text)
    ours = HarnessText(text)
    row = {"id": "W900", "from": "G1.+", "to": "G1.-", "size": 1.5, "via": []}
    ours.add("wires", row)
    ours.remove("wires", reference["wires"][3]["id"])
    ours.unset("wires", reference["wires"][5]["id"], "colour")
    reference["wires"][5].pop("colour", None)
    wanted = [*reference["wires"][:3], *reference["wires"][4:], row]
    found = tomlkit.parse(ours.text).unwrap()
    assert found["wires"] == wanted
    assert {**found, "wires": 0} == {**reference, "wires": 0}
