"""What a reading says that is too low or too high at a point of a walk."""

from __future__ import annotations

from dataclasses import dataclass

from model.cautions import NO_PROBE
from model.tracing.expect import FLOATING, UNSETTLED, Expect
from model.tracing.graph import Link, LinkKind
from model.tracing.walk import Side, Stretch

_LIVE_VOLTS = 1.0
_LIFTED_VOLTS = 0.05

_CHARGER = "A charger is on, or the battery has just been charged: go by what the posts read now."
_READ_THE_POSTS = "The posts stand higher than expected: read them first, and compare."
_NO_FIGURE = {
    FLOATING: "Nothing holds this point: a meter shows what leaks in, which tells nothing.",
    UNSETTLED: "A relay chatters here: a meter shows something in between, which tells nothing.",
    NO_PROBE: "Ignition wiring while the engine turns: no probe goes here. Stop the engine first.",
}
_WRONG_SIGN = "On the wrong side of zero: the probes are swapped, or a charger's current comes back this way."


@dataclass(frozen=True, slots=True)
class Spot:
    """A point of a stretch in one key state.

    Attributes
    ----------
    place
        Which step of the stretch it is.
    is_joined
        True where everything is closed between it and the post that its side leads to.
    of
        What takes the current: ``load``, ``coil`` or ``control unit``.
    positive_ground
        True where live points read below zero.
    """

    stretch: Stretch
    place: int
    is_joined: bool
    of: str
    positive_ground: bool


def says(spot: Spot, expect: Expect) -> tuple[str, str]:
    """Say what readings below and above the band at a point tell.

    Returns
    -------
    tuple
        What a reading below the band says, and what one above it says. On a positive-ground vehicle live points
        read below zero, so the two change places.
    """
    if expect.on is None:
        return _NO_FIGURE[expect.word], _NO_FIGURE[expect.word]
    is_live = abs(expect.on) >= _LIVE_VOLTS
    if spot.stretch.side is Side.FEED:
        less, more = _feed_says(spot, expect) if is_live else _dead_feed_says(spot)
    else:
        less, more = _ground_says(spot, expect) if spot.is_joined else _open_ground_says(spot, is_live=is_live)
    turned = expect.on < 0 if is_live else spot.positive_ground
    return (more, less) if turned else (less, more)


def across_says(expect: Expect, *, is_asked: bool) -> tuple[str, str]:
    """Say what readings below and above the band across a load tell.

    Parameters
    ----------
    is_asked
        True where the load should work.
    """
    if expect.word == NO_PROBE:
        return _NO_FIGURE[NO_PROBE], _NO_FIGURE[NO_PROBE]
    if expect.on is None or not is_asked:
        more = "Volts though it should be off: a contact sticks, a wire touches a live one, or a circuit feeds back."
        return "The probes are swapped.", more
    return (
        "One side loses the volts: near 0 it is open, in between it is poor. Walk the side that reads wrong.",
        _READ_THE_POSTS,
    )


def _feed_says(spot: Spot, expect: Expect) -> tuple[str, str]:
    """Say what less and what more volts than expected tell where a feed is live."""
    stretch, place = spot.stretch, spot.place
    if place == 0 and stretch.joins_at:
        told = f"See {stretch.joins_at} above."
        return told, told
    if place == 0:
        return "The battery is low, or the probe misses its post: charge it, and measure again first.", _CHARGER
    if not spot.is_joined:
        other = "It is fed past this walk here: follow what else hangs on this point."
        return other, _READ_THE_POSTS
    before, link = stretch.steps[place - 1].point, stretch.steps[place].link
    less = f"If {before} reads right, the fault is {_between(link)}. If not, it lies before it, towards the battery."
    if not _lifts(expect):
        return less, _READ_THE_POSTS
    return less, (
        "If the posts read right, too little current runs: the feed is good so far, look at the load and its ground."
    )


def _lifts(expect: Expect) -> bool:
    """Tell whether the load's current going missing would lift a point so far that a meter tells."""
    if expect.on is None or expect.unplugged is None:
        return False
    return abs(expect.unplugged) - abs(expect.on) >= _LIFTED_VOLTS


def _dead_feed_says(spot: Spot) -> tuple[str, str]:
    if spot.place == 0 and spot.stretch.joins_at:
        told = f"See {spot.stretch.joins_at} above."
        return told, told
    more = "Volts where none belong: a contact before here sticks, a wire touches a live one, or a circuit feeds back."
    return _WRONG_SIGN, more


def _ground_says(spot: Spot, expect: Expect) -> tuple[str, str]:
    """Say what less and what more volts than expected tell where a ground side is closed."""
    stretch, place = spot.stretch, spot.place
    flows = expect.low is not None and expect.high is not None and expect.low * expect.high > 0
    less = "Less current than should runs to ground here, or none: go to the feed." if flows else _WRONG_SIGN
    if place == len(stretch.steps) - 1:
        if stretch.joins_at:
            return less, f"The ground is poor beyond here: go on at {stretch.joins_at} above."
        return less, "The black probe or the post's own metal makes poor contact."
    following = stretch.steps[place + 1]
    fault = _between(following.link)
    return less, (
        f"If {following.point} reads right, the fault is {fault}. If not, it lies beyond it, towards the post. "
        f"Near battery volts: it is open."
    )


def _open_ground_says(spot: Spot, *, is_live: bool) -> tuple[str, str]:
    if is_live:
        less = f"The ground side is closed or touches metal where it should be open, or the {spot.of} has no feed."
        return less, _READ_THE_POSTS
    return _WRONG_SIGN, f"Volts come through the {spot.of}: its feed is live where it should not be."


def _between(link: Link | None) -> str:
    if link is None:
        return "between the two"
    match link.kind:
        case LinkKind.WIRE:
            return f"wire {link.site} or one of its crimps"
        case LinkKind.CAVITY:
            return f"the contact in {link.site}"
        case LinkKind.FUSE:
            return f"fuse {link.site} or its clips"
        case LinkKind.SWITCH:
            return f"switch contact {link.site}"
        case LinkKind.RELAY:
            return f"relay contact {link.site}, or {link.part_id} is not {'pulled in' if link.pulled else 'at rest'}"
        case LinkKind.GROUND:
            return f"ground point {link.site}: paint, rust or a loose ring"
        case LinkKind.JOINT:
            return f"joint {link.site}"
        case LinkKind.DRIVER | LinkKind.OUTPUT:
            return f"{link.part_id}: it is not fed, not grounded, or does not drive {link.site.partition(':')[2]}"
        case LinkKind.DIODE:
            return f"diode {link.site}"
        case LinkKind.RESISTOR:
            return f"resistance {link.site}"
        case LinkKind.EXCITER:
            return f"inside {link.part_id}"
