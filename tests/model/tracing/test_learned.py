"""What a record has to tell to a new trace."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from model.record_entries import AnyEntry, Changed, Mended, Reading, Struck, Undone
from model.tracing.hypotheses import NOTHING_LEARNED
from model.tracing.learned import learned_from, standing_readings

NOW = datetime(2026, 5, 4, 18, 3, 11, tzinfo=UTC)


def _reading(verdict: str, day: int = 0, **fields: float | str | None) -> Reading:
    row: dict[str, float | str | None] = {
        "check": "drop",
        "red": "GND1",
        "black": "G1.-",
        "volts": 0.4,
        "low": 0.0,
        "high": 0.1,
    }
    return Reading.model_validate({"when": NOW + timedelta(days=day), "verdict": verdict} | row | fields)


def _mended(part: str, day: int = 0, *, cured: bool = True, trace: str = "") -> Mended:
    return Mended(when=NOW + timedelta(days=day), trace=trace, cured=cured, part=part)


def test_an_empty_record_tells_nothing() -> None:
    """Without entries nothing is learned."""
    assert learned_from([]) == NOTHING_LEARNED


def test_a_bad_reading_counts_until_the_same_is_good() -> None:
    """The last reading at a place decides, by its time and not by where it stands; others are not touched by it."""
    entries: list[AnyEntry] = [_reading("good", 2), _reading("bad", 1), _reading("bad", red="GND2")]
    assert learned_from(entries).bad_readings == {"GND2"}
    assert learned_from(entries[1:]).bad_readings == {"GND1", "GND2"}


def test_a_bad_reading_names_what_it_speaks_of() -> None:
    """A part that was looked at, the part behind a drop or ohms, of volts against the post the terminal alone."""
    entries = [
        _reading("bad", check="look", part="F7", red="", black="", volts=None, word="bad"),
        _reading("bad", check="ohms", red="F1.out", black="S1.1", volts=None, ohms=5.0),
        _reading("bad", check="volts", red="X1.dash.4"),
        _reading("bad", check="volts", red="K1.87"),
        _reading("", check="volts", red="K2.87"),
    ]
    assert learned_from(entries).bad_readings == {"F7", "F1", "X1.4", "K1.87"}


def test_readings_of_a_mended_trace_are_explained() -> None:
    """What read badly in a trace that was mended is no longer suspect; in one that was not, it is."""
    entries: list[AnyEntry] = [_reading("bad", trace="a"), _reading("bad", trace="b", red="GND2")]
    entries += [_mended("W9", trace="a"), _mended("W8", trace="b", cured=False)]
    assert learned_from(entries).bad_readings == {"GND2"}


def test_struck_changed_and_undone_readings_count_as_they_stand() -> None:
    """A reading that was struck or taken back is gone, one that was changed counts with its new value."""
    entries: list[AnyEntry] = [
        _reading("bad", trace="a", number=1, red="GND1"),
        _reading("bad", trace="a", number=2, red="GND2"),
        Struck(when=NOW, trace="a", number=3, place=0, check="drop", red="GND1", black="G1.-"),
        Changed(when=NOW, trace="a", number=4, place=0, check="drop", red="GND2", black="G1.-", volts=0.02),
        _reading("bad", trace="a", number=5, red="GND3"),
        Undone(when=NOW, trace="a", number=6, undone=5),
        _reading("good", trace="a", number=7, red="GND4"),
        Changed(when=NOW, trace="a", number=8, place=1, check="drop", red="GND4", black="G1.-", volts=0.9),
    ]
    assert [(reading.red, reading.verdict) for reading in standing_readings(entries)] == [
        ("GND2", "good"),
        ("GND4", "bad"),
    ]
    assert learned_from(entries).bad_readings == {"GND4"}


def test_the_last_work_is_remembered() -> None:
    """Parts that were mended on the last day of work, or since the load worked last, are disturbed; pairs are two."""
    entries: list[AnyEntry] = [_mended("W1"), _mended("X1.4", 5, cured=False), _mended("K1:coil + W3", 5)]
    assert learned_from(entries).disturbed == {"X1", "K1", "W3"}
    assert learned_from(entries, worked_last=NOW - timedelta(days=1)).disturbed == {"W1", "X1", "K1", "W3"}
    assert learned_from(entries, worked_last=NOW + timedelta(days=9)).disturbed == frozenset()
