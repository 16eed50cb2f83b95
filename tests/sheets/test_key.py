"""The key explains every kind of line that the pattern has, and no other."""

from __future__ import annotations

import dataclasses
import re
import tomllib
from itertools import combinations

import pytest

from tests.demos import DEMOS, PAPERS, front_of, pattern_of_demo, plan_of, sheets_of
from tests.printed import PrintedLine, lines_on, words_on
from tests.strategies import pattern_of, rectangular
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import AND, Lies, Line, Outline, Pattern, Role
from tiler.pattern.path import polyline
from tiler.sheets.drawing import Group, Page, Pen
from tiler.sheets.key import ROW, SAMPLE, draw_key
from tiler.sheets.pens import CUT, FOLD, PENS, style_pen
from tiler.sheets.ways import Way
from tiler.sheets.words import shipped

TEXTS = tomllib.loads((shipped("templates") / "en" / "sheet.toml").read_text("utf-8"))
OF_ROLE = {
    Role.CUT: "key_cut",
    Role.STITCH: "key_stitch",
    Role.FOLD: "key_fold",
    Role.GRAIN: "key_grain",
    Role.NOTCH: "key_notch",
    Role.DART: "key_dart",
    Role.DRILL: "key_drill",
    Role.BUTTON: "key_button",
    Role.BUTTONHOLE: "key_buttonhole",
    Role.POCKET: "key_pocket",
    Role.INSIDE: "key_inside",
}


def kinds_in(pattern: Pattern) -> set[str]:
    """The sentences that the pattern's lines call for, found line by line."""
    found = set()
    for piece in pattern.pieces:
        for run in piece.runs:
            if run.edge.lies is not Lies.FOLD:
                found.add(cut_sentence(run.style) if run.role is Role.CUT else TEXTS["key_stitch"])
        for thing in (*piece.lines, *piece.marks):
            role = thing.role
            if thing.style and role is Role.CUT:
                found.add(cut_sentence(thing.style))
            else:
                found.add(TEXTS[OF_ROLE[role]])
            if thing.style and role is Role.STITCH:
                found.add(TEXTS["key_stitch_style"])
        if any(e.lies is Lies.FOLD for outline in piece.outlines for e in outline.edges):
            found.add(TEXTS["key_fold_edge"])
        if piece.grain:
            found.add(TEXTS["key_grain"])
    return found


def cut_sentence(key: str) -> str:
    """What the key says of a cut line of all styles, of one, or of several."""
    *names, last = key.split(" + ")
    if names:
        return TEXTS["key_styles"].format(styles=", ".join(names), last=last)
    return TEXTS["key_style"].format(style=last) if key else TEXTS["key_cut"]


def sentences_of(texts: list[str]) -> set[str]:
    """Which key sentences stand among lines of text, put together where they were wrapped."""
    joined = " ".join(texts)
    known = [TEXTS[key] for key in TEXTS if key.startswith("key_")]
    return {sentence for sentence in known if sentence in joined}


def drawn_key(pattern: Pattern, joints: bool = True) -> Page:
    items, _ = draw_key(pattern, Bounds(0, 0, 62, 150), joints)
    return Page("key", 62, 150, tuple(items))


@pytest.mark.parametrize("demo", DEMOS)
@pytest.mark.parametrize("paper", PAPERS)
def test_the_key_of_a_demo_lists_exactly_its_kinds_of_line(demo: str, paper: str) -> None:
    """Besides the trim line and the crosses, nothing is missing and nothing is extra."""
    pattern = pattern_of_demo(demo)
    texts = [words.text for page in front_of(demo, paper) for words in words_on(page)]
    wanted = kinds_in(pattern)
    keys = {key for piece in pattern.pieces for key in piece.style_keys}
    styles = {cut_sentence(key) for key in keys}
    told = " ".join(texts)
    named = {style for style in styles if re.search(re.escape(style) + "(?!,| and)", told)}
    assert len(plan_of(demo, paper).cells) > 1
    page = {TEXTS["key_trim"], TEXTS["key_cross"]}
    heading = {TEXTS["key_title"]}
    # "dart" and "fold" also occur inside other sentences, so whole lines are asked for.
    alone = {sentence for sentence in sentences_of(texts) if sentence in texts or " " in sentence}
    assert alone | named == wanted | page | heading


@pytest.mark.parametrize("role", [Role.STITCH, Role.FOLD, Role.DART, Role.INSIDE])
def test_a_kind_of_line_that_one_style_alone_has_is_in_the_key(role: Role) -> None:
    """Also a stitch, fold, dart or placing line that belongs to one style needs explaining."""
    line = Line(role, polyline([Point(10, 10), Point(60, 60)]), style="narrow")
    piece = dataclasses.replace(rectangular("Brim", 100, 100), lines=(line,))
    pattern = pattern_of(piece, styles=(("narrow", "less brim"),))
    texts = [words.text for words in words_on(drawn_key(pattern))]
    assert TEXTS[OF_ROLE[role]] in texts


def test_without_joints_the_key_says_nothing_about_them() -> None:
    """A single page needs no trimming."""
    pattern = pattern_of(rectangular("Pocket", 100, 100))
    texts = [words.text for words in words_on(drawn_key(pattern, joints=False))]
    assert texts == [TEXTS["key_title"], TEXTS["key_cut"]]


def test_each_style_has_a_row_with_its_own_dashes() -> None:
    """Styles are told apart in black and white, in the maker's order."""
    shared = rectangular("Brim", 200, 100)
    names = ("narrow", "wide", "plain")
    outlines = tuple(Outline(Role.CUT, shared.outlines[0].edges, style=name) for name in names)
    piece = dataclasses.replace(shared, outlines=outlines)
    pattern = pattern_of(piece, styles=tuple((name, "") for name in names))
    page = drawn_key(pattern, joints=False)
    texts = [words.text for words in words_on(page)][1:]
    assert texts == [TEXTS["key_style"].format(style=name) for name in names]
    dashes = [line.pen.dash for line in lines_on(page)]
    assert len(set(dashes)) == 3
    assert () not in dashes


@pytest.mark.parametrize("demo", DEMOS)
def test_every_pen_of_the_cut_lines_is_sampled_in_the_key(demo: str) -> None:
    """A cut line looks in the key just as it looks on the sheet."""
    drawn: set[Pen] = {
        # A piece may lie at any turn, which leaves its width as it was but for rounding.
        dataclasses.replace(line.pen, width=round(line.pen.width, 6))
        for _, page in sheets_of(demo, "a4")
        for line in lines_on(page)
        if line.pattern and line.pen.width > 0.5
    }
    samples = {line.pen for line in lines_on(drawn_key(pattern_of_demo(demo)))}
    assert drawn
    assert drawn <= samples


def strokes_beside(pattern: Pattern, text: str) -> list[PrintedLine]:
    """The lines of the sample that stands beside a text of the key."""
    page = drawn_key(pattern)
    (row,) = (words.ink for words in words_on(page) if words.text == text)
    middle = (row.bounds[1] + row.bounds[3]) / 2
    return [line for line in lines_on(page) if abs(line.path.bounds.centre.y - middle) < ROW / 2]


def seen(dash: tuple[float, ...]) -> tuple[float, ...]:
    """What a sample shows of dashes: lengths of dash and gap, up to its end."""
    lengths: list[float] = []
    while sum(lengths) < SAMPLE - 0.01:
        lengths.append(min(dash[len(lengths) % len(dash)], SAMPLE - sum(lengths)))
    return tuple(round(length, 2) for length in lengths)


def test_samples_of_three_styles_and_of_two_that_share_a_line_look_different() -> None:
    """A sample is long enough to show what tells its dashes from all others."""
    order = ("first", "second", "third")
    keys = [*order, *(AND.join(pair) for pair in combinations(order, 2))]
    shown = [seen(style_pen(CUT, order, key).dash) for key in keys]
    shown += [seen(PENS[role].dash) for role in (Role.STITCH, Role.FOLD, Role.INSIDE)]
    shown.append(seen(FOLD.dash))
    for one, other in combinations(shown, 2):
        # By ruler: some dash or gap of the two differs by half a millimetre.
        pairs = zip(one, other, strict=False)
        assert any(abs(a - b) >= 0.5 for a, b in pairs) or abs(len(one) - len(other)) > 1


@pytest.mark.parametrize(
    ("demo", "slits", "wedges"), [("smock", 1, 0), ("apron", 0, 1), ("hat", 1, 1)]
)
def test_the_sample_of_a_notch_has_the_shapes_of_the_pattern(
    demo: str, slits: int, wedges: int
) -> None:
    """A slit goes down into the piece, a wedge stands up from the line; never the other one."""
    lines = strokes_beside(pattern_of_demo(demo), TEXTS["key_notch"])
    (base,) = {line.path.start.y for line in lines if line.pen == CUT}
    ticks = [line.path.bounds for line in lines if line.pen == PENS[Role.NOTCH]]
    assert sum(box.top == pytest.approx(base) for box in ticks) == slits
    assert sum(box.bottom == pytest.approx(base) for box in ticks) == wedges


@pytest.mark.parametrize(("demo", "open_ones", "closed_ones"), [("smock", 0, 1), ("apron", 1, 0)])
def test_the_sample_of_a_dart_is_that_of_the_pattern(
    demo: str, open_ones: int, closed_ones: int
) -> None:
    """The smock has darts with two tips, the apron's begin at an edge."""
    lines = strokes_beside(pattern_of_demo(demo), TEXTS["key_dart"])
    darts = [line.path.closed for line in lines if line.pen == PENS[Role.DART]]
    assert (darts.count(False), darts.count(True)) == (open_ones, closed_ones)


@pytest.mark.parametrize("demo", DEMOS)
@pytest.mark.parametrize("columns", [1, 2, 3])
def test_columns_hold_the_same_rows_and_none_runs_into_the_next(demo: str, columns: int) -> None:
    """Dealt into columns, the rows are all there, each inside its own column, and no lower."""
    pattern = pattern_of_demo(demo)
    width = 180.0
    items, height = draw_key(pattern, Bounds(0, -300, width, 0), True, columns)
    page = Page("key", width, 300, (Group(tuple(items), at=Affine.move(0, 300)),))
    one = drawn_key(pattern)
    words = " ".join(word.text for word in words_on(page))
    assert words.split() == " ".join(word.text for word in words_on(one)).split()
    starts = {round(w.ink.bounds[0], 0) for w in words_on(page)} - {0}
    assert len({start for start in starts if start > SAMPLE}) >= columns
    lowest = min(word.ink.bounds[1] for word in words_on(page))
    assert 300 - height <= lowest + 1.5
    alone = draw_key(pattern, Bounds(0, 0, width / columns, 0), True)[1]
    assert height <= alone


def test_where_nothing_is_trimmed_the_key_has_no_line_to_trim_along() -> None:
    """See-through pages are laid over each other as they are; crosses still meet."""
    pattern = pattern_of(rectangular("Pocket", 100, 100))
    items, _ = draw_key(pattern, Bounds(0, 0, 62, 150), True, way=Way.SEE_THROUGH)
    texts = [words.text for words in words_on(Page("key", 62, 150, tuple(items)))]
    assert TEXTS["key_cross"] in texts
    assert TEXTS["key_trim"] not in texts
