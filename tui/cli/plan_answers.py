"""Answers to rows of a plan given as arguments: judged, kept in the record of the loom, and told."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from model.errors import AnswerError, ArgumentError, RecordError
from model.harness.harness import Harness
from model.plans.judging import Standing, Taken
from model.plans.kept import Kept, Measuring, kept_answers, measured_entry, taken_back_entry
from model.plans.plan import Plan, PlanRow
from model.plans.said_of_bad import suspects_words
from model.plans.typed_value import read_typed
from model.record import Record, read_record
from model.record_entries import AnyEntry, Measured
from model.record_text import block_text
from model.sheets.plan_json import plain
from model.words import clean, nearest, plural
from tui.cli.output import write_json
from tui.clock import now

_LONGEST = 2000


@dataclass(frozen=True, slots=True)
class Typed:
    """What was typed for one row; `taken` is None where its answer is taken back."""

    row: PlanRow
    taken: Taken | None


def keep_answers(harness: Harness, plan: Plan, arguments: argparse.Namespace) -> int:
    """Keep what was typed, and print the verdict of each row with why, of a bad one what fits it; give the exit code.

    Nothing is kept where one of the answers cannot be read.

    Raises
    ------
    ArgumentError, AnswerError
        Where there is no such row, or the value does not fit it.
    RecordError
        Where the record cannot be written: the entries to be written are printed.
    """
    if arguments.form not in (None, "json") or arguments.output is not None:
        raise ArgumentError("Answers are kept, no sheet is printed with them.", do="Leave the form out, or add --json.")
    typed = all_typed(plan, arguments.read, arguments.take_back)
    by = Measuring(arguments.who, arguments.meter, arguments.ambient)
    when = now()
    looks_back = any(one.row.looks_back for one in typed)
    kept = kept_answers(plan, read_record(arguments.file).entries) if looks_back else {}
    entries = [entry_of(plan, one, when, by, kept) for one in typed]
    lost, error = append(arguments.file, entries, when)
    suspects = [_suspects(harness, plan, one, entry) for one, entry in zip(typed, entries, strict=True)]
    if arguments.form == "json":
        write_json(_as_json(plan, entries, suspects, lost))
    else:
        _print(typed, entries, suspects, lost)
    if error is not None:
        do = "Type the answers again once it can be written, or add the entries printed here at its end."
        raise RecordError(error.what, error.where, do)
    return 0


def _suspects(harness: Harness, plan: Plan, typed: Typed, entry: AnyEntry) -> tuple[str, ...]:
    """Say what fits an answer that is bad; nothing of one that counts for nothing."""
    if typed.taken is None or not isinstance(entry, Measured) or entry.verdict != Standing.BAD:
        return ()
    return suspects_words(harness, plan, typed.row, typed.taken)


def all_typed(plan: Plan, answers: Sequence[str], taken_back: Sequence[str]) -> list[Typed]:
    """Read all answers typed as ``ROW=VALUE``, and the rows whose answer is taken back.

    Raises
    ------
    ArgumentError
        Where there is no such row.
    AnswerError
        Where a value does not fit its row.
    """
    rows = {row.key: row for row in plan.rows}
    found = [Typed(_row(plan, rows, key), None) for key in taken_back]
    for answer in answers:
        key, sign, value = answer.rpartition("=")
        if not sign:
            raise ArgumentError(f"“{clean(answer, 80)}” is no answer.", do="Write it as ROW=VALUE, such as W9=0.24.")
        row = _row(plan, rows, key.strip())
        try:
            found.append(Typed(row, read_typed(row, value)))
        except AnswerError as error:
            raise AnswerError(error.what, clean(row.key, 80), error.do) from None
    return found


def _row(plan: Plan, rows: dict[str, PlanRow], key: str) -> PlanRow:
    row = rows.get(key)
    if row is None:
        near = nearest(key, rows)
        state = f" of the loom {plan.state}" if plan.state is not None else ""
        do = f"Did you mean {clean(near, 80)}?" if near else "The sheet of the plan names the key of each row."
        raise ArgumentError(f"The plan “{plan.kind}”{state} has no row “{clean(key, 80)}”.", do=do)
    return row


def entry_of(
    plan: Plan, typed: Typed, when: datetime, by: Measuring, kept: Mapping[str, Kept] | None = None
) -> AnyEntry:
    """Make the entry of what was typed for a row."""
    if typed.taken is None:
        return taken_back_entry(plan, typed.row, when=when, by=by)
    return measured_entry(plan, typed.row, typed.taken, when=when, by=by, kept=kept)


def append(path: Path, entries: Iterable[AnyEntry], now: datetime) -> tuple[tuple[AnyEntry, ...], RecordError | None]:
    """Add entries to the record of a harness file; give those that could not be written, and why."""
    record = Record.open(path, now)
    error: RecordError | None = None
    for entry in entries:
        try:
            record.append(entry)
        except RecordError as found:
            error = found
    with suppress(RecordError):  # told by what is still waiting
        record.close()
    return (record.waiting, error) if record.waiting else ((), None)


def _print(
    typed: Sequence[Typed], entries: Sequence[AnyEntry], suspects: Sequence[tuple[str, ...]], lost: Sequence[AnyEntry]
) -> None:
    for one, entry, said in zip(typed, entries, suspects, strict=True):
        print("\n  ".join([_sentence(one, entry), *(clean(words, _LONGEST) for words in said)]))
    if lost:
        several = "this entry was" if len(lost) == 1 else f"these {plural(len(lost), 'entry', 'entries')} were"
        print(f"\n# Not written: {several} to be added at the end of the record.\n")
        print("\n".join(block_text(entry).rstrip("\n") + "\n" for entry in lost).rstrip())


def _sentence(typed: Typed, entry: AnyEntry) -> str:
    key = clean(typed.row.key, 80)
    if not isinstance(entry, Measured):
        return f"{key}: open again."
    return f"{key}: {entry.verdict.upper()}. {clean(entry.why, _LONGEST)}"


def _as_json(
    plan: Plan, entries: Sequence[AnyEntry], suspects: Sequence[tuple[str, ...]], lost: Sequence[AnyEntry]
) -> dict[str, Any]:
    answers = [_entry_json(entry, said) for entry, said in zip(entries, suspects, strict=True)]
    told: dict[str, Any] = {"plan": str(plan.kind), "answers": answers}
    told["kept"] = not lost
    told["not_written"] = [block_text(entry) for entry in lost]
    return told


def _entry_json(entry: AnyEntry, suspects: tuple[str, ...]) -> dict[str, Any]:
    if not isinstance(entry, Measured):
        return {"row": plain(getattr(entry, "row", "")), "verdict": "open", "why": "", "suspects": []}
    told = [plain(words) for words in suspects]
    return {"row": plain(entry.row), "verdict": entry.verdict, "why": plain(entry.why), "suspects": told}
