"""The rows of a walk: each point with its place, what leads to it, what to expect and what a wrong reading says."""

from __future__ import annotations

from dataclasses import dataclass

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.harness.harness import CHASSIS, Harness
from model.harness.hazards import may_be_probed
from model.harness.parts import Battery, Load
from model.harness.places import Place, point_place
from model.harness.points import Point, all_points
from model.harness.records import Connector, Wire
from model.harness.supply import assumed_of, wire_length_m, wire_size
from model.tracing.expect import Expect, Expectations
from model.tracing.graph import Link, LinkKind
from model.tracing.says import says
from model.tracing.walk import Control, Side, Stretch, Walk
from model.words import colour_words, size_text

_NAMED_AT_MOST = 4


@dataclass(frozen=True, slots=True)
class WireWords:
    """A wire as it is told beside a row: id, colour code and words, size, length in metres, what is assumed."""

    wire_id: str
    colour: str
    colour_words: str
    size: str
    length_m: float
    assumed: tuple[str, ...]

    def brief(self) -> str:
        """Give the wire as codes for a row: ``GN/BU 1.5``."""
        return f"{self.colour or 'colour?'} {self.size}{'?' if 'size' in self.assumed else ''}"


@dataclass(frozen=True, slots=True)
class WalkRow:
    """One point of a walk.

    Attributes
    ----------
    terminal
        What to touch there, in words: ``plug 6, wire side`` or ``pin 30, cavity 2``.
    half, cavity
        Of a connector's point, or the cavity of a pin of the part's own plug; empty and 0 where not known.
    link, wire
        What leads to the point from the row before; the wire's words where that is a wire.
    remarks
        What else hangs there, what closes the contact before it, what runs beside.
    expect
        By key state.
    says
        By key state, what a reading below the band says and what one above it says.
    refusal
        Why the point is never to be probed; empty where it may be.
    """

    point: str
    part_id: str
    label: str
    terminal: str
    half: str
    cavity: int
    place: Place
    side: Side
    of: str
    link: Link | None
    wire: WireWords | None
    remarks: tuple[str, ...]
    expect: dict[str, Expect]
    says: dict[str, tuple[str, str]]
    refusal: str


@dataclass(frozen=True, slots=True)
class WalkSection:
    """A stretch of a walk with its heading: ``feed``, ``ground``, ``control of K7, feed``."""

    heading: str
    side: Side
    of: str
    rows: tuple[WalkRow, ...]
    remark: str


@dataclass(frozen=True)
class ToldWalk:
    """A walk as it is told: its sections, and the expectations that they stand on.

    Attributes
    ----------
    condition
        Settings and faults that the expectations are for; its key state is the one that is told first.
    """

    walk: Walk
    condition: Condition
    sections: tuple[WalkSection, ...]
    expectations: Expectations

    def section(self, of: str, side: Side) -> WalkSection | None:
        """Give the section of one side of the load or of a control."""
        return next((one for one in self.sections if one.of == of and one.side is side), None)


def tell_walk(bench: Bench, walk: Walk, condition: Condition | None = None) -> ToldWalk:
    """Give the sections of a walk with what to expect at each point.

    Parameters
    ----------
    condition
        Settings and faults as they are; those in which the load should work where none are given.

    Raises
    ------
    CircuitError
        Where the circuit cannot be as the condition says.
    """
    asked = condition or walk.working.condition
    expectations = Expectations(bench, asked, walk.element.part_id, walk.black)
    teller = _Teller(bench.harness, walk, expectations)
    sections = [teller.section("feed", walk.feed, Side.FEED), teller.section("ground", walk.ground, Side.GROUND)]
    for control in walk.controls:
        name = _control_name(control)
        sections.append(teller.section(f"{name}, feed", control.feed, Side.FEED, control))
        sections.append(teller.section(f"{name}, ground", control.ground, Side.GROUND, control))
    return ToldWalk(walk, asked, tuple(sections), expectations)


def _control_name(control: Control) -> str:
    return f"control of {control.of.replace(':', ' ')}"


class _Teller:
    def __init__(self, harness: Harness, walk: Walk, expectations: Expectations) -> None:
        self.harness = harness
        self.walk = walk
        self.expectations = expectations
        self.points = all_points(harness)

    def section(self, heading: str, stretch: Stretch | None, side: Side, control: Control | None = None) -> WalkSection:
        """Tell one stretch; of one that does not exist, that no metal leads there."""
        of = control.of if control is not None else self.walk.element.name
        if stretch is None:
            far = "a supply" if side is Side.FEED else "the grounded post"
            return WalkSection(heading, side, of, (), f"No metal leads from {of.replace(':', ' ')} to {far}.")
        rows = tuple(self._row(stretch, place, control) for place in range(len(stretch.steps)))
        return WalkSection(heading, side, of, rows, self._section_remark(stretch, control))

    def _section_remark(self, stretch: Stretch, control: Control | None) -> str:
        said: list[str] = []
        if control is not None and not control.needs_on:
            said.append(f"{control.of} must be at rest for this load.")
        if stretch.joins_at:
            word = "Fed from" if stretch.side is Side.FEED else "Joins"
            said.append(f"{word} {stretch.joins_at}, told above.")
        if not stretch.switched:
            said.append("Not closed here: shown through open contacts.")
        return " ".join(said)

    def _row(self, stretch: Stretch, place: int, control: Control | None) -> WalkRow:
        step = stretch.steps[place]
        point = self.points[step.point]
        part = self.harness.parts.get(point.part_id)
        expect = self.expectations.at(step.point)
        refusal = may_be_probed(self.harness, step.point)
        is_control = control is not None
        return WalkRow(
            step.point,
            point.part_id,
            part.label if part is not None else "body",
            terminal_words(self.harness, point),
            point.half,
            point.cavity or (part.pins.get(point.terminal, 0) if part is not None else 0),
            point_place(self.harness, step.point),
            stretch.side,
            stretch.of,
            step.link,
            wire_words(self.harness, step.link),
            tuple(self._remarks(stretch, place)),
            expect,
            {key: says(self.harness, stretch, place, one, is_control=is_control) for key, one in expect.items()},
            refusal.reason if refusal is not None else "",
        )

    def _remarks(self, stretch: Stretch, place: int) -> list[str]:
        step = stretch.steps[place]
        said = [_contact_remark(step.link)] if step.link is not None else []
        for other in stretch.beside:
            if other.first == place:
                names = ", ".join(dict.fromkeys(link.part_id for link in other.links))
                said.append(f"Another way beside this one down to {stretch.steps[other.last].point}: {names}.")
        also = self.walk.also.get(step.point, ())
        if also:
            names = ", ".join(link.site for link in also[:_NAMED_AT_MOST])
            more = f" and {len(also) - _NAMED_AT_MOST} more" if len(also) > _NAMED_AT_MOST else ""
            said.append(f"Here too: {names}{more}.")
        return [one for one in said if one]


def _contact_remark(link: Link) -> str:
    match link.kind:
        case LinkKind.RELAY:
            return f"Through {link.site}, closed while {link.part_id} is {'pulled in' if link.pulled else 'at rest'}."
        case LinkKind.DRIVER:
            return f"Pulled by {link.part_id}."
        case LinkKind.OUTPUT:
            return f"Made by {link.part_id}."
        case LinkKind.SWITCH:
            return f"Through {link.site}."
        case LinkKind.EXCITER:
            return f"Through the exciter of {link.part_id}, {'running' if link.pulled else 'at rest'}."
        case LinkKind.RESISTOR:
            return f"Through {link.site}: the volts fall here by design."
        case LinkKind.DIODE:
            return f"Through {link.site}: about 0.7 V fall here by design."
    return ""


def wire_words(harness: Harness, link: Link | None) -> WireWords | None:
    """Give the words of the wire that a link is; None where it is no wire."""
    if link is None or link.kind is not LinkKind.WIRE:
        return None
    wire = harness.part_of(link.part_id, Wire)
    size = wire_size(harness, wire)
    return WireWords(
        wire.id,
        wire.colour,
        colour_words(wire.colour) if wire.colour else "colour not given",
        size if isinstance(size, str) else size_text(size),
        wire_length_m(harness, wire),
        assumed_of(harness, wire),
    )


def terminal_words(harness: Harness, point: Point) -> str:
    """Say what to touch at a point."""
    part = harness.parts.get(point.part_id)
    if point.name == CHASSIS or part is None:
        return "bare metal"
    match part:
        case Connector():
            return f"cavity {point.cavity}, {point.half} half, wire side"
        case Battery():
            return f"post {point.terminal}"
        case Wire():
            return f"free end {point.terminal}"
    if not point.terminal:
        return ""
    cavity = part.pins.get(point.terminal)
    word = "terminal" if isinstance(part, Load) else "pin"
    return f"{word} {point.terminal}{f', cavity {cavity}' if cavity else ''}"
