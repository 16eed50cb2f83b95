"""Piece -> its drawing: SVG at true size that a person can read and compare."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator
from xml.sax.saxutils import quoteattr

from tiler.output.folder.corners import marks_of
from tiler.output.folder.order import in_reading_order
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import AND, Lies, Piece, Role, styles_in
from tiler.pattern.path import Path, circle
from tiler.pattern.segment import Cubic, Straight

#: Room round what is drawn, millimetres.
_MARGIN = 10
#: Nearer than this (millimetres) two paths are written alike.
_ALIKE = 1e-5


def offset_of(piece: Piece) -> tuple[int, int]:
    """Whole millimetres by which a piece is moved so that nothing lies off the page.

    A page begins at 0, so a piece that reaches to the left of that or below it is moved; any
    other stays where it is.
    """
    bounds = piece.bounds
    return _inwards(bounds.left), _inwards(bounds.bottom)


def drawing_of(piece: Piece, places: int) -> str:
    """The SVG of one piece; one user unit is a millimetre.

    Args:
        piece: As read.
        places: Decimal places of the coordinates.

    Raises:
        PatternError: It is drafted already, or a style has a name that no class can hold.
    """
    if piece.stitch or piece.shared:
        raise PatternError(
            "the piece is drafted already, and a pattern folder holds it as traced",
            where=f"piece {piece.name}",
            remedy="Write the pattern as it was read.",
        )
    dx, dy = offset_of(piece)
    bounds = piece.bounds
    width, height = (math.ceil(x) + _MARGIN for x in (bounds.right + dx, bounds.top + dy))
    pen = DrawingPen(Affine(1, 0, 0, -1, dx, height - dy), places)
    words = f"{piece.name}: drawn at true size, 1 unit = 1 mm"
    return framed(width, height, words, _elements(in_reading_order(piece), pen))


def framed(width: int, height: int, words: str, elements: Iterable[str]) -> str:
    """A whole SVG file of thin black lines; one user unit is a millimetre.

    Args:
        width: Of the page, millimetres.
        height: Of the page, millimetres.
        words: A comment on what it is.
        elements: What is drawn.
    """
    return "\n".join(
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
            f'viewBox="0 0 {width} {height}">',
            f"<!-- {_comment(words)} -->",
            '<g fill="none" stroke="black" stroke-width="0.5">',
            *(f"  {element}" for element in elements),
            "</g>",
            "</svg>",
            "",
        )
    )


def _inwards(low: float) -> int:
    return 0 if low >= 0 else math.ceil(-low) + _MARGIN


def _comment(name: str) -> str:
    """Words inside of a comment, where two hyphens may not follow one another."""
    words = "".join(letter if letter.isprintable() else " " for letter in name)
    return re.sub("-(?=-)", "- ", words)


def _elements(piece: Piece, pen: DrawingPen) -> Iterator[str]:
    for outline in piece.outlines:
        yield pen.draw(outline.path, _classes(piece, outline.role, outline.style))
    for line in piece.lines:
        yield pen.draw(line.path, _classes(piece, line.role, line.style))
    for fold, style in _folds(piece):
        yield pen.draw(fold, _classes(piece, Role.FOLD, style))
    for mark in piece.marks:
        yield pen.draw(mark.path, _classes(piece, mark.role, mark.style))
    if piece.grain:
        yield pen.draw(piece.grain, Role.GRAIN)
    for corner in marks_of(piece):
        yield pen.dot(corner, "corner", 0.5)


def _folds(piece: Piece) -> Iterator[tuple[Path, str]]:
    """Edges that lie on the fold in some styles only; words would fold them in all."""
    lies: dict[str, set[Lies]] = {}
    for outline in piece.outlines:
        for edge in outline.edges:
            lies.setdefault(edge.letter, set()).add(edge.lies)
    for outline in piece.outlines:
        for edge in outline.edges:
            if edge.lies is Lies.FOLD and len(lies[edge.letter]) > 1:
                yield edge.path, outline.style


def _classes(piece: Piece, role: Role, style: str) -> str:
    if AND in style:
        raise PatternError(
            f"a line belongs to the styles {' and '.join(styles_in(style))} together, and the "
            "class of a line names one",
            where=f"piece {piece.name}",
            remedy="A tracing draws what styles share once, for all. Write the folder from the "
            "traced pattern, not from a drafted one that nests its styles.",
        )
    if re.search(r"[\s,;]", style):
        raise PatternError(
            f'the class of a line cannot hold the style "{style}"',
            where=f"piece {piece.name}",
            remedy="Give the style a name of one word.",
        )
    return f"{role} style:{style}" if style else role.value


class DrawingPen:
    """Writes paths as elements.

    Args:
        at: From the piece's millimetres, y up, to the page's, y down.
        places: Decimal places of the coordinates.
    """

    def __init__(self, at: Affine, places: int) -> None:
        self._at = at
        self._places = places

    def draw(self, path: Path, classes: str) -> str:
        """The shortest element that draws a path; one without classes says nothing of its role."""
        round_one = _as_circle(path)
        if round_one is not None:
            return self.dot(round_one[0], classes, round_one[1])
        if len(path.segments) == 1 and isinstance(path.segments[0], Straight) and not path.closed:
            (x1, y1), (x2, y2) = self._at(path.start), self._at(path.end)
            named = zip(("x1", "y1", "x2", "y2"), (x1, y1, x2, y2), strict=True)
            ends = " ".join(f'{name}="{self._number(value)}"' for name, value in named)
            return f"<line{_class(classes)} {ends}/>"
        return f'<path{_class(classes)} d="{self._data(path)}"/>'

    def dot(self, centre: Point, classes: str, radius: float) -> str:
        """A circle."""
        x, y = map(self._number, self._at(centre))
        return f'<circle{_class(classes)} cx="{x}" cy="{y}" r="{self._number(radius)}"/>'

    def _data(self, path: Path) -> str:
        segments = path.segments
        if path.closed and len(segments) > 1 and isinstance(segments[-1], Straight):
            # The way home is drawn by the Z.
            segments = segments[:-1]
        parts = [f"M {self._pair(path.start)}"]
        for segment in segments:
            command = "C" if isinstance(segment, Cubic) else "L"
            parts.append(f"{command} {' '.join(map(self._pair, segment[1:]))}")
        return "\n    ".join(parts) + (" Z" if path.closed else "")

    def _pair(self, point: Point) -> str:
        x, y = self._at(point)
        return f"{self._number(x)},{self._number(y)}"

    def _number(self, value: float) -> str:
        words = f"{value:.{self._places}f}"
        if "." in words:
            words = words.rstrip("0").rstrip(".")
        return "0" if words == "-0" else words


def _class(classes: str) -> str:
    return f" class={quoteattr(classes)}" if classes else ""


def _as_circle(path: Path) -> tuple[Point, float] | None:
    """Centre and radius when a path is just what a circle in a drawing is read as."""
    if not path.closed or len(path.segments) != 4:
        return None
    bounds = path.bounds
    centre, radius = bounds.centre, bounds.width / 2
    # Clockwise from the right, since the y of a drawing points down.
    drawn = circle(Point(0, 0), radius).moved(Affine(1, 0, 0, -1, centre.x, centre.y))
    alike = all(
        isinstance(a, Cubic) and all(p.to(q) <= _ALIKE for p, q in zip(a, b, strict=True))
        for a, b in zip(path.segments, drawn.segments, strict=True)
    )
    return (centre, radius) if alike else None
