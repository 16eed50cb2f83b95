"""The key explains every kind of line that the pattern has, and no other."""

from __future__ import annotations

import dataclasses
import re
import tomllib

import pytest

from tests.demos import DEMOS, PAPERS, front_of, pattern_of_demo, plan_of, sheets_of
from tests.printed import lines_on, words_on
from tests.strategies import pattern_of, rectangular
from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Lies, Line, Outline, Pattern, Role
from tiler.pattern.path import polyline
from tiler.sheets.drawing import Page, Pen
from tiler.sheets.key import draw_key
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
        if any(e.lies is Lies.FOLD for outline in piece.outlines for e in outline.edges):
            found.add(TEXTS["key_fold_edge"])
        if piece.grain:
            found.add(TEXTS["key_grain"])
    return found


def cut_sentence(key: str) -> str:
    """What the key says of a cut line of all styles, of one, or of several."""
    names = ", ".join(key.split(" + "))
    return TEXTS["key_style"].format(style=names) if key else TEXTS["key_cut"]


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
    named = {style for style in styles if re.search(re.escape(style) + "(?!,)", told)}
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
        line.pen
        for _, page in sheets_of(demo, "a4")
        for line in lines_on(page)
        if line.pattern and line.pen.width > 0.5
    }
    samples = {line.pen for line in lines_on(drawn_key(pattern_of_demo(demo)))}
    assert drawn
    assert drawn <= samples
