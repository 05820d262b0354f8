"""What was read while the loom was proven stands beside what is computed on the walk: as text and as JSON."""

from __future__ import annotations

from datetime import UTC, datetime

from model.circuit.bench import Bench
from model.record_entries import Measured
from model.sheets.walk_as_built import AsBuilt, walk_as_built
from model.sheets.walk_json import walk_json
from model.sheets.walk_sheet import walk_text
from model.tracing.rows import ToldWalk, tell_walk
from model.tracing.walk import Walker, find_element
from tests.model.tracing.rigs import rig, wires

WHEN = datetime(2026, 5, 4, 18, 3, 11, tzinfo=UTC)
HORN = rig(
    """
fuses = [ { id = "F1", amps = 15 } ]
switches = [ { id = "S1" } ]
loads = [ { id = "P1", kind = "horn", watts = 60 } ]
"""
    + wires("G1.+ F1.in", "F1.out S1.1", "S1.2 P1.+", "P1.- CHASSIS", "G1.- CHASSIS")
)


def told() -> ToldWalk:
    """Tell the walk of the horn."""
    bench = Bench(HORN)
    return tell_walk(bench, Walker(bench).walk(find_element(HORN, "P1")))


def read(red: str, black: str, volts: float, key: str | None = None, **settings: str) -> Measured:
    """Make the entry of volts that a plan has read, where the walk is told for where nothing else is said."""
    condition = told().condition
    row = f"{red} {black} {key} {settings}"
    return Measured(
        when=WHEN, plan="loads", row=row, check="volts", red=red, black=black, volts=volts,
        key=condition.key if key is None else key, settings=settings or condition.by_name, verdict="good",
    )  # fmt: skip


def test_only_what_was_read_as_the_walk_is_told_counts() -> None:
    """Another key state, another setting, another black point or no point of the walk is passed over; the last counts.

    The horn itself was read from terminal to terminal.
    """
    entries = [
        read("F1.out", "G1.-", 12.1),
        read("F1.out", "G1.-", 12.2),
        read("F1.in", "G1.-", 12.4),
        read("S1.1", "F1.out", 0.02),
        read("S1.1", "G1.-", 9.9, key="nowhere"),
        read("S1.2", "G1.-", 9.9, S1="elsewhere"),
        read("P1.+", "P1.-", 11.9),
        read("W1", "G1.-", 9.9),
    ]
    assert walk_as_built(HORN, told(), entries) == AsBuilt({"F1.out": 12.2, "F1.in": 12.4}, 11.9)


def test_the_text_has_a_column_only_where_something_was_read() -> None:
    """The head says as built, each point read has its figure there and no other has one."""
    walk = told()
    plain, built = walk_text(HORN, walk), walk_text(HORN, walk, AsBuilt({"F1.out": 12.21}, 11.93))
    assert "as built" not in plain
    head = next(line for line in built.splitlines() if "as built" in line)
    end = head.index("as built") + len("as built")
    lines = {line.split()[1]: line for line in built.splitlines() if line.startswith("  · ") and len(line.split()) > 3}
    assert lines["F1.out"][end - 5 : end] == "12.21"
    assert lines["F1.in"][end - 5 : end].strip() == ""
    across = next(line for line in built.splitlines() if "across it" in line)
    assert across[end - 5 : end] == "11.93"


def test_json_has_null_where_nothing_was_read() -> None:
    """Each point and the load carry ``as_built`` in volts, null where it was not read."""
    found = walk_json(HORN, told(), AsBuilt({"F1.out": 12.21}, 11.93))
    by_point = {row["point"]: row["as_built"] for row in found["feed"]}
    assert by_point["F1.out"] == 12.21
    assert by_point["F1.in"] is None
    assert found["across"]["as_built"] == 11.93
    assert walk_json(HORN, told())["across"]["as_built"] is None
