"""Colours of new wires: by the rule that the file itself keeps, else one that is free."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from model.harness.harness import CHASSIS, Harness, elements_of
from model.harness.metal import wire_points
from model.harness.parts import LoadKind
from model.harness.records import Wire
from model.harness.supply import grounded_posts
from model.review.pattern_feeds import Feeds
from model.tables import SourceKind, wire_colour_names
from model.tracing.rated import role_of

_RULE_SHARE = 0.6
_RULE_WIRES = 2
_NEVER_BASE = frozenset({"OG", "GNYE", "GD", "SR"})
"""An orange cover marks high voltage (UN Regulation No. 100), green and yellow a protective conductor; gold and silver
are hardly sold."""

_GROUND = "BK"
_GROUND_BASES = frozenset({_GROUND, "BN"})
"""Plain black and plain brown are ground in most vehicles: common practice."""

_PROTECTIVE = frozenset({"GN/YE", "YE/GN"})
"""Green and yellow mark a protective conductor, however they are striped."""

_PERMANENT = "RD"
_SOURCE_FILE = "the colours of the file's own wires"


@dataclass(frozen=True, slots=True)
class Colour:
    """A colour and why it is proposed."""

    code: str
    why: str
    source: str

    @property
    def source_kind(self) -> SourceKind:
        """Of the file's own colours a judgement what its rule is; codes are from memory."""
        return SourceKind.JUDGEMENT if self.source == _SOURCE_FILE else SourceKind.FROM_MEMORY


class Colours:
    """Gives the colours of a new circuit, none of them twice.

    Attributes
    ----------
    used
        Codes that wires of the file or of the new circuit have.
    """

    def __init__(self, harness: Harness, feeds: Feeds) -> None:
        self._harness = harness
        self._feeds = feeds
        self.used = {wire.colour for wire in harness.wires if wire.colour}
        posts = grounded_posts(harness)
        grounds = (ground.id for ground in harness.grounds)
        self._ground_points = {CHASSIS, *posts, *(body.id for body in harness.bodies), *grounds}
        plain = {wire.colour for wire in self._coloured() if self._is_ground(wire) and "/" not in wire.colour}
        self._never_fed = _GROUND_BASES | plain

    def of_ground(self) -> Colour:
        """Give the colour of a ground wire: that which most ground wires have, plain or with a free stripe."""
        wires = [wire for wire in self._coloured() if self._is_ground(wire)]
        base = _rule(wires)
        if base is None:
            why = "black is usual for the ground side"
            return self._taken(_GROUND, why, "common practice; IEC 60757 codes", is_shared=True)
        is_plain = sum(wire.colour == base for wire in wires) * 2 > len(wires)
        why = f"ground wires of this file are {base}"
        return self._taken(base if is_plain else self._striped(base), why, _SOURCE_FILE, is_shared=is_plain)

    def of_ground_side(self) -> Colour:
        """Give the colour of the ground side of a coil or lamp, which has volts while it is off: never plain ground."""
        wires = [wire for wire in self._coloured() if self._is_ground_side(wire)]
        base = _rule(wires)
        if base is None:
            return self._free(None)
        why = f"wires from a coil to its switch or driver are {base} in this file"
        return self._taken(self._striped(base), why, _SOURCE_FILE)

    def _is_ground_side(self, wire: Wire) -> bool:
        coils = {f"{relay.id}.85" for relay in self._harness.relays}
        return self._ends_on(wire, coils) and not self._is_ground(wire)

    def of_feed(self, keys: tuple[str, ...]) -> Colour:
        """Give the colour of a wire that is live in some key states: of the family of those that are live in these."""
        base = _rule(wire for wire in self._coloured() if self._is_live(wire, keys))
        if base is not None:
            said = "always" if keys == self._harness.key_names else f"in {', '.join(keys)}"
            return self._taken(self._striped(base), f"wires live {said} are {base} in this file", _SOURCE_FILE)
        is_permanent = keys == self._harness.key_names
        return self._free(_PERMANENT if is_permanent else None)

    def of_load(self, kind: LoadKind, role: str, keys: tuple[str, ...]) -> Colour:
        """Give the colour of a switched wire: of the family of loads of the same role, else of the same kind."""
        is_positive = self._harness.build.ground_side == "positive"
        elements = [one for load in self._harness.loads for one in elements_of(self._harness, load)]
        for alike, said in (
            ([one for one in elements if role and role_of(self._harness, one) == role], f"loads with the role {role}"),
            ([one for one in elements if one.kind is kind], f"loads of the kind {kind}"),
        ):
            ends = {one.to_point if is_positive else one.from_point for one in alike}
            base = _rule(wire for wire in self._coloured() if self._ends_on(wire, ends) and not self._is_ground(wire))
            if base is not None:
                return self._taken(self._striped(base), f"wires of {said} are {base} in this file", _SOURCE_FILE)
        return self.of_feed(keys) if _rule(w for w in self._coloured() if self._is_live(w, keys)) else self._free(None)

    def _coloured(self) -> list[Wire]:
        return [wire for wire in self._harness.wires if wire.colour and not wire.spare]

    def _ends_on(self, wire: Wire, points: set[str]) -> bool:
        return not points.isdisjoint(wire_points(self._harness, wire))

    def _is_ground(self, wire: Wire) -> bool:
        return self._ends_on(wire, self._ground_points)

    def _is_live(self, wire: Wire, keys: tuple[str, ...]) -> bool:
        return any(self._feeds.keys_of(point) == keys for point in wire_points(self._harness, wire))

    def _taken(self, code: str, why: str, source: str, *, is_shared: bool = False) -> Colour:
        if code in self.used and not is_shared:
            why += "; every stripe of it is in use, so one is used again"
        self.used.add(code)
        return Colour(code, why, source)

    def _striped(self, base: str) -> str:
        """Give a base with the first stripe that is free; plain where every one is taken, unless that is ground."""
        stripes = [f"{base}/{one}" for one in wire_colour_names() if one not in (base, *_NEVER_BASE)]
        stripes = [code for code in stripes if code not in _PROTECTIVE]
        last = stripes[0] if base in self._never_fed else base
        return next((code for code in stripes if code not in self.used), last)

    def _free(self, wanted: str | None) -> Colour:
        """Give a colour that no wire has: plain where a base is free, else with a stripe."""
        every = [one for one in wire_colour_names() if one not in _NEVER_BASE]
        bases = [one for one in every if one not in self._never_fed]
        is_fit = wanted is not None and wanted not in self._never_fed
        bases = [wanted, *bases] if wanted and is_fit else [one for one in bases if one != _PERMANENT]
        plain = next((one for one in bases[: 1 if is_fit else None] if one not in self.used), None)
        striped = [self._striped(one) for one in bases or every]
        code = plain or next((one for one in striped if one not in self.used), (bases or striped)[0])
        why = "no wire has it yet, grounds have others, and the file keeps no rule for such wires"
        return self._taken(code, why, "IEC 60757 codes")


def _rule(wires: Iterable[Wire]) -> str | None:
    """Give the base colour that most wires have; None where they keep no rule."""
    bases = Counter(wire.colour.partition("/")[0] for wire in wires)
    total = sum(bases.values())
    if total < _RULE_WIRES:
        return None
    base, count = bases.most_common(1)[0]
    return base if count >= max(_RULE_SHARE * total, _RULE_WIRES) and base not in _NEVER_BASE else None
