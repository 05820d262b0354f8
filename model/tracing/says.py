"""What a reading says that is too low or too high at a point of a walk."""

from __future__ import annotations

from model.harness.harness import Harness
from model.tracing.expect import LIVE_VOLTS, Expect
from model.tracing.graph import Link, LinkKind
from model.tracing.walk import Side, Stretch


def says(harness: Harness, stretch: Stretch, place: int, expect: Expect, *, is_control: bool) -> tuple[str, str]:
    """Say what readings below and above the band at a point tell, in the working condition.

    Returns
    -------
    tuple
        What a reading below the band says, and what one above it says. On a positive-ground vehicle live points
        read below zero, so the two change places.
    """
    if expect.on is None:
        word = "No figure can be expected here: a reading is what leaks in."
        return word, word
    if stretch.side is Side.FEED:
        near_zero, far_from_zero = _feed_says(stretch, place, is_control=is_control)
        if abs(expect.on) < LIVE_VOLTS:
            far_from_zero = "Volts where none belong: something before here is closed or touches a live wire."
            near_zero = "Probes swapped, or a current runs backwards."
    else:
        near_zero, far_from_zero = _ground_says(stretch, place, is_control=is_control)
    turned = expect.on < -LIVE_VOLTS or (abs(expect.on) <= LIVE_VOLTS and harness.build.ground_side == "positive")
    return (far_from_zero, near_zero) if turned else (near_zero, far_from_zero)


def _feed_says(stretch: Stretch, place: int, *, is_control: bool) -> tuple[str, str]:
    load = "coil" if is_control else "load"
    if place == 0 and not stretch.joins_at:
        return (
            "The battery is low or its post is poor: charge it and measure again before anything else.",
            "A charger is on, or the battery has just been charged.",
        )
    before = stretch.steps[place - 1].point if place else stretch.joins_at
    link = stretch.steps[place].link
    weak = f"If {before} reads right, the fault is {_between(link)}; else before it, towards the battery."
    strong = f"Less current runs than should: the feed up to here is good, look at the {load} and its ground."
    return weak, strong


def _ground_says(stretch: Stretch, place: int, *, is_control: bool) -> tuple[str, str]:
    load = "coil" if is_control else "load"
    weak = f"No current comes through the {load}, if this should be above zero; below zero the probes are swapped."
    if place >= len(stretch.steps) - 1:
        if stretch.joins_at:
            return weak, "The ground side is poor beyond here: see where it joins the stretch told above."
        return weak, "The black probe or the post itself makes poor contact."
    following = stretch.steps[place + 1]
    strong = (
        f"The ground side is poor: if {following.point} reads right, the fault is {_between(following.link)}; "
        f"else beyond it. Full battery volts: it is open there."
    )
    return weak, strong


def _between(link: Link | None) -> str:
    if link is None:
        return "between the two"
    match link.kind:
        case LinkKind.WIRE:
            return f"wire {link.site} or a crimp of it"
        case LinkKind.CAVITY:
            return f"the contact in {link.site}"
        case LinkKind.FUSE:
            return f"fuse {link.site} or its clips"
        case LinkKind.SWITCH:
            return f"switch contact {link.site}"
        case LinkKind.RELAY:
            return f"relay contact {link.site}, or {link.part_id} does not {'pull in' if link.pulled else 'rest'}"
        case LinkKind.GROUND:
            return f"ground point {link.site}: paint, rust or a loose ring"
        case LinkKind.JOINT:
            return f"joint {link.site}"
        case LinkKind.DRIVER | LinkKind.OUTPUT:
            return f"{link.site}, or {link.part_id} is not fed or not grounded"
        case LinkKind.DIODE | LinkKind.RESISTOR:
            return f"{link.site}"
        case LinkKind.EXCITER | LinkKind.BATTERY:
            return f"inside {link.part_id}"
