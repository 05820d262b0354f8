"""A vehicle that is not there: parts off their ratings, a hidden fault, a meter that errs and a hand that slips.

The fault may come and go, from answer to answer.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from model.circuit.build_parts import build_netlist
from model.circuit.condition import Condition
from model.circuit.faults import Fault, FaultKind
from model.circuit.meter import LampLight, read_lamp, read_ohms, read_volts
from model.circuit.settle import Settled, settle, settle_netlist
from model.circuit.survey import LoadState, Survey
from model.errors import CircuitError
from model.harness.harness import Harness
from model.harness.parts import Battery, Charger
from model.harness.points import points_of
from model.tracing.checks import WORDS_OF, Check, CheckKind, Outcome, Word, measured, seen
from model.tracing.complaint import Symptom
from model.tracing.foresee_words import seen_bad
from model.tracing.load_ways import BACKFEED
from model.tracing.off_ratings import off_ratings
from model.tracing.states import STATES, supply_ratio, supply_shares

SLIP_SHARE = 0.02
"""Of all answers, these have nothing to do with what was asked; judgement."""

JUMPER_OHMS = 0.01
_METER_SHARE = 0.004
_METER_VOLTS = 0.01
_PROBE_VOLTS = 0.02
_DROP_VOLTS = 0.0005
_LOOKS_ON_SHARE = 0.6
_TRIED = frozenset({CheckKind.BRIDGE, CheckKind.SWAP, CheckKind.NEW_FUSE})

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
    symptom
        What is complained of: it says when a bridge or a swap has cured it.
    duty
        How likely a fault is there at an answer; under 1 it comes and goes. What is looked at is there all the time,
        and fuses that blew with the complaint stay blown.
    swings
        True where volts are told as the least and the most while the fault comes and goes.
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
        symptom: Symptom = Symptom.DEAD,
        duty: float = 1.0,
        swings: bool = False,
        seed: int = 0,
        slips: float = SLIP_SHARE,
        read: Reader = read_volts,
    ) -> None:
        self._chance = random.Random(seed)
        self.harness = off_ratings(harness, self._chance)
        self.faults = tuple(faults)
        self.complained = tuple(complained)
        self.condition = condition
        self._symptom = symptom
        self._duty, self._swings = duty, swings
        self._is_there = True
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
        self._is_there = check.kind in _TRIED or self._duty >= 1.0 or self._chance.random() < self._duty
        if check.kind in WORDS_OF:
            word = self._word(check)
            if slips:
                word = self._chance.choice([other for other in WORDS_OF[check.kind] if other is not word])
            return seen(word)
        if slips:
            return measured(self._slip(check))
        if self._swings and check.kind in (CheckKind.VOLTS, CheckKind.DROP):
            return measured(*sorted(self._number_while(check, there) for there in (True, False)))
        return measured(self._number(check))

    def _number_while(self, check: Check, is_there: bool) -> float:
        self._is_there = is_there
        return self._number(check)

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
        owner = self.harness.parts.get(check.red.partition(".")[0])
        beside = ([one.name for one in points_of(owner)] if owner is not None else []) or [check.red]
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
                return self._cured(self._faulty(check.condition), (check.red, check.black))
            case CheckKind.SWAP:
                left = tuple(fault for fault in self.faults if not fault.site.startswith(f"{check.part}:"))
                return self._cured(replace(check.condition, faults=(*left, *_blown(self.blown))))
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

    def _cured(self, condition: Condition, jumper: tuple[str, str] | None = None) -> Word:
        """Tell whether what is complained of is gone: the loads do what they do in the sound circuit."""
        net = build_netlist(self.harness, condition)
        if jumper is not None:
            net.add(net.index[jumper[0]], net.index[jumper[1]], JUMPER_OHMS)
        settled = settle_netlist(net, condition)
        wanted = Word.DEAD if self._symptom in BACKFEED else Word.WORKS
        works = all(self._state(settled, name) is wanted for name in self.complained)
        return Word.CURED if works else Word.NOT_CURED

    def _state(self, settled: Settled, element: str) -> Word:
        healthy = settle(self.harness, settled.condition.healthy())
        part = self.harness.parts.get(element)
        if isinstance(part, Battery | Charger):
            volts = [_supply_volts(one, part) for one in (settled, healthy)]
            shares = supply_shares(supply_ratio(np.array(volts[:1]), volts[1]))
            return STATES[int(np.argmax(shares[:, 0]))]
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
        faults = self.faults if self._is_there else ()
        return replace(condition, faults=(*faults, *_blown(self.blown)))


def _blown(fuses: frozenset[str]) -> tuple[Fault, ...]:
    return tuple(Fault(fuse_id, FaultKind.BLOWN) for fuse_id in sorted(fuses))


def _supply_volts(settled: Settled, part: Battery | Charger) -> float:
    """Give the volts across a battery, or with a charger those of the posts."""
    if isinstance(part, Charger):
        return abs(settled.posts_volts)
    red, black = (settled.net.index[f"{part.id}.{sign}"] for sign in "+-")
    return abs(float(settled.volts[red] - settled.volts[black]))
