"""What the picture says of an edge: letter, name, length and seam allowance."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

import shapely

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Edge, Lies, Piece
from tiler.pattern.path import Path, circle, polyline
from tiler.pattern.units import format_mm
from tiler.sheets.drawing import Item, Pen, Stroke, Words
from tiler.sheets.lettering import BODY, SMALL, depth_of, height_of, width_of
from tiler.sheets.room import Room
from tiler.sheets.upright import corners_along, upright

#: Radius of the ring round a letter, millimetres.
RING = 2.7
LENGTH = 8.0
#: How far from its edge a tag may stand (negative: inside the piece), best first, millimetres.
_AWAY = (1.2, 2.5, 4.0, 6.0, 8.5, 11.0, 14.0, -2.0, -4.0, -7.0, -10.0, -14.0)
#: Of a piece with more edges than this, each tag is tried at a few places only.
MANY = 120
_SHARES = (0.5, 0.42, 0.58, 0.34, 0.66, 0.25, 0.75, 0.15, 0.85, 0.07, 0.93)
#: A tag further from its edge than this has a line that leads to it, millimetres.
_LEADS = 2.2
#: Free paper between a tag and the next one, millimetres.
_ROUND = 0.8
_RING = Pen(0.2)
_LEADER = Pen(0.1, grey=0.5)


@dataclass(frozen=True)
class Tagged:
    """An edge as the picture names it.

    Args:
        edge: Of the outline.
        length: What is told as its length, millimetres.
        allowance: Width of its seam allowance, millimetres; None when not known.
        styles: The styles that it belongs to; empty when all share it.
        band: Whether its stitch line is drawn beside it.
    """

    edge: Edge
    length: float
    allowance: float | None
    styles: tuple[str, ...]
    band: bool


def tagged_edges(piece: Piece, banded: bool) -> list[Tagged]:
    """The edges of all styles, each once, the shortest first; it has the least choice of place.

    Lengths are those of the stitch line where it is known.

    Args:
        piece: Drafted.
        banded: Whether the stitch line is drawn.
    """
    found: dict[tuple[str, Path], list[str]] = {}
    facts: dict[tuple[str, Path], tuple[Edge, float]] = {}
    for number, outline in enumerate(piece.outlines):
        seams = {e.letter: e for ring in piece.stitch[number : number + 1] for e in ring.edges}
        for edge in outline.edges:
            key = edge.letter, edge.path
            found.setdefault(key, []).append(outline.style)
            seam = seams.get(edge.letter, edge)
            facts.setdefault(key, (edge, seam.path.length))
    tagged = []
    for key, styles in found.items():
        edge, length = facts[key]
        own = () if len(styles) == len(piece.outlines) else tuple(styles)
        tagged.append(
            Tagged(edge, length, piece.allowance_of(edge), own, banded and _has_band(edge))
        )
    return sorted(tagged, key=lambda each: each.edge.path.length)


def _has_band(edge: Edge) -> bool:
    return edge.lies is not Lies.FOLD and edge.allowance != 0


def allowance_number(tagged: Tagged, at: Affine, room: Room) -> list[Item]:
    """The allowance in millimetres, set between cut and stitch line; nothing where it has no room.

    Args:
        tagged: The edge.
        at: From the piece to the picture.
        room: What is on the picture.
    """
    if not tagged.band or not tagged.allowance:
        return []
    text = _number(tagged.allowance)
    path = tagged.edge.path.moved(at)
    depth = tagged.allowance * math.sqrt(abs(at.determinant)) / 2
    half, up = width_of(text, SMALL) / 2, height_of(SMALL) / 2
    for share in _SHARES:
        point, along = path.point_at(path.length * share)
        # Edges run clockwise: inside is to the right.
        middle = Point(point.x + along[1] * depth, point.y - along[0] * depth)
        forward, degrees = upright(along)
        corners = corners_along(middle, forward, half, -up, up)
        if room.take_if_free(corners, 0.22):
            base = Point(middle.x + forward[1] * up, middle.y - forward[0] * up)
            return [Words(text, base, SMALL, anchor="middle", turn=degrees, grey=0.15)]
    return []


def _number(width: float) -> str:
    return format_mm(width).removesuffix(" mm")


@dataclass
class _Tag:
    """The ring and the words beside it, in lines from the top."""

    letter: str
    lines: list[list[tuple[str, float]]] = field(default_factory=list)

    @property
    def width(self) -> float:
        return 2 * RING + 0.8 + max(self.width_of_line(line) for line in self.lines)

    @property
    def height(self) -> float:
        return max(2 * RING, sum(self.height_of_line(line) for line in self.lines))

    @staticmethod
    def width_of_line(line: list[tuple[str, float]]) -> float:
        return sum(width_of(text, size) for text, size in line) + 1.0 * (len(line) - 1)

    @staticmethod
    def height_of_line(line: list[tuple[str, float]]) -> float:
        return max(height_of(size) + depth_of(size) for _, size in line) + 0.35

    def placed(self, box: Bounds) -> Iterator[Item]:
        centre = Point(box.left + RING, box.centre.y)
        size = BODY if len(self.letter) == 1 else SMALL
        yield Stroke((circle(centre, RING - 0.2),), _RING)
        yield Words(
            self.letter,
            Point(centre.x, centre.y - height_of(size) / 2),
            size,
            anchor="middle",
            bold=True,
        )
        top = box.centre.y + sum(self.height_of_line(line) for line in self.lines) / 2
        for line in self.lines:
            base = top - max(height_of(size) for _, size in line) - 0.25
            left = box.left + 2 * RING + 0.8
            for text, size in line:
                yield Words(text, Point(left, base), size)
                left += width_of(text, size) + 1.0
            top -= self.height_of_line(line)


def edge_tag(
    tagged: Tagged, at: Affine, room: Room, *, numbered: bool, crowded: bool = False
) -> list[Item]:
    """The letter in a ring near the edge, with its name and length, and a line that leads to it.

    Args:
        tagged: The edge.
        at: From the piece to the picture.
        room: What is on the picture.
        numbered: Whether the allowance is told already, between the lines.
        crowded: Whether the piece has more than `MANY` edges.
    """
    path = tagged.edge.path.moved(at)
    length = [(format_mm(tagged.length, 0), LENGTH)]
    if tagged.allowance and not numbered:
        length.append((f"+{_number(tagged.allowance)}", SMALL))
    styles = ", ".join(tagged.styles)
    name = " · ".join(part for part in (tagged.edge.name, styles) if part)
    full = _Tag(tagged.edge.letter, [[(name, SMALL)], length] if name else [length])
    bare = _Tag(
        tagged.edge.letter,
        [[(styles, SMALL)], length] if styles else [length],
    )
    for tag, air in ((bare, 0.4),) if crowded else ((full, 0.4), (bare, 0.4), (bare, 0.0)):
        spots = {
            box: foot for box, foot in _spots(path, tag, crowded) if not _struck(box, foot, room)
        }
        box = room.first_free(list(spots), air)
        if box is not None:
            room.take(box.grown(_ROUND))
            break
    else:
        box, foot = next(iter(_spots(path, bare, crowded)))
        spots = {box: foot}
        room.take(box)
    foot = spots[box]
    items = list(tag.placed(box))
    near = _nearest(box, foot)
    if near.to(foot) > _LEADS:
        items.insert(0, Stroke((polyline([near, foot]),), _LEADER))
        room.take_shape(shapely.LineString([near, foot]).buffer(0.1))
    return items


def _spots(path: Path, tag: _Tag, crowded: bool) -> Iterable[tuple[Bounds, Point]]:
    """Boxes for a tag with the place on the edge that each belongs to, best first."""
    width, height = tag.width, tag.height
    feet = [path.point_at(path.length * share) for share in _SHARES[: 3 if crowded else None]]
    for away in _AWAY[: 5 if crowded else None]:
        side = math.copysign(1.0, away)
        for point, (dx, dy) in feet:
            # Edges run clockwise: outside is to the left.
            out_x, out_y = -dy, dx
            reach = away + side * (width / 2 * abs(out_x) + height / 2 * abs(out_y))
            x, y = point.x + out_x * reach, point.y + out_y * reach
            yield Bounds(x - width / 2, y - height / 2, x + width / 2, y + height / 2), point


def _struck(box: Bounds, foot: Point, room: Room) -> bool:
    """Whether a line that leads from a tag to its edge would run through other words."""
    near = _nearest(box, foot)
    return near.to(foot) > _LEADS and room.words_between(foot, near)


def _nearest(box: Bounds, to: Point) -> Point:
    """The point of a box that is nearest to a point."""
    return Point(min(max(to.x, box.left), box.right), min(max(to.y, box.bottom), box.top))
