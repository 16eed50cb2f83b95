"""Darts on the fold of a half piece.

Outside values: the worked dart of 30 x 100 in the middle of an opened rectangle: half of it has its
leg at 15, its cap peaks 4.6036 above the mouth on the fold, and its tip lies 100 down the fold. The
opened half is the same as a whole piece with a whole dart.
"""

from dataclasses import replace

import pytest
import shapely

from tests.drafting.darts.blocks import block, dart_line
from tiler.drafting.cutlines import with_cut
from tiler.drafting.darts.wished import with_darts
from tiler.drafting.notching import with_notches
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Outline, Pattern, Piece, Role
from tiler.pattern.path import polyline
from tiler.pattern.wishes import DartWish, Place, Wishes

HALF = DartWish(Place("B", length=0), 100, 30, "C", where="pattern.toml line 3")
LEG = dart_line((15, 300), (0, 200))


def edge(piece: Piece, letter: str) -> Edge:
    return next(each for each in piece.stitch[0].edges if each.letter == letter)


def mirrored(piece: Piece) -> Piece:
    """The same half drawn with its fold at the right: A side, B waist, C fold, D hem."""
    flip = Affine.scale(-1, 1)
    a, b, c, d = piece.stitch[0].edges
    edges = tuple(
        replace(one, letter=letter, path=one.path.moved(flip).reversed())
        for letter, one in zip("ABCD", (c, b, a, d), strict=True)
    )
    ring = Outline(Role.STITCH, edges)
    lines = tuple(replace(line, path=line.path.moved(flip)) for line in piece.lines)
    return replace(piece, outlines=(ring,), stitch=(ring,), lines=lines)


def test_half_of_the_worked_dart() -> None:
    made, findings = with_darts(block(Wishes(darts=(HALF,))))
    assert edge(made, "A").path.end == pytest.approx((0, 304.6036), abs=1e-4)
    assert edge(made, "B").path.start == edge(made, "A").path.end
    (line,) = made.lines
    assert list(line.path.nodes()) == [pytest.approx((15, 300)), pytest.approx((0, 200))]
    (drill,) = made.marks
    assert drill.at == pytest.approx((0, 210))
    assert findings == ()


def test_opened_it_is_the_whole_dart() -> None:
    made, _ = with_darts(block(Wishes(darts=(HALF,))))
    half = shapely.Polygon(made.stitch[0].path.flattened(0.001))
    opened = half.union(shapely.affinity.scale(half, -1, 1, origin=(0, 0)))
    whole = block(by=Affine.scale(2, 1).then(Affine.move(-200, 0)), fold=False)
    dart = DartWish(Place("B", fraction=0.5), 100, 30, "A")
    expected, _ = with_darts(replace(whole, wishes=Wishes(darts=(dart,))))
    ring = shapely.Polygon(expected.stitch[0].path.flattened(0.001))
    assert opened.symmetric_difference(ring).area < 0.01


def test_a_drawn_leg_is_half_a_dart() -> None:
    made, _ = with_darts(block(Wishes(press_darts="C"), lines=(LEG,)))
    wished, _ = with_darts(block(Wishes(darts=(HALF,))))
    assert made.stitch == wished.stitch
    assert made.marks == wished.marks


def test_unless_it_is_pressed_it_stays_as_drawn() -> None:
    piece = block(lines=(LEG,))
    assert with_darts(piece) == (piece, ())


def test_with_the_fold_at_the_other_end() -> None:
    piece = mirrored(block(Wishes(press_darts="A"), lines=(LEG,)))
    made, _ = with_darts(piece)
    assert edge(made, "C").path.start == pytest.approx((0, 304.6036), abs=1e-4)
    assert edge(made, "B").path.end == edge(made, "C").path.start


@pytest.mark.parametrize("turned", [False, True])
def test_its_leg_is_notched_where_it_meets_the_cut_line(turned: bool) -> None:
    piece = block(Wishes(press_darts="C"), lines=(LEG,))
    if turned:
        piece = replace(mirrored(piece), wishes=Wishes(press_darts="A"))
    made = with_notches(Pattern("Smock", (with_cut(with_darts(piece)[0]),)))
    (notch,) = (mark for mark in made.pieces[0].marks if mark.role is Role.NOTCH)
    side = -1 if turned else 1
    assert notch.at == pytest.approx((side * 17.25, 315), abs=0.02)
    assert notch.path.end == pytest.approx((notch.at.x, 310), abs=0.03)


def test_beside_another_dart() -> None:
    other = DartWish(Place("B", length=100), 80, 20, "C")
    made, _ = with_darts(block(Wishes(darts=(HALF, other))))
    feet = sorted(line.path.start.x for line in made.lines)
    assert feet == pytest.approx([15, 90])


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"slant": 5.0}, "lies along fold A: it cannot lean"),
        ({"gives": "C", "blend": 100.0}, "it cannot be given width by another edge"),
        ({"length": 300.0}, "does not fit edge B .* and fold A"),
        ({"intake": 400.0}, "does not fit edge B"),
        ({"length": 0.0}, "the dart's length is 0"),
        ({"pressed": "D"}, 'cannot be pressed towards "D"'),
    ],
)
def test_refused(change: dict[str, object], words: str) -> None:
    with pytest.raises(PatternError, match=words) as caught:
        with_darts(block(Wishes(darts=(replace(HALF, **change),))))  # type: ignore[arg-type]
    assert str(caught.value).count("pattern.toml line 3") == 1


def test_one_that_overlaps_another() -> None:
    other = DartWish(Place("B", length=20), 80, 20, "C")
    with pytest.raises(PatternError, match="the dart on the fold overlaps another dart in edge B"):
        with_darts(block(Wishes(darts=(HALF, other))))


def test_a_line_along_the_fold_is_no_dart() -> None:
    line = dart_line((0, 300), (0, 200))
    piece = block(lines=(line,))
    assert with_darts(piece) == (piece, ())


def test_the_peak_and_polyline_share_their_fold() -> None:
    """The fold stays one straight line."""
    made, _ = with_darts(block(Wishes(darts=(HALF,))))
    fold = edge(made, "A").path
    assert fold.segments == polyline([Point(0, 0), fold.end]).segments
