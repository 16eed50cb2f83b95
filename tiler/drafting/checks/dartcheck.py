"""Darts: equal legs, a cap that lies on the seam, a tip inside, a drill mark that stays hidden."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import shapely

from tiler.drafting.checks.bench import Bench
from tiler.drafting.checks.fault import Fault, Spot, both
from tiler.drafting.darts.cap import Pressed, dart_cap
from tiler.drafting.darts.dart import Dart, trued_legs
from tiler.drafting.darts.parts import divided
from tiler.drafting.rings import polygon_of
from tiler.drafting.unfold.mirror import angle_between
from tiler.drafting.walking.sewn import darts_of, mouths_of
from tiler.intake.nearest import Seeker
from tiler.intake.ring import NEARLY_MEETS
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Outline, Piece, Role, Severity
from tiler.pattern.path import Path, polyline
from tiler.pattern.units import format_mm

#: Legs that differ by no more (millimetres) are equal; beyond the second number the seam steps
#: visibly. Common practice, no source.
LEGS, LEGS_SPOILT = 1.0, 3.0
#: A cap that is off by no more (millimetres) is caught in the seam all the same. Our choice.
CAP = 1.5
#: Degrees by which a seam may break over the closed dart, and from where it has to be redrawn.
#: Common practice, no source, and our choice.
KINK, KINK_SHOWS = 2.0, 10.0
#: A drill mark this near (millimetres) to a tip belongs to it.
_NEAR_TIP = 15.0
#: How near (millimetres) to the middle line it lies.
_NEAR_LINE = 5.0
#: A mark this close behind the tip shows as soon as the thread is worn. Common practice: short of
#: the tip, no source for the number.
_HIDDEN = 1.0


@dataclass(frozen=True)
class _Found:
    piece: Piece
    ring: Outline
    points: tuple[Point, ...]

    @property
    def spot(self) -> Spot:
        path = polyline(self.points)
        return Spot(self.piece.name, (self.points[1],), (path,), self.ring.style)

    @property
    def detail(self) -> str:
        tip = self.points[1]
        return f"dart with its tip at ({tip.x:.0f}, {tip.y:.0f}) mm"


def darts(bench: Bench) -> Iterator[Fault]:
    """Everything about open darts."""
    return bench.each_piece(_on_piece)


def _on_piece(piece: Piece) -> Iterator[Fault]:
    for ring in piece.stitch:
        for points in darts_of(piece, ring.style):
            found = _Found(piece, ring, points)
            yield from _tip(found)
            yield from _drills(found)
            if len(points) == 3:
                yield from _legs(found)
                yield from _seam(found)


def _legs(found: _Found) -> Iterator[Fault]:
    left, tip, right = found.points
    one, other = left.to(tip), tip.to(right)
    if abs(one - other) > LEGS:
        yield Fault(
            "dart-legs",
            Severity.ERROR if abs(one - other) > LEGS_SPOILT else Severity.WARNING,
            found.piece.name,
            f"The legs of the dart measure {both(one)} and {both(other)}: sewn, the seam steps by "
            f"{both(abs(one - other))}.",
            f"Make both {both((one + other) / 2)} long.",
            detail=found.detail,
            style=found.ring.style,
            numbers={"left_mm": one, "right_mm": other, "difference_mm": one - other},
            spots=(found.spot,),
        )


def _tip(found: _Found) -> Iterator[Fault]:
    tip = found.points[1]
    inside = polygon_of(found.ring.path)
    out = float(inside.distance(shapely.Point(tip)))
    if out > NEARLY_MEETS:
        yield Fault(
            "dart-tip-outside",
            Severity.ERROR,
            found.piece.name,
            f"The tip of the dart lies {both(out)} outside of the stitch line.",
            "Draw the dart from the seam into the piece.",
            detail=found.detail,
            style=found.ring.style,
            numbers={"outside_mm": out},
            spots=(found.spot,),
        )


def _drills(found: _Found) -> Iterator[Fault]:
    ends, tip = found.points, found.points[1]
    mouth = Point((ends[0].x + ends[-1].x) / 2, (ends[0].y + ends[-1].y) / 2)
    length = mouth.to(tip)
    if len(ends) != 3 or length == 0:
        return
    x, y = (tip.x - mouth.x) / length, (tip.y - mouth.y) / length
    for mark in found.piece.marks:
        if mark.role is not Role.DRILL or mark.at.to(tip) > _NEAR_TIP:
            continue
        beyond = (mark.at.x - tip.x) * x + (mark.at.y - tip.y) * y
        beside = abs((mark.at.y - tip.y) * x - (mark.at.x - tip.x) * y)
        if beside > _NEAR_LINE or beyond <= -_HIDDEN:
            continue
        yield Fault(
            "dart-drill",
            Severity.ERROR if beyond > 0 else Severity.WARNING,
            found.piece.name,
            f"The drill mark lies {both(abs(beyond))} "
            + ("beyond" if beyond > 0 else "short of")
            + " the tip of the dart: the hole shows on the right side.",
            f"Move it {format_mm(beyond + 6.0)} towards the seam, 6 mm short of the tip.",
            detail=found.detail,
            style=found.ring.style,
            numbers={"beyond_mm": beyond, "beside_mm": beside},
            spots=(Spot(found.piece.name, (mark.at,), (polyline(ends),), found.ring.style),),
        )


def _seam(found: _Found) -> Iterator[Fault]:
    """What the seam does over the closed dart."""
    ring = found.ring
    whole = Seeker(ring.path)
    away = max(whole.nearest(end).distance for end in (found.points[0], found.points[-1]))
    if away > NEARLY_MEETS:
        yield Fault(
            "dart-off-seam",
            Severity.WARNING,
            found.piece.name,
            f"A leg of the dart ends {both(away)} away from the stitch line.",
            "Let both legs end on the stitch line.",
            detail=found.detail,
            style=found.ring.style,
            numbers={"away_mm": away},
            spots=(found.spot,),
        )
        return
    mouth = _mouth(found)
    if mouth is None:
        return
    low, high = mouth
    try:
        dart = Dart(*_in_order(found, low))
    except PatternError as error:
        yield _broken(found, error)
        return
    if not _at_corner(found, low, high):
        yield from _kink(found, dart, low, high)
    if abs(dart.legs[0] - dart.legs[1]) <= LEGS:
        yield from _cap(found, dart, low, high)


def _mouth(found: _Found) -> tuple[float, float] | None:
    return mouths_of(found.piece, found.ring, found.ring.style).get(found.points)


def _at_corner(found: _Found, low: float, high: float) -> bool:
    """Whether a corner or another dart begins where this one opens: no seam runs over it."""
    total, run, corners = found.ring.path.length, 0.0, []
    for edge in found.ring.edges:
        corners.append(run)
        run += edge.path.length
    for points, mouth in mouths_of(found.piece, found.ring, found.ring.style).items():
        corners += mouth if points != found.points else ()
    return any(
        min((at - end) % total, (end - at) % total) < NEARLY_MEETS
        for at in corners
        for end in (low, high)
    )


def _in_order(found: _Found, low: float) -> tuple[Point, Point, Point]:
    one, tip, other = found.points
    start = found.ring.path.point_at(low % found.ring.path.length)[0]
    return (one, tip, other) if start.to(one) <= start.to(other) else (other, tip, one)


def _kink(found: _Found, dart: Dart, low: float, high: float) -> Iterator[Fault]:
    path = found.ring.path
    total = path.length
    bx, by = path.point_at((low - 0.01) % total)[1]
    ax, ay = path.point_at((high + 0.01) % total)[1]
    left = angle_between((-bx, -by), (dart.tip.x - dart.left.x, dart.tip.y - dart.left.y))
    right = angle_between((ax, ay), (dart.tip.x - dart.right.x, dart.tip.y - dart.right.y))
    off = left + right - 180.0
    if abs(off) > KINK:
        yield Fault(
            "dart-kink",
            Severity.WARNING if abs(off) > KINK_SHOWS else Severity.NOTE,
            found.piece.name,
            f"With the dart closed, the seam makes {'a hollow' if off > 0 else 'a point'}: it "
            f"meets the legs at {left:.1f} and {right:.1f} degrees, together {left + right:.1f} "
            "instead of 180.",
            "Close the dart on paper, draw the seam smoothly across it, and cut along it.",
            detail=found.detail,
            style=found.ring.style,
            numbers={"left_degrees": left, "right_degrees": right, "break_degrees": off},
            spots=(found.spot,),
        )


def _cap(found: _Found, dart: Dart, low: float, high: float) -> Iterator[Fault]:
    path = found.ring.path
    total = path.length
    before = _between(path, low - min(total / 4, 200.0), low)
    after = _between(path, high, high + min(total / 4, 200.0))
    drawn = _between(path, low, high)
    true = trued_legs(dart)
    fits: list[tuple[float, Pressed, float]] = []
    for pressed in Pressed:
        try:
            left = _carried(before, before.end, true.left)
            right = _carried(after, after.start, true.right)
            cap = dart_cap(left, right, true, pressed)
        except PatternError:
            # Pressed this way there is no cap; the other way may have one.
            continue
        off = _apart(cap, drawn)
        peak = max(abs(_height(point, dart)) for point in cap.flattened())
        fits.append((off, pressed, peak))
    if not fits or min(fits)[0] <= CAP:
        return
    off, pressed, peak = min(fits)
    yield Fault(
        "dart-cap",
        Severity.WARNING,
        found.piece.name,
        f"The stitch line over the dart is {both(off)} away from the cap that the pressed dart "
        "needs to be caught in the seam.",
        "Say which way it is pressed (press_darts), and the cap is drawn; or draw its peak "
        f"{both(peak)} above the straight line between the legs.",
        detail=found.detail,
        style=found.ring.style,
        numbers={"off_mm": off, "peak_mm": peak},
        spots=(found.spot,),
    )


def _broken(found: _Found, error: PatternError) -> Fault:
    return Fault(
        "dart-off-seam",
        Severity.WARNING,
        found.piece.name,
        f"The dart cannot be closed: {error.problem}.",
        error.remedy,
        detail=found.detail,
        style=found.ring.style,
        spots=(found.spot,),
    )


def _between(path: Path, low: float, high: float) -> Path:
    """The part of a ring between two places, clockwise."""
    total = path.length
    start = low % total
    opened = Path((*path.segments, *path.segments))
    rest = divided(opened, start)[1]
    part = divided(rest, high - low)[0] if rest else None
    return part or polyline([path.point_at(start)[0], path.point_at(high % total)[0]])


def _carried(path: Path, here: Point, there: Point) -> Path:
    return path.moved(Affine.move(there.x - here.x, there.y - here.y))


def _apart(one: Path, other: Path) -> float:
    line = shapely.LineString(one.flattened())
    return float(shapely.hausdorff_distance(line, shapely.LineString(other.flattened()), 0.1))


def _height(point: Point, dart: Dart) -> float:
    width = dart.intake
    x, y = (dart.right.x - dart.left.x) / width, (dart.right.y - dart.left.y) / width
    return (point.y - dart.left.y) * x - (point.x - dart.left.x) * y
