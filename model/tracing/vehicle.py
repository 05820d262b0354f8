"""A vehicle that is not there: parts off their ratings, a hidden fault, a meter that errs and a hand that slips."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import replace

from model.circuit.build_parts import build_netlist
from model.circuit.condition import Condition
from model.circuit.faults import Fault, FaultKind
from model.circuit.meter import LampLight, read_lamp, read_ohms, read_volts
from model.circuit.settle import Settled, settle, settle_netlist
from model.circuit.survey import LoadState, Survey
from model.errors import CircuitError
from model.harness.harness import Harness
from model.harness.points import points_of
from model.tracing.checks import WORDS_OF, Check, CheckKind, Outcome, Word, measured, seen
from model.tracing.foresee_words import seen_bad
from model.tracing.off_ratings import off_ratings

SLIP_SHARE = 0.02
"""Of all answers, these have nothing to do with what was asked; judgement."""

JUMPER_OHMS = 0.01
_METER_SHARE = 0.004
_METER_VOLTS = 0.01
_PROBE_VOLTS = 0.02
_DROP_VOLTS = 0.0005
_LOOKS_ON_SHARE = 0.6

Reader = Callable[[Harness, Condition, str, str], float | None]


class Vehicle:
    """Answers checks as a vehicle with a hidden fault would.

    Parameters
    ----------
    harness
        As the file has it; the vehicle's own parts are off that.
    faults
        What is wrong with it.
    complained
        The elements of the complaint: what a bridge or a swap is judged by.
    condition
        The one in which the complaint is seen: fuses that blow in it stay blown.
    seed
        The same seed gives the same vehicle and the same answers.
    slips
        Part of the answers that are taken at the next point, in another key state, or misread altogether.
    read
        Gives the volts that a meter shows in a harness under a condition; None where nothing rests.

    Raises
    ------
    CircuitError
        Where the faulty circuit finds no rest.
    """

    def __init__(
        self,
        harness: Harness,
        faults: Sequence[Fault],
        complained: Sequence[str],
        condition: Condition,
        *,
        seed: int = 0,
        slips: float = SLIP_SHARE,
        read: Reader = read_volts,
    ) -> None:
        self._chance = random.Random(seed)
        self.harness = off_ratings(harness, self._chance)
        self.faults = tuple(faults)
        self.complained = tuple(complained)
        self.condition = condition
        self._slips = slips
        self._read = read
        self.blown: frozenset[str] = frozenset()
        self.blown = frozenset(self._settle(condition).blown)

    def state_of(self, element: str, condition: Condition | None = None) -> Word:
        """Tell what an element of a load does, in the condition of the complaint where none is given."""
        settled = self._settle(condition or self.condition)
        return self._state(settled, element)

    def answer(self, check: Check) -> Outcome:
        """Answer a check.

        Raises
        ------
        CircuitError
            Where the faulty circuit finds no rest in its condition.
        """
        slips = self._chance.random() < self._slips
        if check.kind in WORDS_OF:
            word = self._word(check)
            if slips:
                word = self._chance.choice([other for other in WORDS_OF[check.kind] if other is not word])
            return seen(word)
        if slips:
            return measured(self._slip(check))
        return measured(self._number(check))

    def _number(self, check: Check) -> float:
        match check.kind:
            case CheckKind.OHMS:
                ohms = read_ohms(self.harness, self._faulty(check.condition), check.red, check.black)
                return math.inf if ohms is None else round(abs(ohms + self._chance.gauss(0.0, 0.03 + 0.01 * ohms)), 1)
            case CheckKind.AMPS:
                amps = self._fuse_amps(self._settle(check.condition), check.part)
                return round(abs(amps * (1.0 + self._chance.gauss(0.0, 0.03)) + self._chance.gauss(0.0, 0.03)), 2)
        volts = self._read(self.harness, self._faulty(check.condition), check.red, check.black) or 0.0
        error = self._chance.gauss(0.0, _METER_SHARE) * volts
        if check.kind is CheckKind.DROP and abs(volts) < 1.0:
            return round(volts + error + self._chance.gauss(0.0, _DROP_VOLTS), 3)
        return round(volts + error + self._chance.gauss(0.0, _METER_VOLTS) + self._chance.gauss(0.0, _PROBE_VOLTS), 2)

    def _slip(self, check: Check) -> float:
        """Read the next point or another key state, or anything at all."""
        nominal_volts = self.harness.build.nominal_volts
        if check.kind not in (CheckKind.VOLTS, CheckKind.DROP) or self._chance.random() < 0.5:
            return round(self._chance.uniform(0.0, 1.1 * nominal_volts), 2)
        beside = [one.name for one in points_of(self.harness.parts[check.red.partition(".")[0]])] or [check.red]
        keys = [key for key in self.harness.key_names if key != check.condition.key]
        point, condition = check.red, check.condition
        if keys and self._chance.random() < 0.5:
            condition = condition.at_key(self._chance.choice(keys))
        else:
            point = self._chance.choice([one for one in beside if one != check.red] or beside)
        try:
            return round(self._read(self.harness, self._faulty(condition), point, check.black) or 0.0, 2)
        except CircuitError:
            return 0.0

    def _word(self, check: Check) -> Word:
        match check.kind:
            case CheckKind.OBSERVE:
                return self.state_of(check.load, check.condition)
            case CheckKind.LISTEN:
                settled = self._settle(check.condition)
                if check.part in settled.buzzing:
                    return Word.BUZZES
                return Word.PULLS if settled.relays[check.part] else Word.SILENT
            case CheckKind.LOOK:
                likely = seen_bad(self.harness, check.part, self.faults, self.blown)
                return Word.BAD if self._chance.random() < likely else Word.GOOD
            case CheckKind.LAMP:
                return self._lamp(check)
            case CheckKind.BRIDGE:
                return _cured(self._works(self._faulty(check.condition), (check.red, check.black)))
            case CheckKind.SWAP:
                left = tuple(fault for fault in self.faults if not fault.site.startswith(f"{check.part}:"))
                return _cured(self._works(replace(check.condition, faults=(*left, *_blown(self.blown)))))
            case CheckKind.NEW_FUSE:
                return self._new_fuse(check.part)
        raise AssertionError(check.kind)

    def _lamp(self, check: Check) -> Word:
        reading = read_lamp(self.harness, self._faulty(check.condition), check.red, check.black, watts=check.watts)
        return {
            LampLight.LIT: Word.LIT,
            LampLight.DIM: Word.DIM,
            LampLight.DARK: Word.DARK,
            LampLight.BUZZES: Word.BUZZES,
        }[reading.light]

    def _new_fuse(self, fuse_id: str) -> Word:
        """Put a new fuse of the same rating in for good, and tell whether it holds."""
        left = tuple(fault for fault in self.faults if fault.site != fuse_id or fault.kind is FaultKind.HIGH)
        self.faults, self.blown = left, self.blown - {fuse_id}
        self.blown |= frozenset(self._settle(self.condition).blown)
        return Word.BLOWS if fuse_id in self.blown else Word.HOLDS

    def _works(self, condition: Condition, jumper: tuple[str, str] | None = None) -> bool:
        net = build_netlist(self.harness, condition)
        if jumper is not None:
            net.add(net.index[jumper[0]], net.index[jumper[1]], JUMPER_OHMS)
        settled = settle_netlist(net, condition)
        return all(self._state(settled, name) is Word.WORKS for name in self.complained)

    def _state(self, settled: Settled, element: str) -> Word:
        healthy = settle(self.harness, settled.condition.healthy())
        reading = Survey(settled, healthy, None).loads[element]
        match reading.state:
            case LoadState.WORKS:
                return Word.WORKS
            case LoadState.WEAK:
                return Word.WEAK
            case LoadState.GLOWS:
                return Word.GLOWS
            case LoadState.UNASKED:
                rated = next(one.element.at_volts for one in settled.net.elements if one.element.name == element)
                return Word.WORKS if reading.volts > _LOOKS_ON_SHARE * rated else Word.GLOWS
        return Word.DEAD

    def _fuse_amps(self, settled: Settled, fuse_id: str) -> float:
        for link in settled.net.fuses:
            if link.part_id == fuse_id and fuse_id not in settled.blown:
                return abs(float(settled.amps[link.branch]))
        return 0.0

    def _settle(self, condition: Condition) -> Settled:
        return settle(self.harness, self._faulty(condition))

    def _faulty(self, condition: Condition) -> Condition:
        return replace(condition, faults=(*self.faults, *_blown(self.blown)))


def _blown(fuses: frozenset[str]) -> tuple[Fault, ...]:
    return tuple(Fault(fuse_id, FaultKind.BLOWN) for fuse_id in sorted(fuses))


def _cured(works: bool) -> Word:
    return Word.CURED if works else Word.NOT_CURED
