"""The model's answer to a condition beside that of ngspice."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from model.circuit.condition import make_condition
from model.circuit.settle import Settled as ModelSettled
from model.circuit.settle import settle
from model.harness.harness import Harness
from tests.against_ngspice.spice_readout import Settled
from tests.against_ngspice.spice_settle import Bench


@dataclass(frozen=True)
class Asked:
    """A condition as both sides are asked for it."""

    key: str
    settings: dict[str, str] = field(default_factory=dict)
    faults: dict[str, str | float] = field(default_factory=dict)
    posts_volts: float | None = None

    def of_model(self, harness: Harness) -> ModelSettled:
        """Settle it in the model."""
        settings = tuple(f"{name}={choice}" for name, choice in self.settings.items())
        faults = tuple(f"{site}={fault}" for site, fault in self.faults.items())
        return settle(harness, make_condition(harness, self.key, settings, faults, self.posts_volts))

    def of_ngspice(self, bench: Bench) -> Settled:
        """Settle it with ngspice."""
        return bench.settle(self.key, self.settings, self.faults, self.posts_volts)


def all_differences(harness: Harness, bench: Bench, every: Iterable[Asked], tolerance_volts: float) -> list[str]:
    """Say in what the model and ngspice differ over many conditions; see `differences`."""
    return [line for asked in every for line in differences(harness, bench, asked, tolerance_volts)]


def differences(harness: Harness, bench: Bench, asked: Asked, tolerance_volts: float) -> list[str]:
    """Say in what the model and ngspice differ in a condition, nothing where they agree.

    Parameters
    ----------
    tolerance_volts
        By how much the volts of a point may differ. Currents of fuses and loads may differ by
        a thousandth, or by what the tolerance drives through 0.1 Ω.
    """
    model, spice = asked.of_model(harness), asked.of_ngspice(bench)
    net = model.net
    loose = {f"{wire.id}.{letter}" for wire in harness.wires for letter in "ab"}
    names = [name for place, name in enumerate(net.names) if place < net.point_count or name in loose]
    floating = {net.names[node] for node in model.floating} & set(names)
    unsettled = {net.names[node] for node in model.unsettled} & set(names)
    found = _unlike("points", set(names), set(spice.points))
    found += _unlike("buzzing", bool(model.buzzing), spice.buzzing)
    if not spice.buzzing:
        found += _unlike("relays", model.relays, spice.relays)
    found += _unlike("blown", list(model.blown), spice.blown)
    found += _unlike("floating", sorted(floating), sorted(spice.floating))
    found += _unlike("unsettled", sorted(unsettled), sorted(spice.unsettled))
    volts = {name: float(model.volts[net.index[name]]) for name in names}
    for point in sorted(volts.keys() & spice.points.keys()):
        if abs(volts[point] - spice.points[point]) > tolerance_volts:
            found.append(f"{point}: model {volts[point]:.5f} V, ngspice {spice.points[point]:.5f} V")
    if not spice.buzzing:
        found += _unlike_fuses(model, spice, 10 * tolerance_volts)
    return [f"{asked}: {line}" for line in found]


def _unlike_fuses(model: ModelSettled, spice: Settled, tolerance_amps: float) -> list[str]:
    amps = {fuse.part_id: float(model.amps[fuse.branch]) for fuse in model.net.fuses if fuse.part_id not in model.blown}
    return [
        f"{fuse}: model {amps[fuse]:.5f} A, ngspice {spice.fuses[fuse]:.5f} A"
        for fuse in amps
        if abs(amps[fuse] - spice.fuses[fuse]) > tolerance_amps + 1e-3 * abs(amps[fuse])
    ]


def _unlike(what: str, model: object, spice: object) -> list[str]:
    return [] if model == spice else [f"{what}: model {model}, ngspice {spice}"]
