"""Walking through a drawing meets every item, however deep it lies."""

from __future__ import annotations

import pytest
import shapely

from tests.demos import each_publication, pattern_of_demo, plan_of, publication_of
from tests.printed import PrintedFill, everything_on
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import polyline
from tiler.sheets.drawing import Drawing, Group, Page, Pen, Publication, Stroke, Use, Words, walk
from tiler.sheets.publication import lay_out
from tiler.sheets.ways import Way


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


def cut_off(publication: Publication) -> list[object]:
    """What of the used drawings lies outside of what they say that they cover."""
    drawings = {
        item.drawing: None
        for page in publication.pages
        for item in walk(page.items)
        if isinstance(item, Use)
    }
    found: list[object] = []
    for drawing in drawings:
        frame = shapely.box(*drawing.bounds.grown(0.005))
        for thing in everything_on(Page("", 1.0, 1.0, drawing.items)):
            if isinstance(thing, PrintedFill):
                seen = thing.ink
            else:
                seen = thing.ink if thing.window is None else thing.ink & shapely.box(*thing.window)
            if not frame.covers(seen):
                found.append(thing)
    return found


@each_publication
def test_drawings_cover_all_their_ink(demo: str, paper: str) -> None:
    """A form of a PDF is clipped to its box (ISO 32000-1, 8.10.1): too small, and marks are cut."""
    assert cut_off(publication_of(demo, paper)) == []


@pytest.mark.parametrize("way", [Way.BUTT, Way.SEE_THROUGH])
def test_drawings_cover_all_their_ink_however_pages_are_joined(way: Way) -> None:
    """Trim lines on all sides, or none."""
    publication = lay_out(pattern_of_demo("hat"), plan_of("hat", "a4"), way=way)
    assert cut_off(publication) == []
