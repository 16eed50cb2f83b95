"""The open mouth of a dart in an edge, and the cap that closes it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from tiler.drafting.darts.blend import distance_after, moved_start
from tiler.drafting.darts.cap import Pressed, dart_cap
from tiler.drafting.darts.dart import Dart, trued_legs
from tiler.drafting.darts.parts import divided
from tiler.drafting.marking.places import edge_named
from tiler.intake.ring import MEETS
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Lies, Outline
from tiler.pattern.path import Path
from tiler.pattern.segment import Straight
from tiler.pattern.units import format_mm

#: A seam that is redrawn at a leg is back on its old way within so many millimetres, or within
#: half of what lies between the leg and the next dart or corner. Common practice, no source.
REDRAWN = 60.0


@dataclass(frozen=True, slots=True)
class Mouth:
    """A dart that lies open in an edge of a stitch line.

    Args:
        letter: The edge.
        low: Where its left leg stands, in millimetres from the edge's start.
        high: Where its right leg stands.
        tip: Where it ends inside of the piece.
        pressed: The side that it is pressed to; None for a drawn dart that stays as drawn.
        where: Who asks for it, for messages.
        drawn: Index of the line that it was drawn with; None for a wished one.
    """

    letter: str
    low: float
    high: float
    tip: Point
    pressed: Pressed | None
    where: str
    drawn: int | None = None

    def dart(self, ring: Outline) -> Dart:
        """The dart on a ring in which it lies open."""
        path = edge_named(ring, self.letter, self.where).path
        return Dart(path.point_at(self.low)[0], self.tip, path.point_at(self.high)[0])


@dataclass(frozen=True, slots=True)
class Capped:
    """A stitch line with a dart that was trued and capped.

    Args:
        outline: Letters and names as before.
        dart: With equal legs.
        legs: Millimetres that they measured before.
        left: The edge before the dart, as it was and as it is; None where the dart begins the
            edge.
        right: The edge after the dart, in the same way.
        over: Millimetres before and after the dart over which the edge was redrawn.
        cap: From leg to leg.
        mouth: What it was made of.
    """

    outline: Outline
    dart: Dart
    legs: tuple[float, float]
    left: tuple[Path, Path] | None
    right: tuple[Path, Path] | None
    over: tuple[float, float]
    cap: Path
    mouth: Mouth

    def carried(self, letter: str, along: float) -> float | None:
        """Where a place on the old outline lies on the new one; None inside the mouth.

        Args:
            letter: Of an edge.
            along: Millimetres from the start of that edge as it was.
        """
        if letter != self.mouth.letter:
            return along
        before = self.left[1].length if self.left else 0.0
        if along <= self.mouth.low:
            if not self.left:
                return along
            old, new = (path.reversed() for path in self.left)
            return before - distance_after(old, new, self.over[0], old.length - along)
        if along < self.mouth.high:
            return None
        after = 0.0
        if self.right:
            after = distance_after(*self.right, self.over[1], along - self.mouth.high)
        return before + self.cap.length + after


def capped(ring: Outline, mouth: Mouth, room: tuple[float, float]) -> Capped:
    """True the legs of a dart to one length and put the cap over its mouth.

    Both legs become as long as their mean, and the edge is redrawn smoothly on either side. A
    leg that stands at a corner keeps its length and the other one takes it over, since the
    corner belongs to the neighbouring seam too.

    Args:
        ring: A stitch line in which the dart lies open.
        mouth: With a side that it is pressed to.
        room: Millimetres along the edge to the next dart or corner, before and after.

    Raises:
        PatternError: The dart takes up the whole edge, has no triangle, or would have to be
            pressed across a fold; or its cap cannot be drawn.
    """
    assert mouth.pressed is not None
    edge = edge_named(ring, mouth.letter, mouth.where)
    left, right = _beside(edge, mouth)
    try:
        dart = mouth.dart(ring)
        true = _trued(dart, left is not None, right is not None)
        before, after = _neighbours(ring, edge)
        over = (_over(room[0]), _over(room[1]))
        new_left = _ended(left, true.left, over[0]) if left else None
        new_right = _ended(right.reversed(), true.right, over[1]).reversed() if right else None
        _refuse_across_fold(mouth, new_left, before, new_right, after)
        cap = dart_cap(new_left or before.path, new_right or after.path, true, mouth.pressed)
    except PatternError as told:
        raise told.within(mouth.where) from None
    segments = (
        *(new_left.segments if new_left else ()),
        *cap.segments,
        *(new_right.segments if new_right else ()),
    )
    edges = tuple(
        replace(each, path=Path(segments)) if each.letter == edge.letter else each
        for each in ring.edges
    )
    return Capped(
        replace(ring, edges=edges),
        true,
        dart.legs,
        (left, new_left) if left and new_left else None,
        (right, new_right) if right and new_right else None,
        over,
        cap,
        mouth,
    )


def _beside(edge: Edge, mouth: Mouth) -> tuple[Path | None, Path | None]:
    """The edge before and after the dart."""
    length = edge.path.length
    left = divided(edge.path, mouth.low)[0] if mouth.low > MEETS else None
    right = divided(edge.path, mouth.high)[1] if mouth.high < length - MEETS else None
    if left is None and right is None:
        raise PatternError(
            f"the dart takes up the whole of edge {edge.letter}, which is {format_mm(length)} long",
            where=mouth.where,
            remedy="Let it take in less.",
        )
    return left, right


def _trued(dart: Dart, left_moves: bool, right_moves: bool) -> Dart:
    if left_moves and right_moves:
        return trued_legs(dart)
    left, right = dart.legs
    if left_moves:
        return Dart(Straight(dart.tip, dart.left).at(right / left), dart.tip, dart.right)
    return Dart(dart.left, dart.tip, Straight(dart.tip, dart.right).at(left / right))


def _over(room: float) -> float:
    return min(REDRAWN, room / 2)


def _ended(path: Path, at: Point, over: float) -> Path:
    """The path with its end put elsewhere, smoothly."""
    by = at.x - path.end.x, at.y - path.end.y
    if max(map(abs, by)) < 1e-9:
        return path
    return moved_start(path.reversed(), by, over).reversed()


def _neighbours(ring: Outline, edge: Edge) -> tuple[Edge, Edge]:
    number = next(n for n, each in enumerate(ring.edges) if each.letter == edge.letter)
    return ring.edges[number - 1], ring.edges[(number + 1) % len(ring.edges)]


def _refuse_across_fold(
    mouth: Mouth, left: Path | None, before: Edge, right: Path | None, after: Edge
) -> None:
    to_left = mouth.pressed is Pressed.LEFT
    part, beyond = (left, before) if to_left else (right, after)
    if part is None and beyond.lies is Lies.FOLD:
        raise PatternError(
            f"the dart begins at edge {beyond.letter}, which lies on the fold, and cannot be "
            "pressed across it",
            remedy="Press it the other way, or put it further from the fold.",
        )


def pressed_to(ring: Outline, letter: str, towards: str, where: str) -> Pressed:
    """The side to which a dart in an edge is pressed.

    Args:
        ring: The stitch line.
        letter: The dart's edge.
        towards: The neighbouring edge.
        where: Who asks, for the message.

    Raises:
        PatternError: The edge named is not one of the two beside the dart's edge.
    """
    before, after = _neighbours(ring, edge_named(ring, letter, where))
    if towards == before.letter != after.letter:
        return Pressed.LEFT
    if towards == after.letter != before.letter:
        return Pressed.RIGHT
    if before.letter == after.letter:
        remedy = "Give the outline another corner: only then is it clear which side is meant."
    else:
        remedy = f"Press it towards edge {before.letter} or edge {after.letter}."
    raise PatternError(
        f'a dart in edge {letter} cannot be pressed towards "{towards}"',
        where=where,
        remedy=remedy,
    )
