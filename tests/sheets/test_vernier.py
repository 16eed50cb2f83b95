"""The ticks at a joint: a tenth of a millimetre shifts the line by one tick, and no more."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from tests.demos import each_publication, publication_of
from tests.printed import fills_on, lines_on, uses_on, words_on
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import Path
from tiler.sheets.drawing import Group, Page, Words
from tiler.sheets.pens import PENS, TICK
from tiler.sheets.ticks import Ticks, at_joint, ticks, vernier
from tiler.sheets.vernier import draw_vernier_help, vernier_help_height
from tiler.sheets.ways import Way

tenths = st.integers(-5, 5)


def foot(tick: Path) -> float:
    """Where the straight line through a tick crosses the joint line."""
    (x, y), (u, v) = tick.start, tick.end
    return x - y * (u - x) / (v - y)


def in_line(kind: Ticks, slid: float, gap: float) -> list[tuple[int, int]]:
    """Pairs of ticks (-5 to 5) in one line when the page that lies over is displaced."""
    off = Affine.move(slid, -gap)
    under = [foot(tick) for tick in ticks(kind, False)]
    over = [foot(tick.moved(off)) for tick in ticks(kind, True)]
    return [
        (i - 5, j - 5)
        for i, one in enumerate(under)
        for j, other in enumerate(over)
        if abs(one - other) < 1e-6
    ]


@given(slid=tenths, gap=tenths)
def test_straight_ticks_tell_sliding_and_nothing_else(slid: int, gap: int) -> None:
    """Off by n tenths along the joint, the n-th ticks are in line, whatever the gap."""
    pairs = in_line(Ticks.STRAIGHT, slid / 10, gap / 10)
    assert [(i, j) for i, j in pairs if i == j] == [(slid, slid)]
    # At half a millimetre the far ends are in line as well: the long ticks tell which is meant.
    assert all(10 * i - 9 * j == slid for i, j in pairs)


@given(slid=tenths, gap=tenths)
def test_slanted_ticks_tell_the_sum_of_sliding_and_gap(slid: int, gap: int) -> None:
    """A tick at 45 degrees is carried along the joint by as much as the page has gone across."""
    pairs = in_line(Ticks.SLANTED, slid / 10, gap / 10)
    assert pairs or abs(slid + gap) > 5
    assert all(10 * i - 9 * j == slid + gap for i, j in pairs)
    if abs(slid + gap) <= 5:
        assert (slid + gap, slid + gap) in pairs


@pytest.mark.parametrize("kind", list(Ticks))
@pytest.mark.parametrize("over", [False, True])
def test_ticks_can_be_read_and_are_no_pattern_line(kind: Ticks, over: bool) -> None:
    """Eleven of them, the middle one longest, far thinner than the pattern, 3 to 4.5 mm."""
    lines = ticks(kind, over)
    deep = [path.bounds.height for path in lines]
    assert len(lines) == 11
    assert deep.index(max(deep)) == 5
    assert deep == deep[::-1]
    assert all(3.0 <= depth <= 4.5 for depth in deep)
    assert 0.12 <= TICK.width <= 0.15
    assert TICK.width < min(pen.width for pen in PENS.values()) / 2
    # Paper between two ticks is wider than two ticks, square to them.
    step = 0.9 if over else 1.0
    apart = step * math.cos(math.atan(kind.slant)) - TICK.width
    assert apart > 2 * TICK.width


@pytest.mark.parametrize("kind", list(Ticks))
def test_each_page_has_its_ticks_on_its_own_side(kind: Ticks) -> None:
    """They run on half a millimetre past the joint, for a cut that is a little off."""
    for over in (False, True):
        boxes = [path.bounds for path in ticks(kind, over)]
        past = [box.top if over else -box.bottom for box in boxes]
        assert past == pytest.approx([0.5] * 11)


@pytest.mark.parametrize("kind", list(Ticks))
@pytest.mark.parametrize("over", [False, True])
@pytest.mark.parametrize("bare", [False, True])
def test_a_drawing_covers_all_its_ink(kind: Ticks, over: bool, bare: bool) -> None:
    """Nothing is cut off at the edge of the form that the pages share."""
    drawing = vernier(kind, over, bare)
    page = Page("A1", 50, 50, drawing.items)
    frame = shapely.box(*drawing.bounds)
    inks = [line.ink for line in lines_on(page)] + [word.ink for word in words_on(page)]
    assert len(inks) >= 2
    assert all(frame.covers(ink) for ink in inks)
    assert (kind.bare_box if bare else kind.box).holds(drawing.bounds)
    assert any(isinstance(item, Words) for item in drawing.items) != bare


@pytest.mark.parametrize("kind", list(Ticks))
def test_words_stand_clear_of_ticks_and_each_other(kind: Ticks) -> None:
    """Numbers and words of both pages are free, 7 pt at the least."""
    page = Page("A1", 50, 50, (*vernier(kind, False).items, *vernier(kind, True).items))
    lines = shapely.union_all([line.ink for line in lines_on(page)])
    words = words_on(page)
    assert {word.text for word in words} >= {"0", "5"}
    assert all(word.size_pt >= 7 for word in words)
    assert all(word.ink.distance(lines) > 0.3 for word in words)
    for number, word in enumerate(words):
        assert all(word.ink.distance(other.ink) > 0.5 for other in words[:number])


@given(x=st.floats(-500, 500), y=st.floats(-500, 500))
def test_an_upright_joint_has_the_page_that_lies_under_on_its_left(x: float, y: float) -> None:
    """Words run up along it and can be read from the right; level ones from below."""
    middle = Point(x, y)
    for upright, towards in ((True, Point(x - 4, y)), (False, Point(x, y + 4))):
        at = at_joint(middle, upright=upright)
        assert at(Point(0, 4)).to(towards) < 1e-9
        assert at(Point(0, 0)).to(middle) < 1e-9
        along = at(Point(1, 0))
        assert (along.x - x, along.y - y) == pytest.approx((0, 1) if upright else (1, 0), abs=1e-9)


@each_publication
def test_pages_share_the_drawings(demo: str, paper: str) -> None:
    """A few drawings serve all joints, so that a page grows by a few bytes only."""
    pages = publication_of(demo, paper).pages
    counts = {
        (kind, over): sum(
            len(uses_on(page, vernier(kind, over), vernier(kind, over, True))) for page in pages
        )
        for kind in Ticks
        for over in (False, True)
    }
    assert len(set(counts.values())) == 1
    assert min(counts.values()) > 0
    assert vernier(Ticks.SLANTED, True) is vernier(Ticks.SLANTED, True)


def help_page(width: float, way: Way) -> tuple[Page, Bounds]:
    """The help in the upper part of a page, and the frame that it says it takes."""
    frame = Bounds(10, 0, 10 + width, 250)
    items = tuple(draw_vernier_help(frame, way))
    height = vernier_help_height(width, way)
    return Page("start", 300, 260, (Group(items, furniture=True),)), frame._replace(
        bottom=250 - height
    )


@given(width=st.floats(60, 280), way=st.sampled_from(Way))
def test_the_help_stays_in_its_frame(width: float, way: Way) -> None:
    """Words and lines are inside, at a height that was told before."""
    page, frame = help_page(width, way)
    inside = shapely.box(*frame.grown(0.3))
    inks = [word.ink for word in words_on(page)] + [line.ink for line in lines_on(page)]
    assert all(inside.covers(ink) for ink in inks)
    assert 20 < frame.height < 70
    lowest = min(ink.bounds[1] for ink in inks)
    assert lowest < frame.bottom + 4


@given(width=st.floats(60, 280), way=st.sampled_from(Way))
def test_words_of_the_help_are_apart(width: float, way: Way) -> None:
    """No two lines of text touch, and no tick runs through one."""
    page, _ = help_page(width, way)
    words = words_on(page)
    lines = shapely.union_all([line.ink for line in lines_on(page)])
    for number, word in enumerate(words):
        assert not word.ink.intersects(lines)
        assert not any(word.ink.intersects(other.ink) for other in words[:number])


def test_the_examples_read_0_and_0_3_mm() -> None:
    """In each example one pair of ticks is in line, and it is the pair with grey behind it."""
    page, _ = help_page(120, Way.OVERLAP)
    captions = {"closes right": 0, "slid 0.3 mm": 3, "gap 0.3 mm": 3}
    found = {}
    marked = [line.path for line in lines_on(page) if line.pen.grey == 0]
    for text, grey in zip(captions, (f.ink for f in fills_on(page)), strict=True):
        behind = [tick for tick in marked if grey.covers(shapely.LineString(tick.flattened(0.1)))]
        upper, lower = sorted(behind, key=lambda t: t.end.y, reverse=True)
        turn = [math.atan2(t.end.y - t.start.y, t.end.x - t.start.x) % math.pi for t in behind]
        assert turn[0] == pytest.approx(turn[1])
        through = math.atan2(upper.end.y - lower.end.y, upper.end.x - lower.end.x)
        assert through == pytest.approx(turn[0], abs=1e-6)
        # From the middle of its example, in ticks of the page that lies under.
        middle = next(word for word in words_on(page) if word.text == text).ink.centroid.x
        feet = [t.start.x for t in marked if t.end.y > t.start.y]
        near = sorted(sorted(feet, key=lambda x: abs(x - middle))[:11])
        found[text] = round((upper.start.x - middle) * 10 / (near[10] - near[0]))
    assert found == captions
