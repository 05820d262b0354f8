"""A simulated vehicle of which ngspice tells all that is read, seen or heard, in place of the model's solver."""

import math
from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property

from model.circuit.condition import Condition
from model.circuit.faults import HIGH_OHMS, Fault, FaultKind
from model.circuit.meter import LampLight, lamp_light
from model.circuit.survey import LoadState, load_state
from model.harness.harness import Element, Harness, all_elements
from model.tracing.checks import Check, CheckKind, Word
from model.tracing.vehicle import SLIP_SHARE, Vehicle
from tests.against_ngspice import spice_instruments
from tests.against_ngspice.harness_text import spice_harness
from tests.against_ngspice.ngspice_run import Ngspice
from tests.against_ngspice.spice_branches import Branch
from tests.against_ngspice.spice_instruments import Standing
from tests.against_ngspice.spice_readout import Settled
from tests.against_ngspice.spice_settle import Bench

_LOOKS_ON_SHARE = 0.6
_LIGHTS = {LampLight.LIT: Word.LIT, LampLight.DIM: Word.DIM, LampLight.DARK: Word.DARK}
_STATES = {LoadState.WORKS: Word.WORKS, LoadState.WEAK: Word.WEAK, LoadState.GLOWS: Word.GLOWS}


class NgspiceVehicle(Vehicle):
    """Answers checks as a vehicle with a hidden fault would, every circuit settled by ngspice.

    Parameters
    ----------
    harness, faults, complained, condition, seed, slips
        As for `Vehicle`, whose errors and slips it has; its parts are as far off the file for the same seed. The
        complaint is of loads that are dead or weak.
    ngspice
        Runs; reads the vehicle's own records as the text of a file.
    """

    def __init__(
        self,
        harness: Harness,
        faults: Sequence[Fault],
        complained: Sequence[str],
        condition: Condition,
        *,
        ngspice: Ngspice,
        seed: int = 0,
        slips: float = SLIP_SHARE,
    ) -> None:
        super().__init__(harness, faults, complained, condition, seed=seed, slips=slips, read=self._ngspice_volts)
        self._on_bench = Bench(spice_harness(self.harness), ngspice)
        self.blown = frozenset()
        self.blown = frozenset(self._settled(condition).blown)

    def state_of(self, element: str, condition: Condition | None = None) -> Word:
        """Tell what an element of a load does, in the condition of the complaint where none is given."""
        return self._state_in(element, self._faulty(condition or self.condition))

    def _number(self, check: Check) -> float:
        match check.kind:
            case CheckKind.OHMS:
                standing = standing_of(self._faulty(check.condition))
                ohms = spice_instruments.ohms(self._on_bench, standing, check.red, check.black)
                if math.isinf(ohms):
                    return math.inf
                return round(abs(ohms + self._chance.gauss(0.0, 0.03 + 0.01 * ohms)), 1)
            case CheckKind.AMPS:
                amps = abs(self._settled(check.condition).fuses[check.part])
                return round(abs(amps * (1.0 + self._chance.gauss(0.0, 0.03)) + self._chance.gauss(0.0, 0.03)), 2)
        return super()._number(check)

    def _word(self, check: Check) -> Word:
        match check.kind:
            case CheckKind.LISTEN:
                settled = self._settled(check.condition)
                if check.part in settled.restless:
                    return Word.BUZZES
                return Word.PULLS if settled.relays[check.part] else Word.SILENT
            case CheckKind.BRIDGE:
                laid = spice_instruments.jumper(*(self._on_bench.harness.end(point) for point in check.points))
                return self._try(self._faulty(check.condition), laid)
            case CheckKind.SWAP:
                left = tuple(fault for fault in self._all_faults() if not fault.site.startswith(f"{check.part}:"))
                return self._try(replace(check.condition, faults=left))
        return super()._word(check)

    def _lamp(self, check: Check) -> Word:
        standing = standing_of(self._faulty(check.condition))
        volts = spice_instruments.lamp_volts(self._on_bench, standing, check.red, check.black, check.watts)
        return Word.BUZZES if volts is None else _LIGHTS[lamp_light(volts, self.harness.build.nominal_volts)]

    def _new_fuse(self, fuse_id: str) -> Word:
        left = tuple(fault for fault in self.faults if fault.site != fuse_id or fault.kind is FaultKind.HIGH)
        self.faults, self.blown = left, self.blown - {fuse_id}
        self.blown |= frozenset(self._settled(self.condition).blown)
        return Word.BLOWS if fuse_id in self.blown else Word.HOLDS

    def _try(self, condition: Condition, *laid: Branch) -> Word:
        works = all(self._state_in(name, condition, *laid) is Word.WORKS for name in self.complained)
        return Word.CURED if works else Word.NOT_CURED

    def _state_in(self, name: str, condition: Condition, *laid: Branch) -> Word:
        element = self._elements[name]
        settled = spice_instruments.settle(self._on_bench, standing_of(condition), *laid)
        sound = spice_instruments.settle(self._on_bench, standing_of(condition.healthy()))
        now, healthy = (_magnitudes(one.loads[name]) for one in (settled, sound))
        state = load_state(element.kind, now, healthy, (element.at_volts, element.rated_amps))
        if state is LoadState.UNASKED:
            return Word.WORKS if now[0] > _LOOKS_ON_SHARE * element.at_volts else Word.GLOWS
        return _STATES.get(state, Word.DEAD)

    def _settled(self, condition: Condition) -> Settled:
        return spice_instruments.settle(self._on_bench, standing_of(self._faulty(condition)))

    def _ngspice_volts(self, _: Harness, condition: Condition, red: str, black: str) -> float | None:
        return spice_instruments.volts(self._on_bench, standing_of(condition), red, black)

    def _all_faults(self) -> tuple[Fault, ...]:
        return self._faulty(self.condition).faults

    @cached_property
    def _elements(self) -> dict[str, Element]:
        return {element.name: element for element in all_elements(self.harness)}


def standing_of(condition: Condition) -> Standing:
    """Spell a condition for the second solver; of two faults of a fuse it is the blown one that counts."""
    return Standing(condition.key, condition.by_name, {fault.site: _spelled(fault) for fault in condition.faults})


def _spelled(fault: Fault) -> str | float:
    if fault.ohms is not None:
        return fault.ohms
    if fault.kind is FaultKind.HIGH and fault.added_ohms != HIGH_OHMS:
        return f"high:{fault.added_ohms!r}"
    return f"{fault.kind}:{fault.partner}" if fault.partner else str(fault.kind)


def _magnitudes(volts_and_amps: tuple[float, float]) -> tuple[float, float]:
    volts, amps = volts_and_amps
    return abs(volts), abs(amps)
