"""What the tests of cards, search and faults share: a build to look at, and a harness of every kind of part."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import tomli_w
from textual.pilot import Pilot
from textual.screen import Screen

from model.harness.toml_file import read_harness
from tests.tui.on_screen import NASTY, at_rest
from tui.app import FusewalkApp
from tui.places import demo_builds
from tui.standing import Standing, stand
from tui.widgets.rows import RowList

BUGGY = next(path for path in demo_builds() if path.stem == "trail_buggy")
CAVITIES = 10_000


def every_kind(directory: Path) -> Path:
    """Write a harness with a part of every kind, nasty words wherever words may stand, and return where.

    A plug has ten thousand cavities and no face, some parts have no place, one wire is a restraint's.
    """
    labels = iter([text for text in NASTY if "\ud800" not in text] * 3)

    def part(part_id: str, **row: object) -> dict[str, Any]:
        return {"id": part_id, "label": next(labels), **row}

    tables: dict[str, Any] = {
        "format": 1,
        "build": {"name": "Every kind [b]", "nominal_volts": 12},
        "key_states": [{"name": "off [/]"}, {"name": "on \x1b[2J"}],
        "locations": [{"name": "[red]", "access": "panel", "reach": "[/] off\x07", "exposure": ["hot"]}],
        "trunks": [{"name": "[@click=app.quit]t[/]", "length": 1.0}],
        "batteries": [part("G1", location="[red]")],
        "chargers": [part("G2", volts=14.2, exciter={"terminal": "D+"})],
        "busbars": [part("BB1")],
        "splices": [part("J1", note="[b] note \x1b]0;t\x07")],
        "joints": [part("N1", **{"from": "R1.case", "to": "CHASSIS"})],
        "fuses": [part("F1", amps=10.0, bus="BB1"), part("F2", style="thermal")],
        "switches": [part("S1", location="[red]", picture="[/] picture.png")],
        "relays": [part("K1", pins={"30": 1, "87": 2, "85": 3, "86": 4}, face=[[1, 0, 2], [3, 4, 5]], inside="A1")],
        "loads": [
            part("E1", kind="lamp", elements=[
                {"name": "dip", "from": "56b", "to": "31", "watts": 55.0},
                {"name": "main", "from": "56a", "to": "31", "watts": 60.0},
            ]),
            part("P1", kind="horn", amps=4.0, hazard="fuel"),
        ],
        "modules": [
            part("A1", feeds=[{"terminal": "15", "amps": 1.0}], outputs=[{"terminal": "ref", "volts": 5.0}]),
            part("A2", feeds=[{"terminal": "15", "amps": 1.0}], hazard="restraint"),
        ],
        "diodes": [part("V1")],
        "resistors": [part("R1", elements=[{"name": "level", "from": "1", "to": "case", "ohms": 100.0}])],
        "connectors": [
            part("X1", cavities=6, face=[[1, 2, 3], [4, 5, 6]], halves=["dash", "body"]),
            part("X2", cavities=CAVITIES),
        ],
        "grounds": [part("GND1", location="[red]")],
        "wires": [
            part("W1", **{"from": "G1.+", "to": "BB1", "colour": "GNYE", "size": 2.5, "length": 0.5}),
            part("W2", **{"from": "F1.out", "to": "X1.dash.6", "colour": "GN/WH", "via": ["[@click=app.quit]t[/]"]}),
            part("W3", **{"from": "X1.body.6", "to": "S1.1", "colour": "GN/WH", "size": "AWG 16"}),
            part("W4", **{"from": "S1.2", "to": "K1.86"}),
            part("W5", **{"from": "K1.85", "to": "GND1"}),
            part("W6", **{"from": "BB1", "to": "K1.30"}),
            part("W7", **{"from": "K1.87", "to": "E1.56b"}),
            part("W8", **{"from": "E1.31", "to": "GND1"}),
            part("W9", **{"from": "BB1", "to": "A2.15", "colour": "YE"}),
            part("W10", **{"from": "X2.plug.9999", "to": "P1.+"}),
            part("W11", spare=True),
            part("W12", **{"from": "J1", "superseded_by": "W7"}),
            part("W13", **{"from": "G1.-", "to": "GND1"}),
            part("W14", **{"from": "P1.-", "to": "GND1"}),
            part("W15", **{"from": "BB1", "to": "X2.socket.9999"}),
        ],
    }  # fmt: skip
    path = directory / "every_kind.toml"
    path.write_bytes(tomli_w.dumps(tables).encode())
    return path


def put_on_bench(path: Path = BUGGY, key: str | None = None) -> Standing:
    """Return a harness as it stands, the key in one of its states."""
    standing = stand(path, read_harness(path))
    while key is not None and standing.condition.key != key:
        standing = standing.turned(1)
    return standing


@asynccontextmanager
async def looking_at(
    screen: Screen[Any] | None, standing: Standing, size: tuple[int, int] = (80, 24)
) -> AsyncIterator[Pilot[Any]]:
    """Open a screen over the choice of a file, the harness on the bench."""
    app = FusewalkApp()
    async with app.run_test(size=size) as pilot:
        app.standing = standing
        if screen is not None:
            await app.push_screen(screen)
            await at_rest(pilot)
        yield pilot


def row_texts(rows: RowList) -> list[str]:
    """Return what the rows of a list say."""
    return [row.content.plain for row in rows.rows]


def no_control_bytes(shown: str) -> bool:
    """Tell whether nothing on the screen would be obeyed by a terminal."""
    return not any(ord(sign) < 32 or 0x7F <= ord(sign) < 0xA0 for sign in shown.replace("\n", ""))


def app_of(pilot: Pilot[Any]) -> FusewalkApp:
    """Return the app as what it is."""
    app = pilot.app
    assert isinstance(app, FusewalkApp)
    return app


def standing_of(pilot: Pilot[Any]) -> Standing:
    """Return what stands on the bench."""
    standing = app_of(pilot).standing
    assert standing is not None
    return standing
