"""What a settled circuit's figures alone do not say, in sentences."""

from __future__ import annotations

from model.circuit.settle import Settled


def settled_words(settled: Settled) -> list[str]:
    """Say which relays buzz or may or may not hold, and which fuses open."""
    lines: list[str] = []
    if settled.buzzing:
        who = ", ".join(settled.buzzing)
        end = (
            "one of several ends comes, and which is not known"
            if settled.rests_one_at_a_time
            else "it never comes to rest"
        )
        lines.append(f"{who}: buzzes; {end}. The points that differ are unsettled.")
    lines += [f"{name}: may or may not hold with the volts on its coil." for name in settled.uncertain]
    for name in settled.blown:
        lines.append(
            f"{name}: cycles, opening and closing by itself; shown open."
            if name in settled.cycling
            else f"{name}: blows."
        )
    return lines
