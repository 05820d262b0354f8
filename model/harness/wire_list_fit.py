"""Terminals of parts with two posts or none: which one each wire of a list ends on."""

from __future__ import annotations

import re

from model.harness.wire_list_book import FoundPart, PartsBook, Use
from model.harness.wire_list_cells import fold
from model.harness.wire_list_fuses import LEAST_AMPS
from model.harness.wire_list_points import as_terminal, cavity_of, is_minus, is_plus

CHARGER_SHARE = 14.2 / 12.0
"""Volts of a charger without figures over the vehicle's nominal volts (common practice: 14.2 V at 12 V)."""
_BARS = frozenset({"bar", "busbar", "bus", "strap", "strip", "block", "stud", "post"})
_FUSE_IN = frozenset({"in", "1", "input", "a", "feed", "ein", "supply", "line", "eingang", "i"})
_FUSE_OUT = frozenset({"out", "2", "output", "b", "load", "aus", "ausgang", "o"})
_ANODE = frozenset({"anode", "a", "+", "1", "in"})
_CATHODE = frozenset({"cathode", "kathode", "k", "c", "-", "2", "out"})


def fit_single(part: FoundPart, book: PartsBook) -> None:
    """Put every wire on a part that is one point."""
    for use in part.uses:
        use.settle(part.id)


def fit_posts(part: FoundPart, book: PartsBook, nominal_volts: float) -> None:
    """Put wires on the posts of a battery or charger; a third terminal of a charger is its exciter."""
    for use in part.uses:
        post = "+" if is_plus(use.terminal) else "-" if is_minus(use.terminal) else ""
        if post or not use.terminal:
            use.settle(f"{part.id}.{post or ('-' if use.faces_ground else '+')}", not post)
            continue
        exciter = part.row.get("exciter")
        is_charger = part.kind.table == "chargers"
        if is_charger and exciter is None and not part.is_listed:
            part.row["exciter"] = exciter = {"terminal": as_terminal(use.terminal)}
        if is_charger and isinstance(exciter, dict) and exciter.get("terminal") == as_terminal(use.terminal):
            use.settle(f"{part.id}.{as_terminal(use.terminal)}")
        else:
            book.stray(use, f"{part.name} has the posts + and -, and no {use.terminal}")
    if part.kind.table == "chargers":
        part.assume("volts", round(nominal_volts * CHARGER_SHARE, 1))


def fit_fuse(part: FoundPart, book: PartsBook) -> None:
    """Put wires on ``in`` and ``out``: a wire that leads to the fuse feeds it where nothing else is said."""
    for use in part.uses:
        rating = re.fullmatch(r"(\d{1,3})a", use.terminal)
        if rating:
            part.row.setdefault("amps", float(rating[1]))
            use.terminal = ""
        word = use.terminal.casefold()
        if word in _FUSE_IN or word in _FUSE_OUT:
            use.settle(f"{part.id}.{'in' if word in _FUSE_IN else 'out'}")
        elif word:
            book.stray(use, f"a fuse has in and out, and no {use.terminal}")
        else:
            side = "in" if use.key == "to" and "bus" not in part.row else "out"
            is_second = any(one.row.get(one.key) == f"{part.id}.{side}" for one in part.uses)
            use.settle(f"{part.id}.{side}", is_second and side == "in")
    _turn_where_one_sided(part)
    if part.row.get("style") != "thermal":
        part.assume("amps", LEAST_AMPS)


def fit_ground(part: FoundPart, book: PartsBook) -> None:
    """Put every wire on a ground; one that is called a bar may sit on the body or be isolated: a guess."""
    fit_single(part, book)
    words = fold(str(part.row.get("label", ""))).split()
    if not part.is_listed and book.has_chassis and not _BARS.isdisjoint(words):
        part.assume("bonded", True)


def put_on_box(book: PartsBook) -> None:
    """Put fuses that no wire leads to on the bar of the fuse box, where the list names just one: a guess."""
    boxes = [part for part in book.parts.values() if part.kind.table == "busbars" and _is_box(part)]
    if len(boxes) != 1:
        return
    for part in book.parts.values():
        if part.kind.table == "fuses" and not part.is_listed and part.uses and not _is_fed(part, boxes[0]):
            part.assume("bus", boxes[0].id)


def _is_box(part: FoundPart) -> bool:
    words = fold(str(part.row.get("label", ""))).replace(" ", "")
    return any(word in words for word in ("fusebox", "fusepanel", "fuseblock", "sicherungskasten"))


def _is_fed(fuse: FoundPart, box: FoundPart) -> bool:
    """Tell whether a wire feeds a fuse, or the fuse feeds the box."""
    for use in fuse.uses:
        word = use.terminal.casefold()
        if word in _FUSE_IN or (use.key == "to" and word not in _FUSE_OUT):
            return True
        if use.other is not None and use.other.part is box:
            return True
    return False


def _turn_where_one_sided(part: FoundPart) -> None:
    """Put the last of several wires on the other side of a fuse where all lead the same way, as a guess."""
    if "bus" in part.row:
        return
    free = [use for use in part.uses if not use.terminal]
    sides = {str(use.row[use.key]).rpartition(".")[2] for use in part.uses}
    if len(free) < 2 or len(sides) != 1:
        return
    turned, side = (free[0], "in") if sides == {"out"} else (free[-1], "out")
    turned.settle(f"{part.id}.{side}", True)


def fit_diode(part: FoundPart, book: PartsBook) -> None:
    """Put wires on anode and cathode: a wire that leads to the diode is on its anode where nothing else is said."""
    for use in part.uses:
        word = use.terminal.casefold()
        if word in _ANODE or word in _CATHODE:
            use.settle(f"{part.id}.{'anode' if word in _ANODE else 'cathode'}")
        elif word:
            book.stray(use, f"a diode has anode and cathode, and no {use.terminal}")
        else:
            use.settle(f"{part.id}.{'anode' if use.key == 'to' else 'cathode'}", True)


def fit_connector(part: FoundPart, book: PartsBook) -> None:
    """Put wires into cavities: one that leads to a plug sits in its first half where nothing else is said."""
    halves = _halves(part, book)
    cavities = _cavities(part, book)
    by_cavity: dict[int, list[Use]] = {}
    for use, cavity in cavities:
        if use.half and use.half not in halves:
            book.stray(use, f"{part.name} has the halves {halves[0]} and {halves[1]}, and no {use.half}")
        elif use.half:
            use.settle(f"{part.id}.{use.half}.{cavity}")
        else:
            by_cavity.setdefault(cavity, []).append(use)
    for cavity, uses in by_cavity.items():
        is_one_way = len(uses) > 1 and len({use.key for use in uses}) == 1
        for use in uses:
            is_turned = is_one_way and use is uses[-1]
            half = halves[(use.key == "from") != is_turned]
            use.settle(f"{part.id}.{half}.{cavity}", is_turned or not use.terminal)
    most = max((cavity for _, cavity in cavities), default=1)
    given = part.row.get("cavities")
    if not isinstance(given, int):
        part.row["cavities"] = most
        if not cavities:
            part.assumed.append("cavities")
    elif given < most:
        part.row["cavities"] = most
        book.tell(
            part.line,
            f"{part.name} has {given} cavities in the parts list and {most} in the wire list; taken as {most}",
        )


def _halves(part: FoundPart, book: PartsBook) -> tuple[str, str]:
    given = part.row.get("halves")
    if isinstance(given, list) and len(given) == 2:
        return str(given[0]), str(given[1])
    if part.is_listed:
        return "plug", "socket"
    seen = list(dict.fromkeys(as_terminal(use.half) for use in part.uses if use.half and not use.half.isdigit()))[:2]
    for use in part.uses:
        use.half = as_terminal(use.half) if use.half else ""
    if not seen or set(seen) <= {"plug", "socket"}:
        return "plug", "socket"
    halves = [*seen, *(name for name in ("plug", "socket") if name not in seen)][:2]
    part.row["halves"] = halves
    return halves[0], halves[1]


def _cavities(part: FoundPart, book: PartsBook) -> list[tuple[Use, int]]:
    """Give each wire's cavity; a name that is no number gets the next number."""
    names: dict[str, int] = {}
    found = [(use, cavity_of(use.terminal, names)) for use in part.uses]
    last = max((cavity for _, cavity in found), default=0)
    numbered: list[tuple[Use, int]] = []
    for use, cavity in found:
        if not cavity and use.terminal in names:
            cavity = names[use.terminal]
        elif not cavity:
            last += 1
            cavity = last
            words = f"“{use.terminal}”" if use.terminal else "no cavity"
            book.tell(use.line, f"{part.name}: {words} where a number should be; taken as cavity {cavity}")
            if use.terminal:
                names[use.terminal] = cavity
        elif use.terminal.isalpha():
            book.tell(use.line, f"{part.name}: cavity {use.terminal} is taken as cavity {cavity}")
        numbered.append((use, cavity))
    return numbered
