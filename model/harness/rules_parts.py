"""Rules of a harness file about what each part is made of: ratings, contacts, elements, cavities."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from model.harness.draft import Complaint, Draft, Row
from model.harness.fields import Groups, Part
from model.harness.parts import (
    Coil,
    ContactGroups,
    Fuse,
    FuseStyle,
    Load,
    LoadElement,
    Module,
    Relay,
    ResistorElement,
    ResistorPack,
    Switch,
)
from model.harness.points import relay_coils, terminals_of
from model.harness.records import Connector, Defaults, GroundPoint, Wire
from model.harness.rules_words import did_you_mean, listed, nearest_of, no_such
from model.harness.toml_lines import TomlPath
from model.tables import wire_colour_names
from model.units import parse_size

_RATINGS = ("watts", "amps", "ohms")
_MOST_CAVITIES = 50_000
"""Each has two points; a loom of ten thousand wires has a tenth of them."""


def fuses_are_rated(draft: Draft) -> Iterator[Complaint]:
    """Find fuses that open by current and have no rating."""
    for row in draft.of(Fuse):
        needs_rating = row.record.style is not FuseStyle.THERMAL and row.sound("style")
        if needs_rating and row.record.amps is None and row.sound("amps"):
            yield row.complain(("amps",), "a fuse has its rating in amperes, unless its style is thermal", "no amps")


def loads_are_rated(draft: Draft) -> Iterator[Complaint]:
    """Find loads and elements that have not exactly one of watts, amps and ohms."""
    for row in draft.of(Load):
        if not row.record.elements and row.sound("elements"):
            yield from _one_rating(row, (), row.typed)
            continue
        if not row.sound("elements") and not row.record.elements:
            continue
        for key in (*_RATINGS, "at"):
            if key in row.typed:
                yield row.complain((key,), f"a load with elements has its {key} in each of them")
        for index in range(len(row.record.elements)):
            inner = row.value(("elements", index))
            if isinstance(inner, dict):
                yield from _one_rating(row, ("elements", index), inner)


def _one_rating(row: Row[Load], path: TomlPath, typed: dict[str, object]) -> Iterator[Complaint]:
    given = [key for key in _RATINGS if key in typed]
    if len(given) > 1:
        yield row.complain((*path, given[1]), "exactly one of watts, amps and ohms is given", " and ".join(given))
    elif not given and all(row.sound(*path, key) for key in _RATINGS):
        right = "exactly one of watts, amps and ohms is given" + ("" if path else ", or elements")
        yield row.complain((*path, "watts"), right, "no watts, amps or ohms")


def sizes_can_be_read(draft: Draft) -> Iterator[Complaint]:
    """Find sizes in words that are no American gauge."""
    rows: tuple[Row[Wire] | Row[Defaults], ...] = (draft.defaults, *draft.of(Wire))
    for row in rows:
        size = row.record.size
        if isinstance(size, str) and not _is_size(size):
            yield row.complain(("size",), 'a size is mm² as a number, or a gauge from "AWG 40" to "AWG 4/0"')


def _is_size(size: str) -> bool:
    try:
        parse_size(size)
    except ValueError:
        return False
    return True


def colours_are_codes(draft: Draft) -> Iterator[Complaint]:
    """Find colours that are neither a code of IEC 60757 nor base and stripe parted by a slash."""
    codes = wire_colour_names()
    good: set[str] = {""}
    for row in draft.of(Wire):
        colour = row.record.colour
        if colour in good:
            continue
        parts = colour.split("/")
        if len(parts) <= 2 and all(part in codes for part in parts):
            good.add(colour)
            continue
        right = "a colour is a code of IEC 60757, base and stripe parted by a slash, such as GN/WH"
        meant = _meant_colour(colour, dict(codes))
        yield row.complain(("colour",), f"{right}; did you mean {meant}?" if meant else f"{right}: {', '.join(codes)}")


def _meant_colour(colour: str, codes: dict[str, str]) -> str:
    """Give the codes that colours in other letters or words were meant to be; empty where one is not known."""
    by_word = {name: code for code, name in codes.items()} | {code.lower(): code for code in codes}
    by_word |= {"gray": "GY", "purple": "VT"}
    meant: list[str] = []
    for word in colour.replace("-", "/").split("/"):
        near = nearest_of(word.strip(), list(by_word))
        if near is None:
            return ""
        meant.append(by_word[near])
    return "/".join(meant[:2])


def positions_join_terminals(draft: Draft) -> Iterator[Complaint]:
    """Find positions and contacts that do not join two or more different terminals of their part."""
    for row in draft.of(Switch):
        if not row.sound("positions") or (row.record.key and "positions" not in row.typed):
            continue
        for position, groups in row.record.positions.items():
            yield from _groups(row, ("positions", position), groups)
            if row.sound("terminals"):
                yield from _strangers(row, position, groups)
    for relay in draft.of(Relay):
        contacts = relay.record.contacts
        if isinstance(contacts, ContactGroups):
            for key, groups in (("rest", contacts.rest), ("pulled", contacts.pulled)):
                if relay.sound("contacts", key):
                    yield from _groups(relay, ("contacts", key), groups)


def _groups(row: Row[Switch] | Row[Relay], path: TomlPath, groups: Groups) -> Iterator[Complaint]:
    for index, group in enumerate(groups):
        if len(set(group)) < len(group) or len(group) < 2:
            found = f"[{', '.join(group)}]"
            yield row.complain((*path, index), "a group joins two or more different terminals", found)


def _strangers(row: Row[Switch], position: str, groups: Groups) -> Iterator[Complaint]:
    """Find terminals that a position joins and the switch does not have."""
    terminals = dict.fromkeys(row.record.terminals)
    for index, group in enumerate(groups):
        strangers = [name for name in group if name not in terminals]
        if strangers and "positions" in row.typed:
            near = did_you_mean(strangers[0], terminals)
            right = f"{row.id} has no terminal {' or '.join(strangers)}; it has {listed(terminals)}{near}"
            yield row.complain(("positions", position, index), right, f"[{', '.join(group)}]")
        elif strangers:
            found = f"no positions: then {position} joins {' and '.join(group)}"
            yield row.complain(("positions",), f"{row.id} has {listed(terminals)}: give its positions", found)


def elements_join_two_terminals(draft: Draft) -> Iterator[Complaint]:
    """Find elements and coils that do not lie between two different terminals."""
    rows: tuple[Row[Load] | Row[ResistorPack], ...] = (*draft.of(Load), *draft.of(ResistorPack))
    for row in rows:
        yield from _two_ends(row, "elements", "an element", row.record.elements)
    for relay in draft.of(Relay):
        yield from _two_ends(relay, "coils", "a coil", relay.record.coils or ())


def _two_ends(
    row: Row[Part], key: str, what: str, inner: Iterable[LoadElement | ResistorElement | Coil]
) -> Iterator[Complaint]:
    for index, one in enumerate(inner):
        if one.from_terminal == one.to_terminal and row.sound(key, index, "from") and row.sound(key, index, "to"):
            yield row.complain((key, index, "to"), f"{what} lies between two different terminals")


def coils_are_clear(draft: Draft) -> Iterator[Complaint]:
    """Find relays that give their coils in two ways, or a diode that is not on the first coil."""
    for row in draft.of(Relay):
        relay = row.record
        if "coils" in row.typed and "coil_ohms" in row.typed:
            yield row.complain(("coil_ohms",), "the ohms of each coil stand in coils, or coil_ohms alone is given")
        if relay.coil_diode is None or not row.sound("coils") or not row.sound("coil_diode"):
            continue
        ends = relay_coils(relay, 12.0)[0][:2]
        if relay.coil_diode not in ends:
            yield row.complain(
                ("coil_diode",), f"the first coil lies between {ends[0]} and {ends[1]}: it is one of them"
            )


def modules_name_their_feeds(draft: Draft) -> Iterator[Complaint]:
    """Find drivers and outputs that no feed of the module powers, and delicate terminals that it lacks."""
    for row in draft.of(Module):
        module = row.record
        feeds = [feed.terminal for feed in module.feeds]
        sources = [(("drivers", index, "from"), driver.from_terminal) for index, driver in enumerate(module.drivers)]
        sources += [(("outputs", index, "from"), output.from_terminal) for index, output in enumerate(module.outputs)]
        for path, source in sources:
            if source is not None and source not in feeds and row.sound("feeds"):
                yield row.complain(path, no_such("feed", source, feeds))
        if not all(row.sound(key) for key in ("feeds", "drivers", "outputs", "ground", "delicate")):
            continue
        for index, name in enumerate(module.delicate):
            terminals = terminals_of(module)
            if name not in terminals:
                yield row.complain(("delicate", index), no_such("terminal", name, terminals), f"delicate = {name}")


def grounds_are_bonded(draft: Draft) -> Iterator[Complaint]:
    """Find ground points bonded to the body of a build that has none."""
    if draft.build.record.chassis or not draft.build.sound("chassis"):
        return
    for row in draft.of(GroundPoint):
        if row.record.bonded and row.record.body is None and row.sound("body"):
            right = "the build has chassis = false: name a body, or leave bonded out for a bar that only wires reach"
            yield row.complain(("bonded",), right)


def resistor_tables_are_whole(draft: Draft) -> Iterator[Complaint]:
    """Find resistances by position that lack ohms for one, or the position at rest."""
    for row in draft.of(ResistorPack):
        for index, element in enumerate(row.record.elements):
            path: TomlPath = ("elements", index, "ohms")
            if isinstance(element.ohms, dict) and row.sound(*path):
                yield from _resistor_table(row, path, element.ohms)


def _resistor_table(row: Row[ResistorPack], path: TomlPath, table: dict[str, float | str]) -> Iterator[Complaint]:
    positions = [name for name in table if name != "rest"]
    for name in positions:
        if isinstance(table[name], str):
            yield row.complain((*path, name), "a position has its ohms, a finite number above zero")
    rest = table.get("rest")
    if rest is None:
        yield row.complain(path, 'rest names the position at rest, such as { rest = "half", half = 120 }', "no rest")
    elif not isinstance(rest, str) or rest not in positions:
        yield row.complain((*path, "rest"), no_such("position", str(rest), positions))


def cavities_are_there(draft: Draft) -> Iterator[Complaint]:
    """Find faces that show a cavity twice, or one beyond the connector's last."""
    for row in draft.part_rows:
        if not row.record.face or not row.sound("face"):
            continue
        last = row.record.cavities if isinstance(row.record, Connector) and row.sound("cavities") else None
        seen: set[int] = set()
        for index, cavities in enumerate(row.record.face):
            for place, cavity in enumerate(cavities):
                path = ("face", index, place)
                if cavity and cavity in seen:
                    yield row.complain(path, f"a face shows each cavity at most once; {cavity} is there already")
                elif last is not None and cavity > last:
                    yield row.complain(path, f"the cavities of {row.id} run from 1 to {last}", f"cavity {cavity}")
                seen.add(cavity)


def cavities_can_be_counted(draft: Draft) -> Iterator[Complaint]:
    """Find the connector with which all together get more cavities than any loom has."""
    together = 0
    for row in draft.of(Connector):
        if not row.sound("cavities"):
            continue
        before, together = together, together + row.record.cavities
        if before <= _MOST_CAVITIES < together:
            right = f"all connectors together have at most {_MOST_CAVITIES} cavities; with {row.id} they are more"
            yield row.complain(("cavities",), right)


def pins_are_terminals(draft: Draft) -> Iterator[Complaint]:
    """Find pins that are no terminals of their part, or share a cavity."""
    for row in draft.part_rows:
        if not row.record.pins or not row.sound("pins"):
            continue
        terminals = dict.fromkeys([*terminals_of(row.record), *(["in"] if isinstance(row.record, Fuse) else [])])
        cavities: dict[int, str] = {}
        for terminal, cavity in row.record.pins.items():
            if terminal not in terminals and not row.dropped:
                yield row.complain(("pins", terminal), _no_pin(row, terminal, terminals))
            other = cavities.setdefault(cavity, terminal)
            if other != terminal:
                yield row.complain(("pins", terminal), f"a cavity holds one terminal; {other} is in it already")


def _no_pin(row: Row[Part], terminal: str, terminals: Collection[str]) -> str:
    if not terminals:
        return "pins are for a plugged part: this one has no terminals"
    return no_such("terminal", terminal, terminals)


RULES = (
    fuses_are_rated,
    loads_are_rated,
    sizes_can_be_read,
    colours_are_codes,
    positions_join_terminals,
    elements_join_two_terminals,
    coils_are_clear,
    modules_name_their_feeds,
    grounds_are_bonded,
    resistor_tables_are_whole,
    cavities_are_there,
    cavities_can_be_counted,
    pins_are_terminals,
)
