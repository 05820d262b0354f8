"""What the list of loads is filled in with, done in a thread: it touches no widget."""

from __future__ import annotations

import time
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from model.errors import FusewalkError
from model.harness.file_bytes import file_bytes
from model.harness.toml_bounds import refuse_outsized

if TYPE_CHECKING:
    from model.tracing.load_rows import LoadNeeds
    from tui.standing import Standing

AT_ONCE_MOST_BYTES = 150_000
"""A larger file takes too long to be parsed before the first paint."""

BATCH_SECONDS = 0.08


def tables_at_once(path: Path) -> dict[str, Any]:
    """Return the bare tables of a file for the first paint; nothing where it is large, or no TOML."""
    try:
        content = file_bytes(path, AT_ONCE_MOST_BYTES, in_it="", check="")
        if len(content) > AT_ONCE_MOST_BYTES:
            return {}
        text = content.decode("utf-8-sig")
        refuse_outsized(text, path.name)
        return tomllib.loads(text)
    except (FusewalkError, ValueError, RecursionError):
        return {}


def put_on_bench(path: Path, before: Standing | None) -> Standing | FusewalkError:
    """Read and check a file and solve it as it stands at first, or return what is wrong with it.

    Parameters
    ----------
    before : Standing or None
        What was looked at before: it stands on where the file still says the same.
    """
    from model.harness.toml_file import read_harness
    from tui.standing import stand

    try:
        harness = read_harness(path)
    except FusewalkError as error:
        return error
    if before is not None and before.path == path and before.harness == harness:
        return before
    standing = stand(path, harness)
    standing.solve()
    return standing


def turn_through(standing: Standing) -> None:
    """Solve the settings as they stand in every key state, so that the key turns at once."""
    for way in range(len(standing.harness.key_names)):
        standing.turned(way).solve()


def findings_words(standing: Standing) -> str:
    """Count what is found in the design of the loom; say so where that cannot be worked out."""
    from tui.review_making import Reviewed, ReviewKind, reviews_of

    made = reviews_of(standing.harness).make(ReviewKind.FINDINGS, standing.walks.bench)
    if not isinstance(made, Reviewed):
        return "Findings: not worked out, o says why."
    return f"{made.outcome[:1].upper()}{made.outcome[1:].partition(':')[0]}."


@dataclass(frozen=True)
class NeedsFound:
    """What some loads need, and how long each took.

    Attributes
    ----------
    seconds_each
        Of the processor, so that a busy machine does not count.
    """

    needs: dict[str, LoadNeeds]
    seconds_each: float


def needs_of(standing: Standing, names: Sequence[str]) -> NeedsFound:
    """Find what loads need, as many of them as a short while allows, at least one."""
    from model.harness.harness import all_elements
    from model.tracing.load_rows import LoadNeeds, load_needs

    begun = time.thread_time()
    end = time.perf_counter() + BATCH_SECONDS
    elements = {element.name: element for element in all_elements(standing.harness)}
    found: dict[str, LoadNeeds] = {}
    for name in names:
        try:
            found[name] = load_needs(standing.walker, standing.walks.walk(elements[name]))
        except FusewalkError as error:
            found[name] = LoadNeeds(standing.condition, error.what, reached=False, fuse_id="")
        if time.perf_counter() > end:
            break
        time.sleep(0)
    return NeedsFound(found, (time.thread_time() - begun) / max(len(found), 1))


def left_traces(path: Path) -> dict[str, str]:
    """Map each load of which a trace was left to when and how far it is."""
    # imported late: it pulls in the solver, which the first screen does without
    from tui.trace_record import left_by_load

    return left_by_load(path)
