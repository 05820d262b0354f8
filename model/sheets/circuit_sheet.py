"""A new circuit as a sheet: what is asked, or what is proposed for it with reasons and sources."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from model.caution_words import CAUTIONS, CautionKind
from model.harness.fields import Exposure
from model.harness.harness import Harness
from model.harness.toml_edit import Value, value_text
from model.review.pattern_check import Working
from model.review.pattern_choices import OpenQuestion
from model.review.pattern_proposal import Proposal
from model.review.pattern_words import keys_words
from model.review.patterns import PATTERNS, Pattern, ProposedCircuit
from model.sheets.review_sheet import Column, Grid, ReviewSheet, Section
from model.words import clean

_CHOICES_AT_MOST = 40
_COLUMNS = (
    Column("What", width_mm=38),
    Column("Proposed", width_mm=24),
    Column("Why"),
    Column("Source", width_mm=38),
)
_FIRST_CAUTIONS = (CautionKind.LOCAL_RULES, CautionKind.BATTERY_ORDER)
_EXPOSED = {
    Exposure.FUEL_VAPOUR: CautionKind.FUEL_VAPOUR,
    Exposure.FAN_OR_BELT: CautionKind.FAN,
    Exposure.HOT: CautionKind.HOT_PLACE,
}


def patterns_sheet(harness: Harness) -> ReviewSheet:
    """List the patterns."""
    rows = tuple((str(pattern), words) for pattern, words in PATTERNS.items())
    grid = Grid((Column("Pattern", width_mm=30), Column("What it is")), rows)
    about = ("A new circuit is proposed after a pattern: name one to see what it asks.",)
    return ReviewSheet("new circuit", _vehicle(harness), about, (Section(grid=grid),))


def questions_sheet(harness: Harness, pattern: Pattern, questions: Iterable[OpenQuestion]) -> ReviewSheet:
    """Lay out what a pattern asks, with what there is to choose from."""
    every = tuple(questions)
    rows = tuple((one.question.key, _asked_words(one)) for one in every)
    grid = Grid((Column("Answer", width_mm=34), Column("What it is")), rows)
    about = (f"{str(pattern).capitalize()}: {PATTERNS[pattern]}.", "Answers are given as key=value, parted by spaces.")
    lists = (section for one in every if (section := _choice_section(one)) is not None)
    return ReviewSheet("new circuit", _vehicle(harness), about, (Section(grid=grid), *lists))


def circuit_sheet(harness: Harness, circuit: ProposedCircuit) -> ReviewSheet:
    """Lay out a proposed circuit: what is proposed and why, the rows, and how it comes out once solved."""
    named = [one for one in circuit.proposals if _is_name(one)]
    others = [one for one in circuit.proposals if not _is_name(one)]
    sections = (
        Section("What is proposed", grid=_grid(others), notes=("Any of it can be given otherwise, by its key=value.",)),
        Section("Ids and colours", grid=_grid(named)),
        Section("Rows of the file", items=tuple(_row_words(one.table, one.row) for one in circuit.rows)),
        Section("Solved with it", items=tuple(_solved(harness, circuit))),
        *(
            (Section("To look at", items=tuple(clean(one, 1000) for one in circuit.remarks)),)
            if circuit.remarks
            else ()
        ),
    )
    about = (f"{clean(circuit.label, 80)}: {PATTERNS[circuit.pattern]}.",)
    return ReviewSheet("new circuit", _vehicle(harness), about, sections, _cautions(harness, circuit))


def circuit_json(circuit: ProposedCircuit) -> dict[str, Any]:
    """Give a proposed circuit as one JSON object."""
    return {
        "format": "fusewalk circuit",
        "pattern": str(circuit.pattern),
        "proposals": [
            {
                "key": one.key,
                "what": one.what,
                "value": one.value,
                "why": one.why,
                "source": one.source,
                "source_kind": str(one.source_kind),
                "given": one.is_given,
            }
            for one in circuit.proposals
        ],
        "rows": [{"table": one.table, "row": dict(one.row)} for one in circuit.rows],
        "works": [
            {"name": one.name, "asked": list(one.asked), "works_in": list(one.works_in), "as_asked": one.is_as_asked}
            for one in circuit.workings
        ],
        "lost_percent": circuit.lost_percent,
        "allowed_percent": circuit.allowed_percent,
        "remarks": list(circuit.remarks),
        "new_findings": [
            {"rule": str(one.rule), "gravity": str(one.gravity), "parts": list(one.part_ids), "sentence": one.sentence}
            for one in circuit.new_findings
        ],
    }


def questions_json(pattern: Pattern, questions: Iterable[OpenQuestion]) -> dict[str, Any]:
    """Give what a pattern asks as one JSON object."""
    return {
        "format": "fusewalk circuit questions",
        "pattern": str(pattern),
        "questions": [
            {
                "key": one.question.key,
                "words": one.question.words,
                "default": one.question.default,
                "needed": one.question.is_needed,
                "choices": [{"value": choice.value, "words": choice.words} for choice in one.choices],
            }
            for one in questions
        ],
    }


def value_words(value: Value) -> str:
    """Say a proposed value: whole numbers without a point."""
    return f"{value:g}" if isinstance(value, float) else clean(str(value), 200)


def _vehicle(harness: Harness) -> str:
    return f"{clean(harness.build.name, 80)}, revision {harness.build.revision}"


def _asked_words(one: OpenQuestion) -> str:
    need = "; needed" if one.question.is_needed else ""
    default = f"; {one.question.default} where not given" if one.question.default else ""
    return f"{one.question.words}{need}{default}"


def _choice_section(one: OpenQuestion) -> Section | None:
    if not one.choices or one.question.key in ("control", "switched_feed", "switch_at", "relay_at", "pack_at"):
        return None
    if one.question.key.endswith("_via") and one.question.key != "load_via":
        return None
    shown = one.choices[:_CHOICES_AT_MOST]
    more = len(one.choices) - len(shown)
    notes = (f"and {more} more",) if more else ()
    grid = Grid((Column("Value", width_mm=40), Column("Meaning")), tuple((each.value, each.words) for each in shown))
    return Section(f"For {one.question.key}", grid=grid, notes=notes)


def _is_name(one: Proposal) -> bool:
    return one.key.endswith(("_id", "_colour"))


def _grid(proposals: list[Proposal]) -> Grid:
    return Grid(_COLUMNS, tuple(_grid_row(one) for one in proposals))


def _grid_row(one: Proposal) -> tuple[str, ...]:
    what = f"{clean(one.what, 100)} ({one.key})"
    source = clean(one.source, 400)
    kind = "" if str(one.source_kind) in source else f"; {one.source_kind}"
    return what, value_words(one.value), clean(one.why, 600), f"{source}{kind}"


def _row_words(table: str, row: Any) -> str:  # noqa: ANN401 (a row is a table of any values)
    return f"{table}: {clean(value_text(row), 1000)}"


def _solved(harness: Harness, circuit: ProposedCircuit) -> Iterator[str]:
    for one in circuit.workings:
        yield _working_words(harness, one)
    if circuit.lost_percent is not None:
        yield f"{circuit.lost_percent:.1f} % of nominal is lost out and back; {circuit.allowed_percent:g} % is allowed."
    if not circuit.new_findings:
        yield "No finding that the loom did not have before."
    for finding in circuit.new_findings:
        yield f"New finding, {finding.rule} ({finding.gravity}): {clean(finding.sentence, 600)}"


def _working_words(harness: Harness, one: Working) -> str:
    asked = "as asked" if one.is_as_asked else f"asked {keys_words(harness, one.asked)}"
    moved = (
        f" with {', '.join(f'{name} at {clean(to, 40)}' for name, to in one.settings.items())}" if one.settings else ""
    )
    return f"{one.name} works {keys_words(harness, one.works_in)}{moved}, {asked}."


def _cautions(harness: Harness, circuit: ProposedCircuit) -> tuple[str, ...]:
    """Give the cautions for building it: those of the work, and those of the place."""
    place = harness.locations_by_name.get(circuit.place)
    exposures = place.exposure if place is not None else ()
    module = (CautionKind.SUPPLY_OFF,) if circuit.pattern is Pattern.MODULE else ()
    kinds = (*(_EXPOSED[one] for one in exposures if one in _EXPOSED), *_FIRST_CAUTIONS, *module)
    return tuple(CAUTIONS[kind].text for kind in kinds)
