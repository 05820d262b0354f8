"""The three states in which a loom's conductors are proven, as networks that an ohmmeter sees."""

from __future__ import annotations

from model.circuit.condition import APART, OUT, Condition, without_supply
from model.circuit.ohms_net import OhmsNet, ohms_net
from model.harness.harness import Harness
from model.harness.hazards import may_be_probed
from model.harness.parts import Battery, Charger
from model.harness.points import points_of, terminals_of
from model.harness.records import Connector
from model.plans.plan import LoomState


def parts_out(harness: Harness) -> tuple[str, ...]:
    """Name every part that comes out or apart: all that have terminals, and plugs.

    The supplies have clamps of their own; what has a point that nobody may probe stays plugged.
    """
    return tuple(
        part.id
        for part in harness.each_part()
        if (isinstance(part, Connector) or (terminals_of(part) and not isinstance(part, Battery | Charger)))
        and not any(may_be_probed(harness, point.name) for point in points_of(part))
    )


def state_condition(harness: Harness, state: LoomState) -> Condition:
    """Give the condition of a state: the first key state, everything at rest, the supplies off, and what is out."""
    at_rest = without_supply(harness, Condition(harness.key_names[0]))
    if state is LoomState.MATED:
        return at_rest
    out = tuple((name, APART if isinstance(harness.parts[name], Connector) else OUT) for name in parts_out(harness))
    return Condition(at_rest.key, (*at_rest.settings, *out))


def state_net(harness: Harness, state: LoomState) -> OhmsNet:
    """Give what an ohmmeter sees in a state.

    On the bench neither grounds are bolted on, nor parts that touch without a wire.

    Raises
    ------
    CircuitError
        Where the harness cannot be solved at all.
    """
    net = ohms_net(harness, Condition(harness.key_names[0]))
    if state is LoomState.MATED:
        return net
    out = set(parts_out(harness))
    if state is LoomState.BENCH:
        out |= {part.id for part in (*harness.grounds, *harness.joints)}
    return net.without(frozenset(out))


def about_state(state: LoomState) -> str:
    """Say in a sentence what the state is."""
    match state:
        case LoomState.BENCH:
            return "The loom lies on the bench: nothing is plugged in, no ground is bolted on."
        case LoomState.APART:
            return (
                "The loom is in the vehicle, its grounds bolted on: every plug apart, every fuse, relay, switch and "
                "load out, the battery's clamps off."
            )
        case LoomState.MATED:
            return "Everything is fitted and plugged in, switches at rest, the battery's clamps off."
