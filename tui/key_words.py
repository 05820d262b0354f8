"""What each key does, in words that somebody understands who sees the program for the first time."""

from __future__ import annotations

_HELP = "this help; ? again, Enter or Esc go back"
_WRITES = "writes this page to a file and says where"
_COPIES = "sends this page to the terminal's clipboard"
_LOOK = "changes between dark and light"
_QUITS = "ends the program"
_BACK = "goes back to the screen before"
_KEY_ON, _KEY_BACK = "turns the key one state on", "turns the key one state back"
_FAULT_OUT = "takes the fault of a what-if out again"
_SETS = "moves switches; pulls plugs, fuses, relays"
_UNDOES = "takes the last answer back"

_WORDS = {
    "help": _HELP,
    "open": "opens the marked file",
    "name": "to type a file's name; Tab completes it",
    "open_review": "opens what is marked",
    "walk": "shows the walk of the marked load",
    "card": "shows the card of the part of the row",
    "go_row": "goes to what the row tells of",
    "face": "turns the face of the plug round",
    "take_answer": "takes what is typed or chosen as the answer",
    "skip": "the point cannot be reached: another check",
    "why": "why this check, and which others there are",
    "undo": _UNDOES,
    "elsewhere": "a reading at another point than is asked",
    "big": "the step in big letters, and small again",
    "posts_too": "the next number was read at the battery",
    "unsure": "not sure what came of it: it counts little",
    "alone": "nobody can help: checks for one alone",
    "answers": "the answers so far, to change or strike out",
    "every_caution": "the step with every caution",
    "row_part": "shows the card of the part of the row",
    "stop": "ends the trace, after a question",
    "make": "makes the marked check",
    "name_fault": "names what is wrong; a wrong name is counted",
    "hint": "marks the next best check; it is counted",
    "any_point": "reads the volts at any point",
    "give_up": "gives up: it tells what was hidden",
    "another": "hides another fault",
    "start": "starts the trace, with what stands there",
    "say": "changes what the marked row says",
    "say_back": "changes it the other way",
    "take": "makes the marked check instead",
    "change": "changes the marked answer",
    "strike": "strikes the marked answer out",
    "prove": "reads on to the end, then goes on to the proof of the repair",
    "into_file": "writes the repair into the file, after a form",
    "undo_found": _UNDOES,
    "why_found": "lists every suspect, and other checks",
    "see": "shows what one would see with that fault",
    "keep": "puts the fault in: all screens show it",
    "set": "moves it to its next position",
    "set_back": "moves it to the position before",
    "turn": _KEY_ON,
    "turn_back": _KEY_BACK,
    "turn_only": _KEY_ON,
    "turn_only_back": _KEY_BACK,
    "trace": "it does not work: traces why",
    "settings": _SETS,
    "all_keys": "the volts in every key state, side by side",
    "profile": "the volts down the walk, on one scale",
    "posts": "to type the volts read at the battery",
    "cautions": "the step with every caution",
    "order": "lists by name, or by place again",
    "practise": "practises on a hidden fault",
    "what_if": "what if this were faulty",
    "fault_out": _FAULT_OUT,
    "amend": "writes what was done to it into the file",
    "unamend": "takes the last amendment back",
    "rest": "puts everything back in, and to rest",
    "filter": "shows only what has the letters typed",
    "copy": _COPIES,
    "write": _WRITES,
    "write_step": "writes this step to a file and says where",
    "write_traced": _WRITES,
    "find": "finds a part, wire, colour, place or command",
    "look": _LOOK,
    "quit": _QUITS,
    "quit_trace": "ends the program; the trace is kept",
    "leave": _QUITS,
    "plans": "proves a new loom, plan by plan",
    "reviews": "looks the loom over: what is live, findings",
    "needs": "asks what the file still needs",
    "new_circuit": "adds a new circuit",
    "explain_form": _HELP,
    "explain_dialog": _HELP,
    "take_said": "takes the answer and writes it into the file",
    "leave_assumed": "leaves it as assumed; the next question",
    "tick": "ticks it; of a plain list takes the marked one",
    "open_pattern": "asks what a circuit of this pattern needs",
    "fill_in": "opens the row to be typed, takes what is typed; on the last row all goes into the file",
    "choose_value": "the next of what can be chosen",
    "choose_back": "the one before",
    "to_last": "goes to the last row, which puts it in",
    "explain_review": _HELP,
    "go_part": "shows the card of the part of the row",
    "row_in_full": "tells all of the row, and the cautions",
    "turn_live": _KEY_ON,
    "turn_live_back": _KEY_BACK,
    "set_live": _SETS,
    "compare": "only what the next key state changes; all",
    "order_live": "lists by place, or by feed again",
    "live_fault_out": _FAULT_OUT,
    "find_line": "finds a row",
    "find_live": "finds a row",
    "write_review": _WRITES,
    "copy_review": _COPIES,
    "look_sheet": _LOOK,
    "quit_sheet": _QUITS,
    "explain_plan": _HELP,
    "unamend_record": "takes the last amendment back, after a question",
    "open_plan": "opens the marked plan, or the record",
    "loom": "the next state of the loom, for continuity",
    "loom_back": "the state before",
    "take_value": "takes the number typed: 0.24, 12k, OL; 24 at 4.6 are millivolts at so many amperes",
    "say_good": "good, without a number; Enter keeps it",
    "say_bad": "bad, without a number; Enter keeps it",
    "say_skipped": "skips the row; Enter keeps it",
    "take_back": "takes the answer of the row back",
    "left": "only what is open, bad or skipped, at the end what is unproven; all again",
    "find_row": "finds a row",
    "find_check": "finds a check",
    "trace_row": "traces what a bad row is due to",
    "row_cautions": "every caution, and what to do before",
    "about": "what the plan proves, and what it cannot",
    "who": "who measures, the meter, how warm it is",
    "record": "everything that was measured so far",
    "write_plan": "writes the plan to a file and says where",
    "write_planned": _WRITES,
    "copy_planned": _COPIES,
    "look_planned": _LOOK,
    "quit_plan": "ends the program; every reading is kept",
    "quit_planned": _QUITS,
    "go": "goes to the marked one, or does the command",
    "card_of": "goes to the card, of a load too",
    "back": _BACK,
    "close": "goes on",
    "close_help": "goes back",
    "first_steps": "the first steps, from the beginning",
}
"""Command → what its keys do."""

_IN_PLACE = {
    ("back", "OPEN"): "leaves the name that is being typed",
    ("back", "LOADS"): "goes back to the choice of a file",
    ("back", "WALK"): "goes back; key and switches as before",
    ("back", "TRACE"): "drops what is typed; leaves, and t picks it up",
    ("back", "PLAN"): "drops what is typed; goes back",
    ("back", "NEEDS"): "goes back; what was answered is in the file",
    ("back", "CIRCUIT"): "leaves the row; goes back with nothing written",
    ("back", "AMEND"): "leaves the row; goes back with nothing written",
    ("back", "FIND"): "goes back to the screen below",
    ("back", "HELP"): "goes back to the screen that is explained",
    ("back", "DIALOG"): "goes back, with nothing done",
    ("close", "DIALOG"): "does what stands beside it at the bottom",
    ("close", "HELP"): "goes back",
}
"""Where a key does it in its own way: (command, name of the place) → what it does there."""

_MOVES = ("Up Down", "mark another row; PgUp PgDn a page")
_DIGITS = ("digits", "begin the number that the meter shows")

_ALSO = {
    "OPEN": (_MOVES,),
    "TRACE_ASK": (("digits", "begin the volts of the posts"), _MOVES),
    "TRACE": (
        _DIGITS,
        ("12.1?", "a number that you do not trust"),
        ("1 2 3, Left Right", "mark a word, where one is asked"),
        _MOVES,
    ),
    "PROVE": (_DIGITS, ("1 2, arrows", "mark whether it is cured, then Enter")),
    "PLAN": (_DIGITS, _MOVES),
    "NEEDS": (("letters", "begin the answer"), ("Left Right", "the question before, the next; in a grid the terminal")),
    "CIRCUIT": (("letters", "begin what the marked row is to have"), _MOVES),
    "AMEND": (("letters", "begin what the marked row is to have"), _MOVES),
    "FIND": (("letters", "begin what is looked for"), ("Up Down", "mark what was found")),
    "FOUND": (("arrows", "scroll"),),
    "PRACTISED": (("arrows", "scroll"),),
    "HELP": (("arrows", "scroll; PgUp PgDn a page, Home End"),),
    "DIALOG": (
        ("arrows", "scroll, or move the mark"),
        ("y", "yes, where it stands at the bottom"),
        ("Space", "ticks, where several can be taken"),
    ),
}
"""Name of a place → keys that no command has, with what they do; the others have the arrows alone."""


def also_of(place_name: str) -> tuple[tuple[str, str], ...]:
    """Return the keys of a place that no command has, with what they do."""
    return _ALSO.get(place_name, (_MOVES,))


def key_words(command_id: str, place_name: str) -> str:
    """Return what the keys of a command do in a place.

    Raises
    ------
    KeyError
        Where a command has no words.
    """
    return _IN_PLACE.get((command_id, place_name)) or _WORDS[command_id]
