"""Walking through a drawing meets every item, however deep it lies."""

from __future__ import annotations

from tests.demos import publication_of
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import polyline
from tiler.sheets.drawing import Drawing, Group, Pen, Stroke, Use, Words, walk


def test_walk_meets_what_lies_in_groups_and_in_used_drawings() -> None:
    """Groups and uses come before what they hold, in drawing order."""
    line = Stroke((polyline([Point(0, 0), Point(1, 0)]),), Pen(0.2))
    word = Words("Front", Point(0, 0), 9)
    use = Use(Drawing(Bounds(0, 0, 1, 1), (line,)), Affine.move(5, 5))
    group = Group((word, use))
    assert list(walk((group, line))) == [group, word, use, line, line]


def test_a_drawing_is_itself_and_not_its_content() -> None:
    """Two drawings that look alike are still two, so that each is written once for its layer."""
    one, other = (Drawing(Bounds(0, 0, 1, 1), ()) for _ in range(2))
    assert one != other
    assert len({one, other}) == 2


def test_a_demo_holds_every_kind_of_item() -> None:
    """Lines, fills, words, groups and used drawings all occur on real pages."""
    kinds = {
        type(item).__name__
        for page in publication_of("hat", "a4").pages
        for item in walk(page.items)
    }
    assert kinds == {"Stroke", "Fill", "Words", "Group", "Use"}
