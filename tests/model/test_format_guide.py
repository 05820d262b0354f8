"""The guide to the harness format, held against the reader: its examples, its keys and its defaults."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from model.circuit.faults import FaultKind
from model.errors import HarnessFileError
from model.harness.fields import Part, Record
from model.harness.harness import ROW_TYPES
from model.harness.parts import Coil, Driver, Exciter, Feed, LoadElement, Output, ResistorElement
from model.harness.records import Build, Defaults
from model.harness.toml_file import read_harness_text
from model.tables import table_rows

BUILDS = Path(__file__).parents[2] / "demo_builds"
GUIDE = (BUILDS / "README.md").read_text(encoding="utf-8")
RECORDS: dict[str, type[Record]] = {"build": Build, "defaults": Defaults, **ROW_TYPES}
INNER_ROWS = (Coil, Driver, Exciter, Feed, LoadElement, Output, ResistorElement)


def fenced(mark: str) -> list[str]:
    """Give the blocks of the guide that are fenced as TOML and bear this mark."""
    return re.findall(rf"^```toml {mark}\n(.*?)^```$", GUIDE, re.DOTALL | re.MULTILINE)


def keys_of(record: type[Record]) -> list[str]:
    """Give the keys of a record as they are typed in a file."""
    return [field.alias or name for name, field in record.model_fields.items()]


def test_every_block_bears_a_mark() -> None:
    """No example escapes the tests of this file for want of a mark."""
    marked = len(fenced("whole")) + len(fenced("rows")) + len(fenced("refused"))
    assert marked == len(re.findall(r"^```toml", GUIDE, re.MULTILINE))
    walk_through = len(re.findall(r"^```(?:console|csv \w+\.csv)$", GUIDE, re.MULTILINE))
    assert len(re.findall(r"^```", GUIDE, re.MULTILINE)) == 2 * (marked + walk_through)


@pytest.mark.parametrize("text", fenced("whole"))
def test_a_whole_file_is_read(text: str) -> None:
    """What the guide shows as a whole file is a harness file, with all the wires that stand in it."""
    harness = read_harness_text(text, "guide.toml")
    assert [wire.id for wire in harness.wires] == re.findall(r'"(W\d+)"', text)


def test_the_first_file_has_ten_lines() -> None:
    """The guide keeps its promise of ten lines that work."""
    first = fenced("whole")[0]
    assert len(first.splitlines()) == 10
    assert read_harness_text(first, "lamp.toml").loads[0].watts == 21


def test_both_spellings_say_the_same() -> None:
    """The ten lines and their other spelling are one harness."""
    short = fenced("whole")[0]
    long = next(text for text in fenced("whole") if "[[wires]]" in text)
    assert read_harness_text(short, "lamp.toml") == read_harness_text(long, "lamp.toml")


@pytest.mark.parametrize("text", fenced("rows"))
def test_rows_hold_known_keys(text: str) -> None:
    """What the guide shows in part is TOML, and each of its rows fits its table."""
    for table, rows in tomllib.loads(text).items():
        for row in rows if isinstance(rows, list) else [rows]:
            RECORDS[table].model_validate(row)


@pytest.mark.parametrize("text", fenced("refused"))
def test_a_trap_is_refused_with_its_line(text: str) -> None:
    """What the guide calls a trap is refused, and the report names a line after the first."""
    with pytest.raises(HarnessFileError) as caught:
        read_harness_text(text, "trap.toml")
    assert max(breach.line for breach in caught.value.breaches) > 1


def test_a_swallowed_table_is_told_to_move_up() -> None:
    """A list below a header is reported with the advice that the guide promises."""
    text = next(text for text in fenced("refused") if "Swallowed" in text)
    with pytest.raises(HarnessFileError, match=r"(?i)move .*up|above|before"):
        read_harness_text(text, "trap.toml")


@pytest.mark.parametrize("table", RECORDS)
def test_every_table_and_key_is_named(table: str) -> None:
    """The guide leaves out no table, and no key of any."""
    assert f"`{table}`" in GUIDE
    missing = [key for key in keys_of(RECORDS[table]) if f"`{key}`" not in GUIDE]
    assert missing == []


@pytest.mark.parametrize("record", INNER_ROWS)
def test_every_key_of_a_row_within_a_row_is_named(record: type[Record]) -> None:
    """The guide leaves out no key of coils, drivers, elements, feeds, outputs and exciters."""
    missing = [key for key in keys_of(record) if not re.search(rf"`{key}`|\b{key} = ", GUIDE)]
    assert missing == []


@pytest.mark.parametrize("key", [key for key in keys_of(Defaults) if key != "size"])
def test_the_guide_prints_the_defaults_of_resistances(key: str) -> None:
    """Each default resistance stands in the guide as the reader has it."""
    row = re.search(rf"^\| `{key}` \| ([0-9.]+) \| ", GUIDE, re.MULTILINE)
    assert row is not None
    assert float(row[1]) == Defaults.model_fields[key].default


@pytest.mark.parametrize(
    ("table", "key"),
    [
        (table, key)
        for table, record in RECORDS.items()
        for key, field in record.model_fields.items()
        if table != "defaults" and isinstance(field.default, float)
    ],
)
def test_the_guide_prints_other_number_defaults(table: str, key: str) -> None:
    """Each number that the reader fills in stands in the row of its key in the guide."""
    rows = re.findall(rf"^\|[^|]*`{key}`[^|]*\|([^|]*)\|", GUIDE, re.MULTILINE)
    numbers = [float(number) for row in rows for number in re.findall(r"\d+(?:\.\d+)?", row)]
    assert RECORDS[table].model_fields[key].default in numbers


def test_parts_are_told_from_the_rest() -> None:
    """The tables that the guide says hold no parts are those whose rows carry no id of a part."""
    without = {table for table, record in ROW_TYPES.items() if not issubclass(record, Part)}
    sentence = next(line for line in GUIDE.splitlines() if line.startswith("All tables but "))
    assert {"build", "defaults", *without} == set(re.findall(r"`(\w+)`", sentence))


@pytest.mark.parametrize("page", ["README.md", "trail_buggy.md", "field_tractor.md", "harbour_launch.md"])
def test_links_lead_somewhere(page: str) -> None:
    """Every link of the guide and of the pages leads to a page beside it or to a heading of its own."""
    text = (BUILDS / page).read_text(encoding="utf-8")
    headings = {
        re.sub(r"[^a-z0-9 _-]", "", line.lstrip("# ").lower()).replace(" ", "-")
        for line in text.splitlines()
        if line.startswith("#")
    }
    for target in re.findall(r"\]\(([^)]+)\)", text):
        assert target.removeprefix("#") in headings if target.startswith("#") else (BUILDS / target).is_file()


@pytest.mark.parametrize("code", [row["code"] for row in table_rows("wire_colours")])
def test_the_guide_names_every_colour(code: str) -> None:
    """The codes that the reader takes stand in the guide."""
    line = next(line for line in GUIDE.splitlines() if line.startswith("Colours take the codes"))
    assert f"`{code}`" in line


@pytest.mark.parametrize("kind", FaultKind)
def test_the_guide_names_every_fault_and_no_other(kind: FaultKind) -> None:
    """Each fault that can be typed stands in the table of faults, and nothing that cannot."""
    table = GUIDE.partition("| site | example | faults |")[2].partition("\n\n")[0].splitlines()[2:]
    named = {word for row in table for word in re.findall(r"`([^`]+)`", row.split("|")[3])}
    assert kind in named
    assert named <= set(FaultKind)


def test_a_slip_of_spelling_stops_the_reading_and_others_do_not() -> None:
    """As the guide says: breaches of the rules come all at once, a slip of TOML's own spelling alone."""
    text = fenced("whole")[0].replace("watts", "wats").replace("amps", "ampss")
    with pytest.raises(HarnessFileError) as broken:
        read_harness_text(text, "lamp.toml")
    assert len({breach.line for breach in broken.value.breaches}) == 2
    with pytest.raises(HarnessFileError) as misspelled:
        read_harness_text(text.replace('"CHASSIS" },', '"CHASSIS",', 1), "lamp.toml")
    assert len(misspelled.value.breaches) == 1


def test_the_builds_are_as_the_guide_says() -> None:
    """The tractor has its positive post on the frame and says nothing of when loads work; the launch has no body."""
    tractor = read_harness_text((BUILDS / "field_tractor.toml").read_text(encoding="utf-8"), "field_tractor.toml")
    launch = read_harness_text((BUILDS / "harbour_launch.toml").read_text(encoding="utf-8"), "harbour_launch.toml")
    assert (tractor.build.nominal_volts, tractor.build.ground_side) == (6, "positive")
    assert all(load.works_in is None and load.works_with is None for load in tractor.loads)
    assert (launch.build.nominal_volts, launch.build.chassis) == (24, False)
