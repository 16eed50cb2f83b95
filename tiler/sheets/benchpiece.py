"""A drafted piece for the screen: every thing that can be chosen lies in a layer of its own."""

from __future__ import annotations

from collections.abc import Callable

from tiler.drafting.seamlines import seam_lines
from tiler.pattern.affine import Affine
from tiler.pattern.model import Lies, Line, Pattern, Piece, Role
from tiler.pattern.path import Path
from tiler.sheets.arrow import arrowhead
from tiler.sheets.benchpieceedges import allowance_bands, edge_groups, in_style
from tiler.sheets.benchpiecemarks import dart_groups, mark_groups
from tiler.sheets.bracket import draw_small_bracket
from tiler.sheets.drawing import Drawing, Fill, Group, Item, Stroke, Words
from tiler.sheets.pens import GRAIN, line_pen
from tiler.sheets.room import Room

#: Length of the grainline's heads beside the length of the line, and at most, millimetres.
_HEAD, _LONGEST_HEAD = 0.08, 20.0
#: A fold edge so long (millimetres) has the bracket of a small drawing.
_BRACKET = 150.0
#: Lines that are drawn along the rings; all others lie on the piece.
_SEAMS = (Role.STITCH, Role.FOLD)


def draw_benchpiece(
    piece: Piece, pattern: Pattern, told: Callable[[float], str], fold: str
) -> Drawing:
    """A piece in its own coordinates, millimetres, in layers that a page can colour and choose.

    From back to front: `paper`, `allowance` (holding `allowance:B` for each edge), `bracket`,
    `pocket`, `inside`, `fold`, `stitch`, `grain`, `dart:1` …, `edge:B` …, `notch:1` …, `mark:1` ….
    What only some styles have lies in a layer `style:KEY` inside of those, KEY as in `Run.style`.
    Numbers count from 1 in the order of the piece.

    Args:
        piece: Drafted, half pieces half; with all its styles, or as `only_styles` leaves it.
        pattern: What it belongs to.
        told: How a length is told.
        fold: What stands beside an edge on the fold.
    """
    order = tuple(name for name, _ in pattern.styles)
    layers: list[tuple[str, list[Item]]] = [
        ("paper", _paper(piece)),
        ("allowance", allowance_bands(piece)),
        ("bracket", _brackets(piece)),
        ("pocket", _lines(piece, order, Role.POCKET)),
        ("inside", _lines(piece, order, Role.INSIDE)),
        ("fold", _lines(piece, order, Role.FOLD)),
        ("stitch", _lines(piece, order, Role.STITCH)),
        ("grain", _grain(piece.grain) if piece.grain else []),
    ]
    items: list[Item] = [Group(tuple(drawn), layers=(name,)) for name, drawn in layers if drawn]
    items += dart_groups(piece)
    items += edge_groups(piece, order, told, fold)
    items += mark_groups(piece)
    return Drawing(piece.bounds, tuple(items))


def _paper(piece: Piece) -> list[Item]:
    items: list[Item] = []
    for outline in piece.outlines:
        items += in_style([Fill((outline.path,), 1.0)], outline.style)
    return items


def _lines(piece: Piece, order: tuple[str, ...], role: Role) -> list[Item]:
    items: list[Item] = []
    lines = [*piece.lines, *(_undrawn_seams(piece) if role in _SEAMS else ())]
    for line in lines:
        if line.role is role:
            pen = line_pen(line.role, order, line.style)
            items += in_style([Stroke((line.path,), pen)], line.style)
    return items


def _undrawn_seams(piece: Piece) -> tuple[Line, ...]:
    """The stitch lines that are known, of a piece on which none is drawn."""
    drawn = any(line.role is Role.STITCH for line in piece.lines)
    if drawn or not piece.stitch or piece.outlines[0].role is not Role.CUT:
        return ()
    widths = [{e.letter: piece.allowance_of(e) or 0.0 for e in r.edges} for r in piece.stitch]
    return seam_lines(piece.stitch, widths, piece.lines)


def _brackets(piece: Piece) -> list[Item]:
    """The sign of a fold, beside the longest fold edge; its depth grows with the edge."""
    folds = [run.edge.path for run in piece.runs if run.edge.lies is Lies.FOLD]
    if not folds:
        return []
    longest = max(folds, key=lambda path: path.length)
    factor = max(1.0, longest.length / _BRACKET)
    small = longest.moved(Affine.scale(1 / factor, 1 / factor))
    drawn = (i for i in draw_small_bracket(small, "", Room([])) if not isinstance(i, Words))
    return [Group(tuple(drawn), at=Affine.scale(factor, factor))]


def _grain(path: Path) -> list[Item]:
    start, end = path.start, path.end
    length = start.to(end)
    dx, dy = (end.x - start.x) / length, (end.y - start.y) / length
    size = min(_LONGEST_HEAD, length * _HEAD)
    heads = [arrowhead(end, (dx, dy), size), arrowhead(start, (-dx, -dy), size)]
    return [Stroke((path,), GRAIN), *heads]
