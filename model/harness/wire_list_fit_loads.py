"""Terminals of loads, resistors and control units: which each wire of a list ends on, and what lies between."""

from __future__ import annotations

from model.harness.wire_list_book import FoundPart, PartsBook, Use
from model.harness.wire_list_fit_switching import place, terminals_seen
from model.harness.wire_list_kinds import kind_of_words
from model.harness.wire_list_points import as_terminal, is_minus, is_plus

ELECTRONICS_AMPS = 0.5
"""Assumed of a part of which nothing is known, and of the feed of a control unit (a judgement)."""
LAMP_WATTS = 21.0
"""Assumed of a lamp that no word tells more about (a judgement)."""
RESISTOR_OHMS = 100.0
"""Assumed of a sender or resistor (a judgement: within the span of common senders)."""
_RATINGS = ("watts", "amps", "ohms")
_FEEDS = frozenset(
    {"30", "15", "75", "b+", "+", "vcc", "bat", "batt", "ign", "12v", "24v", "feed", "plus", "power", "ubat"}
)
_LAMP_TERMINALS = {
    "54": ("stop", 21.0),
    "55": ("fog", 55.0),
    "56a": ("main", 60.0),
    "56b": ("dip", 55.0),
    **dict.fromkeys(("57a", "57l", "57r", "58", "58l", "58r"), ("tail", 5.0)),
    **dict.fromkeys(("49a", "l", "r"), ("indicator", 21.0)),
}
"""Role of what hangs on a lamp's terminal (DIN 72552), and the watts that it often has (a judgement)."""
_BESIDE_TAIL = frozenset({"instrument", "interior", "navigation", "plate"})
"""Roles of lamps that hang on the terminal of tail lamps too: of these the label tells."""


def fit_load(part: FoundPart, book: PartsBook) -> None:
    """Give a load its terminals, elements and rating, as far as list and words show them."""
    row = part.row
    if not row.get("kind"):
        row["kind"] = part.kind.load_kind or "electronics"
        if not part.kind.load_kind:
            part.assumed.append("kind")
    if part.kind.role and not part.is_listed:
        row.setdefault("role", part.kind.role)
    elements = row.get("elements")
    if isinstance(elements, list) and elements:
        names = _ends_of(elements)
        place(part, book, names, names[0], names[-1])
        return
    if all(_is_post(use.terminal) for use in part.uses):
        _two_posts(part)
        _rate(part)
    else:
        _several(part, book)


def _is_post(terminal: str) -> bool:
    """Tell whether a word, or none, means one of two posts; the number 31 is a terminal's own name and stays."""
    return not terminal or (terminal != "31" and (is_plus(terminal) or is_minus(terminal)))


def _ends_of(elements: list[object]) -> list[str]:
    found = [str(one[key]) for one in elements if isinstance(one, dict) for key in ("from", "to") if key in one]
    return list(dict.fromkeys(found)) or ["+", "-"]


def _two_posts(part: FoundPart) -> None:
    """Put wires on ``+`` and ``-``: without a word the side of the far end decides."""
    has_plus = any(is_plus(use.terminal) for use in part.uses)
    for use in part.uses:
        if use.terminal:
            use.settle(f"{part.id}.{'+' if is_plus(use.terminal) else '-'}")
            continue
        is_minus_side = use.faces_ground or (use.key == "from" and (has_plus or len(part.uses) > 1))
        use.settle(
            f"{part.id}.{'-' if is_minus_side else '+'}",
            len(part.uses) > 2 or not (use.faces_ground or use.key == "to"),
        )


def _rate(part: FoundPart) -> None:
    given = [key for key in _RATINGS if key in part.row]
    for key in given[1:]:
        del part.row[key]
    if given:
        return
    kind = _usual(part)
    part.assume(*kind)


def _usual(part: FoundPart) -> tuple[str, float]:
    """Give what a load of this name often uses."""
    words = kind_of_words(str(part.row.get("label", "")))
    for kind in (words, part.kind):
        if kind and kind.table == "loads" and kind.watts:
            return "watts", kind.watts
        if kind and kind.table == "loads" and kind.amps:
            return "amps", kind.amps
    return ("watts", LAMP_WATTS) if part.row["kind"] == "lamp" else ("amps", ELECTRONICS_AMPS)


def _several(part: FoundPart, book: PartsBook) -> None:
    """Make an element from each terminal to the one on ground."""
    names = _spelled(part)
    ground = _ground_of(part, names)
    fed = [name for name in names if name != ground] or ["+"]
    rating = next(((key, part.row.pop(key)) for key in _RATINGS if key in part.row), None)
    elements: list[dict[str, object]] = []
    for name in fed:
        element: dict[str, object] = {"name": name, "from": name, "to": ground}
        role, watts = _on_terminal(part, name)
        if role and not (part.is_listed and "role" in part.row):
            element["role"] = role
        if rating and (len(fed) == 1 or name == fed[0]):
            element[rating[0]] = rating[1]
        else:
            key, value = ("watts", watts) if watts else _usual(part)
            element[key] = value
            part.assumed.append(f"elements.{name}")
        elements.append(element)
    for key in _RATINGS:
        part.row.pop(key, None)
    if all("role" in element for element in elements):
        part.row.pop("role", None)
    part.row["elements"] = elements
    place(part, book, [*fed, ground], fed[0], ground)


def _on_terminal(part: FoundPart, name: str) -> tuple[str, float]:
    """Give role and usual watts of what hangs on a terminal of a lamp; empty and 0 where it tells nothing."""
    if part.row["kind"] not in ("lamp", "led"):
        return "", 0.0
    role, bulb_watts = _LAMP_TERMINALS.get(name.casefold(), ("", 0.0))
    watts = bulb_watts if part.row["kind"] == "lamp" else 0.0
    if role == "tail" and part.kind.role in _BESIDE_TAIL:
        return part.kind.role, watts
    if role == "tail" and part.kind.role in ("dip", "main"):
        return "side", watts
    return role, watts


def _spelled(part: FoundPart) -> list[str]:
    """Name the terminals of a load, plus and minus spelled as signs."""
    for use in part.uses:
        if is_minus(use.terminal) and use.terminal != "31":
            use.terminal = "-"
        elif is_plus(use.terminal):
            use.terminal = "+"
    return terminals_seen(part.uses)


def _ground_of(part: FoundPart, names: list[str]) -> str:
    """Give the terminal that the elements of a load share: 31 or -, the one on ground, or one that no wire is on."""
    for name in names:
        if is_minus(name):
            return name
    facing = [as_terminal(use.terminal) for use in part.uses if use.terminal and use.faces_ground]
    if facing:
        return facing[0]
    return "31" if "31" not in names else "-"


def fit_resistor(part: FoundPart, book: PartsBook) -> None:
    """Give a resistor pack an element from its first terminal to each of the others."""
    elements = part.row.get("elements")
    if isinstance(elements, list) and elements:
        names = _ends_of(elements)
        place(part, book, names, names[0], names[-1])
        return
    names = terminals_seen(part.uses)
    for name in ("1", "2"):
        if len(names) < 2 and name not in names:
            names.append(name)
    ohms = part.row.pop("ohms", None)
    part.row["elements"] = [
        {"name": name, "from": names[0], "to": name, "ohms": ohms or RESISTOR_OHMS} for name in names[1:]
    ]
    if ohms is None:
        part.assumed += [f"elements.{name}" for name in names[1:]]
    place(part, book, names, names[0], names[1])


def fit_module(part: FoundPart, book: PartsBook) -> None:
    """Give a control unit its feeds and ground; what its other terminals do is asked, until then nothing."""
    row = part.row
    if isinstance(row.get("feeds"), list) and row["feeds"]:
        names = _module_terminals(row)
        place(part, book, names, names[0], str(row.get("ground", "31")))
        return
    names = _spelled(part)
    ground = next((name for name in names if is_minus(name)), "31")
    if ground != "31":
        row["ground"] = ground
    others = [name for name in names if name != ground]
    coils = {as_terminal(use.terminal) for use in part.uses if use.other and use.other.part.kind.table == "relays"}
    fed = [name for name in others if name not in coils]
    feeds = [name for name in others if name.casefold() in _FEEDS] or fed[:1] or ["15" if "15" not in others else "30"]
    amps = row.pop("amps", None)
    row["feeds"] = [{"terminal": name, "amps": amps or ELECTRONICS_AMPS} for name in feeds]
    part.assumed += [f"feeds.{name}" for name in feeds if not amps]
    driven = [name for name in others if name not in feeds]
    if driven:
        row["drivers"] = [{"terminal": name, "pulls": "ground", "when": []} for name in driven]
        part.assumed += [f"drivers.{name}" for name in driven]
    place(part, book, [*feeds, *driven, ground], feeds[0], ground)


def _module_terminals(row: dict[str, object]) -> list[str]:
    names: list[str] = []
    for key in ("feeds", "drivers", "outputs"):
        listed = row.get(key)
        rows = listed if isinstance(listed, list) else []
        names += [str(inner["terminal"]) for inner in rows if isinstance(inner, dict) and "terminal" in inner]
    return [*dict.fromkeys([*names, str(row.get("ground", "31"))])]


def unused_ground(part: FoundPart) -> str:
    """Give the ground terminal of a load, unit, sender or charger that no wire of the list is on; else empty."""
    points = {str(use.row.get(use.key)) for use in part.uses}
    ground = _minus_of(part)
    if not ground or not points or f"{part.id}.{ground}" in points:
        return ""
    return f"{part.id}.{ground}"


def _minus_of(part: FoundPart) -> str:
    row = part.row
    match part.kind.table:
        case "batteries" | "chargers":
            return "-"
        case "modules":
            return str(row.get("ground", "31"))
        case "loads" | "resistors":
            elements = row.get("elements")
            if isinstance(elements, list) and elements:
                ends = {str(one.get("to")) for one in elements if isinstance(one, dict)}
                return ends.pop() if len(ends) == 1 else ""
            return "-"
    return ""


def first_use(uses: list[Use]) -> int:
    """Give the line of the first wire of several; 0 where there is none."""
    return min((use.line for use in uses), default=0)
