"""The edges of a piece for the screen: cut line, seam, allowance between them, and its words."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from tiler.intake.ring import SPECK
from tiler.pattern.affine import Point
from tiler.pattern.model import AND, Edge, Lies, Piece
from tiler.pattern.path import Path
from tiler.pattern.segment import Segment, Straight
from tiler.sheets.drawing import Fill, Group, Item, Pen, Stroke, Words
from tiler.sheets.lettering import BODY, SMALL
from tiler.sheets.runstrokes import run_strokes

#: Lines along a whole edge, under the lines that are seen; a page shows them when it is chosen.
_WAY = Pen(0.05, grey=0.8)
#: How far the words stand from their edge, and from one another, millimetres.
_AWAY, _LINE = 6.0, 4.5


@dataclass(frozen=True)
class ToldEdge:
    """An edge of some styles, from its cut line to its seam.

    Args:
        edge: Of the outline.
        seam: The same edge of the stitch ring; None when that is not known.
        style: Its styles, joined by `AND`; empty when all share it.
        allowance: Millimetres; None when nobody has said.
    """

    edge: Edge
    seam: Edge | None
    style: str
    allowance: float | None

    @property
    def length(self) -> float:
        """Millimetres on the stitch line, or on the outline where the stitch line is not known."""
        return (self.seam or self.edge).path.length


def in_style(items: list[Item], style: str) -> list[Item]:
    """Items in the layer of their style; as they are when all styles share them."""
    return [Group(tuple(items), layers=(f"style:{style}",))] if style and items else items


def told_edges(piece: Piece) -> tuple[ToldEdge, ...]:
    """The edges of all outlines in the order of their letters; what styles share is told once."""
    found: dict[tuple[str, Path], list[str]] = {}
    facts: dict[tuple[str, Path], tuple[Edge, Edge | None]] = {}
    for number, outline in enumerate(piece.outlines):
        rings = piece.stitch[number : number + 1]
        seams = {edge.letter: edge for ring in rings for edge in ring.edges}
        for edge in outline.edges:
            key = edge.letter, edge.path
            found.setdefault(key, []).append(outline.style)
            facts.setdefault(key, (edge, seams.get(edge.letter)))
    told = []
    for key, styles in found.items():
        edge, seam = facts[key]
        style = "" if len(styles) == len(piece.outlines) else AND.join(styles)
        told.append(ToldEdge(edge, seam, style, piece.allowance_of(edge)))
    return tuple(sorted(told, key=lambda each: (len(each.edge.letter), each.edge.letter)))


def allowance_bands(piece: Piece) -> list[Item]:
    """What lies between the cut line and the seam of each edge, in the layers `allowance:B`."""
    items: list[Item] = []
    for each in told_edges(piece):
        if each.seam is not None and each.edge.path != each.seam.path:
            band = _band(each.edge.path, each.seam.path)
            fill = in_style([Fill((band,), 0.9)], each.style)
            items.append(Group(tuple(fill), layers=(f"allowance:{each.edge.letter}",)))
    return items


def edge_groups(
    piece: Piece, order: tuple[str, ...], told: Callable[[float], str], fold: str
) -> list[Item]:
    """A layer `edge:B` for each letter.

    It holds `cut` (or `fold`), what is drawn of the outline; and for each of the edge's ways a
    layer `tag`, with the whole line along the outline in `way`, the seam in `sewn`, and the words
    beside them: letter, name, what is said of a fold, styles, length; some may be empty.

    Args:
        piece: Drafted.
        order: The pattern's styles.
        told: How a length is told.
        fold: What is said of a fold.
    """
    ways = told_edges(piece)
    items: list[Item] = []
    for letter in dict.fromkeys(each.edge.letter for each in ways):
        own = [each for each in ways if each.edge.letter == letter]
        drawn = [*_outlines(piece, letter, order)]
        for each in own:
            drawn += in_style([_tag(each, told, fold)], each.style)
        items.append(Group(tuple(drawn), layers=(f"edge:{letter}",)))
    return items


def _outlines(piece: Piece, letter: str, order: tuple[str, ...]) -> Iterator[Item]:
    runs = [run for run in piece.runs if run.edge.letter == letter]
    for style in dict.fromkeys(run.style for run in runs):
        for folded in (False, True):
            some = [r for r in runs if r.style == style and (r.edge.lies is Lies.FOLD) is folded]
            strokes = run_strokes(some, order)
            if strokes:
                name = "fold" if folded else some[0].role.value
                yield from in_style([Group(tuple(strokes), layers=(name,))], style)


def _tag(each: ToldEdge, told: Callable[[float], str], fold: str) -> Group:
    edge = each.edge
    items: list[Item] = [Group((Stroke((edge.path,), _WAY),), layers=("way",))]
    if each.seam is not None:
        items.append(Group((Stroke((each.seam.path,), _WAY),), layers=("sewn",)))
    lies = fold if edge.lies is Lies.FOLD else ""
    lines = (edge.letter, edge.name, lies, each.style, told(each.length))
    middle, (dx, dy) = edge.path.point_at(edge.path.length / 2)
    # Edges run clockwise: outside is to the left.
    at = Point(middle.x - dy * _AWAY, middle.y + dx * _AWAY)
    for number, text in enumerate(lines):
        size = SMALL if number else BODY
        spot = Point(at.x, at.y - number * _LINE)
        items.append(Words(text, spot, size, anchor="middle", bold=not number))
    return Group(tuple(items), layers=("tag",))


def _band(cut: Path, seam: Path) -> Path:
    """From the cut line to the seam and back, closed."""
    back = seam.reversed()
    segments: list[Segment] = [*cut.segments]
    if cut.end.to(back.start) > SPECK:
        segments.append(Straight(cut.end, back.start))
    segments += back.segments
    return Path(tuple(segments), closed=True)
