"""The same list in every spelling that spreadsheets have is the same harness."""

import itertools

import pytest

from model.errors import FusewalkError
from model.harness.parts_list_read import PartsList
from model.harness.wire_list_cells import length_m_of, number_of, size_of
from model.harness.wire_list_colours import ColourUse, colour_of, colour_use
from model.harness.wire_list_loom import make_loom
from model.harness.wire_list_points import Known, named
from model.harness.wire_list_remark import ListRefusedError
from model.harness.wire_list_repair import readable
from model.harness.wire_list_rows import EndWords, read_wire_list
from model.harness.wire_list_sheet import Sheet, read_sheet

COLOURS = ("RD", "GN/WH", "BK", "YE/BU", "VT")


def two_hundred_wires() -> list[tuple[str, ...]]:
    """Make the cells of two hundred wires: twenty circuits from a bar through fuse, switch and lamp to ground."""
    rows: list[tuple[str, ...]] = []
    for number in range(1, 51):
        ends = (
            ("BB1", f"F{number}.in"),
            (f"F{number}.out", f"S{number}:1"),
            (f"S{number}-2", f"E{number} +"),
            (f"E{number} -", f"GND{number % 4 + 1}"),
        )
        for at, (start, end) in enumerate(ends):
            size, length = f"{0.75 + at * 0.25}", f"{0.3 + number * 0.05:.2f}"
            label = f"Rücklicht {number}" if at == 2 else ""
            rows.append((f"W{len(rows) + 1}", start, end, COLOURS[number % 5], size, length, label))
    return rows


def spelled(rows: list[tuple[str, ...]], separator: str, encoding: str, decimal: str) -> bytes:
    """Spell rows as a spreadsheet does."""
    heads = ("Wire", "From", "To", "Colour", "Size (mm²)", "Length [m]", "Function")
    lines = []
    for row in (heads, *rows):
        cells = [
            cell.replace(".", decimal) if at in (4, 5) and row is not heads else cell for at, cell in enumerate(row)
        ]
        lines.append(separator.join(f'"{cell}"' if separator in cell else cell for cell in cells))
    return "\r\n".join(lines).encode(encoding)


@pytest.mark.first_few(4)
@pytest.mark.parametrize(
    ("separator", "encoding", "decimal"),
    list(itertools.product(",;\t", ("utf-8", "utf-8-sig", "cp1252", "utf-16"), ".,")),
)
def test_every_spelling_of_a_list_gives_the_same_harness(separator: str, encoding: str, decimal: str) -> None:
    """Separator, encoding and decimal sign change nothing of two hundred wires."""
    rows = two_hundred_wires()
    text, harness = _made(spelled(rows, separator, encoding, decimal))
    assert text == _made(spelled(rows, ",", "utf-8", "."))[0]
    assert len(harness.wires) == 200
    assert harness.wires[2].label == "Rücklicht 1"
    assert harness.wires[3].size == 1.5
    assert harness.wires[3].length == pytest.approx(0.35)
    assert (harness.wires[0].from_point, harness.wires[0].to_point) == ("BB1", "F1.in")
    assert [harness.wires[at].to_point for at in (1, 2, 3)] == ["S1.1", "E1.+", "GND2"]


def _made(content: bytes):  # type: ignore[no-untyped-def] # noqa: ANN202
    return readable(make_loom(read_wire_list(content, "wires.csv"), PartsList(), "made"), "made.toml")


@pytest.mark.parametrize(
    ("text", "part", "half", "terminal"),
    [
        ("K1.30", "K1", "", "30"),
        ("K1:30", "K1", "", "30"),
        ("K1/30", "K1", "", "30"),
        ("K1-30", "K1", "", "30"),
        ("K1 30", "K1", "", "30"),
        ("k1 pin 30", "K1", "", "30"),
        ("K1 (87a)", "K1", "", "87a"),
        ("K 1 Klemme 87a", "K1", "", "87a"),
        ("X2 4", "X2", "", "4"),
        ("X1.dash.4", "X1", "dash", "4"),
        ("G1+", "G1", "", "+"),
        ("G1.-", "G1", "", "-"),
        ("BB1", "BB1", "", ""),
        ("relay K3 87", "K3", "", "87"),
        ("chassis", "CHASSIS", "", ""),
        ("Masse", "CHASSIS", "", ""),
        ("earth", "CHASSIS", "", ""),
        ("ground 3", "GND3", "", ""),
        ("GND-2", "GND2", "", ""),
        ("F1 out", "F1", "", "out"),
        ("Fuse 1 out", "F1", "", "out"),
        ("fuse 12", "F12", "", ""),
        ("Fuse #3", "F3", "", ""),
        ("Relay no. 2 pin 87", "K2", "", "87"),
        ("Sicherung Nr. 2", "F2", "", ""),
        ("Sicherung 3 Ausgang", "F3", "", "Ausgang"),
    ],
)
def test_an_end_is_read_however_it_is_written(text: str, part: str, half: str, terminal: str) -> None:
    """Part, half and terminal come out of one cell, whatever stands between them."""
    found = named(EndWords(text), Known())
    assert found is not None
    assert (found.part, found.half, found.terminal) == (part, half, terminal)


@pytest.mark.parametrize(
    ("text", "label", "terminal"),
    [
        ("Fuel pump +", "Fuel pump", "+"),
        ("Head lamp left 56b", "Head lamp left", "56b"),
        ("battery positive", "battery", "+"),
        ("B+", "Battery", "+"),
        ("Tail lamp 2", "Tail lamp 2", ""),
        ("trailer plug 4", "trailer plug", "4"),
        ("Zündschloss Kl. 30", "Zündschloss", "30"),
        ("ECU pin 14", "ECU", "14"),
        ("Left tail", "Left tail", ""),
        ("indicator switch L", "indicator switch", "L"),
        ("Headlight L", "Headlight L", ""),
    ],
)
def test_a_part_without_id_is_known_by_its_label(text: str, label: str, terminal: str) -> None:
    """A terminal behind a label is parted from it; the number of one of several parts is not."""
    found = named(EndWords(text), Known())
    assert found is not None
    assert (found.part, found.label, found.terminal) == ("", label, terminal)


def test_what_stands_behind_a_numbered_fuse_is_its_label() -> None:
    """“Fuse 3 fuel pump” is the fuse F3 with a label."""
    found = named(EndWords("Fuse 3 fuel pump"), Known())
    assert found is not None
    assert (found.part, found.label, found.terminal) == ("F3", "fuel pump", "")


def test_a_rating_behind_an_id_is_the_rating() -> None:
    """``F3 15A`` is fuse F3 with fifteen amperes, ``E1 55 W`` a lamp of fifty-five watts."""
    fuse, lamp = named(EndWords("F3 15A"), Known()), named(EndWords("E1 (55 W)"), Known())
    assert fuse is not None
    assert lamp is not None
    assert (fuse.part, fuse.amps) == ("F3", 15.0)
    assert (lamp.part, lamp.watts) == ("E1", 55.0)


@pytest.mark.parametrize(
    ("text", "unit", "size"),
    [
        ("1,5", "", 1.5),
        ("1.5 mm²", "", 1.5),
        ("1,5mm2", "", 1.5),
        ("0.35 qmm", "", 0.35),
        ("AWG 16", "", "AWG 16"),
        ("16 AWG", "", "AWG 16"),
        ("16ga", "", "AWG 16"),
        ("16", "awg", "AWG 16"),
        ("1/0", "", "AWG 1/0"),
        ("0000 AWG", "", "AWG 4/0"),
        ("0 AWG", "", "AWG 1/0"),
    ],
)
def test_a_size_is_read_in_mm2_or_as_a_gauge(text: str, unit: str, size: float | str) -> None:
    """Comma or point, unit or none, gauge before or behind its number; 0 is 1/0 (ASTM B258)."""
    assert size_of(text, unit) == size


@pytest.mark.parametrize("text", ["", "thick", "0", "-1", "2x1.5", "AWG 77", "1e9", "nan", "1.5 V"])
def test_a_size_that_is_none_is_refused(text: str) -> None:
    """What is neither an area nor a gauge is told."""
    with pytest.raises(ListRefusedError):
        size_of(text)


@pytest.mark.parametrize(
    ("text", "unit", "metres"),
    [
        ("1,2", "m", 1.2),
        ("1200", "mm", 1.2),
        ("1.200", "mm", 1.2),
        ("120 cm", "m", 1.2),
        ("3 ft", "m", 0.9144),
        ("3'6\"", "m", 1.0668),
        ("12 in", "m", 0.3048),
        (",5", "m", 0.5),
    ],
)
def test_a_length_is_read_with_its_unit(text: str, unit: str, metres: float) -> None:
    """A foot is 0.3048 m and an inch 0.0254 m exactly (international yard and pound agreement, 1959)."""
    assert length_m_of(text, unit) == pytest.approx(metres)


@pytest.mark.parametrize(
    ("text", "value"), [("1.234,5", 1234.5), ("1,234.5", 1234.5), ("1 200", 1200), ("2e-3", 0.002)]
)
def test_numbers_with_thousands_are_read(text: str, value: float) -> None:
    """Of two signs the last is the decimal one."""
    assert number_of(text) == value


@pytest.mark.parametrize(
    ("text", "use", "code"),
    [
        ("RD/BK", ColourUse.ANY, "RD/BK"),
        ("red with black stripe", ColourUse.ANY, "RD/BK"),
        ("rot-schwarz", ColourUse.ANY, "RD/BK"),
        ("swrt", ColourUse.ANY, "BK/RD"),
        ("gnye", ColourUse.ANY, "GNYE"),
        ("light green", ColourUse.ANY, "GN"),
        ("gr/bl", ColourUse.GERMAN, "GY/BU"),
        ("n/u", ColourUse.ONE_LETTER, "BN/BU"),
    ],
)
def test_a_colour_becomes_its_code(text: str, use: ColourUse, code: str) -> None:
    """Codes and words of English and German become base and stripe in the codes of IEC 60757."""
    assert colour_of(text, use) == code


def test_short_forms_are_german_only_where_the_list_is() -> None:
    """``gr`` is grey beside ``sw`` and nothing that is known beside English words."""
    assert colour_use(["gr", "sw"]) is ColourUse.GERMAN
    with pytest.raises(ListRefusedError):
        colour_of("gr", colour_use(["red", "gr"]))


@pytest.mark.parametrize(
    "content", [b"", b"\n\n", b"nothing,to,see\n1,2,3\n", b"\x00\x00\x00", b"from,where\nK1.30,x\n"]
)
def test_a_list_without_ends_is_refused_with_what_was_seen(content: bytes) -> None:
    """Where no column says from where to where nothing can be made of a list."""
    with pytest.raises(FusewalkError, match=r"no column says|is empty"):
        read_wire_list(content, "wires.csv")


def test_a_list_without_headings_is_read_by_its_columns() -> None:
    """From, to, colour and size in this order need no headings, an id before them neither."""
    found = read_wire_list(b"1,G1.+,F1.in,RD,6\n2,F1.out,S1.1,RD/WH,1.5\n", "wires.csv")
    assert [(wire.id, wire.keys["size"]) for wire in found.wires] == [("1", 6.0), ("2", 1.5)]


def test_cells_in_quotes_may_hold_anything() -> None:
    """Separators, doubled quotes and line ends stand in quoted cells; lines are counted as in the file."""
    sheet: Sheet = read_sheet(b'from,to\r\n"a, ""b""","c\r\nd"\r\ne,f\r\n', "list.csv", lambda rows: 0)
    assert [(row.line, row.cells) for row in sheet.rows] == [
        (1, ("from", "to")),
        (2, ('a, "b"', "c d")),
        (4, ("e", "f")),
    ]


ONE_ROW = (
    "No,From part,From pin,To part,To pin,Colour,Size (mm²),Length [m]\n1,G1,+,F1,in,RD,6,0.3\n2,F1,out,E1,+,YE,1.5,2\n"
)


@pytest.mark.parametrize(
    "heads",
    [
        ",From,,To,,Wire,,\nNo,Part,Pin,Part,Pin,Colour,mm²,Length",
        ",From,From,To,To,Wire,Wire,Wire\nNo,Part,Pin,Part,Pin,Colour,Size,Length",
        "No,From,,To,,Colour,Size,Length\n,Part,Pin,Part,Pin,,(mm²),[m]",
        "Loom of the cart\n,Von,,Nach,,Leitung,,\nNr,Bauteil,Klemme,Bauteil,Klemme,Farbe,Querschnitt,Länge",
    ],
)
def test_headings_in_two_rows_are_read_together(heads: str) -> None:
    """“From” over “Part” and “Pin” is the part and the pin of the from end, however the cells were merged."""
    rows = ONE_ROW.partition("\n")[2]
    _, harness = _made(f"{heads}\n{rows}".encode())
    assert harness.wires == _made(ONE_ROW.encode())[1].wires
    assert [(wire.id, wire.from_point, wire.size) for wire in harness.wires] == [
        ("W1", "G1.+", 6),
        ("W2", "F1.out", 1.5),
    ]


def test_a_row_of_units_below_the_headings_is_no_wire() -> None:
    """Units that stand in a row of their own are those of the columns above them."""
    text = "from,to,size,length\n,,AWG,ft\nG1.+,F1.in,10,3\nF1.out,E1.+,16,10\n"
    _, harness = _made(text.encode())
    assert [wire.size for wire in harness.wires] == ["AWG 10", "AWG 16"]
    assert [wire.length for wire in harness.wires] == [pytest.approx(0.9144), pytest.approx(3.048)]


@pytest.mark.parametrize("first", ["G1.+,F1.in,RD,6", "A,B,RD,6", "start,end,RD,6", ",,,"])
def test_the_first_wire_is_never_taken_for_headings(first: str) -> None:
    """One row of headings stays one, whatever the first wire below it is called."""
    found = read_wire_list(f"from,to,colour,size\n{first}\nF1.out,E1.+,YE,1.5\n".encode(), "wires.csv")
    assert [wire.line for wire in found.wires] == ([3] if first == ",,," else [2, 3])
