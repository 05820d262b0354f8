"""What stands where in a picture in SVG, for the tests of its layout."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass
from itertools import pairwise

from model.sheets.text_widths import text_width

_SVG = "{http://www.w3.org/2000/svg}"
_LINES = frozenset({"main", "lead", "hang"})


@dataclass(frozen=True)
class Area:
    """A rectangle of the picture."""

    left: float
    top: float
    right: float
    bottom: float
    words: str = ""

    def meets(self, other: Area, by: float = 0.2) -> bool:
        """Tell whether two rectangles have more than their rim in common."""
        across = min(self.right, other.right) - max(self.left, other.left)
        down = min(self.bottom, other.bottom) - max(self.top, other.top)
        return across > by and down > by

    def holds(self, other: Area, by: float = 0.2) -> bool:
        """Tell whether a rectangle lies in this one."""
        is_across = self.left - by <= other.left and other.right <= self.right + by
        return is_across and self.top - by <= other.top and other.bottom <= self.bottom + by


@dataclass
class Drawn:
    """The rectangles of a picture: the whole of it, its boxes, its texts, its lines as thin ones."""

    whole: Area
    frames: list[Area]
    texts: list[Area]
    lines: list[Area]


def drawn(picture: str) -> Drawn:
    """Read a picture."""
    root = ET.fromstring(picture)
    left, top, across, down = map(float, root.attrib["viewBox"].split())
    found = Drawn(Area(left, top, left + across, top + down), [], [], [])
    _read(root, found, 0.0, 0.0)
    return found


def _read(element: ET.Element, found: Drawn, dx: float, dy: float) -> None:
    for child in element:
        name, kinds = child.tag.removeprefix(_SVG), child.attrib.get("class", "").split()
        if name == "g":
            moved = re.fullmatch(r"translate\((\S+) (\S+)\)", child.attrib["transform"])
            assert moved is not None
            _read(child, found, dx + float(moved[1]), dy + float(moved[2]))
        elif name == "rect" and "frame" in kinds:
            x, y, width, height = (float(child.attrib[key]) for key in ("x", "y", "width", "height"))
            found.frames.append(Area(dx + x, dy + y, dx + x + width, dy + y + height))
        elif name == "text":
            found.texts.append(_text(child, kinds, dx, dy))
        elif name == "path" and _LINES & set(kinds):
            found.lines += _segments(child.attrib["d"], dx, dy)


def _text(element: ET.Element, kinds: list[str], dx: float, dy: float) -> Area:
    words, size = element.text or "", float(element.attrib["font-size"])
    x, y = dx + float(element.attrib["x"]), dy + float(element.attrib["y"])
    width = text_width(words, size, bold="b" in kinds)
    left = x - width if "e" in kinds else x
    return Area(left, y - 0.74 * size, left + width, y + 0.2 * size, words)


def _segments(path: str, dx: float, dy: float) -> list[Area]:
    """Give the stretches of a path of absolute moves, across and down alone."""
    points: list[tuple[float, float]] = []
    for letter, numbers in re.findall(r"([MHV])([-\d. ]+)", path):
        values = [float(one) for one in numbers.split()]
        match letter:
            case "M":
                points.append((values[0], values[1]))
            case "H":
                points.append((values[0], points[-1][1]))
            case _:
                points.append((points[-1][0], values[0]))
    assert "".join(re.findall(r"[A-Za-z]", path)).strip("MHV") == ""
    return [
        Area(dx + min(a[0], b[0]), dy + min(a[1], b[1]), dx + max(a[0], b[0]) + 0.5, dy + max(a[1], b[1]) + 0.5)
        for a, b in pairwise(points)
    ]
