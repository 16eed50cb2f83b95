"""What is written as DXF and read again is the same pattern.

The promise: every line within 0.05 mm by the Hausdorff distance, every role, mark, name and word.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.demos import each_demo, pattern_of_demo
from tests.drawing import draws
from tests.output.dxf.closeness import distance
from tests.strategies import patterns, pieces, rectangular
from tiler.intake.dxf import read_dxf
from tiler.output.dxf import dxf_bytes
from tiler.pattern.affine import Point
from tiler.pattern.model import (
    AND,
    Cut,
    Edge,
    Lay,
    Lies,
    Line,
    Mark,
    Outline,
    Part,
    Pattern,
    Piece,
    Role,
    Side,
)
from tiler.pattern.path import Path, circle, polyline
from tiler.pattern.segment import Cubic, turn_between
from tiler.pattern.wishes import Finish

WITHIN = 0.05


def _same(before: Pattern, after: Pattern) -> None:
    for word in ("title", "maker", "version", "about", "cloths", "styles", "traced_from"):
        assert getattr(before, word) == getattr(after, word), word
    assert [piece.name for piece in before.pieces] == [piece.name for piece in after.pieces]
    for one, other in zip(before.pieces, after.pieces, strict=True):
        _same_piece(one, other)
    assert not after.findings, [str(finding) for finding in after.findings]


def _same_piece(before: Piece, after: Piece) -> None:
    for word in ("cuts", "allowance", "notes", "part", "side"):
        assert getattr(before, word) == getattr(after, word), word
    for one, other in zip(before.outlines, after.outlines, strict=True):
        assert (one.role, one.style) == (other.role, other.style)
        assert distance(one.path, other.path) <= WITHIN
        for edge, again in zip(one.edges, other.edges, strict=True):
            assert (edge.letter, edge.lies, edge.name) == (again.letter, again.lies, again.name)
            assert (edge.allowance, edge.finish) == (again.allowance, again.finish)
            assert distance(edge.path, again.path) <= WITHIN
            assert edge.path.start.to(again.path.start) <= 0.01
    _same_lines(before, after)
    _same_marks(before, after)
    assert (before.grain is None) == (after.grain is None)
    if before.grain and after.grain:
        assert before.grain.start.to(after.grain.start) <= 1e-5
        assert before.grain.end.to(after.grain.end) <= 1e-5


def _same_lines(before: Piece, after: Piece) -> None:
    left = list(after.lines)
    for line in before.lines:
        again = next(
            other
            for other in left
            if (other.role, other.style, other.path.closed)
            == (line.role, line.style, line.path.closed)
            and distance(line.path, other.path) <= WITHIN
        )
        left.remove(again)
    assert not left


def _same_marks(before: Piece, after: Piece) -> None:
    # The layers of the standard part notches from drill holes, whatever order they had.
    left = list(after.marks)
    for mark in before.marks:
        again = min(
            (m for m in left if (m.role, m.style) == (mark.role, mark.style)),
            key=lambda m: m.at.to(mark.at) + m.path.start.to(mark.path.start),
        )
        left.remove(again)
        assert mark.at.to(again.at) <= 1e-5
        assert mark.path.closed == again.path.closed
        for segment, other in zip(mark.path.segments, again.path.segments, strict=True):
            assert type(segment) is type(other)
            assert all(a.to(b) <= 1e-5 for a, b in zip(segment, other, strict=True))
    assert not left


@cache
def _come_back(demo: str) -> Pattern:
    """A demo, written and read."""
    return read_dxf(dxf_bytes(pattern_of_demo(demo)), f"{demo}.dxf")


@each_demo
def test_a_demo_comes_back(demo):
    _same(pattern_of_demo(demo), _come_back(demo))


@settings(draws(12), suppress_health_check=list(HealthCheck))
@given(patterns(most=3))
def test_any_pattern_comes_back(pattern):
    _same(pattern, read_dxf(dxf_bytes(pattern), "any.dxf"))


@settings(draws(8), suppress_health_check=list(HealthCheck))
@given(patterns(most=2), st.data())
def test_what_the_drafter_was_told_comes_back(pattern, data):
    """Widths and finishes of edges, part and side of a piece, buttons and buttonholes."""
    told = []
    for piece in pattern.pieces:
        edges = tuple(
            replace(
                edge,
                allowance=data.draw(st.sampled_from((None, 0.0, 6.35, 15.0, 41.5))),
                finish=data.draw(st.sampled_from((None, *Finish))),
            )
            for edge in piece.outlines[0].edges
        )
        marks = tuple(
            replace(mark, role=data.draw(st.sampled_from((Role.BUTTON, Role.BUTTONHOLE))))
            if mark.role is Role.DRILL
            else mark
            for mark in piece.marks
        )
        told.append(
            replace(
                piece,
                outlines=(replace(piece.outlines[0], edges=edges),),
                marks=marks,
                part=data.draw(st.sampled_from((None, *Part))),
                side=data.draw(st.sampled_from((None, *Side))),
            )
        )
    pattern = replace(pattern, pieces=tuple(told))
    _same(pattern, read_dxf(dxf_bytes(pattern), "told.dxf"))


def test_a_line_that_two_of_three_styles_share_comes_back_as_theirs():
    sizes = {"short": 100, "long": 140, "longer": 180}
    outlines = tuple(
        Outline(Role.CUT, rectangular("Sleeve", 200, height).outlines[0].edges, style)
        for style, height in sizes.items()
    )
    lines = (
        Line(Role.STITCH, polyline([Point(20, 100), Point(20, 130)]), AND.join(["long", "longer"])),
        Line(Role.INSIDE, polyline([Point(20, 20), Point(20, 90)])),
        Line(Role.POCKET, polyline([Point(30, 20), Point(60, 20), Point(60, 60)]), "short"),
    )
    marks = (
        Mark(Role.BUTTON, Point(50, 120), circle(Point(50, 120), 3), AND.join(["long", "longer"])),
    )
    pattern = Pattern(
        "Smock",
        (Piece("Sleeve", outlines, lines, marks),),
        styles=tuple((style, "") for style in sizes),
    )
    _same(pattern, read_dxf(dxf_bytes(pattern), "smock.dxf"))


@settings(draws(8), suppress_health_check=list(HealthCheck))
@given(pieces(smallest=15.0, largest=1500.0))
def test_small_and_large_pieces_come_back(piece):
    pattern = Pattern("Smock", (piece,))
    _same(pattern, read_dxf(dxf_bytes(pattern), "any.dxf"))


@each_demo
def test_what_is_read_is_written_again_without_drifting(demo):
    second = read_dxf(dxf_bytes(_come_back(demo)), "a.dxf")
    _same(pattern_of_demo(demo), second)


@each_demo
def test_curves_stay_smooth(demo):
    """Where two curves of the demo meet smoothly, two curves that are read meet so too."""
    pattern = pattern_of_demo(demo)
    for one, other in zip(pattern.pieces, _come_back(demo).pieces, strict=True):
        before, after = one.outlines[0].edges, other.outlines[0].edges
        for edge, read in zip(before, after, strict=True):
            worst = max(_turns(edge.path), default=0.0)
            assert max(_turns(read.path), default=0.0) <= worst + 0.3, (one.name, edge.letter)


def _turns(path: Path) -> list[float]:
    return [abs(turn_between(a, b)) for a, b in pairwise(path.segments)]


def test_every_line_is_kept_whatever_its_role_and_style():
    square = rectangular("Brim", 200, 100)
    bow = Cubic(Point(20, 20), Point(60, 90), Point(120, -30), Point(180, 40))
    lines = [
        Line(role, Path((bow,)).moved(_up(number)), style)
        for number, (role, style) in enumerate(
            [
                (Role.CUT, ""),
                (Role.CUT, "narrow"),
                (Role.STITCH, ""),
                (Role.STITCH, "narrow"),
                (Role.FOLD, "wide, §5"),
                (Role.DART, ""),
                (Role.INSIDE, "narrow"),
            ]
        )
    ]
    lines.append(Line(Role.CUT, circle(Point(50, 50), 12)))
    lines.append(Line(Role.INSIDE, polyline([Point(5, 5), Point(9, 5), Point(9, 9)], closed=True)))
    marks = (
        Mark(Role.NOTCH, Point(50, 0), polyline([Point(50, 0), Point(50, 4)]), "narrow"),
        Mark(Role.NOTCH, Point(0, 50), polyline([Point(0, 48), Point(4, 50), Point(0, 52)])),
        Mark(Role.DRILL, Point(90, 60), polyline([Point(88, 60), Point(92, 60)])),
    )
    piece = Piece("Brim", square.outlines, tuple(lines), marks)
    pattern = Pattern("Hat", (piece,), styles=(("narrow", "65 mm"), ("wide, §5", "")))
    _same(pattern, read_dxf(dxf_bytes(pattern), "hat.dxf"))


def _up(number: int):
    from tiler.pattern.affine import Affine

    return Affine.move(0, 2.0 * number)


def test_styles_with_outlines_of_their_own_come_back_as_one_piece():
    small, large = rectangular("Front", 200, 300), rectangular("Front", 220, 320)
    shared = Line(Role.INSIDE, polyline([Point(20, 20), Point(20, 90)]))
    own = Line(Role.STITCH, polyline([Point(30, 20), Point(30, 90)]), "large")
    piece = Piece(
        "Front",
        (
            Outline(Role.CUT, small.outlines[0].edges, "small"),
            Outline(Role.CUT, large.outlines[0].edges, "large"),
        ),
        (shared, own),
        (Mark(Role.DRILL, Point(50, 50), circle(Point(50, 50), 1.5)),),
    )
    pattern = Pattern("Smock", (piece,), styles=(("small", "36"), ("large", "42")))
    again = read_dxf(dxf_bytes(pattern), "smock.dxf")
    _same(pattern, again)
    assert len(again.pieces) == 1


WORDS = [
    "100 % linen, 50%% wool, 3%%d",
    "C:\\U+0041 ^ caret and \\M+1",
    "Bügel für Größe 40 – “Rüschen” 裁縫 🧵",
    "colon: in: it",
    "a " * 300 + "end",
    "x" * 700,
]


@pytest.mark.parametrize("words", WORDS)
def test_words_survive_their_encoding(words):
    words = words.strip()
    name = words[:100].strip()
    note = words if " " in words else f"{words[:200]} long"
    piece = rectangular(name, 100, 80, notes=(note,), cuts=(Cut(2, name, Lay.PAIR),))
    pattern = Pattern(name, (piece,), about=note, cloths=((name, note),), styles=((name, note),))
    content = dxf_bytes(pattern)
    assert max(len(line) for line in content.split(b"\r\n")) <= 255
    again = read_dxf(content, "words.dxf")
    assert again.pieces[0].name == name
    assert again.pieces[0].notes == (note,)
    assert again.pieces[0].cuts == (Cut(2, name, Lay.PAIR),)
    assert (again.title, again.about, again.cloths, again.styles) == (
        name,
        note,
        ((name, note),),
        ((name, note),),
    )


def test_corners_that_only_a_mark_makes_stay_corners():
    """An edge that begins where the way doesn't turn: such as a placket's end in a side seam."""
    corners = [Point(0, 0), Point(0, 100), Point(0, 200), Point(90, 200), Point(90, 0)]
    edges = tuple(
        Edge(letter, polyline([corners[i], corners[(i + 1) % 5]]), lies)
        for i, (letter, lies) in enumerate(
            zip("ABCDE", (Lies.HEM, Lies.RAW, Lies.SEWN, Lies.HEM, Lies.SEWN), strict=True)
        )
    )
    pattern = Pattern("Apron", (Piece("Side", (Outline(Role.STITCH, edges),)),))
    _same(pattern, read_dxf(dxf_bytes(pattern), "apron.dxf"))


def test_an_edge_that_a_style_has_parted_keeps_its_letter() -> None:
    """A style's line with a corner makes B and B2 of edge B; each has a width of its own here."""
    whole = rectangular("Brim", 200, 100)
    edges = list(whole.outlines[0].edges)
    edges[1] = replace(edges[1], allowance=10.0)
    edges[2] = replace(edges[2], letter="B2", allowance=20.0, finish=Finish.SQUARE, name="slope")
    edges[3] = replace(edges[3], letter="C", lies=Lies.HEM)
    before = Pattern("Hat", (replace(whole, outlines=(Outline(Role.CUT, tuple(edges)),)),))
    [after] = read_dxf(dxf_bytes(before), "hat.dxf").pieces
    _same_piece(before.pieces[0], after)
    assert [edge.letter for edge in after.outlines[0].edges] == ["A", "B", "B2", "C"]
