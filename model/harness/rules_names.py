"""Rules of a harness file about names: each stands once, and what is named exists."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from model.harness.draft import Complaint, Draft, Row
from model.harness.fields import Record
from model.harness.harness import CHASSIS
from model.harness.parts import Charger, Fuse, Load, LoadElement, Module, ResistorElement, ResistorPack, Switch
from model.harness.records import Body, Busbar, Connector, GroundPoint, KeyState, Location, Trunk, Wire
from model.harness.rules_words import no_such, no_such_id
from model.harness.toml_lines import TomlPath

_WHAT: dict[type[Record], str] = {Location: "location", Trunk: "trunk", Busbar: "busbar", Body: "body", Wire: "wire"}

_DEEPEST_HOUSING = 20
"""A fuse in a box in a console is three deep."""


def ids_stand_once(draft: Draft) -> Iterator[Complaint]:
    """Find ids that stand twice in the file, and parts called ``CHASSIS``, which is the body's own name."""
    for row in draft.part_rows:
        if not row.id:
            continue
        first = draft.parts[row.id]
        if row.id == CHASSIS:
            yield row.complain(("id",), "CHASSIS is the name of the vehicle's body: give another id")
        elif first is not row:
            right = f"an id stands once in a file; {first.table} has it"
            yield row.complain(("id",), right, other=(*first.path, "id"))


def names_stand_once(draft: Draft) -> Iterator[Complaint]:
    """Find key states, locations and trunks that share a name."""
    kinds: tuple[type[Record], ...] = (KeyState, Location, Trunk)
    for kind in kinds:
        first: dict[str, Row[Record]] = {}
        for row in draft.of(kind):
            if row.id and first.setdefault(row.id, row) is not row:
                other = (*first[row.id].path, "name")
                yield row.complain(("name",), f"a name stands once in {row.table}", other=other)


def terminals_stand_once(draft: Draft) -> Iterator[Complaint]:
    """Find terminals of one part, and halves of one connector, that share a name."""
    for switch in draft.of(Switch):
        listed = switch.record.terminals if switch.sound("terminals") else ()
        yield from _once(switch, [(("terminals", index), name) for index, name in enumerate(listed)], "terminal")
    for module in draft.of(Module):
        yield from _once(module, list(_module_terminals(module)), "terminal")
    for connector in draft.of(Connector):
        if connector.sound("halves"):
            halves = enumerate(connector.record.halves)
            yield from _once(connector, [(("halves", index), name) for index, name in halves], "half")
    for charger in draft.of(Charger):
        exciter = charger.record.exciter
        if exciter and charger.sound("exciter") and exciter.terminal in ("+", "-"):
            yield charger.complain(
                ("exciter", "terminal"), 'the posts are + and -: an exciter has its own, such as "D+"'
            )


def _module_terminals(row: Row[Module]) -> Iterator[tuple[TomlPath, str]]:
    is_typed = "ground" in row.typed
    if not is_typed:
        yield (), row.record.ground
    for key in ("feeds", "drivers", "outputs"):
        for index, inner in enumerate(getattr(row.record, key)):
            if row.sound(key, index, "terminal"):
                yield (key, index, "terminal"), inner.terminal
    if is_typed and row.sound("ground"):
        yield ("ground",), row.record.ground


def elements_stand_once(draft: Draft) -> Iterator[Complaint]:
    """Find elements of one load or resistor pack that share a name."""
    for load in draft.of(Load):
        yield from _named_once(load, load.record.elements)
    for pack in draft.of(ResistorPack):
        yield from _named_once(pack, pack.record.elements)


def _named_once(row: Row[Record], elements: Iterable[LoadElement | ResistorElement]) -> Iterator[Complaint]:
    named = [(("elements", at, "name"), one.name) for at, one in enumerate(elements)]
    yield from _once(row, [(path, name) for path, name in named if row.sound(*path)], "element")


def _once(row: Row[Record], named: Iterable[tuple[TomlPath, str]], what: str) -> Iterator[Complaint]:
    seen: set[str] = set()
    for path, name in named:
        if name in seen:
            yield row.complain(path, f"each {what} has a name of its own within a part; {name} is there already")
        seen.add(name)


def locations_exist(draft: Draft) -> Iterator[Complaint]:
    """Find locations that a part or the free end of a wire names and that are no rows of ``locations``."""
    known = set(draft.names(Location))
    for row in draft.part_rows:
        if row.record.location and row.record.location not in known:
            yield from _missing(draft, row, ("location",), Location)
    for wire in draft.of(Wire):
        for key, name in (("from_location", wire.record.from_location), ("to_location", wire.record.to_location)):
            if name and name not in known:
                yield from _missing(draft, wire, (key,), Location)


def trunks_exist(draft: Draft) -> Iterator[Complaint]:
    """Find trunks that a wire runs through and that are no rows of ``trunks``."""
    known = set(draft.names(Trunk))
    for wire in draft.of(Wire):
        for index, name in enumerate(wire.record.via):
            if name not in known:
                yield from _missing(draft, wire, ("via", index), Trunk)


def buses_exist(draft: Draft) -> Iterator[Complaint]:
    """Find fuses whose bus is no busbar."""
    known = set(draft.names(Busbar))
    for fuse in draft.of(Fuse):
        if fuse.record.bus is not None and fuse.record.bus not in known:
            yield from _missing(draft, fuse, ("bus",), Busbar)


def bodies_exist(draft: Draft) -> Iterator[Complaint]:
    """Find ground points whose body is neither ``CHASSIS`` nor a row of ``bodies``."""
    has_chassis = draft.build.record.chassis or not draft.build.sound("chassis")
    known = set(draft.names(Body)) | ({CHASSIS} if has_chassis else set())
    for ground in draft.of(GroundPoint):
        body = ground.record.body
        if body is None or body in known:
            continue
        if body == CHASSIS:
            yield ground.complain(("body",), "the build has chassis = false: there is no CHASSIS")
        else:
            yield from _missing(draft, ground, ("body",), Body, (CHASSIS,) if has_chassis else ())


def housings_exist(draft: Draft) -> Iterator[Complaint]:
    """Find parts that sit in the housing of a part that does not exist, or in the end in their own."""
    every = ((part_id, row.record.inside) for part_id, row in draft.parts.items())
    housings = {part_id: inside for part_id, inside in every if inside is not None}
    in_themselves, depths = _in_circles(housings), _depths(housings)
    for row in draft.part_rows:
        inside = row.record.inside
        if inside is None:
            continue
        if inside not in draft.parts:
            if not draft.unread:
                yield row.complain(("inside",), no_such_id(inside, draft.parts))
        elif row.id in in_themselves:
            yield row.complain(("inside",), "a part cannot sit inside itself")
        elif depths.get(inside, 0) == _DEEPEST_HOUSING + 1:
            yield row.complain(("inside",), f"parts sit inside each other at most {_DEEPEST_HOUSING} deep")


def superseding_wires_exist(draft: Draft) -> Iterator[Complaint]:
    """Find wires whose work is done by a wire that does not exist, or in the end by themselves."""
    wires = {row.id: row.record.superseded_by for row in draft.of(Wire)}
    by_themselves = _in_circles({wire: successor for wire, successor in wires.items() if successor is not None})
    for row in draft.of(Wire):
        successor = row.record.superseded_by
        if successor is None:
            continue
        if successor not in wires:
            yield from _missing(draft, row, ("superseded_by",), Wire)
        elif row.id in by_themselves:
            yield row.complain(("superseded_by",), "a wire cannot do its own work in place of itself")


def _in_circles(following: Mapping[str, str]) -> set[str]:
    """Give the names from which a chain leads back to where it started, each chain gone through once."""
    circles: set[str] = set()
    seen: set[str] = set()
    for start in following:
        chain: dict[str, int] = {}
        at: str | None = start
        while at is not None and at not in seen:
            seen.add(at)
            chain[at] = len(chain)
            at = following.get(at)
        if at in chain:
            circles.update(name for name, place in chain.items() if place >= chain[at])
    return circles


def _depths(following: Mapping[str, str]) -> dict[str, int]:
    """Count how many names come behind each, itself included; in a circle, and into one, as far as it is gone round."""
    depths: dict[str, int] = {}
    for start in following:
        chain: list[str] = []
        at: str | None = start
        while at is not None and at not in depths:
            depths[at] = 0
            chain.append(at)
            at = following.get(at)
        behind = depths[at] if at is not None else 0
        for place, name in enumerate(reversed(chain), 1):
            depths[name] = behind + place
    return depths


def _missing(
    draft: Draft, row: Row[Record], path: TomlPath, kind: type[Record], more: tuple[str, ...] = ()
) -> Iterator[Complaint]:
    """Say that there is no such row of a table, unless it may be one that cannot be read."""
    if draft.is_unread(kind) or not row.sound(*path):
        return
    names = draft.names(kind)
    yield row.complain(path, no_such(_WHAT[kind], str(row.value(path)), [*more, *names] if more else names))


RULES = (
    ids_stand_once,
    names_stand_once,
    terminals_stand_once,
    elements_stand_once,
    locations_exist,
    trunks_exist,
    buses_exist,
    bodies_exist,
    housings_exist,
    superseding_wires_exist,
)
