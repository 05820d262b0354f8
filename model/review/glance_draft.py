"""The tree while it grows: nodes that may still change, then made small and put in order."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from model.review.glance import Gateway, Glance, Node, NodeKind, Outlet

_LEAVES = frozenset({NodeKind.CHARGER, NodeKind.TAKER, NodeKind.COIL, NodeKind.TIE, NodeKind.SEE})
_ORDER = (
    NodeKind.BAR,
    NodeKind.CHARGER,
    NodeKind.FUSE,
    NodeKind.TAKER,
    NodeKind.OUTLET,
    NodeKind.GATE,
    NodeKind.COIL,
    NodeKind.TIE,
    NodeKind.SEE,
)


@dataclass(eq=False)
class Draft:
    """A node that is not finished; the names are those of the finished one."""

    kind: NodeKind
    part_ids: tuple[str, ...]
    name: str = ""
    gateway: Gateway | None = None
    outlet: Outlet | None = None
    through: tuple[Gateway, ...] = ()
    ground_through: tuple[tuple[str, ...], ...] = ()
    also: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    sees: str = ""
    wire_ids: tuple[str, ...] = ()
    children: list[Draft] = field(default_factory=list)

    def add(self, child: Draft) -> Draft:
        """Hang a node on this one and give it."""
        self.children.append(child)
        return child


def finished(roots: list[Draft]) -> Glance:
    """Make the tree small and put it in order: gates that feed one thing alone are told of with that thing."""
    for node in reversed(_each(roots)):
        node.children = _small_children(node)
        node.children.sort(key=lambda child: _ORDER.index(child.kind))
    nodes: list[Node] = []
    waiting: list[tuple[Draft, int, int, frozenset[str]]] = [(root, -1, 0, frozenset()) for root in reversed(roots)]
    while waiting:
        draft, parent, depth, said = waiting.pop()
        place = len(nodes)
        is_source = draft.kind is NodeKind.SOURCE
        nodes.append(_node(draft, parent, depth, said | frozenset(draft.also) if is_source else said))
        # behind a fuse everything is told anew
        told = frozenset(draft.also) if draft.kind is NodeKind.FUSE else said | frozenset(draft.also)
        waiting += [(child, place, depth + 1, told) for child in reversed(draft.children)]
    return Glance(tuple(nodes))


def _node(draft: Draft, parent: int, depth: int, said: frozenset[str]) -> Node:
    return Node(
        draft.kind,
        parent,
        depth,
        draft.part_ids,
        draft.name,
        draft.gateway,
        draft.outlet,
        draft.through,
        draft.ground_through,
        tuple(label for label in draft.also if label not in said),
        draft.beside,
        draft.sees,
        draft.wire_ids,
    )


def _each(roots: list[Draft]) -> list[Draft]:
    """List all nodes, each before its children."""
    found: list[Draft] = []
    waiting = list(roots)
    while waiting:
        node = waiting.pop()
        found.append(node)
        waiting += node.children
    return found


def _small_children(node: Draft) -> list[Draft]:
    """Give the children of a node made small; a gate with one outlet that leads anywhere takes it over."""
    leading = [child for child in node.children if child.kind is not NodeKind.OUTLET or child.children]
    if node.kind is NodeKind.GATE and node.gateway is not None and len(leading) == 1:
        only = leading[0]
        node.gateway = replace(node.gateway, outlet=only.outlet or Outlet())
        node.also, node.beside = only.also, only.beside
        return only.children
    return [small for child in leading for small in _small(child)]


def _small(node: Draft) -> list[Draft]:
    """Give what is left of a node whose children are small already."""
    if node.kind not in (NodeKind.GATE, NodeKind.OUTLET):
        return [node]
    if not node.children:
        return []
    if len(node.children) > 1:
        return [node]
    child = node.children[0]
    if node.kind is NodeKind.OUTLET and child.outlet is None:
        child.outlet = node.outlet
        _take_over(node, child)
        return [child]
    if node.kind is NodeKind.GATE and child.kind in _LEAVES and not child.children and node.gateway is not None:
        child.outlet = node.outlet
        child.through = (node.gateway, *child.through)
        _take_over(node, child)
        return [child]
    return [node]


def _take_over(node: Draft, child: Draft) -> None:
    """Say of a child what is said of a node that goes."""
    child.also = tuple(dict.fromkeys((*node.also, *child.also)))
    child.beside = tuple(dict.fromkeys((*node.beside, *child.beside)))
