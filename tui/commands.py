"""The one registry of commands: it feeds the keys, the bottom line, the help and the search.

What the help says of each stands in `tui.key_words`.

A key is a letter, a digit, an arrow, Enter, Esc, Tab, space, ``?`` or ``/``. Capital O belongs to the entry of a
reading (``OL``), so no command has it.
"""

from dataclasses import dataclass
from enum import Enum

from textual.binding import Binding

from tui.key_words import key_words

FOOT_MOST = 6


class Place(Enum):
    """Where keys are pressed: a screen, with the sentence that says what it is for."""

    OPEN = "Choose the harness to look at: one opened before, one of the builds to try, or a file by its name."
    LOADS = "Choose what does not work and press t; Enter shows its walk; v proves a new loom; o looks it over."
    WALK = "Every point from the battery through the load to ground, with the volts to expect there."
    KEYS = "The volts to expect at every point of the walk in each key state."
    PROFILE = "The volts down the walk on one scale: where they fall, computed and as read while the loom was proven."
    SETTINGS = "What a hand can move, pull or plug in; all volts follow at once."
    CARD = "One part: what it is, where it sits, what ends on it, and its volts in each key state."
    WHAT_IF = "What one would see if one thing were wrong with this part: choose what."
    SEEN = "The loads that would change with this fault, in each key state."
    TRACE_ASK = "A few questions before the first check: Space changes a row, digits are the volts of the posts."
    TRACE = "One check at a time until the fault is found: do what stands on top, type what the meter shows."
    TRACE_PROFILE = "The volts down the walk on one scale, with what this trace has read."
    WHY = "What may be wrong, what each answer would leave, and the other checks that could be made now."
    ANSWERS = "What has been answered so far."
    FOUND = "What is wrong, what says so, and what to do about it."
    PROVE = "One reading proves the repair; then say whether what was complained of is cured."
    PRACTICE = "A fault is hidden in this vehicle: make checks until you know what it is, then name it."
    PLANS = "Prove a new loom plan by plan, from the top: Enter opens the one that is marked."
    PLAN = "Do what stands on top, type what the meter shows: each row is proven, bad or still open."
    RECORD = "Everything that was measured on this loom, by date."
    REVIEWS = "The loom looked over as its file has it, nothing measured: Enter opens the review that is marked."
    REVIEW = "Worked out from the file: Enter goes to the part of the marked row."
    LIVE = "What has volts on it as key and settings stand, and why; Enter goes to the part of the marked row."
    NEEDS = (
        "Type the answer, choose it or tick it: Enter writes it into the file at once; Tab leaves it as it is assumed."
    )
    PATTERNS = "A new circuit is proposed after a pattern, with reasons: choose one."
    CIRCUIT = "Say what the circuit is to do; what is proposed for it stands below, and any of it can be changed."
    AMEND = "Say what was done: the file gets a new revision, the one before is kept, the record tells of it."
    PRACTISED = "What was hidden, and your checks and minutes beside those of the plan."
    FIND = "Type what you know of it: id, label, colour, size, place, cavity, or a command; the nearest stand first."
    HELP = "What the keys, signs and words of a screen mean."
    DIALOG = "Something to read, to choose or to type before going on; the keys for it stand at the bottom."


@dataclass(frozen=True, slots=True)
class Command:
    """One thing that a key does.

    Attributes
    ----------
    id
        Its name in the program, unique.
    keys
        The keys as textual names them, the one that is shown first.
    action
        What is run: the name of an ``action_`` method of the screen or the app, with its arguments.
    foot
        The word behind the key in the bottom line; empty where it does not stand there.
    where
        The places in which the keys do it, in the order of the bottom line and the help.
    search
        What it is called in the search; empty where it makes no sense there.
    foot_in
        The places whose bottom line has it; None for all of `where`.
    """

    id: str
    keys: tuple[str, ...]
    action: str
    foot: str
    where: frozenset[Place]
    search: str = ""
    foot_in: frozenset[Place] | None = None


_ON_WALK = frozenset({Place.WALK, Place.KEYS, Place.PROFILE})
_HARNESS = _ON_WALK | {Place.LOADS, Place.CARD}
_STANDING = _HARNESS | {Place.SETTINGS}
_ASKED = frozenset({Place.WHAT_IF, Place.SEEN})
_TRACEABLE = frozenset({Place.LOADS, Place.WALK, Place.CARD})
_TRACED = frozenset({Place.TRACE, Place.TRACE_PROFILE, Place.WHY, Place.ANSWERS, Place.FOUND})
_PRACTICE = frozenset({Place.PRACTICE, Place.PRACTISED})
_EXPLAINED = _TRACED | _PRACTICE | {Place.TRACE_ASK, Place.PROVE}
_ESC_IS_SHOWN = (
    (_EXPLAINED - {Place.TRACE})
    | {Place.FIND, Place.PLANS, Place.RECORD, Place.REVIEWS, Place.REVIEW}
    | {Place.NEEDS, Place.PATTERNS, Place.CIRCUIT, Place.AMEND}
)
_PLANNED = frozenset({Place.PLANS, Place.PLAN, Place.RECORD})
_SHEETED = frozenset({Place.REVIEW, Place.LIVE})
_FORMS = frozenset({Place.CIRCUIT, Place.AMEND})
_WRITTEN = frozenset({Place.KEYS, Place.PROFILE, Place.SETTINGS, Place.SEEN, Place.REVIEWS})
_SCREENS = _HARNESS | _ASKED | {Place.OPEN}

COMMANDS: tuple[Command, ...] = (
    Command("help", ("question_mark",), "app.explain", "help", _SCREENS | _EXPLAINED | {Place.SETTINGS, Place.REVIEWS}),
    Command("open", ("enter",), "open_marked", "open", frozenset({Place.OPEN})),
    Command("name", ("f", "tab"), "name", "file name", frozenset({Place.OPEN})),
    Command("open_review", ("enter",), "open_marked", "open", frozenset({Place.REVIEWS})),
    Command("walk", ("enter",), "walk", "walk", frozenset({Place.LOADS})),
    Command("card", ("enter",), "card", "part", _ON_WALK | {Place.TRACE_PROFILE}),
    Command("go_row", ("enter",), "follow_row", "go there", frozenset({Place.CARD})),
    Command("face", ("f",), "turn_face", "", frozenset({Place.CARD}), search="turn the face round"),
    Command("take_answer", ("enter",), "take", "", frozenset({Place.TRACE})),
    Command("skip", ("n",), "quick('skip')", "cannot reach", frozenset({Place.TRACE}), search="it cannot be reached"),
    Command("why", ("y",), "why", "why", frozenset({Place.TRACE}), search="why this check"),
    Command("undo", ("u",), "undo", "undo", frozenset({Place.TRACE}), search="take the last reply back"),
    Command(
        "elsewhere", ("o",), "elsewhere", "other point", frozenset({Place.TRACE}),
        search="a reading at another point",
    ),
    Command("big", ("g",), "bigger", "bigger", frozenset({Place.TRACE}), search="big letters"),
    Command("posts_too", ("b",), "posts", "", frozenset({Place.TRACE}), search="type the volts read at the posts"),
    Command("unsure", ("z",), "quick('unsure')", "", frozenset({Place.TRACE}), search="not sure what came of it"),
    Command("alone", ("h",), "quick('no_helper')", "", frozenset({Place.TRACE}), search="nobody can help"),
    Command("answers", ("r",), "answers", "", frozenset({Place.TRACE}), search="the answers so far"),
    Command("every_caution", ("a",), "cautions", "", frozenset({Place.TRACE, Place.PRACTICE}), search="every caution"),
    Command("row_part", ("p",), "part", "", frozenset({Place.TRACE}), search="the part of the row"),
    Command("stop", ("e",), "stop", "", frozenset({Place.TRACE}), search="end the trace"),
    Command("make", ("enter",), "make", "make it", frozenset({Place.PRACTICE})),
    Command("name_fault", ("i",), "name", "it is", frozenset({Place.PRACTICE})),
    Command("hint", ("h",), "hint", "hint", frozenset({Place.PRACTICE})),
    Command("find_check", ("slash",), "find_check", "", frozenset({Place.PRACTICE})),
    Command("any_point", ("o",), "elsewhere", "other point", frozenset({Place.PRACTICE})),
    Command("give_up", ("g",), "give_up", "", frozenset({Place.PRACTICE})),
    Command("another", ("enter",), "another", "another", frozenset({Place.PRACTISED})),
    Command("start", ("enter",), "start", "start", frozenset({Place.TRACE_ASK})),
    Command("say", ("space", "right"), "turn(1)", "change", frozenset({Place.TRACE_ASK})),
    Command("say_back", ("left",), "turn(-1)", "", frozenset({Place.TRACE_ASK})),
    Command("take", ("enter",), "take", "make it", frozenset({Place.WHY})),
    Command("change", ("enter",), "change", "change", frozenset({Place.ANSWERS})),
    Command("strike", ("d",), "strike", "strike out", frozenset({Place.ANSWERS})),
    Command("prove", ("enter",), "prove", "go on", frozenset({Place.FOUND})),
    Command("into_file", ("e",), "amend", "amend", frozenset({Place.FOUND, Place.PROVE})),
    Command("undo_found", ("u",), "undo", "undo", frozenset({Place.FOUND})),
    Command("why_found", ("y",), "why", "why", frozenset({Place.FOUND})),
    Command("see", ("enter",), "see", "see it", frozenset({Place.WHAT_IF})),
    Command("keep", ("enter",), "keep", "put it in", frozenset({Place.SEEN})),
    Command("set", ("space", "enter", "right"), "set_next(1)", "set", frozenset({Place.SETTINGS})),
    Command("set_back", ("left",), "set_next(-1)", "", frozenset({Place.SETTINGS})),
    Command("turn", ("k", "right"), "turn_key(1)", "key", _HARNESS),
    Command("turn_back", ("K", "left"), "turn_key(-1)", "", _HARNESS),
    Command("turn_only", ("k",), "turn_key(1)", "key", frozenset({Place.SETTINGS})),
    Command("turn_only_back", ("K",), "turn_key(-1)", "", frozenset({Place.SETTINGS})),
    Command(
        "trace", ("t",), "trace", "trace", _TRACEABLE, search="trace why it fails",
        foot_in=frozenset({Place.LOADS, Place.WALK}),
    ),
    Command("settings", ("s",), "settings", "switches", _HARNESS, search="settings of switches and plugs"),
    Command("all_keys", ("m",), "all_keys", "all keys", frozenset({Place.WALK}), search="all key states side by side"),
    Command("profile", ("v",), "profile", "", frozenset({Place.WALK, Place.TRACE}), search="the volts on one scale"),
    Command("posts", ("b",), "posts", "", frozenset({Place.WALK}), search="type the volts read at the posts"),
    Command("cautions", ("a",), "cautions", "", frozenset({Place.WALK}), search="every caution for this point"),
    Command(
        "order", ("n",), "turn_order", "by name",
        frozenset({Place.LOADS}),
        search="loads by name or by place", foot_in=frozenset(),
    ),
    Command("practise", ("p",), "practise", "", frozenset({Place.LOADS}), search="practise on a hidden fault"),
    Command("plans", ("v",), "plans", "", frozenset({Place.LOADS}), search="prove the loom, plan by plan"),
    Command("reviews", ("o",), "reviews", "", frozenset({Place.LOADS}), search="look the loom over"),
    Command("needs", ("f",), "needs", "", frozenset({Place.LOADS}), search="what the file still needs"),
    Command("new_circuit", ("a",), "new_circuit", "", frozenset({Place.LOADS}), search="add a circuit"),
    Command(
        "what_if", ("x",), "what_if", "what if", frozenset({Place.WALK, Place.CARD}),
        search="what if this part were faulty", foot_in=frozenset({Place.CARD}),
    ),
    Command("fault_out", ("X",), "take_fault_out", "", _STANDING, search="take the fault out again"),
    Command("amend", ("e",), "amend", "", frozenset({Place.CARD}), search="amend this part"),
    Command("unamend", ("u",), "undo_amendment", "", frozenset({Place.CARD}), search="take the last amendment back"),
    Command("rest", ("r",), "rest", "all at rest", frozenset({Place.SETTINGS}), search="put everything back to rest"),
    Command("filter", ("slash",), "filter", "only", frozenset({Place.SETTINGS})),
    Command(
        "copy", ("c",), "copy", "", _STANDING | _TRACED | _PRACTICE | {Place.SEEN, Place.REVIEWS},
        search="send this page to the terminal's clipboard",
    ),
    Command(
        "write", ("w",), "write", "write", _STANDING | {Place.SEEN, Place.REVIEWS},
        search="write this page to a file", foot_in=_WRITTEN,
    ),
    Command(
        "write_step", ("w",), "write", "write", frozenset({Place.TRACE}), search="write this page to a file",
        foot_in=frozenset(),
    ),
    Command(
        "write_traced", ("w",), "write", "write", (_TRACED - {Place.TRACE}) | _PRACTICE,
        search="write this page to a file", foot_in=(_TRACED - {Place.TRACE, Place.FOUND}) | {Place.PRACTISED},
    ),
    Command(
        "find", ("slash",), "app.find", "find", _SCREENS | {Place.TRACE, Place.REVIEWS},
        foot_in=frozenset({Place.OPEN, Place.LOADS, Place.CARD, Place.WHAT_IF}),
    ),
    Command(
        "look", ("L",), "app.turn_look", "", _SCREENS | {Place.SETTINGS, Place.TRACE, Place.REVIEWS},
        search="change between dark and light",
    ),
    Command(
        "quit", ("q",), "app.leave", "quit", _SCREENS | {Place.REVIEWS},
        search="quit", foot_in=frozenset({Place.OPEN, Place.WHAT_IF, Place.SEEN, Place.REVIEWS}),
    ),
    Command("quit_trace", ("q",), "quit", "", frozenset({Place.TRACE}), search="quit"),
    Command("leave", ("q",), "app.leave", "", frozenset({Place.SETTINGS}), search="quit"),
    Command("explain_form", ("question_mark",), "app.explain", "help", _FORMS | {Place.NEEDS, Place.PATTERNS}),
    Command("take_said", ("enter",), "take", "take", frozenset({Place.NEEDS})),
    Command("leave_assumed", ("tab",), "leave_assumed", "leave it assumed", frozenset({Place.NEEDS})),
    Command("tick", ("space",), "tick", "", frozenset({Place.NEEDS})),
    Command("open_pattern", ("enter",), "open_marked", "open", frozenset({Place.PATTERNS})),
    Command("fill_in", ("enter",), "take", "change", _FORMS),
    Command("choose_value", ("right",), "turn(1)", "choose", _FORMS),
    Command("choose_back", ("left",), "turn(-1)", "", _FORMS),
    Command("to_last", ("tab",), "to_last", "last row", _FORMS),
    Command("explain_review", ("question_mark",), "app.explain", "help", _SHEETED),
    Command("go_part", ("enter",), "part", "part", _SHEETED),
    Command("row_in_full", ("a",), "in_full", "", _SHEETED),
    Command("turn_live", ("k", "right"), "turn_key(1)", "key", frozenset({Place.LIVE})),
    Command("turn_live_back", ("K", "left"), "turn_key(-1)", "", frozenset({Place.LIVE})),
    Command("set_live", ("s",), "settings", "switches", frozenset({Place.LIVE})),
    Command("compare", ("v",), "compare", "next key", frozenset({Place.LIVE})),
    Command("order_live", ("n",), "turn_order", "by place", frozenset({Place.LIVE})),
    Command("live_fault_out", ("X",), "take_fault_out", "", frozenset({Place.LIVE})),
    Command("find_line", ("slash",), "find_line", "find", frozenset({Place.REVIEW})),
    Command("find_live", ("slash",), "find_line", "", frozenset({Place.LIVE})),
    Command("write_review", ("w",), "write", "write", _SHEETED, foot_in=frozenset({Place.REVIEW})),
    Command("copy_review", ("c",), "copy", "", _SHEETED),
    Command("look_sheet", ("L",), "app.turn_look", "", _SHEETED),
    Command("quit_sheet", ("q",), "app.leave", "quit", _SHEETED, foot_in=frozenset({Place.REVIEW})),
    Command("explain_plan", ("question_mark",), "app.explain", "help", _PLANNED),
    Command("unamend_record", ("u",), "undo_amendment", "undo", frozenset({Place.RECORD})),
    Command("open_plan", ("enter",), "open_marked", "open", frozenset({Place.PLANS})),
    Command("loom", ("space", "right"), "turn_loom(1)", "state of loom", frozenset({Place.PLANS})),
    Command("loom_back", ("left",), "turn_loom(-1)", "", frozenset({Place.PLANS})),
    Command("take_value", ("enter",), "take", "", frozenset({Place.PLAN})),
    Command("say_good", ("g",), "say_of_row('good')", "good", frozenset({Place.PLAN})),
    Command("say_bad", ("b",), "say_of_row('bad')", "bad", frozenset({Place.PLAN})),
    Command("say_skipped", ("s",), "say_of_row('skipped')", "skip", frozenset({Place.PLAN})),
    Command("take_back", ("u",), "take_back", "", frozenset({Place.PLAN})),
    Command("left", ("f",), "only_left", "only open", frozenset({Place.PLAN})),
    Command("find_row", ("slash",), "find_row", "", frozenset({Place.PLAN})),
    Command("trace_row", ("t",), "trace", "trace", frozenset({Place.PLAN})),
    Command("row_cautions", ("a",), "cautions", "", frozenset({Place.PLAN})),
    Command("about", ("o",), "about", "", frozenset({Place.PLANS, Place.PLAN})),
    Command("who", ("i",), "who", "", frozenset({Place.PLAN})),
    Command("record", ("r",), "record", "", frozenset({Place.PLANS, Place.PLAN})),
    Command("write_plan", ("w",), "write", "", frozenset({Place.PLAN})),
    Command("write_planned", ("w",), "write", "write", _PLANNED - {Place.PLAN}),
    Command("copy_planned", ("c",), "copy", "", _PLANNED),
    Command("look_planned", ("L",), "app.turn_look", "", _PLANNED),
    Command("quit_plan", ("q",), "quit", "", frozenset({Place.PLAN})),
    Command("quit_planned", ("q",), "quit", "quit", _PLANNED - {Place.PLAN}),
    Command("go", ("enter",), "go", "go there", frozenset({Place.FIND})),
    Command("card_of", ("tab",), "card", "its card", frozenset({Place.FIND})),
    Command("back", ("escape",), "back", "back", frozenset(Place), foot_in=_ESC_IS_SHOWN),
    Command("close", ("enter",), "back", "go on", frozenset({Place.HELP, Place.DIALOG})),
    Command("close_help", ("question_mark",), "back", "", frozenset({Place.HELP})),
    Command("explain_dialog", ("question_mark",), "app.explain", "", frozenset({Place.DIALOG, Place.FIND})),
    Command("first_steps", ("f",), "first_steps", "first steps", frozenset({Place.HELP})),
)  # fmt: skip

_KEY_LABELS = {
    "enter": "Enter",
    "escape": "Esc",
    "question_mark": "?",
    "slash": "/",
    "space": "Space",
    "tab": "Tab",
    "left": "Left",
    "right": "Right",
    "up": "Up",
    "down": "Down",
}


def key_label(key: str) -> str:
    """Return a key as it is printed on the keyboard: ``question_mark`` is ``?``."""
    return _KEY_LABELS.get(key, key)


def commands_of(place: Place) -> list[Command]:
    """Return the commands of a place in their order."""
    return [command for command in COMMANDS if place in command.where]


def bindings_of(place: Place) -> list[Binding]:
    """Return textual's bindings of a place."""
    return [
        Binding(
            ",".join(command.keys), command.action, command.foot, show=False, id=f"{place.name.lower()}.{command.id}"
        )
        for command in commands_of(place)
    ]


def foot_of(place: Place) -> list[tuple[str, str]]:
    """Return the keys of the bottom line of a place with their words, at most six."""
    return [
        (key_label(command.keys[0]), command.foot)
        for command in commands_of(place)
        if command.foot and (command.foot_in is None or place in command.foot_in)
    ]


def help_of(place: Place) -> list[tuple[str, str]]:
    """Return the lines of the help of a place: the keys of each command and what they do, the help itself last."""
    commands = sorted(commands_of(place), key=lambda command: command.keys == ("question_mark",))
    return [
        (" ".join(key_label(key) for key in command.keys), key_words(command.id, place.name)) for command in commands
    ]
