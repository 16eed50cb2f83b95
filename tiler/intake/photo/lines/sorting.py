"""The web of ink told apart: which lines are outlines of which piece, and what the others are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from tiler.intake.photo.lines.answers import bodies_of
from tiler.intake.photo.lines.asking import Asked, Undecided
from tiler.intake.photo.lines.crossings import contracted, tidied
from tiler.intake.photo.lines.deciding import Body
from tiler.intake.photo.lines.faces import bridges, components, faces_of, lettered, reading_order
from tiler.intake.photo.lines.folding import fold_lines
from tiler.intake.photo.lines.inks import with_inks
from tiler.intake.photo.lines.inner import Inner, taken_out
from tiler.intake.photo.lines.loose import Loose, Mark, loose_marks
from tiler.intake.photo.lines.net import Arc, Net, extent_of, length_of, merged, net_of
from tiler.intake.photo.lines.rings import SMALLEST, Shared, outline_of
from tiler.intake.photo.lines.shapes import drawn_through, lozenge_of
from tiler.intake.photo.lines.trees import is_straight, tree_of
from tiler.intake.photo.lines.turns import with_corners
from tiler.intake.photo.model import Kind, Numbers, Points, Traced, Tracing, Web
from tiler.intake.photo.problem import CaptureError, Doubts, TableSpot

#: What stands on an outline is no further from it, millimetres.
_STANDS = 2.5
#: Short lines so near (millimetres) to the tip and to the feet of a dart or bracket belong to it.
_AT_TIP, _AT_FOOT = 16.0, 4.0
#: Shorter lines beside all outlines (millimetres) are not worth a word.
_WORTH_A_WORD = 20.0
#: A loose line this long (millimetres) whose ends are nearer than this share of it is an outline
#: with a gap.
_OPEN, _OPEN_SHARE = 150.0, 0.4

__all__ = ["Asked", "Undecided", "tracings_of"]


@dataclass
class _Piece:
    body: Body
    outlines: tuple[Traced, ...]
    edge: shapely.MultiLineString
    area: shapely.MultiPolygon
    edges: set[int]
    lines: list[Traced]


def tracings_of(web: Web, asked: Asked, doubts: Doubts) -> tuple[Tracing, ...]:
    """Tell the lines apart.

    Args:
        web: All ink lines.
        asked: What the user said of the areas, empty at first.
        doubts: Where it is told what was left out or decided without them.

    Returns:
        A tracing a piece, in reading order from the upper left.

    Raises:
        CaptureError: There is no closed outline, or one that is no piece; what was asked for
            cannot be.
        Undecided: Only the user can say which lines are outlines; the areas have letters.
    """
    net, words = with_inks(net_of(web))
    net = tidied(contracted(merged(net)))
    loose_keys = bridges(net)
    core = net.only(set(net.arcs) - loose_keys)
    for part in components(core):
        if extent_of(np.vstack([core.arcs[key].points for key in part])) < SMALLEST:
            loose_keys |= part
    core = net.only(set(net.arcs) - loose_keys)
    if not core.arcs:
        raise _no_outline(net, loose_keys)
    areas, inner = taken_out(merged(core), doubts)
    faces = lettered(faces_of(areas))
    bodies = bodies_of(areas, faces, words, asked, doubts)
    pieces = [_outlined(areas, body) for body in bodies]
    edges = {key for piece in pieces for key in piece.edges}
    for piece in pieces:
        between = {key for face in piece.body.faces for key, _ in face.halves} - edges
        piece.lines += [_inside(areas.arcs[key]) for key in sorted(between)]
    taken = [(place, _AT_FOOT) for vee, _ in inner.darts for place in (vee.one, vee.other)]
    taken += [(vee.tip, _AT_TIP) for vee, _ in inner.darts]
    taken += [(arc.points[end], _AT_FOOT) for _, arc in inner.brackets for end in (0, -1)]
    loose = loose_marks(net, loose_keys, set(core.arcs), taken)
    _place_inner(pieces, inner)
    _place_loose(pieces, loose, doubts)
    _place_brackets(pieces, inner, loose, doubts)
    order = reading_order([np.array(piece.area.centroid.coords[0]) for piece in pieces])
    return tuple(
        Tracing((*pieces[n].outlines, *pieces[n].lines), pieces[n].body.name) for n in order
    )


def _no_outline(net: Net, keys: set[int]) -> CaptureError:
    if not keys:
        return CaptureError(
            "there is no line on the table",
            remedy="Draw the outline with a marker of 3 to 5 mm and take the photo again.",
            code="no-line",
        )
    rings = [arc for arc in net.arcs.values() if arc.start == arc.end]
    longest = max(net.arcs.values(), key=lambda arc: arc.length)
    if rings and longest.length < 3 * SMALLEST:
        ring = max(rings, key=lambda arc: arc.length).points
        return CaptureError(
            f"the largest closed line is only {extent_of(ring):.0f} mm across",
            remedy="Only outlines of 30 mm and more are read. Check the printed length of the "
            "cards.",
            table_spots=(TableSpot(ring, True, "too small"),),
            code="outline-small",
        )
    trees = [tree_of(net, part) for part in components(net.only(keys))]
    spine = max((tree.spine for tree in trees), key=length_of)
    return _open(spine)


def _open(spine: Points) -> CaptureError:
    gap = float(np.hypot(*(spine[-1] - spine[0])))
    return CaptureError(
        f"the outline is open: the ends of the longest line are {gap:.0f} mm apart",
        remedy="Close the gap with the marker, and take the photo again. Gaps of up to 6 mm are "
        "closed by themselves.",
        table_spots=(
            TableSpot(spine, False, ""),
            TableSpot(spine[:1], False, "one end"),
            TableSpot(spine[-1:], False, "other end"),
        ),
        code="outline-open",
    )


def _outlined(net: Net, body: Body) -> _Piece:
    """A piece with its outlines."""
    shared = Shared()
    outlines: list[Traced] = []
    edges: set[int] = set()
    several = len(body.styles) > 1
    for style, faces in sorted(body.styles, key=lambda each: -sum(f.area for f in each[1])):
        what = f" of the style {style}" if style else f" of the piece {body.name}" * bool(body.name)
        outline, keys = outline_of(net, faces, style if several else "", shared, what)
        outlines.append(outline)
        edges |= keys
    rings = [np.vstack([outline.points, outline.points[:1]]) for outline in outlines]
    whole = shapely.union_all([shapely.Polygon(ring).buffer(0) for ring in rings])
    parts = [part for part in shapely.get_parts(whole) if isinstance(part, shapely.Polygon)]
    names = [style for style, _ in body.styles]
    ordered = tuple(sorted(outlines, key=lambda o: names.index(o.style) if o.style in names else 0))
    return _Piece(
        body, ordered, shapely.MultiLineString(rings), shapely.MultiPolygon(parts), edges, []
    )


def _inside(arc: Arc) -> Traced:
    closed = arc.start == arc.end
    points = arc.points[:-1] if closed else arc.points
    return _traced(Kind.INSIDE, points, closed, arc.bridged, arc.unsure)


def _traced(kind: Kind, points: Points, closed: bool, bridged: Points, unsure: float) -> Traced:
    """A line with its own corners."""
    points, corners, _ = with_corners(points, closed)
    return Traced(kind, points, closed, corners, "", bridged, unsure)


def _place_inner(pieces: Sequence[_Piece], inner: Inner) -> None:
    for vee, arc in inner.darts:
        points, corners = drawn_through((vee.one, vee.tip, vee.other))
        line = Traced(Kind.DART, points, False, corners, "", arc.bridged, arc.unsure)
        _add(pieces, line, vee.one)
    for vee, arc in inner.notches:
        points, corners = drawn_through((vee.one, vee.tip, vee.other))
        line = Traced(Kind.NOTCH, points, False, corners, "", arc.bridged, arc.unsure)
        _add(pieces, line, vee.one)
    for ring, arc in inner.rings:
        lozenge = lozenge_of(ring)
        if lozenge is None:
            _add(pieces, _traced(Kind.INSIDE, ring, True, arc.bridged, arc.unsure))
            continue
        points, corners = drawn_through((*lozenge, lozenge[0]))
        line = Traced(Kind.DART, points[:-1], True, (0, *corners), "", arc.bridged, arc.unsure)
        _add(pieces, line)
    for arc in inner.chords:
        _add(pieces, _inside(arc))


def _place_loose(pieces: Sequence[_Piece], loose: Loose, doubts: Doubts) -> None:
    outside: list[Points] = []
    for mark in loose.marks:
        if not _add(pieces, _of_mark(mark), mark.foot):
            outside.append(mark.points)
    biggest = max(extent_of(o.points) for piece in pieces for o in piece.outlines)
    for points in outside:
        length = length_of(points)
        gap = float(np.hypot(*(points[-1] - points[0])))
        if length > max(_OPEN, biggest) and gap < _OPEN_SHARE * length:
            raise _open(points)
    told = [points for points in outside if length_of(points) > _WORTH_A_WORD]
    if told:
        lines = "a line lies" if len(told) == 1 else f"{len(told)} lines lie"
        doubts.add(
            "lines-outside",
            f"On the table, {lines} outside every outline, left out.",
            table=tuple(TableSpot(points, False, "left out") for points in told),
        )
    if loose.writing:
        doubts.add(
            "writing-left-out",
            "Some short lines look like writing and are left out. If one of them is meant, draw "
            "it apart from the others.",
            table=tuple(TableSpot(_box(points), True, "writing") for points in loose.writing),
        )


def _box(points: Points) -> Points:
    (left, low), (right, high) = points.min(axis=0) - 2, points.max(axis=0) + 2
    return np.array([[left, low], [right, low], [right, high], [left, high]])


def _of_mark(mark: Mark) -> Traced:
    bridged = mark.bridged if mark.bridged is not None else np.empty((0, 2))
    if mark.kind is Kind.INSIDE:
        return _traced(mark.kind, mark.points, mark.closed, bridged, mark.unsure)
    return Traced(mark.kind, mark.points, mark.closed, mark.corners, "", bridged, mark.unsure)


def _add(pieces: Sequence[_Piece], line: Traced, foot: Numbers | None = None) -> bool:
    """Give a line to the piece that it stands on or lies in.

    Returns:
        Whether there is one.
    """
    if foot is not None and line.kind in (Kind.NOTCH, Kind.DART):
        place = shapely.Point(foot)
        near = min(pieces, key=lambda piece: float(piece.edge.distance(place)))
        if near.edge.distance(place) <= _STANDS:
            near.lines += [replace(line, style=style) for style in _styles_at(near, foot)]
            return True
        if line.kind is Kind.NOTCH:
            line = replace(line, kind=Kind.INSIDE)
    holders = [piece for piece in pieces if _share_inside(line.points, piece) > 0.5]
    if not holders:
        return False
    smallest = min(holders, key=lambda piece: float(piece.area.area))
    smallest.lines.append(line)
    return True


def _styles_at(piece: _Piece, foot: Numbers) -> list[str]:
    """The styles on whose outline a place is; one empty name where all have it."""
    place = shapely.Point(foot)
    styles = [
        outline.style
        for outline in piece.outlines
        if shapely.LinearRing(outline.points).distance(place) <= _STANDS
    ]
    return styles if 0 < len(styles) < len(piece.outlines) else [""]


def _share_inside(points: Points, piece: _Piece) -> float:
    return float(np.mean(shapely.contains_xy(piece.area, points[:, 0], points[:, 1])))


def _place_brackets(pieces: Sequence[_Piece], inner: Inner, loose: Loose, doubts: Doubts) -> None:
    brackets = [(bracket, arc.points) for bracket, arc in inner.brackets] + loose.brackets
    for bracket, points in brackets:
        for piece in pieces:
            lines = fold_lines(bracket, piece.outlines)
            if lines:
                piece.lines += lines
                doubts.add(
                    "fold-bracket",
                    f"A bracket points at a straight edge of {_across(lines[0].points):.0f} mm: "
                    "the edge is on the fold. If the bracket means something else, take "
                    "the fold away in pattern.toml.",
                    table=tuple(TableSpot(line.points, False, "on the fold") for line in lines),
                )
                break
        else:
            straight = "" if is_straight(points[:: max(1, len(points) - 1)]) else " straight"
            line = _traced(Kind.INSIDE, points, False, np.empty((0, 2)), 0.05)
            if _add(pieces, line):
                doubts.add(
                    "bracket-points-nowhere",
                    f"A bracket points at no{straight} edge, so it is kept as a line inside.",
                    table=(TableSpot(points, False, "no edge there"),),
                )


def _across(points: Points) -> float:
    return float(np.hypot(*(points[-1] - points[0])))
