"""The parts that a list names, and the ends of wires that sit on each."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from model.harness.harness import CHASSIS
from model.harness.wire_list_cells import fold
from model.harness.wire_list_kinds import Kind, kind_of_words, known_by
from model.harness.wire_list_names import Before
from model.harness.wire_list_points import Known, Named, is_minus, rated_words
from model.harness.wire_list_remark import Remark

Row = dict[str, object]
_FUSE = re.compile(r"(F\d{1,3})\b(.*)", re.IGNORECASE)
"""A fuse that stands where a box of them has its terminal."""


@dataclass(slots=True)
class FoundPart:
    """A part on its way into a harness file.

    Attributes
    ----------
    row
        Its row, as far as it is known.
    is_listed
        Whether a parts list has it, or the file that is merged with.
    assumed
        Keys of the row that nobody has said.
    """

    id: str
    kind: Kind
    row: Row
    line: int = 0
    is_listed: bool = False
    uses: list[Use] = field(default_factory=list)
    assumed: list[str] = field(default_factory=list)

    @property
    def name(self) -> str:
        """Id and label for a sentence."""
        label = self.row.get("label")
        return f"{self.id} ({label})" if label else self.id

    def assume(self, key: str, value: object) -> None:
        """Fill in a key that is missing, and say that it is assumed."""
        if key not in self.row:
            self.row[key] = value
            self.assumed.append(key)


@dataclass(slots=True)
class Use:
    """One end of a wire or joint on a part; `row` and `key` are where the point is written."""

    row: Row
    key: str
    part: FoundPart
    terminal: str
    half: str
    line: int
    guessed: dict[int, list[str]]
    other: Use | None = None

    def settle(self, point: str, is_guess: bool = False) -> None:
        """Write the point; where it is a guess, note that."""
        self.row[self.key] = point
        if is_guess:
            self.guessed.setdefault(id(self.row), []).append(self.key)

    @property
    def faces_ground(self) -> bool:
        """Whether the other end of the wire is on ground."""
        far = self.other
        if far is None:
            return False
        if far.part.kind.table in ("grounds", "bodies") or far.part.id == CHASSIS:
            return True
        return far.part.kind.table in ("batteries", "chargers") and is_minus(far.terminal)


@dataclass(slots=True)
class PartsBook:
    """All parts of a list by id.

    Attributes
    ----------
    before
        What names and ids stood for when the list was read before, and in the file.
    written
        Ids that stand anywhere in the list: none of them is invented for something else.
    numbers, behind
        Numbers below which none is free: by letters and whether a label is given, and behind an id.
    guessed
        By the identity of a wire's row the ends whose terminal is a guess.
    """

    parts: dict[str, FoundPart] = field(default_factory=dict)
    known: Known = field(default_factory=Known)
    remarks: list[Remark] = field(default_factory=list)
    before: Before = field(default_factory=Before)
    taken: set[str] = field(default_factory=set)
    guessed: dict[int, list[str]] = field(default_factory=dict)
    has_chassis: bool = True
    written: set[str] = field(default_factory=set)
    numbers: dict[tuple[str, bool], int] = field(default_factory=dict)
    behind: dict[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.parts[CHASSIS] = FoundPart(CHASSIS, Kind("chassis"), {})

    def tell(self, line: int, says: str) -> None:
        """Add a remark about a line of the wire list."""
        self.remarks.append(Remark(line, says))

    def add(self, part: FoundPart) -> FoundPart:
        """Take a part in."""
        self.parts[part.id] = part
        self.taken.add(part.id.casefold())
        self.known.note(part.id, str(part.row.get("label", "")))
        return part

    def id_of_label(self, label: str, letter: str) -> str:
        """Give the id that a label has in the file or had in the list before, else a new one with these letters.

        A new one is free in the list and in the file. A part without a label is known by its place alone: it gets the
        next id that the list does not have, or had for another without a label.
        """
        found = self.before.names.get(fold(label), "") if label else ""
        if found and found.casefold() not in self.taken:
            return found
        return self._numbered(letter, bool(label))

    def _numbered(self, letter: str, has_label: bool) -> str:
        """Give the letters with the first number that is free; none becomes free again, so it is sought once."""
        number = self.numbers.get((letter, has_label), 1)
        while self._is_used(f"{letter}{number}".casefold(), has_label):
            number += 1
        self.numbers[letter, has_label] = number
        return f"{letter}{number}"

    def _is_used(self, folded: str, has_label: bool) -> bool:
        if folded in self.taken or folded in self.written:
            return True
        return folded in self.before.held and (has_label or folded not in self.before.nameless)

    def unique(self, wanted: str) -> str:
        """Give an id, with a number behind it where something has it already."""
        found = wanted[:50]
        if found.casefold() not in self.taken and found.casefold() != CHASSIS.casefold():
            return found
        number = self.behind.get(found, 2)
        while f"{found}_{number}".casefold() in self.taken:
            number += 1
        self.behind[found] = number
        return f"{found}_{number}"

    def part_of(self, found: Named, line: int, wire_label: str) -> FoundPart:
        """Give the part that an end names, made where it is new."""
        if found.part == CHASSIS and not self.has_chassis:
            found = Named("GND1")
        part = self.parts.get(self.known.id_of(found.part)) if found.part else None
        if part is None and found.part == CHASSIS:
            part = self.parts[CHASSIS]
        if part is None and not found.part:
            part = self._by_label(found, line)
        if part is None:
            kind = known_by(found.part, found.label) or kind_of_words(found.part) or _kind_by_wire(wire_label)
            part = self.add(FoundPart(self._fit_id(found.part), kind, {}, line))
        if found.label and "label" not in part.row and not part.is_listed:
            part.row["label"] = found.label
            part.kind = known_by(part.id, found.label) or part.kind
            self.known.note(part.id, found.label)
        _rate(part, found)
        return part

    def _fit_id(self, written: str) -> str:
        return self.unique(written) if written.casefold() == CHASSIS.casefold() else written

    def _by_label(self, found: Named, line: int) -> FoundPart:
        """Give the part with a label: the one that has it, the first battery, or a new one."""
        part_id = self.known.labels.get(fold(found.label))
        if part_id:
            return self.parts[part_id]
        kind = kind_of_words(found.label)
        if (
            kind
            and kind.table == "batteries"
            and fold(found.label) in ("battery", "batterie", "bat", "batt", "akku", "accu")
        ):
            first = next((part for part in self.parts.values() if part.kind.table == "batteries"), None)
            if first:
                return first
        new = self.id_of_label(found.label, (kind or Kind("")).letter)
        return self.add(FoundPart(new, kind or Kind(""), {"label": found.label}, line))

    def use(self, row: Row, key: str, found: Named, line: int, wire_label: str = "") -> Use:
        """Put the end of a wire on the part that it names."""
        part = self.part_of(found, line, wire_label)
        fuse = _FUSE.fullmatch(found.terminal) if part.kind.table == "busbars" else None
        if fuse:
            found = rated_words(Named(fuse[1].upper()), fuse[2])
            part = self._on_bar(self.part_of(found, line, ""), part)
        elif part.kind.table == "fuses" and found.label and _is_bar(found.label):
            part.row.pop("label", None)
            part = self._on_bar(part, self._by_label(Named("", found.label), line))
        use = Use(row, key, part, found.terminal, found.half, line, self.guessed)
        part.uses.append(use)
        return use

    def _on_bar(self, fuse: FoundPart, bar: FoundPart) -> FoundPart:
        """Put a fuse on the bar of the box that it is named in."""
        if not fuse.is_listed and fuse.kind.table == "fuses" and bar.kind.table == "busbars":
            fuse.row.setdefault("bus", bar.id)
        return fuse

    def stray(self, use: Use, why: str) -> None:
        """Give an end a point of its own, a splice, where its part cannot have one."""
        name = re.sub(r"[^A-Za-z0-9_-]", "_", f"{use.part.id}_{use.half}_{use.terminal}".replace("__", "_"))
        wanted = name.strip("_")[:50]
        same = self.parts.get(wanted)
        if same is None or same.kind.table != "splices":
            label = f"{use.part.name} {use.terminal}".strip()
            same = self.add(FoundPart(self.unique(wanted), Kind("splices"), {"label": label}, use.line))
        use.settle(same.id)
        self.tell(use.line, f"{why}; {same.id} stands for this point until the part is put right")


def _kind_by_wire(wire_label: str) -> Kind:
    """Tell what a part may be by the label of a wire on it: a “lamp ground” leads from a lamp and to a ground."""
    found = kind_of_words(wire_label)
    return found if found and found.table != "grounds" else Kind("")


def _is_bar(label: str) -> bool:
    kind = kind_of_words(label)
    return kind is not None and kind.table == "busbars"


def _rate(part: FoundPart, found: Named) -> None:
    if part.is_listed or part.row.keys() & {"watts", "amps", "ohms"} or part.id == CHASSIS:
        return
    if found.amps:
        part.row["amps"] = found.amps
    elif found.watts:
        part.row["watts"] = found.watts
