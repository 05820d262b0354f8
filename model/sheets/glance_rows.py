"""The loom at a glance for scripts and spreadsheets: a row a place, each with the number of the one above it."""

from __future__ import annotations

from typing import Any

from model.harness.harness import Harness
from model.review.glance import Gateway, Glance, Node, Outlet
from model.sheets.glance_words import never_probed_words, told
from model.sheets.plan_csv import Cell, csv_text

FORMAT = "fusewalk glance"
COLUMNS = ("number", "under", "level", "kind", "parts", "circuit", "label", "figure", "words", "also fed by")


def glance_csv(harness: Harness, tree: Glance) -> str:
    """Give the tree as comma-separated values."""
    return csv_text(COLUMNS, (_cells(harness, number, node) for number, node in enumerate(tree.nodes, 1)))


def glance_json(harness: Harness, tree: Glance) -> dict[str, Any]:
    """Give the tree as one JSON object: a list of places, each with the place of its parent in it, none of a root."""
    build = harness.build
    return {
        "format": FORMAT,
        "vehicle": build.name,
        "revision": build.revision,
        "nominal_volts": build.nominal_volts,
        "ground_side": build.ground_side,
        "cautions": list(never_probed_words(harness)),
        "nodes": [_node(harness, node) for node in tree.nodes],
    }


def _cells(harness: Harness, number: int, node: Node) -> tuple[Cell, ...]:
    words = told(harness, node)
    return (
        number,
        node.parent + 1 if node.parent >= 0 else None,
        node.depth + 1,
        str(node.kind),
        "; ".join(node.part_ids),
        node.name,
        words.label,
        words.figure,
        "; ".join(words.details),
        "; ".join(node.also),
    )


def _node(harness: Harness, node: Node) -> dict[str, Any]:
    words = told(harness, node)
    return {
        "kind": str(node.kind),
        "parent": node.parent if node.parent >= 0 else None,
        "parts": list(node.part_ids),
        "name": node.name,
        "label": words.label,
        "figure": words.figure,
        "gate": None if node.gateway is None else _gateway(node.gateway),
        "outlet": None if node.outlet is None else _outlet(node.outlet),
        "through": [_gateway(gateway) for gateway in node.through],
        "ground_through": [list(group) for group in node.ground_through],
        "also": list(node.also),
        "by_way_of": list(node.beside),
        "sees": node.sees,
        "wires": list(node.wire_ids),
    }


def _gateway(gateway: Gateway) -> dict[str, Any]:
    return {
        "parts": list(gateway.part_ids),
        **_outlet(gateway.outlet),
        "worked_by": list(gateway.worked_by),
        "coils_on": list(gateway.coils_on),
    }


def _outlet(outlet: Outlet) -> dict[str, Any]:
    return {"terminals": list(outlet.terminals), "positions": list(outlet.positions)}
