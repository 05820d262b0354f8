"""Small signs of the picture of a loom: battery, bar, fuse, contact, and the marks at the end of a line."""

from __future__ import annotations

from collections.abc import Iterator
from typing import assert_never

from model.review.glance import NodeKind


def sign(kind: NodeKind, x: float, y: float) -> Iterator[str]:
    """Draw the sign of a place that leads further, 18 wide.

    Parameters
    ----------
    x, y
        Its left end, on the line of the feed.
    """
    match kind:
        case NodeKind.SOURCE:
            yield _stroke(f"M{x:g} {y:g}h7m0 -6v12m4 -9v6m0 -3h7")
        case NodeKind.BAR:
            yield f'<rect class="full" x="{x:g}" y="{y - 2:g}" width="18" height="4"/>'
        case NodeKind.FUSE:
            yield f'<rect class="open" x="{x + 2:g}" y="{y - 3.5:g}" width="14" height="7"/>'
            yield _stroke(f"M{x:g} {y:g}h18")
        case NodeKind.GATE:
            yield _stroke(f"M{x:g} {y:g}h4l9 -6m1 6h4")
            yield f'<circle class="full" cx="{x + 4:g}" cy="{y:g}" r="1.6"/>'
            yield f'<circle class="full" cx="{x + 14:g}" cy="{y:g}" r="1.6"/>'
        case NodeKind.OUTLET:
            yield f'<circle class="open" cx="{x + 14:g}" cy="{y:g}" r="3"/>'
            yield _stroke(f"M{x:g} {y:g}h11")
        case NodeKind.UNFED:
            yield _stroke(f"M{x + 4:g} {y - 4:g}l8 8m0 -8l-8 8")
        case NodeKind.GROUND:
            yield _stroke(f"M{x + 9:g} {y - 6:g}v5m-7 0h14m-11.5 3h9m-6.5 3h4")
        case NodeKind.CHARGER | NodeKind.TAKER | NodeKind.COIL | NodeKind.TIE | NodeKind.SEE:
            return
        case _:
            assert_never(kind)


def end_mark(kind: NodeKind, x: float, y: float) -> Iterator[str]:
    """Draw the mark at the end of a line: open ring a load, block a coil, disc a charger, arrow a way to elsewhere."""
    match kind:
        case NodeKind.COIL:
            yield f'<rect class="open" x="{x - 2.5:g}" y="{y - 3.5:g}" width="5" height="7"/>'
        case NodeKind.CHARGER:
            yield f'<circle class="full" cx="{x:g}" cy="{y:g}" r="3"/>'
        case NodeKind.TIE | NodeKind.SEE:
            yield f'<path class="full" d="M{x - 3:g} {y - 3.5:g}l6 3.5l-6 3.5z"/>'
        case NodeKind.GATE | NodeKind.OUTLET:
            yield f'<circle class="full" cx="{x:g}" cy="{y:g}" r="1.8"/>'
        case _:
            yield f'<circle class="open" cx="{x:g}" cy="{y:g}" r="2.6"/>'


def _stroke(path: str) -> str:
    return f'<path class="sign" d="{path}"/>'
