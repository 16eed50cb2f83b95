"""<use>: what it points at, and how many elements that makes in the end."""

from __future__ import annotations

from tiler.intake.svg import limits
from tiler.intake.svg.xmltree import XLINK_HREF, Node, Tree

#: Elements whose content is drawn in place.
GROUPS = frozenset({"svg", "g", "a", "switch"})


def target_of(tree: Tree, use: Node) -> Node | None:
    """The element of this file that a <use> copies; None when there is none."""
    link = href(use).strip()
    return tree.by_id.get(link[1:]) if link.startswith("#") else None


def href(node: Node) -> str:
    """Where an element points; `href` comes before the older `xlink:href` (SVG 2, 16.1.5)."""
    link = node.get("href")
    return (node.get(XLINK_HREF) or "") if link is None else link


def check_copies(tree: Tree) -> None:
    """Refuse <use> elements that go round in circles or multiply without end.

    Counts, without making them, the elements that all copies together come to; the time is linear
    in the size of the file.

    Raises:
        DrawingError: A circle, or more or deeper copies than the limits allow.
    """
    sizes: dict[Node, tuple[int, int, int]] = {}
    open_nodes: set[Node] = set()
    todo: list[tuple[Node, bool]] = [(tree.root, False)]
    while todo:
        node, ready = todo.pop()
        if ready:
            open_nodes.discard(node)
            sizes[node] = _measured(tree, node, sizes)
            continue
        if node in sizes:
            continue
        open_nodes.add(node)
        todo.append((node, True))
        for inner in _drawn_inside(tree, node):
            if inner in open_nodes:
                raise _circle(node)
            if inner not in sizes:
                todo.append((inner, False))


def _drawn_inside(tree: Tree, node: Node) -> list[Node]:
    if node.name == "use":
        target = target_of(tree, node)
        return [] if target is None else [target]
    if node.name in GROUPS or node.name == "symbol":
        return [child for child in node.children if child.name != "symbol"]
    return []


def _measured(
    tree: Tree, node: Node, sizes: dict[Node, tuple[int, int, int]]
) -> tuple[int, int, int]:
    total, deepest, links = 1, 0, 0
    for inner in _drawn_inside(tree, node):
        size, depth, chain = sizes[inner]
        total, deepest, links = total + size, max(deepest, depth), max(links, chain)
    deepest += 1
    links += node.name == "use"
    if total > limits.ELEMENTS:
        raise limits.too_many_copies(node.place)
    if links > limits.USE_DEPTH:
        raise limits.copies_too_deep(node.place)
    if deepest > limits.NESTING:
        raise limits.too_deep(node.place)
    return total, deepest, links


def _circle(node: Node) -> Exception:
    return node.fault(
        "it copies itself, directly or through others",
        "Unlink the clone in the editor, or point its href at another element.",
    )
