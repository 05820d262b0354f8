"""The signs and the words that stand on a screen, explained for somebody who sees them for the first time."""

from __future__ import annotations

from tui.commands import Place

Told = tuple[tuple[str, str], ...]
"""A sign or a word, and what it means."""

_MARK = ("›", "the marked row: Up and Down move it")
_CUT = ("…", "cut here: a wider window shows the rest")
_WIRE = ("│", "the wire between two points: colour, mm², id")
_LINES = (("├ └ │ ─", "lines of a tree: what hangs on what"),)
_LISTED = (_MARK, _CUT)
_PAINT = ("▕▓▓▓▏", "the wire's colours, the code beside: GN/WH")
_WIRED = (_PAINT, *_LISTED)

_VOLTS = (
    ("floating", "joined to nothing: a meter shows anything"),
    ("unsettled", "a relay buzzes there: no figure holds"),
)
_POSTS = (
    ("posts", "the battery itself: all volts rest on these"),
    ("not read", "reckoned from the file, not measured"),
    ("estimate", "the battery while cranking, not read"),
    ("read", "as it was typed from a meter"),
)
_LOADS = (
    ("works", "has the volts that it needs"),
    ("off", "is not asked to work, as all is set now"),
    ("weak", "works, with too few volts"),
    ("dead", "ought to work, and does not"),
    ("unasked", "works though nothing asks for it"),
    ("glows", "has some volts that it should not have"),
)
_CIRCUIT = ("circuit", "one filament, winding or feed; a load may have several")
_TRACED = (
    ("suspect", "the fault may still be here"),
    ("set aside", "the readings so far speak for it"),
    ("here", "what the check asks about"),
    ("found", "where the fault is"),
    ("share", "how much of all that it may be: 60 % is likely"),
)
_STANDINGS = (
    ("open", "not answered yet"),
    ("good", "read, and within the limit"),
    ("bad", "read, and outside the limit: mend it first"),
    ("skipped", "left out, and still to be done"),
    ("unproven", "read, but whole and broken read alike there"),
    ("cannot fail", "as it is plugged now it would come out unproven"),
    ("already out", "by its own file outside the limit, the loom whole"),
)
_LOOM_STATES = (
    ("on the bench", "nothing is plugged in, no ground bolted on"),
    ("fitted, all apart", "in the vehicle, grounds on, every plug apart"),
    ("fitted and mated", "everything plugged in, battery clamps off"),
)
_GRAVITIES = (
    ("can burn or hurt", "findings to mend before the loom is used"),
    ("does not work", "findings of what cannot work as it is drawn"),
    ("works badly", "findings of what works, but not for long"),
    ("to be cleared up", "findings that the file leaves open"),
)
_FEEDS = (
    ("at rest", "has feed with nothing moved"),
    ("fed", "has feed with its own switches on"),
    ("live", "volts at its feed, none across it"),
    ("none", "no feed"),
)
_EXPECTED = (
    ("expect", "the volts there with the load plugged in"),
    ("unplugged", "the volts there with the plug of the load off"),
    ("as built", "what was read there when the loom was proven"),
    ("good 11 to 13", "between these a reading is no sign of a fault"),
    ("never probed", "keep leads off it; the card says why"),
)

_PROFILED = (
    ("│", "computed: one below the other they make the line"),
    ("─", "between these a reading is no sign of a fault"),
    ("○", "as built: read when the loom was proven"),
    ("●", "read in this trace; it stands over the others"),
    ("›", "beyond the end of the scale; or the marked row"),
)

_SIGNS: dict[Place, Told] = {
    Place.WALK: (
        ("·", "a point that has volts"),
        ("○", "a point without volts, in this key state"),
        ("▪", "a point that is never probed"),
        _WIRE,
        ("a: all of it", "the step is longer than its room"),
        *_WIRED,
    ),
    Place.TRACE: (
        ("●", "what the check asks about, or the fault found"),
        ("▪", "suspect"),
        ("·", "set aside"),
        ("(12.3)", "read in another key state, or before a repair"),
        ("12.1?", "in doubt: it decides nothing by itself"),
        _WIRE,
        *_WIRED,
    ),
    Place.PROFILE: (*_PROFILED[:3], *_PROFILED[4:], _CUT),
    Place.TRACE_PROFILE: (*_PROFILED, _CUT),
    Place.PLAN: (
        ("○", "open"),
        ("●", "good"),
        ("▪", "bad"),
        ("·", "skipped or unproven"),
        *_WIRED,
    ),
    Place.CARD: ((">6<", "the cavity of the marked row"), ("--", "a cavity with nothing in it"), *_WIRED),
    Place.SEEN: (("works › dead", "from what it does now to what it would do"), *_LISTED),
    Place.NEEDS: (
        ("·", "the terminal is free in this position"),
        ("●", "joined with the others of its row that have it"),
        ("a b", "those with one letter are joined to each other"),
        ("[ ]", "the terminal that Space ticks"),
        *_LISTED,
    ),
    Place.REVIEW: (*_LINES, *_WIRED),
    Place.FOUND: (("·", "a reading that says so"), _PAINT),
    **dict.fromkeys((Place.FIND, Place.WHY, Place.ANSWERS, Place.LIVE, Place.PRACTICE), _WIRED),
    **dict.fromkeys((Place.CIRCUIT, Place.AMEND, Place.WHAT_IF), _WIRED),
}

_WORDS: dict[Place, Told] = {
    Place.LOADS: (*_LOADS, _CIRCUIT, *_POSTS),
    Place.WALK: (*_EXPECTED, *_VOLTS, *_POSTS),
    Place.KEYS: (*_VOLTS, *_POSTS),
    Place.PROFILE: (("drop", "how far the volts fall since the point above"), *_VOLTS, *_POSTS),
    Place.TRACE_PROFILE: (("drop", "how far the volts fall since the point above"), *_VOLTS),
    Place.CARD: (*_LOADS, *_VOLTS, *_POSTS),
    Place.SETTINGS: (("at rest", "as it is with nobody's hand on it"), _CIRCUIT, *_POSTS),
    Place.WHAT_IF: (("open", "broken through: no current"), ("to body", "touches bare metal of the vehicle")),
    Place.SEEN: _LOADS,
    Place.TRACE_ASK: (
        ("posts", "the battery: measure it first, type the volts"),
        ("weak", "dim or slow: far from what it has when whole"),
    ),
    Place.TRACE: (*_EXPECTED[:1], ("read", "what your meter showed there"), *_TRACED[:4], *_VOLTS),
    Place.WHY: _TRACED,
    Place.FOUND: _TRACED[4:],
    Place.PRACTICE: (("hint", "what the program would do next"),),
    Place.PLANS: (*_STANDINGS[:5], *_LOOM_STATES),
    Place.PLAN: _STANDINGS,
    Place.RECORD: _STANDINGS[1:5],
    Place.REVIEWS: _GRAVITIES,
    Place.REVIEW: (*_GRAVITIES, *_FEEDS, _LOADS[2], *_VOLTS),
    Place.LIVE: (("live", "has volts on it"), ("unfused", "no fuse stands before it: rings off"), *_VOLTS),
    Place.NEEDS: (("assumed", "what the program takes until you say it"),),
    Place.AMEND: (("revision", "the file after a change; the one before is kept"),),
}

TRADE: Told = (
    ("harness, loom", "all wires of the vehicle with their plugs, fuses and switches"),
    ("load", "what uses the current: a lamp, a motor, a horn"),
    ("feed", "the way of the current from the battery to the load"),
    ("ground", "the way back to the battery, often over the body"),
    ("key state", "where the ignition key stands: off, ignition, crank"),
    ("posts", "the two terminals of the battery itself"),
    ("drop", "volts that are lost along a wire or in a joint; more current, more drop"),
    ("splice", "a joint where several wires meet inside the loom"),
    ("cavity", "a numbered hole of a plug with one terminal in it"),
    ("wire side", "a plug seen from where its wires go in; the mating side is the other"),
    ("crimp", "a terminal squeezed onto the end of a wire"),
    ("relay", "a switch moved by a coil: 86 and 85 are the coil, 30 to 87 the contact"),
    ("red, black", "the two leads of the meter: where each is held"),
)
"""Words of the trade, whatever the screen."""

_WITHOUT_ROWS = frozenset({Place.FOUND, Place.PROVE, Place.PRACTISED, Place.HELP, Place.DIALOG})


def signs_of(place: Place) -> Told:
    """Return the signs of a screen with what they mean."""
    return _SIGNS.get(place, () if place in _WITHOUT_ROWS else _LISTED)


def words_of(place: Place) -> Told:
    """Return the words that stand on a screen with what they mean."""
    return _WORDS.get(place, ())
