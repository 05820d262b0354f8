"""The tours that the pictures are drawn on: by which keys each screen of the program is reached."""

from __future__ import annotations

from collections.abc import Iterable

from model.plans.plan import PlanKind
from tui.commands import Place
from tui.picture_acts import answer_all, break_down, start_practice
from tui.picture_tour import Stop, Tour
from tui.review_making import ReviewKind

_PUMP = ("slash", "=fuel pump", "enter")
_ENTER, _ESC = ("enter",), ("escape",)


def _each(prefix: str, kinds: Iterable[str], places: dict[str, Place], place: Place) -> tuple[Stop, ...]:
    """Open each row of a list in turn; before the first one the list is on top."""
    stops: list[Stop] = []
    for row, kind in enumerate(kinds):
        keys = (*(_ESC if row else ()), "home", *["down"] * row, "enter")
        stops.append(Stop(f"{prefix}_{kind.replace(' ', '_')}", places.get(kind, place), keys))
    return tuple(stops)


_OPEN = (
    Stop("open", Place.OPEN),
    Stop("open_name", Place.OPEN, ("f", "=nowhere.toml")),
    Stop("open_wrong", Place.OPEN, _ENTER),
    Stop("too_small", None, size=(36, 10)),
)
_WALK = (
    Stop("loads", Place.LOADS),
    Stop("loads_help", Place.HELP, ("question_mark",)),
    Stop("search", Place.FIND, (*_ESC, "slash")),
    Stop("search_words", Place.FIND, ("=green white 1.5",)),
    Stop("search_nothing", Place.FIND, ("= xyzzy",)),
    Stop("walk", Place.WALK, (*_ESC, *_ESC, *_PUMP, *["down"] * 6)),
    Stop("walk_help", Place.HELP, ("question_mark",)),
    Stop("walk_posts", Place.WALK, (*_ESC, "b", "=12.3")),
    Stop("walk_cautions", Place.DIALOG, (*_ESC, *_ESC, "a")),
    Stop("key_table", Place.KEYS, (*_ESC, "m")),
    Stop("profile", Place.PROFILE, (*_ESC, "v")),
    Stop("card_relay", Place.CARD, (*_ESC, "down", "enter")),
    Stop("what_if", Place.WHAT_IF, ("x",)),
    Stop("seen", Place.SEEN, _ENTER),
    Stop("card_with_fault", Place.CARD, _ENTER),
    Stop("walk_with_fault", Place.WALK, _ESC),
    Stop("settings", Place.SETTINGS, ("X", "s")),
    Stop("settings_only", Place.SETTINGS, ("slash", "=pump")),
    Stop("walk_written", Place.WALK, (*_ESC, *_ESC, "w")),
)
_CARDS = (
    Stop("card_plug", Place.CARD, ("slash", "=X2", "enter")),
    Stop("card_wire", Place.CARD, (*_ESC, *_ESC, "slash", "=W12", "enter")),
    Stop("card_switch", Place.CARD, (*_ESC, *_ESC, "slash", "=S1", "enter")),
    Stop("card_fuse", Place.CARD, (*_ESC, *_ESC, "slash", "=F5", "enter")),
    Stop("done_kinds", Place.DIALOG, ("e",)),
    Stop("amend", Place.AMEND, _ENTER),
    Stop("amend_last", Place.AMEND, ("tab",)),
)
_TRACE = (
    Stop("trace_ask", Place.TRACE_ASK, (*_PUMP, "t")),
    Stop("trace", Place.TRACE, _ENTER),
    Stop("trace_help", Place.HELP, ("question_mark",)),
    Stop("trace_typed", Place.TRACE, (*_ESC, "=12.6")),
    Stop("trace_wrong", Place.TRACE, ("=x", "enter")),
    Stop("trace_point", Place.DIALOG, (*_ESC, "o", "=pump")),
    Stop("trace_cautions", Place.DIALOG, (*_ESC, "a")),
    Stop("trace_big", Place.TRACE, (*_ESC, "g")),
    Stop("trace_next", Place.TRACE, ("g", "=12.6", "enter")),
    Stop("trace_profile", Place.TRACE_PROFILE, ("v",)),
    Stop("trace_why", Place.WHY, (*_ESC, "y")),
    Stop("trace_answers", Place.ANSWERS, (*_ESC, "r")),
    Stop("trace_end", Place.DIALOG, (*_ESC, "e")),
    Stop("found", Place.FOUND, _ENTER, answer_all),
    Stop("found_why", Place.WHY, ("y",)),
    Stop("prove", Place.PROVE, (*_ESC, "end", "enter")),
    Stop("prove_cured", Place.PROVE, _ENTER),
    Stop("prove_kinds", Place.DIALOG, ("e",)),
    Stop("prove_amend", Place.AMEND, _ENTER),
    Stop("cured", Place.DIALOG, (*_ESC, "1", "enter")),
)
_PRACTICE = (
    Stop("practice", Place.PRACTICE, (), start_practice),
    Stop("practice_made", Place.PRACTICE, _ENTER),
    Stop("practice_hint", Place.PRACTICE, ("h",)),
    Stop("practice_name", Place.DIALOG, ("i", "=pump")),
    Stop("practice_leave", Place.DIALOG, (*_ESC, *_ESC)),
    Stop("practised", Place.PRACTISED, (*_ESC, "g")),
)
_PLANS = (
    Stop("plans", Place.PLANS, ("v",)),
    Stop("plan_about", Place.DIALOG, ("o",)),
    Stop("plan_first", Place.PLAN, (*_ESC, "enter")),
    Stop("plan_typed", Place.PLAN, ("=0.31",)),
    Stop("plan_verdict", Place.PLAN, _ENTER),
    Stop("plan_cautions", Place.DIALOG, ("a",)),
    Stop("who", Place.DIALOG, (*_ESC, "i")),
    Stop("record", Place.RECORD, (*_ESC, "r")),
    Stop("plans_counted", Place.PLANS, (*_ESC, *_ESC)),
    *_each("plan", PlanKind, {}, Place.PLAN),
)
_REVIEWS = (
    Stop("reviews", Place.REVIEWS, ("o",)),
    *_each("review", ReviewKind, {ReviewKind.LIVE: Place.LIVE}, Place.REVIEW),
    Stop("review_in_full", Place.DIALOG, ("a",)),
    Stop("live_next", Place.LIVE, (*_ESC, *_ESC, "home", "enter", "v")),
    Stop("live_by_place", Place.LIVE, ("v", "n", "down", "down")),
)
_FILLING_IN = (
    Stop("needs", Place.NEEDS, ("f",)),
    Stop("patterns", Place.PATTERNS, (*_ESC, "a")),
    Stop("circuit", Place.CIRCUIT, _ENTER),
    Stop("circuit_typed", Place.CIRCUIT, ("=5",)),
    Stop("circuit_last", Place.CIRCUIT, ("enter", "tab")),
    Stop("own_fault", Place.DIALOG, (), break_down),
)

TOURS = (
    Tour("open", _OPEN, opens_file=False),
    Tour("walk", _WALK),
    Tour("cards", _CARDS),
    Tour("trace", _TRACE),
    Tour("practice", _PRACTICE),
    Tour("plans", _PLANS),
    Tour("reviews", _REVIEWS),
    Tour("filling in", _FILLING_IN),
)
"""Every tour; no two stops have one name."""
