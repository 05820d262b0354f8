"""A new circuit while it is made: its rows so far, what is proposed with its reasons, and what is to be said."""

from __future__ import annotations

import re
from collections.abc import Mapping

from model.errors import ArgumentError
from model.harness.applied_changes import AddRow
from model.harness.harness import Harness
from model.harness.records import Wire
from model.harness.supply import ASSUMED_LENGTH_M, wire_length_m
from model.harness.toml_edit import Value
from model.harness.wire_list_colours import colour_of
from model.review.pattern_asked import Asked, read_number
from model.review.pattern_colours import Colour, Colours
from model.review.pattern_feeds import Feeds
from model.review.pattern_proposal import LETTERS, Proposal, Reason, Tuning, read_size, value_plain, value_shown
from model.words import clean, nearest

_ID = re.compile(r"[A-Za-z][A-Za-z0-9_-]{0,59}")


class Draft:
    """A circuit while it is made.

    Attributes
    ----------
    size_drop_volts
        What falls along its power wires by their size; 0 before they are sized.
    allowed_drop_volts
        That may be lost out and back.
    grounds_made
        New ground points by their place.
    assumed_runs
        Keys of the lengths that nobody gave.
    """

    def __init__(self, harness: Harness, feeds: Feeds, asked: Asked, tuning: Tuning) -> None:
        self.harness = harness
        self.feeds = feeds
        self.asked = asked
        self.tuning = tuning
        self.rows: list[AddRow] = []
        self.proposals: list[Proposal] = []
        self.remarks: list[str] = []
        self.colours = Colours(harness, feeds)
        self.used_answers: set[str] = set()
        self.size_drop_volts = 0.0
        self.allowed_drop_volts = asked.drop_percent / 100.0 * harness.build.nominal_volts
        self.grounds_made: dict[str, str] = {}
        self.assumed_runs: dict[str, None] = {}
        self._taken = {part_id.casefold() for part_id in harness.parts}
        self._places = set(harness.locations_by_name)

    @property
    def hot(self) -> str:
        """The sign of a load's fed terminal."""
        return "-" if self.harness.build.ground_side == "positive" else "+"

    @property
    def cold(self) -> str:
        """The sign of a load's grounded terminal."""
        return "+" if self.harness.build.ground_side == "positive" else "-"

    def load_colour(self) -> Colour:
        """Give the colour of a wire that leads to the load, behind what switches it."""
        return self.colours.of_load(self.asked.kind, self.asked.text("role"), self.asked.keys)

    def remark(self, words: str) -> None:
        """Say something that somebody should look at, once."""
        if words not in self.remarks:
            self.remarks.append(words)

    def every_remark(self) -> tuple[str, ...]:
        """Give what is to be said, the lengths that are assumed last."""
        if not self.assumed_runs:
            return tuple(self.remarks)
        said = f"{ASSUMED_LENGTH_M:g} m is assumed for each length that was not given: {', '.join(self.assumed_runs)}."
        return (*self.remarks, f"{said} Measure them and give them; the wires are sized anew.")

    def number(self, key: str, what: str, value: float, reason: Reason) -> float:
        """Propose a number; give what is to be taken.

        Raises
        ------
        ArgumentError
            Where the one that was given in its place is none.
        """
        typed = self._given(key)
        return float(self._put(key, what, value, read_number(key, typed) if typed else value, reason))  # type: ignore[arg-type]

    def told(self, key: str, what: str, value: Value, reason: Reason, *, is_given: bool) -> None:
        """Tell a value that was taken, with its reason where nobody gave it."""
        self.used_answers.add(key)
        why = "as given" if is_given else reason.why
        self.proposals.append(Proposal(key, what, value, why, *reason.basis, is_given=is_given))

    def size(self, key: str, what: str, value: float | str, reason: Reason) -> float | str:
        """Propose a size of wire; give what is to be taken.

        Raises
        ------
        ArgumentError
            Where the one that was given in its place is none.
        """
        typed = self._given(key)
        taken = read_size(key, typed) if typed else value
        self._put(key, what, value, taken, reason)
        return taken

    def colour(self, key: str, what: str, found: Colour) -> str:
        """Propose a colour; give what is to be taken.

        Raises
        ------
        ArgumentError
            Where the one that was given in its place is none.
        """
        typed = self._given(key)
        taken = found.code
        if typed:
            try:
                taken = colour_of(typed)
            except ValueError as error:
                raise ArgumentError(f"“{clean(typed, 60)}” is no colour for {key}.", do="Write it as GN/WH.") from error
            if taken in self.colours.used and taken != found.code and not key.startswith("ground"):
                self.remark(f"{key}: other wires are {taken} already.")
            self.colours.used.add(taken)
        self._put(key, what, found.code, taken, Reason(found.why, (found.source, found.source_kind)))
        return taken

    def name(self, key: str, what: str, value: str, reason: Reason) -> str:
        """Propose something by its name, such as a place or a feed; give what is to be taken."""
        taken = self._given(key) or value
        self._put(key, what, value, taken, reason)
        return taken

    def new_id(self, key: str, what: str, letter: str) -> str:
        """Propose the next free id behind a letter; give what is to be taken.

        Raises
        ------
        ArgumentError
            Where the one that was given in its place is taken already, or no id.
        """
        number = max((int(found) for found in self._numbers(letter)), default=0) + 1
        value = f"{letter}{number}"
        taken = self._given(key) or value
        if not _ID.fullmatch(taken):
            raise ArgumentError(f"“{clean(taken, 60)}” is no id.", do="An id begins with a letter: S12.")
        if taken.casefold() in self._taken:
            raise ArgumentError(f"There is a part {clean(taken, 60)} already.", do="Choose another id.")
        self._taken.add(taken.casefold())
        self._put(key, what, value, taken, Reason(f"the next free number behind {letter}", LETTERS))
        return taken

    def place(self, key: str, default: str = "") -> str:
        """Give a place that somebody names, new ones with a row of their own; empty where nobody does."""
        typed = self._given(key)
        name = typed or default
        if name and name not in self._places:
            near = nearest(name, self._places) if typed else None
            self.remark(f"“{name}” is a new place of the file{f'; it has {near} already' if near else ''}.")
            self._places.add(name)
            self.rows.append(AddRow("locations", {"name": name}))
        return name

    def add(self, table: str, row: Mapping[str, Value | None]) -> None:
        """Add a row, without the keys that have nothing."""
        kept = {
            key: value_plain(value) for key, value in row.items() if value is not None and value not in ("", (), {})
        }
        self.rows.append(AddRow(table, kept))

    def run_m(self, run: str) -> float:
        """Give the length of a run in metres: as given, by its trunks, else as assumed."""
        self.used_answers |= {f"{run}_length", f"{run}_via"}
        length_m, via = self.asked.length_m(run), self.asked.trunks(run)
        if length_m is None and not via:
            self.assumed_runs.setdefault(f"{run}_length")
        return wire_length_m(self.harness, Wire(id="W", length=length_m, via=via))

    def wire(self, run: str, ends: tuple[str, str], size: float | str, colour: Colour, *, nth: int = 0) -> None:
        """Add a wire of a run.

        Parameters
        ----------
        nth
            Counts the wires of a run that has several, from 1.
        """
        key = f"{run}{nth or ''}"
        wire_id = self.new_id(f"{key}_wire_id", f"wire {ends[0]} to {ends[1]}", "W")
        code = self.colour(f"{key}_colour", f"colour of {wire_id}", colour)
        self.run_m(run)
        row = {"id": wire_id, "from": ends[0], "to": ends[1], "colour": code, "size": size}
        self.add("wires", {**row, "length": self.asked.length_m(run), "via": list(self.asked.trunks(run)) or None})

    def _numbers(self, letter: str) -> list[str]:
        pattern = re.compile(rf"{re.escape(letter.casefold())}([0-9]{{1,6}})")
        return [found[1] for part_id in self._taken if (found := pattern.fullmatch(part_id)) and found[1].isascii()]

    def _given(self, key: str) -> str:
        self.used_answers.add(key)
        return self.asked.text(key)

    def _put(self, key: str, what: str, proposed: Value, taken: Value, reason: Reason) -> Value:
        is_given = taken != proposed
        why = f"as given; {value_shown(proposed)} was proposed: {reason.why}" if is_given else reason.why
        self.proposals.append(Proposal(key, what, taken, why, *reason.basis, is_given=is_given))
        return taken
