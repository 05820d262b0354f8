"""Single breaches of the harness format: what is changed in a sound file, and what is to be said about it."""

from dataclasses import dataclass
from typing import Any

from tests.model.harness.sound_file import row_path
from tests.model.harness.two_spellings import Document, TomlPath

GONE = object()
"""In place of a new value: the key is taken out."""


@dataclass(frozen=True)
class Case:
    """One change to the sound file that breaks one rule.

    Attributes
    ----------
    row
        Id or name of the row that is changed.
    sub
        TomlPath within the row.
    value
        What is put there.
    says
        Pieces of what is reported.
    key
        The key that is reported, where it is not spelled from the path.
    at
        TomlPath within the row to which the breach is reported, where it is not that of the change.
    """

    row: str
    sub: TomlPath
    value: Any
    says: tuple[str, ...]
    key: str = ""
    at: TomlPath | None = None

    def __str__(self) -> str:
        return f"{self.row}:{'.'.join(map(str, self.sub))}={str(self.value)[:20] if self.value is not GONE else 'gone'}"

    def breach(self, document: Document) -> TomlPath:
        """Change the document and give the path at which the breach is to be reported."""
        path = row_path(document, self.row)
        holder: Any = document
        for part in (*path, *self.sub[:-1]):
            holder = holder[part]
        if self.value is GONE:
            del holder[self.sub[-1]]
        elif isinstance(holder, list) and self.sub[-1] == len(holder):
            holder.append(self.value)
        else:
            holder[self.sub[-1]] = self.value
        return (*path, *(self.sub if self.at is None else self.at))

    def reported_key(self) -> str:
        """Give the key as the report spells it."""
        return self.key or ".".join(str(part) for part in self.sub if isinstance(part, str))


RECORDS = (
    Case("W1", ("size",), -1, ("size = -1", "a size is above zero")),
    Case("W1", ("size",), 0, ("size = 0", "above zero")),
    Case("W1", ("size",), True, ("size = true", "mm²")),
    Case("W1", ("length",), float("nan"), ("length = nan", "finite")),
    Case("W1", ("length",), -0.1, ("length = -0.1", "zero or above")),
    Case("W1", ("length",), "0.3", ('length = "0.3"', "a length in metres")),
    Case("W1", ("length",), 10**400, ("over twenty digits", "finite")),
    Case("W1", ("spare",), "yes", ('spare = "yes"', "true or false")),
    Case("W1", ("colr",), "RD", ("no such key in wires", "did you mean colour?")),
    Case("W1", ("zzzz",), 1, ("no such key in wires", "it takes id, label")),
    Case("W3", ("via",), "spine", ("a list of trunks",)),
    Case("F1", ("style",), "blde", ("blade, glass, link, breaker, thermal", "did you mean blade?")),
    Case("F1", ("amps",), float("inf"), ("amps = inf", "finite number above zero")),
    Case("BLOCK", ("hazard",), "fule", ("did you mean fuel?",)),
    Case("W7", ("id",), "7W", ('id = "7W"', "starts with a letter")),
    Case("V1", ("id",), GONE, ("no id",), "id", ()),
    Case("F2", ("label",), 5, ("label = 5", "text in quotes")),
    Case("build", ("nominal_volts",), 110, ("from 4 to 60",)),
    Case("build", ("nominal_volts",), GONE, ("no nominal_volts", "from 4 to 60"), at=()),
    Case("build", ("ground_side",), "plus", ("negative, positive",)),
    Case("build", ("voltage",), 12, ("no such key in build", "name, nominal_volts")),
    Case("defaults", ("crimp",), 0, ("crimp = 0", "above zero")),
    Case("defaults", ("contact",), 0, ("contact = 0", "above zero")),
    Case("running", ("charging",), 1, ("charging = 1", "true or false")),
    Case("dash", ("access",), "hard", ("open, panel, buried",)),
    Case("tail", ("exposure",), ["wett"], ("did you mean wet?",)),
    Case("K1", ("contacts",), "chanegover", ("make, break, changeover", "did you mean changeover?")),
    Case("K1", ("pull_in",), 0, ("pull_in = 0", "share")),
    Case("K2", ("contacts", "pulled", 0, 1), "4 5", ("a list of groups of terminals",), "contacts.pulled"),
    Case("K2", ("coils", 0, "ohms"), GONE, ("no ohms", "a resistance in ohms"), "coils.1.ohms", ("coils", 0)),
    Case("E1", ("elements", 0, "watts"), -55, ("watts = -55", "a power in watts"), "elements.dip.watts"),
    Case("E1", ("elements", 0, "colour"), "RD", ("no such key in elements",), "elements.dip.colour"),
    Case("E2", ("kind",), "lead", ("did you mean led?",)),
    Case("E2", ("works_in",), "running", ("list of texts",)),
    Case("A1", ("drivers", 0, "pulls"), "up", ("ground, feed",), "drivers.pump.pulls"),
    Case("A1", ("feeds",), [], ("at least one row",)),
    Case("S2", ("positions", "side"), 3, ("a table from each position",)),
    Case("X1", ("cavities",), 2.5, ("whole number",)),
    Case("X1", ("halves", 0), "2", ("not a number",), "halves"),
    Case("K1", ("pins", "30"), 0, ("cavity number of 1 or above",)),
    Case("R1", ("elements", 0, "ohms"), "low", ("a resistance", "or a table"), "elements.drop.ohms"),
    Case("G1", ("chemistry",), "nickel", ("lead, lithium",)),
    Case("G2", ("volts",), GONE, ("no volts", "a voltage"), at=()),
)

NAMES = (
    Case("V1", ("id",), "CHASSIS", ("give another id",)),
    Case("V1", ("id",), "N1", ("an id stands once in a file; joints has it (see line",)),
    Case("locations", (2,), {"name": "tail"}, ("a name stands once in locations (see line",), "name", (2, "name")),
    Case("trunks", (2,), {"name": "spine"}, ("a name stands once in trunks",), "name", (2, "name")),
    Case("key_states", (3,), {"name": "off"}, ("a name stands once in key_states",), "name", (3, "name")),
    Case("switches", (3,), {"id": "S4", "key": True}, ("one key switch; S1 is one",), "key", (3, "key")),
    Case("S2", ("terminals", 3), "in", ("in is there already",), "terminals"),
    Case("A1", ("drivers", 0, "terminal"), "15", ("15 is there already",), "drivers.15.terminal"),
    Case("A1", ("ground",), "30", ("30 is there already",), "ground"),
    Case("X2", ("halves",), ["front", "front"], ("front is there already",), "halves", ("halves", 1)),
    Case("G2", ("exciter", "terminal"), "-", ("the posts are + and -",)),
    Case("E1", ("elements", 1, "name"), "dip", ("each element has a name of its own",), "elements.dip.name"),
    Case("G1", ("location",), "dahs", ("no location of this name", "did you mean dash?")),
    Case("W6", ("to_location",), "garage", ("there are dash, tail",)),
    Case("W3", ("via", 1), "tial run", ("no trunk of this name", "did you mean tail run?"), "via"),
    Case("F2", ("bus",), "BB3", ("no busbar of this name", "did you mean BB1?")),
    Case("F2", ("bus",), "J1", ("no busbar of this name",)),
    Case("GND2", ("body",), "BLOK", ("no body of this name", "did you mean BLOCK?")),
    Case("S2", ("inside",), "A2", ("no part with this id; there is A1",)),
    Case("S2", ("inside",), "S2", ("cannot sit inside itself",)),
    Case("W5", ("superseded_by",), "W44", ("no wire of this name", "did you mean W4?")),
    Case("W5", ("superseded_by",), "BB1", ("no wire of this name",)),
    Case("W4", ("superseded_by",), "W4", ("in place of itself",)),
)

KEYS = (
    Case("G2", ("active", 0), "runing", ("no key state of this name", "did you mean running?"), "active"),
    Case("E2", ("works_in", 0), "acc", ("there are off, ignition, running",), "works_in"),
    Case("A1", ("drivers", 0, "when", 0), "on", ("no key state of this name",), "drivers.pump.when"),
    Case("A1", ("outputs", 0, "when"), ["on"], ("no key state",), "outputs.5V.when", ("outputs", 0, "when", 0)),
    Case(
        "S3", ("follows",), {"crank": "open"}, ('crank = "open"', "no key state"), "follows.crank", ("follows", "crank")
    ),
    Case("S3", ("follows", "running"), "ajar", ("no position of this name", "closed, open")),
    Case("S2", ("rest",), "on", ("no position of this name", "off, side, head")),
    Case("E2", ("works_with", 0, "S2"), "sid", ("S2 has no such position; did you mean side?",), "works_with.1.S2"),
    Case(
        "E1",
        ("elements", 1, "works_with"),
        {"S9": "on"},
        ('S9 = "on"', "no switch of this name"),
        "elements.side.works_with.S9",
        ("elements", 1, "works_with", "S9"),
    ),
    Case(
        "S1", ("positions", "running"), GONE, ("no position running", "for each key state"), "positions", ("positions",)
    ),
    Case("S3", ("positions",), {}, ("at least one position",)),
    Case("S1", ("positions",), GONE, ("no positions", "for each key state")),
    Case("S1", ("positions", "crank"), [], ('a position "crank"', "and no other")),
)

POINTS = (
    Case("W5", ("from",), "K1.87b", ("no such point; K1 has 30, 87a, 87, 86, 85", "did you mean K1.87a?")),
    Case("W5", ("from",), "K1", ("no such point; K1 has 30",)),
    Case("W5", ("from",), "K9.87", ("no part with this id; there are K1, K2",)),
    Case("W5", ("from",), "QQQQ.1", ("no part with this id",)),
    Case("W2", ("to",), "BB1.3", ("BB1 is one point: write BB1",)),
    Case("W2", ("to",), "chassis", ("did you mean CHASSIS?",)),
    Case("W3", ("to",), "X1.front.5", ("the cavities of X1 are 1 to 4",)),
    Case("W3", ("to",), "X1.frnt.2", ("X1.front.2 or X1.rear.2", "did you mean front?")),
    Case("W3", ("to",), "X1.3", ("a cavity is named X1.front.3 or X1.rear.3",)),
    Case("W3", ("to",), "X1.front.01", ("1 to 4",)),
    Case("W4", ("to",), "W1.a", ("no point along a wire",)),
    Case("W4", ("to",), "W6.a", ("its free ends are W6.b",)),
    Case("W4", ("to",), "N1", ("N1 is a joint",)),
    Case("W1", ("from",), "G1.\x1b+", ("G1.\\u001b+", "no such point; G1 has +, -")),
    Case("N1", ("to",), "GND9", ("no part with this id; did you mean GND1?",)),
    Case("build", ("reference",), "G1.minus", ("no such point; G1 has +, -",)),
    Case("W1", ("to",), "G1.+", ("a wire joins two different points",)),
    Case("W7", ("to",), "F3.in", ("a wire joins two different points",)),
    Case("W6", ("from",), "W6.b", ("a wire joins two different points",), "to", ()),
    Case("N1", ("from",), "GND1", ("two different points",), "to", ("to",)),
)

PARTS = (
    Case("F2", ("amps",), GONE, ("no amps", "unless its style is thermal"), at=()),
    Case("P1", ("amps",), GONE, ("no watts, amps or ohms", "or elements"), "watts", ()),
    Case("P1", ("ohms",), 2, ("amps and ohms", "exactly one")),
    Case("E1", ("elements", 0, "watts"), GONE, ("no watts, amps or ohms",), "elements.dip.watts", ("elements", 0)),
    Case("E1", ("elements", 0, "ohms"), 2, ("watts and ohms",), "elements.dip.ohms"),
    Case("E1", ("watts",), 60, ("in each of them",)),
    Case("W1", ("size",), "AWG 50", ('"AWG 40" to "AWG 4/0"',)),
    Case("W1", ("size",), "1.5", ('size = "1.5"',)),
    Case("defaults", ("size",), "thin", ('size = "thin"',)),
    Case("W1", ("colour",), "rd/bk", ("IEC 60757", "did you mean RD/BK?")),
    Case("W1", ("colour",), "green", ("did you mean GN?",)),
    Case("W1", ("colour",), "GN/WH/RD", ("base and stripe",)),
    Case("W1", ("colour",), "42", ("BK, BN, RD",)),
    Case(
        "S2",
        ("positions", "side"),
        [["in", "59"]],
        ("S2 has no terminal 59; it has in, 58, 56",),
        at=("positions", "side", 0),
    ),
    Case("S2", ("positions", "side"), [["in"]], ("two or more different terminals",), at=("positions", "side", 0)),
    Case("S2", ("positions", "side"), [["in", "in"]], ("[in, in]", "different"), at=("positions", "side", 0)),
    Case(
        "switches",
        (3,),
        {"id": "S4", "terminals": ["a", "b"]},
        ("no positions: then on joins 1 and 2",),
        "positions",
        (3,),
    ),
    Case(
        "S3",
        ("terminals",),
        ["a", "b"],
        ("no terminal 1 or 2; it has a, b",),
        "positions.closed",
        ("positions", "closed", 0),
    ),
    Case("K2", ("contacts", "pulled", 0), ["30"], ("two or more different",), "contacts.pulled"),
    Case("E1", ("elements", 0, "to"), "56b", ("an element lies between two different",), "elements.dip.to"),
    Case("R1", ("elements", 0, "to"), "1", ("an element lies between two different",), "elements.drop.to"),
    Case("K2", ("coils", 0, "to"), "50", ("a coil lies between two different",), "coils.1.to"),
    Case("K2", ("coil_ohms",), 80, ("coil_ohms alone",)),
    Case("K1", ("coil_diode",), 30, ("between 86 and 85",)),
    Case("A1", ("drivers", 0, "from"), "31", ("no feed of this name", "there are 15, 30"), "drivers.pump.from"),
    Case("A1", ("outputs", 0, "from"), "51", ("no feed of this name",), "outputs.5V.from"),
    Case("A1", ("delicate", 0), "6V", ("no terminal of this name",), "delicate"),
    Case("R2", ("elements", 0, "ohms", "rest"), GONE, ("no rest",), "elements.level.ohms", ("elements", 0, "ohms")),
    Case("R2", ("elements", 0, "ohms", "rest"), "full", ("no position of this name",), "elements.level.ohms.rest"),
    Case("R2", ("elements", 0, "ohms", "empty"), "open", ("a position has its ohms",), "elements.level.ohms.empty"),
    Case("X1", ("face", 1, 1), 1, ("1 is there already",), "face"),
    Case("X1", ("face", 1, 1), 5, ("cavity 5", "run from 1 to 4"), "face"),
    Case("K1", ("face", 0, 1), 1, ("1 is there already",), "face"),
    Case("K1", ("pins", "88"), 6, ("no terminal of this name",)),
    Case("K1", ("pins", "86"), 1, ("30 is in it already",)),
    Case("BB1", ("pins",), {"1": 1}, ("this one has no terminals",), "pins.1", ("pins", "1")),
)

CASES = (*RECORDS, *NAMES, *KEYS, *POINTS, *PARTS)
