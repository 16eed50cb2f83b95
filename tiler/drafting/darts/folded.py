"""Darts whose middle is the fold of a half piece: one leg is drawn, the other mirrors it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from tiler.drafting.darts.cap import half_cap
from tiler.drafting.darts.dart import Dart, dart_on_fold
from tiler.drafting.darts.drawn import STANDS, standing_on
from tiler.drafting.darts.forms import refuse_not_positive
from tiler.drafting.darts.parts import divided
from tiler.drafting.darts.single import intake_of_wish
from tiler.drafting.marking.places import distance_along, edge_named
from tiler.drafting.unfold.mirror import Axis
from tiler.intake.nearest import nearest
from tiler.intake.ring import with_end, with_start
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Lies, Line, Outline, Role
from tiler.pattern.path import Path, polyline
from tiler.pattern.segment import Straight
from tiler.pattern.units import format_mm
from tiler.pattern.wishes import DartWish

#: A place this near (millimetres) to the end of its edge is that end.
_AT_END = 0.05


@dataclass(frozen=True, slots=True)
class HalfMouth:
    """One half of a dart on the fold.

    Args:
        letter: The edge that it opens in.
        at_start: Whether the fold is at the start of that edge.
        wide: Millimetres along the edge from the fold to the leg.
        tip: On the fold.
        where: Who asks for it, for messages.
        drawn: Index of the line that it was drawn with; None for a wished one.
    """

    letter: str
    at_start: bool
    wide: float
    tip: Point
    where: str
    drawn: int | None = None


@dataclass(frozen=True, slots=True)
class HalfCapped:
    """A stitch line with half of a capped dart at its fold.

    Args:
        outline: Letters and names as before; the fold ends at the cap's peak.
        mouth: What it was made of.
        dart: The whole dart.
        leg: Where the drawn leg stands.
        cap: From the leg to the fold.
        old: Length of the edge before.
    """

    outline: Outline
    mouth: HalfMouth
    dart: Dart
    leg: Point
    cap: Path
    old: float

    @property
    def line(self) -> Line:
        """The drawn leg, to the tip on the fold."""
        return Line(Role.DART, polyline([self.leg, self.mouth.tip]))

    def carried(self, letter: str, along: float) -> float | None:
        """Where a place on the old outline lies on the new one; None inside the mouth."""
        more = self.cap.length - self.mouth.wide
        if letter != self.mouth.letter:
            return along
        if self.mouth.at_start:
            return along + more if along >= self.mouth.wide else None
        return along if along <= self.old - self.mouth.wide else None


def on_fold(wish: DartWish, ring: Outline, where: str) -> HalfMouth | None:
    """The half of a wished dart whose place is the end of its edge at a fold.

    Its intake is that of the whole dart.

    Args:
        wish: Any wish for a dart with one tip.
        ring: The stitch line of a half piece.
        where: For messages.

    Returns:
        None where the place is not at a fold.

    Raises:
        PatternError: A dart on the fold that leans, that an edge would have to give width for,
            or that does not lie on the edge and on the fold.
    """
    edge = edge_named(ring, wish.at.edge, where)
    along, length = distance_along(edge, wish.at, where), edge.path.length
    at_start = along <= _AT_END
    if not at_start and along < length - _AT_END:
        return None
    fold = _fold_beside(ring, edge, at_start=at_start)
    if fold is None:
        return None
    if wish.slant or wish.gives:
        raise PatternError(
            f"a dart at the end of edge {edge.letter} lies along fold {fold.letter}: it cannot "
            + ("lean" if wish.slant else "be given width by another edge"),
            where=where,
            remedy="Leave that out, or put the dart further from the fold.",
        )
    try:
        wide = intake_of_wish(wish).value / 2
        refuse_not_positive(length=wish.length)
    except PatternError as told:
        raise told.within(where) from None
    if wide >= length or wish.length >= fold.path.length:
        raise PatternError(
            f"half a dart of {format_mm(2 * wide)} that is {format_mm(wish.length)} long does not "
            f"fit edge {edge.letter} ({format_mm(length)}) and fold {fold.letter} "
            f"({format_mm(fold.path.length)})",
            where=where,
            remedy="Make it smaller.",
        )
    back = fold.path.length - wish.length if at_start else wish.length
    return HalfMouth(edge.letter, at_start, wide, fold.path.point_at(back)[0], where)


def refuse_in_fold(ring: Outline, wish: DartWish, where: str) -> None:
    """Refuse a dart that would open in a fold, where there is no seam to catch it.

    Raises:
        PatternError: The wish's edge lies on the fold.
    """
    edge = edge_named(ring, wish.at.edge, where)
    if edge.lies is Lies.FOLD:
        raise PatternError(
            f"edge {edge.letter} lies on the fold, so there is no seam in which a dart could open",
            where=where,
            remedy="Put the dart in the edge beside it, at the end on the fold, for one that lies "
            "along the fold; or take the edge off the fold.",
        )


def drawn_on_fold(
    line: Line, index: int, ring: Outline, traced: Outline | None, where: str
) -> HalfMouth | None:
    """The half of a drawn dart: a straight leg from an edge to its tip on the fold.

    Args:
        line: Any line of the piece.
        index: Its place among the lines.
        ring: The stitch line of a half piece.
        traced: The traced cut line, on which the leg may end too; None where there is none.
        where: File and piece.

    Returns:
        None where the line is not such a leg.
    """
    straight = len(line.path.segments) == 1 and isinstance(line.path.segments[0], Straight)
    if line.role is not Role.DART or not straight:
        return None
    for leg, tip in ((line.path.start, line.path.end), (line.path.end, line.path.start)):
        places = standing_on(leg, tip, ring, traced)
        for edge, at_start, fold in _at_folds(ring):
            deep = nearest(fold.path, tip)
            if edge.letter not in places or deep.distance > STANDS:
                continue
            along = places[edge.letter]
            wide = along if at_start else edge.path.length - along
            if wide > STANDS and deep.point.to(_corner(edge, at_start=at_start)) > STANDS:
                return HalfMouth(edge.letter, at_start, wide, deep.point, where, index)
    return None


def half_capped(ring: Outline, mouth: HalfMouth) -> HalfCapped:
    """Put the cap over half of a dart on the fold; the fold is lengthened to its peak.

    Raises:
        PatternError: The cap cannot be drawn.
    """
    edge = edge_named(ring, mouth.letter, mouth.where)
    fold = _fold_beside(ring, edge, at_start=mouth.at_start)
    assert fold is not None
    path = edge.path if mouth.at_start else edge.path.reversed()
    _, rest = divided(path, mouth.wide)
    assert rest is not None
    axis = Axis(fold.path.start, fold.path.end)
    try:
        cap = half_cap(rest, mouth.tip, axis)
        dart = dart_on_fold(rest.start, mouth.tip, axis)
    except PatternError as told:
        raise told.within(mouth.where) from None
    whole = Path(cap.reversed().segments + rest.segments)
    whole = whole if mouth.at_start else whole.reversed()
    longer = _ended(fold.path, cap.end, at_end=mouth.at_start)
    changed = {edge.letter: whole, fold.letter: longer}
    edges = tuple(replace(each, path=changed.get(each.letter, each.path)) for each in ring.edges)
    made = replace(ring, edges=edges)
    return HalfCapped(made, mouth, dart, rest.start, cap, edge.path.length)


def fold_leg(line: Line, ring: Outline) -> tuple[Point, Point, Dart] | None:
    """The leg end, the tip and the whole dart of a half dart's line; None for another line."""
    mouth = drawn_on_fold(line, 0, ring, None, "")
    if mouth is None:
        return None
    edge = edge_named(ring, mouth.letter, "")
    fold = _fold_beside(ring, edge, at_start=mouth.at_start)
    assert fold is not None
    along = mouth.wide if mouth.at_start else edge.path.length - mouth.wide
    leg = edge.path.point_at(along)[0]
    return leg, mouth.tip, dart_on_fold(leg, mouth.tip, Axis(fold.path.start, fold.path.end))


def _at_folds(ring: Outline) -> Iterator[tuple[Edge, bool, Edge]]:
    """Edges beside a fold, whether the fold is at their start, and the fold."""
    for edge in ring.edges:
        for at_start in (True, False):
            fold = _fold_beside(ring, edge, at_start=at_start)
            if fold is not None and edge.lies is not Lies.FOLD:
                yield edge, at_start, fold


def _fold_beside(ring: Outline, edge: Edge, *, at_start: bool) -> Edge | None:
    number = next(n for n, each in enumerate(ring.edges) if each.letter == edge.letter)
    beside = ring.edges[number - 1 if at_start else (number + 1) % len(ring.edges)]
    return beside if beside.lies is Lies.FOLD and beside is not edge else None


def _corner(edge: Edge, *, at_start: bool) -> Point:
    return edge.path.start if at_start else edge.path.end


def _ended(path: Path, at: Point, *, at_end: bool) -> Path:
    segments = list(path.segments)
    if at_end:
        segments[-1] = with_end(segments[-1], at)
    else:
        segments[0] = with_start(segments[0], at)
    return Path(tuple(segments))
