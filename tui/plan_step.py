"""The step of a row of a plan in words: where, what is set, the meter, the probes, what to expect."""

from __future__ import annotations

from model.errors import AnswerError
from model.harness.harness import Harness
from model.harness.places import BODY_PLACE, place_words, point_place
from model.plans.draw_words import coarse_words
from model.plans.judging import source_words
from model.plans.plan import Measure, Plan, PlanRow
from model.plans.row_words import expect_words, limit_words, outside_words, value_words
from model.plans.typed_value import read_typed
from model.sheets.plan_meter import meter_words
from model.sheets.plan_points import (
    black_words,
    clamp_words,
    covers_words,
    opens_words,
    others_by_place,
    red_words,
)
from model.sheets.plan_states import together, words_beyond
from model.tracing.condition_words import held_words, key_words
from model.words import amps_text
from tui.plan_fit import UNSEEN, PlanStep
from tui.trace_layout import Named

_POINTS_MOST = 120
_SETTINGS_MOST = 46
_SOURCE_MOST = 40
_ASK = {
    Measure.OHMS: "ohms, OL where open",
    Measure.APART: "lowest ohms, OL where open",
    Measure.VOLTS: "volts",
    Measure.MILLIVOLTS: "mV, or as 24 at 4.6",
    Measure.AMPS: "amperes",
    Measure.LAMP: "volts across the lamp",
}


Shared = frozenset[tuple[str, str]]
"""The settings that every row of a plan has, of :func:`model.sheets.plan_states.shared_settings`."""


def plan_step(harness: Harness, plan: Plan, row: PlanRow, shared: Shared) -> PlanStep:
    """Return the step of a row: at most seven lines where nothing is to be done before and it can fail."""
    lines: list[Named] = [
        ("do", "" if row.points else row.title),
        ("first", " ".join(row.before)),
        ("place", _place(harness, row)),
        ("set", _set_briefly(harness, plan, row, shared)),
        ("with", meter_words(harness, row)),
        ("red", _shortened(red_words(harness, row))),
        ("black", black_words(harness, row)),
        ("clamp", clamp_words(harness, row)),
        ("open", _open(harness, row)),
        ("expect", _expect(row, has_source=True)),
        ("blind", _blind(row)),
        (UNSEEN, f"does not see: {row.blind}" if row.tells and row.blind else ""),
    ]
    after: list[Named] = []
    if row.limit is not None and row.limit.computed_from:
        after.append(("from", f"computed from {row.limit.computed_from}"))
    brief = (("expect", _expect(row, has_source=False)),)
    return PlanStep(row.title, row.cautions, tuple(line for line in lines if line[1]), tuple(after), brief)


def step_in_full(harness: Harness, plan: Plan, row: PlanRow, shared: Shared) -> list[str]:
    """Return the whole of a row as paragraphs, nothing shortened: its own before the cautions that hold for all."""
    step = plan_step(harness, plan, row, shared)
    whole = {"set": _set(harness, plan, row, shared), "red": red_words(harness, row)}
    told = [f"{name}: {whole.get(name, words)}" for name, words in (*step.lines, *step.after) if name != "first"]
    limit = [] if row.limit is None else [source_words(row.limit)]
    covers = covers_words(harness, row)
    return [
        *(f"In turn at {others}." for others in others_by_place(harness, row)),
        *(f"Caution: {caution}" for caution in row.cautions),
        *(f"Before it: {sentence}" for sentence in row.before),
        *told,
        *limit,
        *([f"It proves: {covers}."] if covers else []),
        *(f"Caution: {caution}" for caution in plan.cautions if caution not in row.cautions),
    ]


def about_plan(plan: Plan) -> list[str]:
    """Return what a plan proves, what it leaves out and what no row of it could show, as paragraphs."""
    return [
        *plan.about,
        *(f"Caution: {caution}" for caution in plan.cautions),
        *(f"Not measured: {left}" for left in plan.left_out),
        *(f"No row shows it: {undetected}" for undetected in plan.undetected),
    ]


def typed_words(row: PlanRow, typed: str) -> str:
    """Say how what has been typed into a row is understood so far."""
    try:
        taken = read_typed(row, typed)
    except AnswerError:
        return "…"
    words = "" if taken.value is None else value_words(row, taken.value)
    return f"{words} at {amps_text(taken.amps)}" if taken.amps is not None else words


def ask_words(row: PlanRow) -> str:
    """Say how a row is answered."""
    if row.measure is Measure.SEEN:
        return "Nothing is read: g good, b bad, s skip."
    ask = "mV" if row.fuse is not None else _ASK[row.measure]
    if row.in_millivolts:
        ask = "mV, as 1.3 mV"
    if row.measure is Measure.AMPS and row.most_amps is not None:
        ask = "22 mA as 0.022, or as 22 mA"
    return f"Type {ask}; g good, b bad, s skip."


def _place(harness: Harness, row: PlanRow) -> str:
    if not row.red:
        return row.place
    try:
        here = point_place(harness, row.red)
    except KeyError:
        return row.place
    words = BODY_PLACE.name if here == BODY_PLACE else place_words(here)
    return f"{words}; the other end: {row.far_place}" if row.far_place and row.far_place != here.name else words


def _set(harness: Harness, plan: Plan, row: PlanRow, shared: Shared) -> str:
    """Say the key and all that is set; of a loom that is proven without power, its state."""
    if plan.state is not None:
        beyond = words_beyond(harness, row, shared, has_own_key=False)
        return f"loom {plan.state}{f', {beyond}' if beyond else ''}"
    key = [key_words(harness, row.condition), held_words(harness, row.condition, row.points)]
    return ", ".join(one for one in (*key, *together(harness, row.condition, row.points)) if one)


def _set_briefly(harness: Harness, plan: Plan, row: PlanRow, shared: Shared) -> str:
    """Say what is set; of a loom proven without power its state alone where much is: each row says what is new."""
    words = _set(harness, plan, row, shared)
    if plan.state is None or len(words) <= _SETTINGS_MOST:
        return _shortened(words)
    return f"loom {plan.state}, and what was taken off before (a: all of it)"


def _shortened(words: str) -> str:
    if len(words) <= _POINTS_MOST:
        return words
    return f"{words[:_POINTS_MOST].rpartition(' ')[0].rstrip(',')} … (a: all of it)"


def _expect(row: PlanRow, *, has_source: bool) -> str:
    words = expect_words(row)
    if row.limit is None:
        return words
    source = f" ({_source(row.limit.source)})" if has_source else ""
    outside = outside_words(row, row.limit)
    if outside:
        return f"{words} by the file, {'already ' if has_source else ''}{outside}{source}"
    good = f"good {limit_words(row, row.limit)}{source}"
    return f"{words}; {good}" if words else good


def _source(source: str) -> str:
    """Shorten the source of a limit to its name; the verdict has it whole."""
    if len(source) <= _SOURCE_MOST:
        return source
    name = source.partition(",")[0]
    return name if len(name) <= _SOURCE_MOST else f"{source[:_SOURCE_MOST].rpartition(' ')[0]} …"


def _open(harness: Harness, row: PlanRow) -> str:
    """Say what is taken apart for it: of a row that cannot fail as it stands always, else unless its sentences do."""
    if not row.opens or (row.tells and row.before):
        return ""
    return f"{opens_words(harness, row)}: until then it cannot fail"


def _blind(row: PlanRow) -> str:
    """Say why a row cannot fail, or of a fuse below what it shows nothing."""
    return "" if row.tells else f"{coarse_words(row) or 'it cannot fail as it stands'}: {row.blind}"
