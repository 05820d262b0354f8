"""The check that proves a repair: one whose reading the fault spoils and the sound circuit does not."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from model.circuit.bands import NARROWEST_DROP_VOLTS, Bands
from model.circuit.bench import Bench
from model.circuit.bodies import body_beside
from model.circuit.condition import APART, OFF, OUT, Condition
from model.circuit.faults import Fault, FaultKind
from model.circuit.meter import read_ohms
from model.circuit.settle import Settled
from model.circuit.survey import Survey
from model.errors import ArgumentError, CircuitError
from model.harness.harness import Element, Harness, all_elements
from model.harness.metal import wire_points, wires_at
from model.harness.parts import Battery, Charger, Diode, Fuse, Load, Module, Relay, ResistorPack, Switch
from model.harness.places import WIRE_ENDS
from model.harness.points import all_points, relay_groups, resolve_point
from model.harness.records import Connector, GroundPoint, Joint, Wire
from model.harness.supply import grounded_posts
from model.tracing.checks import Check, CheckKind
from model.tracing.complaint import Complaint, Symptom
from model.tracing.fault_words import is_of_the_list, singles_of
from model.tracing.fuse_words import fuses_of_wire
from model.tracing.names import site_part, site_points
from model.tracing.never_offered import never_offered
from model.tracing.suspects import Suspect

_LIVE_VOLTS = 1.0
_AMPS_SHARE = 0.25
_LEAST_AMPS = 0.05
_OPEN_OHMS = 1e5
_SOLVED_KINDS = frozenset(
    {CheckKind.VOLTS, CheckKind.DROP, CheckKind.AMPS, CheckKind.OHMS, CheckKind.LISTEN, CheckKind.OBSERVE}
)


def proof_of(bench: Bench, suspect: Suspect, complaint: Complaint, condition: Condition) -> Check:
    """Choose the check whose reading proves that a suspect has been mended.

    Of the checks across or behind the repaired part, under load in the complaint's condition, the first one whose
    reading the fault spoils; where none is spoiled, or the fault cannot be solved, the load is looked at.

    Parameters
    ----------
    condition
        The one in which the complaint is seen; faults in it are left out.
    """
    sound = condition.healthy()
    singles = singles_of(suspect)
    faults = tuple(fault for fault in map(fault_of, singles) if fault is not None)
    found = _Proof(bench, sound, faults)
    for single in singles:
        for check in _candidates(bench.harness, single, complaint, found):
            if found.tells(check):
                return check
    return _last_resort(bench, complaint, sound, singles[0])


def fault_of(suspect: Suspect) -> Fault | None:
    """Give the fault that a suspect is solved as; None where it is none of the list."""
    if not is_of_the_list(suspect):
        return None
    try:
        return Fault(suspect.part, FaultKind(suspect.fault), suspect.partner)
    except ValueError:
        return None


def may_be_changed_by(bench: Bench, check: Check, mended: Iterable[Suspect]) -> bool:
    """Tell whether work on some suspects may change what a check reads: it is made on their parts, or tells the fault.

    Where that cannot be computed it may.
    """
    harness = bench.harness
    for suspect in mended:
        for single in singles_of(suspect):
            part_id, fault = site_part(harness, single.part), fault_of(single)
            points = site_points(harness, single.part) if part_id in harness.parts else ()
            named = {check.part, check.other, check.load.partition(":")[0], *check.condition.by_name}
            if part_id in named or not set(points).isdisjoint(check.points):
                return True
            if check.kind is CheckKind.LOOK:
                continue
            if fault is None or check.kind not in _SOLVED_KINDS:
                return True
            found = _Proof(bench, check.condition.healthy(), (fault,))
            if found.survey(faulty=True) is None or found.tells(check):
                return True
    return False


class _Proof:
    """The sound circuit beside the faulty one, and whether a check tells them apart."""

    def __init__(self, bench: Bench, sound: Condition, faults: tuple[Fault, ...]) -> None:
        self.bench = bench
        self.harness = bench.harness
        self.sound = sound
        self.faults = faults
        self.black = grounded_posts(self.harness)[0]
        self._surveys: dict[bool, Survey | None] = {}

    def survey(self, *, faulty: bool) -> Survey | None:
        """Give the survey of the sound or the faulty circuit; None where it cannot be solved."""
        if faulty and not self.faults:
            return None
        if faulty not in self._surveys:
            faults = self.faults if faulty else ()
            asked = Condition(self.sound.key, self.sound.settings, faults, self.sound.posts_volts)
            try:
                self._surveys[faulty] = self.bench.survey(asked)
            except (ArgumentError, CircuitError):
                self._surveys[faulty] = None
        return self._surveys[faulty]

    def volts(self, point: str) -> float:
        """Give how far from the grounded post a point of the sound circuit is, in volts; 0 where nothing holds it."""
        survey = self.survey(faulty=False)
        if survey is None or point not in survey.settled.net.index:
            return 0.0
        volts, black = survey.settled.volts_at(point), survey.settled.volts_at(self.black)
        return 0.0 if volts is None or black is None else abs(volts - black)

    def tells(self, check: Check) -> bool:
        """Tell whether a check may be made and its reading differs between the sound and the faulty circuit."""
        if not self._may_be_made(check):
            return False
        if check.kind is CheckKind.OHMS:
            return self._ohms_tell(check)
        sound, faulty = self.survey(faulty=False), self.survey(faulty=True)
        if sound is None or faulty is None:
            return False
        match check.kind:
            case CheckKind.VOLTS | CheckKind.DROP:
                return _volts_tell(sound.settled, faulty.settled, check)
            case CheckKind.AMPS:
                one, other = sound.fuse_amps[check.part], faulty.fuse_amps[check.part]
                return one >= _LEAST_AMPS and abs(one - other) > _AMPS_SHARE * one
            case CheckKind.NEW_FUSE:
                return check.part in faulty.settled.blown and check.part not in sound.settled.blown
            case CheckKind.LISTEN:
                one_pulled = sound.settled.relays.get(check.part)
                return one_pulled != faulty.settled.relays.get(check.part)
            case CheckKind.OBSERVE:
                return sound.loads[check.load].state != faulty.loads[check.load].state
        return False

    def shows_current(self, check: Check) -> bool:
        """Tell whether a good drop is never nought: then it shows that current flows, and a joint of milliohms."""
        survey = self.survey(faulty=False)
        if survey is None:
            return False
        index = survey.settled.net.index
        return Bands(survey.settled).at(index[check.red], index[check.black], across_joint=True).low > 0.0

    def _may_be_made(self, check: Check) -> bool:
        return never_offered(self.bench, check) is None

    def _ohms_tell(self, check: Check) -> bool:
        if not self.faults:
            return False
        faulty = Condition(check.condition.key, check.condition.settings, self.faults)
        try:
            readings = [read_ohms(self.harness, one, check.red, check.black) for one in (check.condition, faulty)]
        except (ArgumentError, CircuitError):
            return False
        sound, spoiled = (math.inf if one is None else one for one in readings)
        return (sound > _OPEN_OHMS) != (spoiled > _OPEN_OHMS)


def _volts_tell(sound: Settled, faulty: Settled, check: Check) -> bool:
    volts = []
    for settled in (sound, faulty):
        red, black = (settled.volts_at(point) for point in check.points)
        volts.append(math.nan if red is None or black is None else red - black)
    if math.isnan(volts[0]):
        return False
    if math.isnan(volts[1]):
        return abs(volts[0]) > _LIVE_VOLTS
    index = sound.net.index
    is_drop = check.kind is CheckKind.DROP
    band = Bands(sound).at(index[check.red], index[check.black], across_joint=is_drop)
    least = NARROWEST_DROP_VOLTS if is_drop else 0.0
    return not band.low - least <= volts[1] <= band.high + least


def _candidates(harness: Harness, suspect: Suspect, complaint: Complaint, found: _Proof) -> Iterator[Check]:
    """List checks that may prove a repair: those at the part itself, then those at the load."""
    yield from _own_checks(harness, suspect, found)
    yield from _fuse_checks(harness, suspect, found)
    sound = found.sound
    for element in _elements(harness, complaint, suspect):
        yield Check(CheckKind.VOLTS, sound, *_probes(element, found))
        yield Check(CheckKind.OBSERVE, sound, load=element.name)
    for point in site_points(harness, suspect.part):
        yield Check(CheckKind.VOLTS, sound, point, found.black)
    yield from _insulation_checks(harness, suspect, found)
    for relay in harness.relays:
        yield Check(CheckKind.LISTEN, sound, part=relay.id)
    for element in all_elements(harness):
        yield Check(CheckKind.OBSERVE, sound, load=element.name)


def _own_checks(harness: Harness, suspect: Suspect, found: _Proof) -> Iterator[Check]:
    """List the checks across or just behind the part itself."""
    part_id = site_part(harness, suspect.part)
    part, sound = harness.parts.get(part_id), found.sound
    ends = site_points(harness, suspect.part)
    match part:
        case Wire():
            if suspect.fault in (FaultKind.OPEN, FaultKind.HIGH):
                yield from _along_wire(ends, found)
            yield from _wire_checks(ends, found)
        case Fuse() if suspect.fault in ("blown", "missing", "too small"):
            yield Check(CheckKind.AMPS, sound, part=part_id)
            yield Check(CheckKind.NEW_FUSE, sound, part=part_id)
        case GroundPoint():
            yield Check(CheckKind.DROP, sound, part_id, found.black)
        case Joint():
            yield Check(CheckKind.DROP, sound, *_hot_first((part.from_point, part.to_point), found))
        case Battery() | Charger() if "." in suspect.part:
            for wire in wires_at(harness).get(suspect.part, ()):
                yield Check(CheckKind.DROP, sound, *_hot_first(wire_points(harness, wire), found))
        case Battery() | Charger():
            yield Check(CheckKind.VOLTS, sound, f"{part_id}.+", f"{part_id}.-")
        case Relay() if suspect.part.endswith(":coil"):
            yield from _drops(part_id, _pulled_pairs(part), found)
            yield Check(CheckKind.LISTEN, sound, part=part_id)
        case Connector() if suspect.fault != "swapped":
            yield Check(CheckKind.DROP, sound, *_hot_first(ends, found))
        case Fuse() | Relay() | Switch() if "." not in suspect.part and len(ends) > 1:
            yield Check(CheckKind.DROP, sound, *_hot_first(ends, found))
    if "." in suspect.part and not isinstance(part, Battery | Connector | Wire):
        yield from _seat_checks(harness, suspect.part, found)


def _seat_checks(harness: Harness, point: str, found: _Proof) -> Iterator[Check]:
    """List the checks behind a terminal in a part's plug: at the part's other terminals, and along its wires."""
    owner = point.partition(".")[0]
    others = [name for name, one in all_points(harness).items() if one.part_id == owner and name != point]
    for other in others:
        yield Check(CheckKind.VOLTS, found.sound, other, found.black)


def _wire_checks(ends: tuple[str, ...], found: _Proof) -> Iterator[Check]:
    """List the checks of a wire: the volts at its far end, then the drop along it."""
    near, far = _hot_first(ends, found)
    if found.volts(near) < _LIVE_VOLTS:
        near, far = far, near
    yield Check(CheckKind.VOLTS, found.sound, far, found.black)
    yield Check(CheckKind.DROP, found.sound, *_hot_first(ends, found))
    yield Check(CheckKind.VOLTS, found.sound, near, found.black)


def _along_wire(ends: tuple[str, ...], found: _Proof) -> Iterator[Check]:
    """Give the drop along a wire where its current shows in it: half an ohm left in a crimp shows there alone."""
    along = Check(CheckKind.DROP, found.sound, *_hot_first(ends, found))
    if found.shows_current(along):
        yield along


def _hot_first(ends: Iterable[str], found: _Proof) -> tuple[str, str]:
    one, other = tuple(ends)[:2]
    return (other, one) if found.volts(other) > found.volts(one) else (one, other)


def _pulled_pairs(relay: Relay) -> list[tuple[str, str]]:
    return [(group[0], other) for group in relay_groups(relay)[1] for other in group[1:]]


def _drops(part_id: str, pairs: Iterable[tuple[str, str]], found: _Proof) -> Iterator[Check]:
    for one, other in pairs:
        yield Check(CheckKind.DROP, found.sound, *_hot_first((f"{part_id}.{one}", f"{part_id}.{other}"), found))


def _fuse_checks(harness: Harness, suspect: Suspect, found: _Proof) -> Iterator[Check]:
    """List the fuses that the fault blows: a new one has to hold; and those whose current it changes."""
    if suspect.fault in ("to body", "touches", "short", "elsewhere", "swapped", "reversed", "stuck"):
        for fuse in harness.fuses:
            yield Check(CheckKind.NEW_FUSE, found.sound, part=fuse.id)
    points = dict.fromkeys(resolve_point(harness, point) for point in site_points(harness, suspect.part))
    wires = dict.fromkeys(wire.id for point in points for wire in wires_at(harness).get(point, ()))
    for wire_id in wires:
        for fuse in fuses_of_wire(harness, harness.part_of(wire_id, Wire)):
            yield Check(CheckKind.AMPS, found.sound, part=fuse.id)


def _insulation_checks(harness: Harness, suspect: Suspect, found: _Proof) -> Iterator[Check]:
    """List the checks on ohms from a wire whose ends are unplugged: to the body, and to what it touches."""
    wire = harness.parts.get(suspect.part)
    if not isinstance(wire, Wire) or suspect.fault not in ("to body", "touches"):
        return
    condition, reds = found.sound, []
    for end, point in zip(WIRE_ENDS, wire_points(harness, wire), strict=True):
        name, value = _freed(harness, point, f"{wire.id}.{end}")
        if name:
            condition = condition.with_setting(name, value)
        if value != OFF:
            reds.append(point)
    other = harness.parts.get(suspect.partner)
    black = wire_points(harness, other)[0] if isinstance(other, Wire) else suspect.partner
    if suspect.fault == "to body":
        black = body_beside(harness, wire) or ""
    for red in reds:
        yield Check(CheckKind.OHMS, condition, red, black or found.black)


def _freed(harness: Harness, point: str, end: str) -> tuple[str, str]:
    """Name what frees an end of a wire: its plug apart, its part unplugged, else the end off; nothing of a free end."""
    part = harness.parts.get(point.partition(".")[0])
    match part:
        case Connector():
            return part.id, APART
        case Load() | Relay() | Switch() | Fuse() | Module() | Diode() | ResistorPack():
            return part.id, OUT
        case Wire():
            return "", ""
    return end, OFF


def _elements(harness: Harness, complaint: Complaint, suspect: Suspect) -> list[Element]:
    """List the elements complained of, then those of the suspect itself."""
    wanted = [*complaint.loads, suspect.part]
    if complaint.other_load:
        wanted.append(complaint.other_load)
    named = {element.name: element for element in all_elements(harness)}
    return [named[name] for name in dict.fromkeys(wanted) if name in named]


def _probes(element: Element, found: _Proof) -> tuple[str, str]:
    return _hot_first((element.from_point, element.to_point), found)


def _last_resort(bench: Bench, complaint: Complaint, sound: Condition, suspect: Suspect) -> Check:
    """Give the check that is always there: the load complained of is looked at, or the posts are measured."""
    harness = bench.harness
    if complaint.symptom is Symptom.BLOWS_FUSE:
        new_fuse = Check(CheckKind.NEW_FUSE, sound, part=complaint.fuse)
        if never_offered(bench, new_fuse) is None:
            return new_fuse
    elements = _elements(harness, complaint, suspect)
    if elements:
        return Check(CheckKind.OBSERVE, sound, load=elements[0].name)
    sources = (*harness.batteries, *harness.chargers)
    source = next((one.id for one in sources if one.id in complaint.loads), harness.batteries[0].id)
    return Check(CheckKind.VOLTS, sound, f"{source}.+", f"{source}.-")
