"""Darts and seams for the tests, with what is known of them by plane trigonometry."""

from __future__ import annotations

import math

from hypothesis import strategies as st
from hypothesis.strategies import DrawFn
from scipy.integrate import quad

from tiler.drafting.darts.dart import Dart
from tiler.pattern.affine import Affine, Point
from tiler.pattern.path import Path, polyline
from tiler.pattern.segment import Cubic

#: The worked dart: 30 wide, 100 long, tip at the origin, seam level at y = 100.
WORKED = Dart(Point(-15, 100), Point(0, 0), Point(15, 100))
LEFT = polyline([Point(-200, 100), WORKED.left])
RIGHT = polyline([WORKED.right, Point(200, 100)])


def anywhere() -> st.SearchStrategy[Affine]:
    """A turn and a shift."""
    return st.tuples(st.floats(-180, 180), st.floats(-500, 500), st.floats(-500, 500)).map(
        lambda drawn: Affine.turn(drawn[0]).then(Affine.move(drawn[1], drawn[2]))
    )


def moved(dart: Dart, by: Affine) -> Dart:
    """The dart elsewhere; a map that flips the face swaps left and right."""
    ends = by(dart.left), by(dart.right)
    left, right = ends if by.determinant > 0 else ends[::-1]
    return Dart(left, by(dart.tip), right)


@st.composite
def darts(draw: DrawFn) -> Dart:
    """A dart with equal legs, tip at the origin, pointing down."""
    length, intake = draw(st.floats(60, 200)), draw(st.floats(5, 50))
    return Dart(Point(-intake / 2, length), Point(0, 0), Point(intake / 2, length))


@st.composite
def seams(draw: DrawFn, dart: Dart) -> tuple[Path, Path]:
    """Curved or straight seams on both sides of a dart, within 25 degrees of level."""
    made = []
    for leg, away in ((dart.left, -1), (dart.right, 1)):
        slopes = [math.tan(math.radians(draw(st.floats(-25, 25)))) for _ in range(3)]
        reach = draw(st.floats(40, 120))
        points = [leg]
        for slope in slopes:
            last = points[-1]
            points.append(Point(last.x + away * reach, last.y + slope * reach))
        made.append(Path((Cubic(*points),)))
    return made[0].reversed(), made[1]


def length_by_quadrature(path: Path) -> float:
    """Millimetres along a path, by scipy's adaptive quadrature (QUADPACK)."""
    total = 0.0
    for segment in path.segments:
        total += quad(lambda t, s=segment: math.hypot(*s.speed(t)), 0, 1, limit=200)[0]
    return total
