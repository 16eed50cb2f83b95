"""What of an edge is sewn: its stitch line without the mouths of darts, and its notches."""

from __future__ import annotations

from collections.abc import Iterator

from tiler.drafting.darts.parts import distance_to
from tiler.drafting.unfold.mirror import Axis
from tiler.drafting.walking.side import SewnEdge, SewnNotch
from tiler.intake.nearest import Seeker
from tiler.intake.ring import NEARLY_MEETS
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Lies, Mark, Outline, Pattern, Piece, Role, styles_in
from tiler.pattern.segment import direction
from tiler.pattern.wishes import EdgeName

#: Notches that stand no further apart (millimetres) are one double or triple notch: the spacing
#: of a pair is 6 to 12 mm. Common practice, no source.
PAIR = 12.0
#: A notch that lies at the end of an edge belongs to it when it stands within so many
#: millimetres of square to it.
_SQUARE = 0.5
#: How much further (millimetres) than its allowance an edge looks for its notches.
_ROOM = 2.0
#: How far it looks where the allowance is not known: no seam allowance is wider.
_FAR = 50.0
#: A notch this near (millimetres) to the end of a pocket or inside line marks that. Our choice.
_PLACES = 5.0
#: A notch this near (millimetres) to a dart's leg, carried on, marks the leg.
_ON_LEG = 0.8


def piece_named(pattern: Pattern, name: str, where: str = "") -> Piece:
    """The piece of that name.

    Raises:
        PatternError: There is none.
    """
    for piece in pattern.pieces:
        if piece.name == name:
            return piece
    names = ", ".join(piece.name for piece in pattern.pieces)
    raise PatternError(
        f"there is no piece called {name!r}", where=where, remedy=f"Use one of {names}."
    )


def ring_of(piece: Piece, style: str, where: str = "") -> Outline:
    """The stitch ring of a piece in a style.

    Raises:
        PatternError: The stitch line is not known.
    """
    rings = {ring.style: ring for ring in piece.stitch}
    if not rings:
        raise PatternError(
            f"the stitch line of {piece.name} is not known",
            where=where,
            remedy="Say how wide every allowance is (allowance and allowances), or trace the "
            'stitch line (traced = "stitch").',
        )
    return rings.get(style) or rings.get("") or piece.stitch[0]


def sewn_edge(pattern: Pattern, name: EdgeName, style: str = "", where: str = "") -> SewnEdge:
    """An edge as it is sewn, clockwise.

    Darts in it are closed: the part of the stitch line between the ends of their legs is left
    out. Notches on the cut line are carried square to the stitch line; those that mark the legs
    of a dart are no partners of anything and are left out.

    Args:
        pattern: Drafted.
        name: The piece and the letter.
        style: The style to take; pieces without it give their shared ring.
        where: For messages.

    Raises:
        PatternError: No such piece or edge, or its stitch line is not known.
    """
    piece, ring, edge = _found(pattern, name, style, where)
    parts = _parts(piece, ring, name.letter)
    marks = _notches(piece, ring, name.letter, style)
    return SewnEdge(piece, ring, edge, False, parts, _grouped(_closed(marks, parts)))


def sewn_length(pattern: Pattern, name: EdgeName, style: str = "", where: str = "") -> float:
    """How long (millimetres) an edge is as it is sewn: the length of `sewn_edge`, found faster.

    Raises:
        PatternError: As `sewn_edge`.
    """
    piece, ring, edge = _found(pattern, name, style, where)
    return sum(end - start for start, end in _parts(piece, ring, edge.letter))


def _found(pattern: Pattern, name: EdgeName, style: str, where: str) -> tuple[Piece, Outline, Edge]:
    piece = piece_named(pattern, name.piece, where)
    ring = ring_of(piece, style, where)
    edge = next((edge for edge in ring.edges if edge.letter == name.letter), None)
    if edge is None:
        letters = ", ".join(edge.letter for edge in ring.edges)
        raise PatternError(
            f"{piece.name} has no edge {name.letter}", where=where, remedy=f"It has {letters}."
        )
    return piece, ring, edge


def darts_of(piece: Piece, style: str = "") -> Iterator[tuple[Point, ...]]:
    """The open darts of a piece: leg end, tip, leg end; or leg end and tip on a fold."""
    for line in piece.lines:
        if line.role is not Role.DART or line.path.closed:
            continue
        if line.style and style and style not in styles_in(line.style):
            continue
        yield tuple(line.path.nodes())


def mouths_of(
    piece: Piece, ring: Outline, style: str = ""
) -> dict[tuple[Point, ...], tuple[float, float]]:
    """Where each dart opens on a stitch ring: start and end in millimetres along it, clockwise.

    A mouth that runs past the ring's start ends beyond the ring's length. Of the two ways
    round between the leg ends it is the shorter.
    """
    total = ring.path.length
    found: dict[tuple[Point, ...], tuple[float, float]] = {}
    for points in darts_of(piece, style):
        first, second = (_place_on_ring(ring, point) for point in (points[0], points[-1]))
        if first is None or second is None:
            continue
        if len(points) == 2:
            # One leg, the tip on the fold: the mouth reaches to the nearer end of the fold.
            leg = first if ring.edges[first[0]].lies is not Lies.FOLD else second
            corners = _fold_corners(ring)
            if not corners:
                continue
            other = min(corners, key=lambda at: _apart(at, leg[1], total))
            low, high = leg[1], other
        else:
            low, high = first[1], second[1]
        if (high - low) % total > total / 2:
            low, high = high, low
        found[points] = low, low + (high - low) % total
    return found


def _apart(one: float, other: float, total: float) -> float:
    return min((one - other) % total, (other - one) % total)


def _fold_corners(ring: Outline) -> list[float]:
    found, run = [], 0.0
    for edge in ring.edges:
        if edge.lies is Lies.FOLD:
            found += [run, run + edge.path.length]
        run += edge.path.length
    return found


def _place_on_ring(ring: Outline, point: Point) -> tuple[int, float] | None:
    """Which edge a point lies on, and how far along the ring; None when it is beside it."""
    best: tuple[float, int, float] | None = None
    run = 0.0
    for index, edge in enumerate(ring.edges):
        near = Seeker(edge.path).nearest(point, NEARLY_MEETS)
        if near.distance <= NEARLY_MEETS and (best is None or near.distance < best[0]):
            best = near.distance, index, run + distance_to(edge.path, near.segment, near.t)
        run += edge.path.length
    return best[1:] if best else None


def _parts(piece: Piece, ring: Outline, letter: str) -> tuple[tuple[float, float], ...]:
    """The parts of an edge outside of all mouths, in millimetres from its start."""
    total = ring.path.length
    start, length = 0.0, 0.0
    for edge in ring.edges:
        length = edge.path.length
        if edge.letter == letter:
            break
        start += length
    gaps = []
    for low, high in mouths_of(piece, ring, ring.style).values():
        for shift in (-total, 0.0, total):
            a, b = low + shift - start, high + shift - start
            if b > 0 and a < length:
                gaps.append((max(a, 0.0), min(b, length)))
    parts, here = [], 0.0
    for a, b in sorted(gaps):
        if a > here:
            parts.append((here, a))
        here = max(here, b)
    if here < length or not parts:
        parts.append((min(here, length), length))
    return tuple(parts)


def _notches(piece: Piece, ring: Outline, letter: str, style: str) -> list[tuple[float, bool]]:
    """Millimetres from the edge's start of every notch of it, and whether it places something."""
    legs = [
        Axis(points[1], end)
        for points in darts_of(piece, style)
        for end in {points[0], points[-1]} - {points[1]}
        if len(points) > 1
    ]
    seekers = [(edge, Seeker(edge.path)) for edge in ring.edges]
    found = []
    for mark in piece.marks:
        if mark.role is not Role.NOTCH or (
            mark.style and style and style not in styles_in(mark.style)
        ):
            continue
        if any(_on_leg(mark, leg) for leg in legs):
            continue
        owners = []
        for edge, seeker in seekers:
            width = edge.allowance if edge.allowance is not None else piece.allowance
            reach = _FAR if width is None else width + _ROOM
            near = seeker.nearest(mark.at, reach)
            if near.distance > reach:
                continue
            x, y = direction(edge.path.segments[near.segment], near.t)
            beside = abs((mark.at.x - near.point.x) * x + (mark.at.y - near.point.y) * y)
            if beside > _SQUARE:
                continue
            off = near.distance if width is None else abs(near.distance - width)
            owners.append((off, edge.letter, edge.path, near))
        if owners:
            _, owner, path, near = min(owners, key=lambda each: each[0])
            if owner == letter:
                places = _places(piece, mark.at, near.point)
                found.append((distance_to(path, near.segment, near.t), places))
    return sorted(found)


def _places(piece: Piece, *at: Point) -> bool:
    return any(
        point.to(end) <= _PLACES
        for line in piece.lines
        if line.role in (Role.POCKET, Role.INSIDE) and not line.path.closed
        for end in (line.path.start, line.path.end)
        for point in at
    )


def _on_leg(mark: Mark, leg: Axis) -> bool:
    if leg.length == 0:
        return False
    beyond = leg.start.to(leg.foot(mark.at)) >= leg.length - _ON_LEG
    x, y = leg.direction
    ahead = x * (mark.at.x - leg.start.x) + y * (mark.at.y - leg.start.y) > 0
    return ahead and beyond and abs(leg.offset(mark.at)) <= _ON_LEG


def _closed(
    places: list[tuple[float, bool]], parts: tuple[tuple[float, float], ...]
) -> list[tuple[float, bool]]:
    """Places on the path, counted over the sewn parts; those within a mouth are left out."""
    found = []
    for place, mark in places:
        run = 0.0
        for start, end in parts:
            if start - 1e-6 <= place <= end + 1e-6:
                found.append((run + min(max(place - start, 0.0), end - start), mark))
                break
            run += end - start
    return found


def _grouped(places: list[tuple[float, bool]]) -> tuple[SewnNotch, ...]:
    """Notches no further apart than those of a pair are one."""
    groups: list[list[tuple[float, bool]]] = []
    for place in places:
        if groups and place[0] - groups[-1][-1][0] <= PAIR:
            groups[-1].append(place)
        else:
            groups.append([place])
    return tuple(
        SewnNotch((group[0][0] + group[-1][0]) / 2, len(group), all(p for _, p in group))
        for group in groups
    )
