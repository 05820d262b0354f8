"""The rows of a walk: each point with its place, what leads to it, what to expect and what a wrong reading says."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.survey import LoadReading, LoadState
from model.harness.harness import Harness, element_label
from model.harness.hazards import may_be_probed
from model.harness.places import Place, point_place
from model.harness.points import all_points
from model.harness.records import Wire
from model.harness.superseded import in_place_of
from model.harness.supply import assumed_of, wire_length_m, wire_size
from model.harness.wire_words import zero_post_words
from model.tracing.expect import Expect, Expectations
from model.tracing.graph import Link, LinkKind, closed_test
from model.tracing.row_words import contact_remark, terminal_words
from model.tracing.says import Spot, across_says, says
from model.tracing.walk import Control, Side, Stretch, Walk
from model.words import colour_words, size_text

_NAMED_AT_MOST = 4
_BODY_LABEL = "body"


@dataclass(frozen=True, slots=True)
class WireWords:
    """A wire as it is told beside a row: id, colour code and words, size, length in metres, what is assumed.

    Attributes
    ----------
    in_place_of
        Wires whose work it does since they failed.
    """

    wire_id: str
    colour: str
    colour_words: str
    size: str
    length_m: float
    assumed: tuple[str, ...]
    in_place_of: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class WalkRow:
    """One point of a walk.

    Attributes
    ----------
    terminal
        What to touch there, in words: ``cavity 6, cab half, wire side`` or ``pin 30, cavity 2``.
    half, cavity
        Of a connector's point, or the cavity of a pin of the part's own plug; empty and 0 where not known.
    link, wire
        What leads to the point from the row before; the wire's words where that is a wire.
    contact
        What closes the contact before it, or what makes volts fall there by design; empty at plain metal.
    notes
        What else hangs there, and what runs beside.
    expect
        By key state.
    closed
        By key state, whether what leads to the point is closed; True at the first.
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
    contact: str
    notes: tuple[str, ...]
    expect: dict[str, Expect]
    closed: dict[str, bool]
    says: dict[str, tuple[str, str]]
    refusal: str

    @property
    def remarks(self) -> tuple[str, ...]:
        """All that is to be told beside the row, the contact first."""
        return (self.contact, *self.notes) if self.contact else self.notes


@dataclass(frozen=True, slots=True)
class WalkSection:
    """A stretch of a walk with its heading: ``feed``, ``ground``, ``control of K7, feed``."""

    heading: str
    side: Side
    of: str
    rows: tuple[WalkRow, ...]
    remark: str


@dataclass(frozen=True, slots=True)
class LoadTold:
    """The load itself between feed and ground: what to expect across it, which is the first thing to measure.

    Attributes
    ----------
    label
        Its label, with the circuit's name where it has several.
    red, black
        Its points, the more positive one first.
    across
        By key state, what to expect from red to black.
    reading
        By key state, what it takes and does.
    says
        By key state, what a reading below the band says and what one above it says.
    refusal
        Why it is never to be measured or unplugged; empty where it may be.
    """

    label: str
    red: str
    black: str
    across: dict[str, Expect]
    reading: dict[str, LoadReading]
    says: dict[str, tuple[str, str]]
    refusal: str


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
    load: LoadTold
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
    refusal = _load_refusal(bench.harness, walk)
    expectations = Expectations(bench, asked, None if refusal else walk.element.part_id, walk.black)
    teller = _Teller(bench.harness, walk, expectations)
    sections = [*teller.sections(None), *(one for control in walk.controls for one in teller.sections(control))]
    return ToldWalk(walk, asked, teller.load(refusal), tuple(sections), expectations)


def _load_refusal(harness: Harness, walk: Walk) -> str:
    refusals = (may_be_probed(harness, point) for point in (walk.element.from_point, walk.element.to_point))
    return next((refusal.reason for refusal in refusals if refusal is not None), "")


class _Teller:
    def __init__(self, harness: Harness, walk: Walk, expectations: Expectations) -> None:
        self.harness = harness
        self.walk = walk
        self.expectations = expectations
        self.keys = expectations.keys
        self._is_positive_ground = harness.build.ground_side == "positive"
        self._points = all_points(harness)
        self._is_closed = {key: closed_test(harness, expectations.settled(key)) for key in self.keys}
        self._joined: dict[tuple[Side, str], dict[str, bool]] = {}

    def load(self, refusal: str) -> LoadTold:
        """Tell the load itself."""
        element = self.walk.element
        ends = (element.from_point, element.to_point)
        hot = ends[0] if self.walk.feed is None else self.walk.feed.steps[-1].point
        red, black = (ends[0], ends[1]) if (hot == ends[0]) is not self._is_positive_ground else (ends[1], ends[0])
        across = self.expectations.across(red, black)
        reading = {key: self.expectations.load(key, element.name) for key in self.keys}
        said = {key: across_says(across[key], is_asked=_is_asked(reading[key])) for key in self.keys}
        return LoadTold(element_label(self.harness, element), red, black, across, reading, said, refusal)

    def sections(self, control: Control | None) -> list[WalkSection]:
        """Tell the feed and the ground side of a control; of the load itself where none is given."""
        feed, ground = (self.walk.feed, self.walk.ground) if control is None else (control.feed, control.ground)
        for stretch in (feed, ground):
            if stretch is not None:
                self._follow(stretch)
        return [self._section(Side.FEED, feed, control), self._section(Side.GROUND, ground, control)]

    def _follow(self, stretch: Stretch) -> None:
        """Note at which points of a stretch everything is closed as far as the post, in each key state."""
        side = stretch.side
        outward = stretch.steps if side is Side.FEED else stretch.steps[::-1]
        joined = self._joined.get((side, stretch.joins_at)) or dict.fromkeys(self.keys, True)
        self._joined.setdefault((side, outward[0].point), joined)
        for here, there in pairwise(outward):
            link = there.link if side is Side.FEED else here.link
            joined = {key: one and (link is None or self._is_closed[key](link)) for key, one in joined.items()}
            self._joined.setdefault((side, there.point), joined)

    def _section(self, side: Side, stretch: Stretch | None, control: Control | None) -> WalkSection:
        of = self.walk.element.name if control is None else control.of
        heading = str(side) if control is None else f"control of {of.replace(':', ' ')}, {side}"
        if stretch is None:
            far = "a supply" if side is Side.FEED else zero_post_words(self.harness)
            return WalkSection(heading, side, of, (), f"No metal leads from {of.replace(':', ' ')} to {far}.")
        rows = tuple(self._row(stretch, place) for place in range(len(stretch.steps)))
        return WalkSection(heading, side, of, rows, _section_remark(stretch, control))

    def _row(self, stretch: Stretch, place: int) -> WalkRow:
        step = stretch.steps[place]
        point, link = self._points[step.point], step.link
        part = self.harness.parts.get(point.part_id)
        refusal = may_be_probed(self.harness, step.point)
        expect = self.expectations.at(step.point)
        joined = self._joined[stretch.side, step.point]
        return WalkRow(
            point=step.point,
            part_id=point.part_id,
            label=part.label if part is not None else _BODY_LABEL,
            terminal=terminal_words(self.harness, point),
            half=point.half,
            cavity=point.cavity or (part.pins.get(point.terminal, 0) if part is not None else 0),
            place=point_place(self.harness, step.point),
            side=stretch.side,
            of=stretch.of,
            link=link,
            wire=wire_words(self.harness, link),
            contact=contact_remark(link) if link is not None else "",
            notes=tuple(self._notes(stretch, place)),
            expect=expect,
            closed={key: link is None or self._is_closed[key](link) for key in self.keys},
            says={key: says(self._spot(stretch, place, joined[key]), expect[key]) for key in self.keys},
            refusal=refusal.reason if refusal is not None else "",
        )

    def _spot(self, stretch: Stretch, place: int, is_joined: bool) -> Spot:
        of = "load"
        if stretch.of != self.walk.element.name:
            of = "control unit" if ":" in stretch.of else "coil"
        return Spot(stretch, place, is_joined, of, self._is_positive_ground)

    def _notes(self, stretch: Stretch, place: int) -> list[str]:
        step = stretch.steps[place]
        said = []
        for other in stretch.beside:
            if other.first == place:
                names = ", ".join(dict.fromkeys(link.part_id for link in other.links))
                said.append(f"Another way beside this one to {stretch.steps[other.last].point}: {names}.")
        also = self.walk.also.get(step.point, ())
        if also:
            names = ", ".join(link.site for link in also[:_NAMED_AT_MOST])
            more = f" and {len(also) - _NAMED_AT_MOST} more" if len(also) > _NAMED_AT_MOST else ""
            said.append(f"Here too: {names}{more}.")
        return said


def _is_asked(reading: LoadReading) -> bool:
    return reading.state not in (LoadState.OFF, LoadState.UNASKED, LoadState.GLOWS)


def _section_remark(stretch: Stretch, control: Control | None) -> str:
    said: list[str] = []
    if control is not None and not control.needs_on:
        said.append(f"{control.of} must be at rest for this load.")
    if stretch.joins_at:
        said.append(f"{'Fed from' if stretch.side is Side.FEED else 'Joins'} {stretch.joins_at}, told above.")
    if not stretch.switched:
        said.append("Not closed where the load works: shown through open contacts.")
    return " ".join(said)


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
        tuple(old.id for old in in_place_of(harness).get(wire.id, ())),
    )
