"""Stitch and cut lines of whole pieces; expected places are worked out by hand beside them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from tests.drafting.allowance.making import arc, corners, line, near, ring, ring_of
from tiler.drafting.allowance import MITRED, CornerFinish, Finish
from tiler.drafting.cutlines import finishes_of, widths_of, with_cut, with_stitch
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Lies, Line, Outline, Piece, Role
from tiler.pattern.wishes import DartWish, NotchWish, Place, StyleWish, Wishes

SIDE = CornerFinish(Finish.REFLECTED)
HEM_FIRST = CornerFinish(Finish.REFLECTED, first=False)
BOX = ((0.0, 0.0), (0.0, 100.0), (80.0, 100.0), (80.0, 0.0))


def box(role: Role = Role.STITCH, style: str = "", **edges: Mapping[str, object]) -> Outline:
    """80 wide and 100 high: A left, B top, C right, D bottom, with facts of the edges."""
    return with_facts(replace(ring(*BOX, role=role), style=style), **edges)


def with_facts(outline: Outline, **edges: Mapping[str, object]) -> Outline:
    changed = tuple(
        replace(edge, **edges.get(edge.letter, {}))  # type: ignore[arg-type]
        for edge in outline.edges
    )
    return replace(outline, edges=changed)


def piece(*outlines: Outline, allowance: float | None = 10.0, **facts: object) -> Piece:
    return Piece("Bib", outlines, allowance=allowance, drawing="bib.svg", **facts)  # type: ignore[arg-type]


def drawn(made: Piece) -> list[tuple[Role, str, list[Point]]]:
    return [(each.role, each.style, list(each.path.nodes())) for each in made.lines]


def test_widths_of_an_edge_of_the_piece_and_of_folds() -> None:
    outline = box(
        A={"lies": Lies.FOLD},
        B={"allowance": 6.0},
        C={"lies": Lies.RAW},
        D={"lies": Lies.HEM, "allowance": 40.0},
    )
    assert widths_of(outline, piece(outline)) == {"A": 0, "B": 6, "C": 0, "D": 40}


def test_what_an_edge_says_counts_on_folds_and_raw_edges_too() -> None:
    outline = box(A={"lies": Lies.FOLD, "allowance": 3.0}, C={"lies": Lies.RAW, "allowance": 5.0})
    assert widths_of(outline, piece(outline)) == {"A": 3, "B": 10, "C": 5, "D": 10}


def test_an_allowance_that_is_not_known_is_told_with_all_its_edges() -> None:
    outline = box(style="long", A={"lies": Lies.FOLD}, D={"allowance": 40.0})
    with pytest.raises(PatternError) as told:
        widths_of(outline, piece(outline, allowance=None))
    assert str(told.value).startswith(
        "bib.svg, piece Bib, style long, edges B, C: the seam allowance is not known."
    )


HEM = {"lies": Lies.HEM}
FOLD = {"lies": Lies.FOLD}
MITRE = {"finish": Finish.MITRE}
SQUARE = {"finish": Finish.SQUARE}
REFLECTED = {"finish": Finish.REFLECTED}


@pytest.mark.parametrize(
    ("c", "d", "expected"),
    [
        ({}, {}, MITRED),
        ({}, HEM, SIDE),
        (HEM, {}, HEM_FIRST),
        (HEM, HEM, MITRED),
        (FOLD, HEM, MITRED),
        (HEM, FOLD, MITRED),
        (FOLD, HEM | REFLECTED, MITRED),
        (SQUARE, FOLD, MITRED),
        (SQUARE, {}, CornerFinish(Finish.SQUARE)),
        ({}, SQUARE, CornerFinish(Finish.SQUARE, first=False)),
        (SQUARE, SQUARE, CornerFinish(Finish.SQUARE)),
        (SQUARE, MITRE, CornerFinish(Finish.SQUARE)),
        (MITRE, SQUARE, CornerFinish(Finish.SQUARE, first=False)),
        (REFLECTED, SQUARE, HEM_FIRST),
        (SQUARE, REFLECTED, SIDE),
        (REFLECTED, REFLECTED, SIDE),
        (MITRE, HEM, MITRED),
        (SQUARE, HEM, CornerFinish(Finish.SQUARE)),
        ({}, HEM | MITRE, MITRED),
        (HEM, HEM | REFLECTED, SIDE),
    ],
)
def test_which_of_two_finishes_wins(
    c: Mapping[str, object], d: Mapping[str, object], expected: CornerFinish
) -> None:
    """What is said comes before what a hem asks; then reflected, square, mitre."""
    found = finishes_of(box(C=c, D=d))["C"]
    assert found.finish is expected.finish
    assert found.finish is Finish.MITRE or found == expected


def test_both_corners_of_a_ring_of_two_edges_are_reflected() -> None:
    pocket = ring_of([line((0, 0), (0, 60)), arc(Point(0, 30), 30, 90, -90)], {"A": Lies.HEM})
    assert finishes_of(pocket) == {"A": HEM_FIRST, "B": SIDE}


def test_a_traced_stitch_line_gets_its_cut_line_and_keeps_its_edges() -> None:
    """10 mm round, 40 at the hem, nothing on the fold. Nothing leans; B ends square."""
    traced = piece(
        box(A=FOLD | {"name": "centre"}, D=HEM | {"allowance": 40.0}, B=SQUARE | {"allowance": 6.0})
    )
    made = with_cut(with_stitch(traced))
    assert made.stitch == traced.outlines
    (cut,) = made.outlines
    assert cut.role is Role.CUT
    assert near(corners(cut), [(0, -40), (0, 106), (90, 100), (90, -40)], 1e-9)
    told = [(e.letter, e.name, e.lies, e.allowance, e.finish) for e in cut.edges]
    assert told == [
        (e.letter, e.name, e.lies, e.allowance, e.finish) for e in traced.outlines[0].edges
    ]
    assert drawn(made) == [
        (Role.STITCH, "", [(0, 100), (80, 100), (80, 0)]),
        (Role.FOLD, "", [(80, 0), (0, 0)]),
    ]


def test_a_ring_sewn_all_round_has_one_closed_stitch_line() -> None:
    made = with_cut(with_stitch(piece(box())))
    assert [(each.role, each.path.closed) for each in made.lines] == [(Role.STITCH, True)]
    assert made.lines[0].path == made.stitch[0].path


def test_a_seam_runs_on_over_the_first_corner() -> None:
    """Only C is raw: one line from the start of D over A to the end of B."""
    made = with_cut(with_stitch(piece(box(C={"lies": Lies.RAW}))))
    assert drawn(made) == [(Role.STITCH, "", [(80, 0), (0, 0), (0, 100), (80, 100)])]


def test_two_hems_are_two_lines() -> None:
    made = with_cut(with_stitch(piece(box(C=HEM, D=HEM))))
    assert [role for role, _, _ in drawn(made)] == [Role.STITCH, Role.FOLD, Role.FOLD]


def test_a_piece_whose_allowance_nobody_has_said_stays_as_traced() -> None:
    for role in (Role.STITCH, Role.CUT):
        traced = piece(box(role), allowance=None)
        made = with_cut(with_stitch(traced))
        assert made.outlines == traced.outlines
        assert made.lines == ()


def test_without_allowances_what_was_done_to_the_stitch_line_is_kept() -> None:
    traced = with_stitch(piece(box(), allowance=None))
    taller = with_facts(box(), B={"name": "moved"})
    assert with_cut(replace(traced, stitch=(taller,))).outlines == (taller,)


def test_an_allowance_given_for_one_edge_only_is_refused() -> None:
    traced = with_stitch(piece(box(D={"allowance": 40.0}), allowance=None))
    with pytest.raises(PatternError, match=r"bib\.svg, piece Bib, edges A, B, C: the seam"):
        with_cut(traced)


def test_a_traced_cut_line_stays_and_gives_its_stitch_line() -> None:
    traced = piece(box(Role.CUT, D=HEM | {"allowance": 30.0}))
    made = with_cut(with_stitch(traced))
    assert made.outlines == traced.outlines
    assert made.stitch[0].role is Role.STITCH
    assert near(corners(made.stitch[0]), [(10, 30), (10, 90), (70, 90), (70, 30)], 1e-9)
    assert made.lines == ()


WITH_LINE = Wishes(stitch_line=True)


def test_the_stitch_line_inside_a_traced_cut_line_is_drawn_when_wished() -> None:
    made = with_cut(with_stitch(piece(box(Role.CUT, D=HEM), wishes=WITH_LINE)))
    assert drawn(made) == [
        (Role.STITCH, "", [(10, 10), (10, 90), (70, 90), (70, 10)]),
        (Role.FOLD, "", [(70, 10), (10, 10)]),
    ]


def test_a_drawn_stitch_line_is_not_drawn_again() -> None:
    own = Line(Role.STITCH, line((10, 10), (10, 90), (70, 90)))
    made = with_cut(with_stitch(piece(box(Role.CUT), wishes=WITH_LINE, lines=(own,))))
    assert made.lines == (own,)


def test_a_drawn_hem_line_is_not_drawn_again() -> None:
    own = Line(Role.FOLD, line((0, 0), (80, 0)))
    made = with_cut(with_stitch(piece(box(D=HEM), lines=(own,))))
    assert [each.role for each in made.lines] == [Role.FOLD, Role.STITCH]


def test_a_cut_line_is_drawn_anew_once_the_stitch_line_has_changed() -> None:
    """The stitch ring is 20 mm taller than what the traced cut line holds."""
    own = Line(Role.STITCH, line((10, 10), (10, 90), (70, 90)))
    top = Line(Role.STITCH, line((20, 40), (60, 40)))
    traced = with_stitch(piece(box(Role.CUT), lines=(own, top)))
    taller = ring((10, 10), (10, 110), (70, 110), (70, 10))
    made = with_cut(replace(traced, stitch=(replace(taller, style=""),)))
    assert near(corners(made.outlines[0]), [(0, 0), (0, 120), (80, 120), (80, 0)], 1e-9)
    assert made.lines[0] == top
    assert [each.path for each in made.lines[1:]] == [taller.path]


@pytest.mark.parametrize(
    "wishes",
    [
        WITH_LINE,
        Wishes(press_darts="A"),
        Wishes(styles=(StyleWish("long", ("B",)),)),
        Wishes(darts=(DartWish(Place("B", 40.0), 30.0, 10.0, "A"),)),
        Wishes(notches=(NotchWish("B", Place("B", 40.0)),)),
    ],
)
def test_a_stitch_line_that_is_needed_must_be_known(wishes: Wishes) -> None:
    with pytest.raises(PatternError, match=r"piece Bib, edges A, B, C, D: the stitch line inside"):
        with_stitch(piece(box(Role.CUT), allowance=None, wishes=wishes))


def test_a_strip_narrower_than_its_allowances_is_told_when_it_matters() -> None:
    """A strip 15 wide has no place for 10 mm on both sides."""
    strip = ring((0, 0), (0, 200), (15, 200), (15, 0), role=Role.CUT)
    assert with_stitch(piece(strip)).stitch == ()
    with pytest.raises(PatternError, match=r"bib\.svg, piece Bib, style long: the stitch line"):
        with_stitch(piece(strip, wishes=WITH_LINE))


def test_an_overlap_names_file_piece_style_and_edge() -> None:
    slit = ring((0, 0), (0, 99), (99, 99), (99, 60), (20, 60), (20, 50), (99, 50), (99, 0))
    with pytest.raises(PatternError, match=r"bib\.svg, piece Bib, style long, edge D, near"):
        with_cut(with_stitch(piece(slit, allowance=15.0)))


def styled(style: str, height: float) -> Outline:
    """The same below, and a hem of another height at the top."""
    outline = ring((0, 0), (0, height), (80, height), (80, 0))
    return replace(with_facts(outline, B=HEM, A=FOLD), style=style)


def test_lines_that_styles_share_are_drawn_once() -> None:
    """D is the same for both; hem B and side C reach up differently."""
    made = with_cut(with_stitch(piece(styled("long", 100), styled("short", 60))))
    assert [outline.style for outline in made.outlines] == ["long", "short"]
    assert near(corners(made.outlines[1]), [(0, -10), (0, 70), (90, 70), (90, -10)], 1e-9)
    assert drawn(made) == [
        (Role.FOLD, "long", [(0, 100), (80, 100)]),
        (Role.STITCH, "long", [(80, 100), (80, 0)]),
        (Role.STITCH, "", [(80, 0), (0, 0)]),
        (Role.FOLD, "short", [(0, 60), (80, 60)]),
        (Role.STITCH, "short", [(80, 60), (80, 0)]),
    ]


def test_lines_shared_by_some_styles_are_given_to_each() -> None:
    made = with_cut(
        with_stitch(piece(styled("long", 100), styled("wide", 100), styled("short", 60)))
    )
    sides = [(style, nodes[0]) for role, style, nodes in drawn(made) if role is Role.STITCH]
    assert sides == [("long", (80, 100)), ("", (80, 0)), ("wide", (80, 100)), ("short", (80, 60))]


def test_a_hem_with_an_edge_of_its_own_beside_a_fold_ends_on_the_fold() -> None:
    """The side leans 20 over 100, so the reflected side stands off as far below as above."""
    leaning = ring((0, 0), (0, 100), (100, 100), (80, 0), lies={"A": Lies.FOLD, "D": Lies.HEM})
    made = with_cut(with_stitch(piece(with_facts(leaning, D={"allowance": 30.0}))))
    off = 10 * (1 + 0.2**2) ** 0.5
    nodes = list(made.outlines[0].edges[2].path.nodes())
    assert near(nodes[1:], [(80 + off, 0), (80 + off + 6, -30)], 1e-9)
    assert made.outlines[0].edges[3].path.end.to(Point(0, -30)) < 1e-9
