"""The pattern model: digests, styles and bounds."""

import hashlib
import re

from hypothesis import given
from hypothesis import strategies as st

from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Edge, Line, Mark, Outline, Pattern, Piece, Role, Source
from tiler.pattern.path import circle, polyline, rectangle

names = st.text(st.characters(codec="utf-8"), min_size=1, max_size=12)
sources = st.lists(st.builds(Source, names, st.binary(max_size=40)), max_size=4).map(tuple)


@given(sources, sources)
def test_a_digest_changes_whenever_a_source_changes(
    one: tuple[Source, ...], other: tuple[Source, ...]
) -> None:
    first = Pattern("A", (), sources=one).digest
    assert re.fullmatch(r"[0-9a-f]{4}-[0-9a-f]{4}", first)
    assert (first == Pattern("B", (), sources=other).digest) == (one == other)


def test_a_digest_is_the_start_of_a_sha_256() -> None:
    pattern = Pattern("Apron", (), sources=(Source("a.svg", b"<svg/>"),))
    whole = hashlib.sha256(b"a.svg\x006\x00<svg/>").hexdigest()
    assert pattern.digest == f"{whole[:4]}-{whole[4:8]}"


def test_bytes_cannot_move_from_one_file_to_the_next_unseen() -> None:
    one = Pattern("A", (), sources=(Source("a", b"xy"), Source("b", b"")))
    other = Pattern("A", (), sources=(Source("a", b"x"), Source("b", b"y")))
    assert one.digest != other.digest


def square(style: str = "") -> Outline:
    ring = rectangle(Bounds(0, 0, 100, 50))
    return Outline(
        Role.CUT, tuple(Edge("ABCD"[i], polyline(s)) for i, s in enumerate(ring.segments)), style
    )


def test_an_outline_is_its_edges_joined() -> None:
    outline = square()
    assert outline.path == rectangle(Bounds(0, 0, 100, 50))
    assert outline.area == 5000


def test_the_bounds_of_a_piece_hold_all_that_is_drawn() -> None:
    piece = Piece(
        "Front",
        (square(),),
        lines=(Line(Role.INSIDE, polyline([Point(10, 10), Point(120, 10)]), "wide"),),
        marks=(Mark(Role.DRILL, Point(0, 50), circle(Point(0, 50), 2)),),
        grain=polyline([Point(50, -5), Point(50, 40)]),
    )
    assert piece.bounds == (-2, -5, 120, 52)
    assert piece.styles == ("wide",)


def test_styles_come_in_the_order_in_which_they_appear() -> None:
    line = polyline([Point(0, 0), Point(1, 0)])
    lines = tuple(Line(Role.INSIDE, line, style) for style in ("long", "", "short", "long"))
    assert Piece("Back", (square(),), lines=lines).styles == ("long", "short")
