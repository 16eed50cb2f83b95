"""Shapes that programs put round or under the lines, and that nobody drew as a line."""

from __future__ import annotations

from collections.abc import Iterable

from tiler.intake.drawn import Unseen
from tiler.intake.svg.notices import Notices
from tiler.intake.svg.paint import Paint
from tiler.intake.svg.roles import layer_names
from tiler.intake.svg.xmltree import Node
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import Path
from tiler.pattern.segment import Straight

#: How far (millimetres) a background may fall short of the page, or a node of it lie off its sides.
PAGE_REACH = 0.5


class UnseenLines:
    """Tells of lines that are left out because nobody sees them, and remembers their layers.

    Args:
        notices: Where it tells.
    """

    def __init__(self, notices: Notices) -> None:
        self._notices = notices
        self._seen: set[Node] = set()
        self._layers: dict[str, Unseen] = {}

    @property
    def layers(self) -> dict[str, Unseen]:
        """Layer name -> why lines in it were left out, the first reason of each."""
        return dict(self._layers)

    def hidden(self, node: Node, place: str, layers: Iterable[str]) -> None:
        """An element that is not displayed, with all that is in it."""
        self._remember(layers, Unseen.HIDDEN)
        todo = [node]
        while todo:
            inner = todo.pop()
            if inner in self._seen:
                continue
            self._seen.add(inner)
            if inner.name == "g":
                self._remember(layer_names(inner), Unseen.HIDDEN)
            todo.extend(inner.children)
        self._notices.note(
            "hidden",
            place,
            "{count} hidden element(s) were left out. Show them in the editor if they belong to the"
            " piece.",
        )

    def ignored(self, layers: Iterable[str]) -> None:
        """A line with the role ignore; its maker knows."""
        self._remember(layers, Unseen.IGNORED)

    def unpainted(self, place: str, layers: Iterable[str]) -> None:
        """A line without any paint, of which the drawing does not say what it is for."""
        self._remember(layers, Unseen.UNPAINTED)
        self._notices.note(
            "unpainted",
            place,
            "{count} line(s) without fill, stroke and role were left out, since nobody sees them."
            " Give them a stroke, or a class such as cut or stitch, if they belong to the piece.",
        )

    def background(self, place: str, layers: Iterable[str]) -> None:
        """A filled shape that covers the page."""
        self._remember(layers, Unseen.BACKGROUND)
        self._notices.note(
            "background",
            place,
            "{count} filled shape(s) without stroke and role that cover the whole page were taken"
            " as its background and left out. Give the shape a class such as cut or stitch if it"
            " is a piece.",
        )

    def _remember(self, layers: Iterable[str], why: Unseen) -> None:
        for layer in layers:
            self._layers.setdefault(layer, why)


def is_background(path: Path, paint: Paint, page: Bounds) -> bool:
    """Whether a path is an upright rectangle, filled and not stroked, that covers the page."""
    if paint.strokes or not paint.fills or not path.closed:
        return False
    bounds = path.bounds
    if not bounds.grown(PAGE_REACH).holds(page):
        return False
    if not all(isinstance(segment, Straight) for segment in path.segments):
        return False
    nodes = [segment.start for segment in path.segments]
    core = bounds.grown(-PAGE_REACH)
    on_sides = all(
        not (core.left < x < core.right and core.bottom < y < core.top) for x, y in nodes
    )
    corners = all(min(map(corner.to, nodes)) <= PAGE_REACH for corner in bounds.corners())
    # A line that goes to all corners may still cross the middle: the area tells.
    missing = bounds.width * bounds.height - abs(path.area)
    return on_sides and corners and missing <= 2 * PAGE_REACH * (bounds.width + bounds.height)
