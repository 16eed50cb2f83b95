"""What stands in the windows on the mat: large words clear of lines, crosses, squares, cautions."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import pytest
import shapely

from tests.demos import pattern_of_demo
from tiler.layout.mats.crosses import crosses_of
from tiler.layout.mats.turning import turned
from tiler.layout.mats.windows import Series, to_mat
from tiler.layout.units import units_of
from tiler.pattern.affine import STILL
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Role
from tiler.sheets.drawing import Group, Item, Stroke, Words, walk
from tiler.sheets.extent import word_shapes
from tiler.sheets.lettering import height_of
from tiler.sheets.pens import PENS
from tiler.sheets.projected import Setting, View, arranged, views
from tiler.sheets.projectedhead import Heading, say_next, shift_words
from tiler.sheets.projectedpens import ASIDE, READ, Brush
from tiler.sheets.projectedpiece import cloth_of, lines_on
from tiler.sheets.projectedstart import Promise, draw_start

LARGE, SMALL = Bounds(0, 0, 1200, 700), Bounds(0, 0, 450, 300)
BRUSH = Brush(1.5, 1.3)
each_set = pytest.mark.parametrize(
    ("demo", "frame"), [("apron", LARGE), ("smock", LARGE), ("trousers", SMALL), ("hat", SMALL)]
)


@cache
def set_of(demo: str, frame: Bounds, mirrored: bool = False) -> tuple[Setting, list[Series]]:
    setting = Setting(pattern_of_demo(demo), frame, BRUSH, "mat", mirrored)
    laid = [
        turned(unit, setting.field, margin=1.5, mirrored=mirrored)
        for unit in units_of(setting.pattern)
    ]
    return setting, arranged(laid, setting)


@cache
def views_of(demo: str, frame: Bounds) -> tuple[View, ...]:
    setting, series = set_of(demo, frame)
    return tuple(views(series, setting))


def texts(items: tuple[Item, ...]) -> Iterator[Words]:
    return (item for item in walk(items) if isinstance(item, Words))


@each_set
def test_words_are_clear_of_lines_and_of_each_other(demo: str, frame: Bounds) -> None:
    for view in views_of(demo, frame):
        lines = shapely.union_all(
            [line for each in view.shown for line in lines_on(each.piece, each.at)]
        ).intersection(shapely.box(*set_of(demo, frame)[0].field))
        words = word_shapes(view.items, STILL)
        struck = [
            text.text
            for text, word in zip(texts(view.items), words, strict=True)
            if word.buffer(0.7).intersects(lines)
        ]
        assert not struck, view.name
        tree = shapely.STRtree(words)
        pairs = tree.query(words, predicate="intersects").T
        said = [words.text for words in texts(view.items)]
        shared = [
            (said[a], said[b])
            for a, b in pairs
            if a < b and words[a].intersection(words[b]).area > 1
        ]
        assert not shared, view.name


@each_set
def test_what_has_to_be_read_is_8_mm_high_and_nothing_leaves_the_mat(
    demo: str, frame: Bounds
) -> None:
    """On a small mat what to do next may be smaller, since the arrow and the crosses show it."""
    for view in views_of(demo, frame):
        for words in texts(view.items):
            assert (
                height_of(words.size_pt) >= (ASIDE if words.at.y > frame.top - 48 else READ) - 0.1
            )
        for shape in word_shapes(view.items, STILL):
            assert shapely.box(*frame).contains(shape), view.name


@each_set
def test_every_piece_says_its_name_wherever_it_is_seen(demo: str, frame: Bounds) -> None:
    for view in views_of(demo, frame):
        said = " ".join(words.text for words in texts(view.items))
        assert all(each.piece.name in said for each in view.shown), view.name


@each_set
def test_a_piece_says_how_to_cut_it_in_some_window(demo: str, frame: Bounds) -> None:
    said = " ".join(w.text for view in views_of(demo, frame) for w in texts(view.items))
    for piece in pattern_of_demo(demo).pieces:
        for cut in piece.cuts:
            assert f"cut {cut.count}" in said, piece.name


def test_neighbours_show_their_crosses_at_one_place_of_the_cloth() -> None:
    """What is marked in one window is ringed in the next, and the shift of the cloth joins them."""
    setting, series = set_of("trousers", SMALL)
    long = next(each for each in series if len(each.windows) > 1)
    shown = [
        v
        for v in views_of("trousers", SMALL)
        if " of " in v.name and v.name.startswith(f"{long.laid[0].name} ")
    ]
    (piece,), at = long.laid[0].pieces, long.laid[0].at
    crosses = crosses_of(
        long,
        shapely.union_all(lines_on(piece, at)),
        cloth_of(piece, at),
        shapely.Point(),
    )
    letters = {
        window.number: {w.text: w.at for w in texts(view.items)}
        for window, view in zip(long.windows, shown, strict=True)
    }
    assert crosses
    by_number = {window.number: window for window in long.windows}
    for cross in crosses:
        places = []
        for number in (cross.first, cross.second):
            by = to_mat(by_number[number], setting.field)
            seen = letters[number][cross.letter]
            places.append((seen.x - by.e, seen.y - by.f))
        assert places[0] == pytest.approx(places[1])


def test_the_head_says_which_way_the_cloth_goes() -> None:
    """Windows go on to the right, so the cloth moves to the left, by as much."""
    _, series = set_of("trousers", SMALL)
    one, other = next(each for each in series if len(each.windows) > 1).windows[:2]
    way, by = shift_words(one, other)
    assert way == "to the left"
    assert by == f"{other.lies.left - one.lies.left:.0f} mm"
    assert way in say_next(Heading("", "", ""), one, other, ())


@pytest.mark.parametrize("frame", [LARGE, SMALL, Bounds(0, 0, 300, 200), Bounds(0, 0, 2400, 900)])
def test_the_first_picture_warns_and_can_be_measured(frame: Bounds) -> None:
    """The beam, children, cables, the maker's manual and local rules; a square; the diagonal."""
    setting = Setting(pattern_of_demo("hat"), frame, BRUSH, "mat")
    start = draw_start(setting, Promise("table", 4, 1.2))
    said = " ".join(words.text for words in texts(start.items))
    for word in ("beam", "hildren", "cables", "manuals", "local rules", "1.2 mm", "4 windows"):
        assert word in said
    assert f"{(frame.width**2 + frame.height**2) ** 0.5:.1f}".rstrip("0").rstrip(".") in said
    for shape in word_shapes(start.items, STILL):
        assert shapely.box(*frame).contains(shape)
    measures = [
        dict(item.facts)["Measure"]
        for item in walk(start.items)
        if isinstance(item, Group) and item.facts
    ]
    assert measures
    assert {round(width, 6) for width, _ in measures} <= {100.0, 101.6}
    assert all(width == height for width, height in measures)


def test_mirrored_pieces_are_turned_over_and_their_words_are_not() -> None:
    setting, series = set_of("smock", LARGE, mirrored=True)
    for view in views(series, setting):
        assert all(each.at.determinant == pytest.approx(-1) for each in view.shown)
        assert any("Mirrored" in words.text for words in texts(view.items))


@pytest.mark.parametrize("frame", [LARGE, SMALL, Bounds(0, 0, 600, 450)])
def test_every_mirrored_window_says_so_and_no_piece_claims_to_lie_face_up(frame: Bounds) -> None:
    """A lone asymmetric piece that is seen from its other side is drawn face down."""
    setting, series = set_of("smock", frame, mirrored=True)
    shown = [[words.text for words in texts(view.items)] for view in views(series, setting)]
    assert all(any("irrored" in text for text in said) for said in shown)
    said = " ".join(text for window in shown for text in window)
    assert "face down" in said
    assert "face up" not in said
    plain = views_of("smock", frame)
    assert "face up" in " ".join(words.text for view in plain for words in texts(view.items))


@pytest.mark.parametrize("line", [0.4, 1.5, 4.0])
def test_no_line_is_thinner_than_what_is_seen_and_dashes_stay_apart(line: float) -> None:
    """Solid, stitch, fold and placing lines keep apart: by dashes, whatever the width."""
    brush = Brush(max(line, 1.3), 1.3)
    pens = {role: brush.of(PENS[role]) for role in Role}
    assert min(pen.width for pen in pens.values()) >= 1.3
    for pen in pens.values():
        assert all(gap > 1.5 * pen.width for gap in pen.dash[1::2])
        assert all(dash >= pen.width for dash in pen.dash[::2])
    apart = {pens[role].dash for role in (Role.CUT, Role.STITCH, Role.FOLD, Role.INSIDE)}
    assert len(apart) == 4


def test_all_of_a_window_stays_on_the_usable_rectangle() -> None:
    for view in views_of("smock", LARGE):
        for group in view.items:
            assert isinstance(group, Group)
            assert group.window
            assert LARGE.grown(2.0).holds(group.window)
        assert any(isinstance(item, Stroke) for item in walk(view.items))
