"""How drafted pieces come to paper: chosen styles, opened pieces, joined pairs.

Outside values: rectangles worked out by hand, areas by shapely, plane geometry of reflections.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.strategies import lengths, pattern_of
from tiler.drafting.paper import for_paper
from tiler.drafting.unfold.mirror import Axis
from tiler.drafting.unfold.moving import moved_piece
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import (
    AND,
    Cut,
    Edge,
    Lay,
    Lies,
    Line,
    Mark,
    Outline,
    Piece,
    Role,
    Run,
    Seam,
)
from tiler.pattern.path import Path, circle, polyline
from tiler.pattern.wishes import EdgeName, Paper, Wishes


def line(*places: tuple[float, float]) -> Path:
    return polyline([Point(*place) for place in places])


def block(name: str, tall: float, wide: float, drop: float = 20.0, turn: float = 0.0) -> Piece:
    """A half block: fold A upright at the left, neck B falls by `drop`, side C, hem D."""
    ring = (
        Edge("A", line((0, 0), (0, tall)), Lies.FOLD, "centre"),
        Edge("B", line((0, tall), (wide, tall - drop)), Lies.SEWN, "neck", 10.0),
        Edge("C", line((wide, tall - drop), (wide, 0)), Lies.SEWN, "side"),
        Edge("D", line((wide, 0), (0, 0)), Lies.HEM, "hem", 30.0),
    )
    notch = Mark(Role.NOTCH, Point(wide, 60), line((wide, 60), (wide - 5, 60)))
    drill = Mark(Role.DRILL, Point(30, 40), circle(Point(30, 40), 1.5))
    piece = Piece(
        name,
        (Outline(Role.CUT, ring),),
        (Line(Role.STITCH, line((wide - 15, 30), (wide - 15, tall - drop - 10), (0, tall - 10))),),
        (notch, drill),
        line((40, 30), (40, 90)),
        (Cut(1, "main", Lay.FOLD),),
        allowance=15.0,
        drawing=f"{name.lower()}.svg",
    )
    return moved_piece(piece, Affine.turn(turn))


def polygon(piece: Piece) -> shapely.Polygon:
    return shapely.Polygon([(p.x, p.y) for p in piece.outlines[0].path.nodes()])


FRONT, BACK = block("Front", 300, 120), block("Back", 340, 110, drop=10)
PAIR = (("Front", "Back"),)


class TestJoined:
    """Two halves on one sheet, back to back on one fold line."""

    def test_both_hems_are_level_and_the_second_lies_on_the_other_side(self) -> None:
        """The back, 110 wide, comes to lie from -110 to 0; its neck point is at 340."""
        front, back = for_paper(pattern_of(FRONT, BACK, joined=PAIR)).pieces
        assert front.outlines == FRONT.outlines
        assert back.outlines[0].path.bounds == (-110, 0, 0, 340)
        (fold,) = (e.path for e in back.outlines[0].edges if e.lies is Lies.FOLD)
        assert {fold.start, fold.end} == {(0, 0), (0, 340)}

    def test_the_mirrored_half_runs_clockwise_and_its_edges_keep_their_letters(self) -> None:
        """Each edge still has its name, length and allowance, and follows on the one before."""
        _, back = for_paper(pattern_of(FRONT, BACK, joined=PAIR)).pieces
        (outline,) = back.outlines
        assert outline.path.area < 0
        assert outline.edges[0].letter == "A"
        follow = zip(outline.edges, (*outline.edges[1:], outline.edges[0]), strict=True)
        assert all(one.path.end == other.path.start for one, other in follow)
        drawn = {edge.letter: edge for edge in BACK.outlines[0].edges}
        for edge in outline.edges:
            before = drawn[edge.letter]
            assert edge.path.length == pytest.approx(before.path.length)
            assert (edge.name, edge.lies, edge.allowance) == (
                before.name,
                before.lies,
                before.allowance,
            )

    def test_what_is_drawn_inside_is_mirrored_with_it(self) -> None:
        """x becomes -x in every line, mark and grainline."""
        _, back = for_paper(pattern_of(FRONT, BACK, joined=PAIR)).pieces
        assert [m.at for m in back.marks] == [(-110, 60), (-30, 40)]
        assert back.grain == line((-40, 30), (-40, 90))
        assert back.lines[0].path == line((-95, 30), (-95, 320), (0, 330))

    def test_the_common_line_is_drawn_once_and_as_long_as_the_longer_fold(self) -> None:
        """Of folds of 300 and 340 mm the one of 340 is drawn; no other run lies on a fold."""
        pieces = for_paper(pattern_of(FRONT, BACK, joined=PAIR)).pieces
        folds = [run.edge for p in pieces for run in p.runs if run.edge.lies is Lies.FOLD]
        assert [edge.path.length for edge in folds] == [340]
        letters = [sorted(run.edge.letter for run in piece.runs) for piece in pieces]
        assert letters == [["B", "C", "D"], ["A", "B", "C", "D"]]

    def test_a_half_with_its_fold_on_the_other_side_is_not_mirrored(self) -> None:
        """Drawn with its fold at the right, the back only moves: edges stay in their order."""
        mirrored = moved_piece(BACK, Affine.scale(-1, 1).then(Affine.move(500, 70)))
        _, back = for_paper(pattern_of(FRONT, mirrored, joined=PAIR)).pieces
        assert back.outlines[0].path.bounds == pytest.approx((-110, 0, 0, 340))
        order = [edge.letter for edge in back.outlines[0].edges]
        assert order == [edge.letter for edge in mirrored.outlines[0].edges]

    @settings(max_examples=60, deadline=None)
    @given(
        st.floats(-180, 180), st.floats(-180, 180), st.booleans(), lengths(100, 400),
        lengths(-300, 300),
    )  # fmt: skip
    def test_however_they_were_drawn(
        self, first: float, second: float, flip: bool, tall: float, shift: float
    ) -> None:
        """Folds in one line from one hem end, insides apart, lengths and areas kept."""
        one = moved_piece(block("Front", 300, 120), Affine.turn(first))
        other = block("Back", tall, 90, drop=5)
        flipped = Affine.scale(-1, 1) if flip else Affine()
        other = moved_piece(other, flipped.then(Affine.turn(second)).then(Affine.move(shift, 9)))
        front, back = for_paper(pattern_of(one, other, joined=PAIR)).pieces
        assert polygon(back).area == pytest.approx(polygon(other).area)
        folds, hems = (
            [
                next(e.path for e in piece.outlines[0].edges if e.lies is lies)
                for piece in (front, back)
            ]
            for lies in (Lies.FOLD, Lies.HEM)
        )
        # The ends where fold and hem meet lie on one another, the folds on one ray from there.
        low = [
            min((fold.start, fold.end), key=lambda p, h=hem: min(p.to(h.start), p.to(h.end)))
            for fold, hem in zip(folds, hems, strict=True)
        ]
        assert low[0].to(low[1]) < 1e-9
        top = [max((fold.start, fold.end), key=low[0].to) for fold in folds]
        bearings = [math.atan2(p.y - low[0].y, p.x - low[0].x) for p in top]
        assert math.cos(bearings[0] - bearings[1]) == pytest.approx(1, abs=1e-12)
        # One half lies wholly on one side of the ray, the other wholly on the other.
        axis = Axis(low[0], top[0])
        sides = [
            [axis.offset(point) for point in piece.outlines[0].path.nodes()]
            for piece in (front, back)
        ]
        ranges = sorted((min(offsets), max(offsets)) for offsets in sides)
        assert ranges[0][1] < 1e-9
        assert ranges[1][0] > -1e-9
        assert ranges[0][0] < -80
        assert ranges[1][1] > 80

    def test_without_hems_the_lower_ends_meet(self) -> None:
        """Facings have no hem: the lower ends of their folds, as drawn, are level."""
        plain = [
            replace(
                piece,
                outlines=tuple(
                    replace(
                        o,
                        edges=tuple(
                            replace(e, lies=Lies.RAW) if e.lies is Lies.HEM else e for e in o.edges
                        ),
                    )
                    for o in piece.outlines
                ),
            )
            for piece in (FRONT, BACK)
        ]
        _, back = for_paper(pattern_of(*plain, joined=PAIR)).pieces
        assert back.outlines[0].path.bounds == (-110, 0, 0, 340)


class TestOpened:
    """Half pieces that are wished whole."""

    def test_a_piece_wished_whole_is_opened_and_the_others_are_not(self) -> None:
        """240 mm wide instead of 120; cut as copies, not on the fold."""
        whole = replace(FRONT, wishes=Wishes(paper=Paper.WHOLE))
        front, back = for_paper(pattern_of(whole, BACK)).pieces
        assert front.outlines[0].path.bounds == (-120, 0, 120, 300)
        assert front.cuts == (Cut(1, "main", Lay.COPIES),)
        assert back == BACK

    def test_seams_that_name_its_edges_are_left_out(self) -> None:
        """Its edges have new letters, so Front.C is another edge now."""
        seams = (
            Seam((EdgeName("Front", "C"),), (EdgeName("Back", "C"),)),
            Seam((EdgeName("Back", "B"),), (EdgeName("Back", "B"),)),
        )
        whole = replace(FRONT, wishes=Wishes(paper=Paper.WHOLE))
        assert for_paper(pattern_of(FRONT, BACK, seams=seams)).seams == seams
        assert for_paper(pattern_of(whole, BACK, seams=seams)).seams == seams[1:]


class TestStyles:
    """Only the chosen styles come to paper."""

    @staticmethod
    def styled() -> Piece:
        (ring,) = FRONT.outlines
        short = tuple(
            replace(e, path=Path(tuple(type(s)(*(Point(p.x, p.y * 0.5) for p in s))
                                       for s in e.path.segments)))
            for e in ring.edges
        )  # fmt: skip
        outlines = (replace(ring, style="long"), Outline(Role.CUT, short, "short"))
        shared = tuple(Run(o.role, edge, o.style) for o in outlines for edge in o.edges)
        return replace(FRONT, outlines=outlines, shared=shared)

    def test_a_style_that_is_not_chosen_is_gone(self) -> None:
        pattern = pattern_of(self.styled(), styles=(("long", ""), ("short", "")))
        (piece,) = for_paper(pattern, ["short"]).pieces
        assert piece.outlines[0].path.bounds == (0, 0, 120, 150)
        assert AND not in " ".join(piece.style_keys)

    def test_an_unknown_style_is_refused(self) -> None:
        pattern = pattern_of(self.styled(), styles=(("long", ""), ("short", "")))
        with pytest.raises(PatternError, match="long"):
            for_paper(pattern, ["lang"])

    def test_a_piece_whose_partner_is_of_another_style_is_left_alone(self) -> None:
        """The pair is taken apart, and the other piece keeps its fold."""
        front = self.styled()
        ring = replace(BACK.outlines[0], style="short")
        back = replace(BACK, outlines=(ring,), stitch=(), shared=())
        pattern = pattern_of(front, back, joined=PAIR, styles=(("long", ""), ("short", "")))
        made = for_paper(pattern, ["long"])
        assert [piece.name for piece in made.pieces] == ["Front"]
        assert made.joined == ()
        assert any(run.edge.lies is Lies.FOLD for run in made.pieces[0].runs)

    def test_a_piece_that_is_left_out_is_gone_from_its_group(self) -> None:
        """The others stay together; one alone is no group."""
        (ring,) = BACK.outlines
        short = replace(BACK, outlines=(replace(ring, style="short"),), stitch=(), shared=())
        pattern = pattern_of(
            self.styled(), short, block("Yoke", 90, 120), styles=(("long", ""), ("short", ""))
        )
        for group, kept in (
            (("Front", "Back", "Yoke"), (("Front", "Yoke"),)),
            (("Back", "Yoke"), ()),
            (("Yoke", "Front"), (("Yoke", "Front"),)),
        ):
            asked = replace(pattern, together=(group,))
            assert for_paper(asked, ["long"]).together == kept
            assert for_paper(asked).together == (group,)

    def test_joined_and_opened_pieces_stay_in_their_groups(self) -> None:
        yoke = replace(block("Yoke", 90, 120), wishes=Wishes(paper=Paper.WHOLE))
        group = ("Front", "Yoke")
        pattern = pattern_of(FRONT, BACK, yoke, joined=PAIR, together=(group,))
        assert for_paper(pattern).together == (group,)


class TestRefused:
    """What cannot be done is told with the piece and what to do."""

    def test_whole_paper_for_a_piece_without_a_fold(self) -> None:
        edges = tuple(replace(e, lies=Lies.SEWN) for e in FRONT.outlines[0].edges)
        piece = replace(
            FRONT, outlines=(Outline(Role.CUT, edges),), wishes=Wishes(paper=Paper.WHOLE)
        )
        with pytest.raises(PatternError) as told:
            for_paper(pattern_of(piece))
        assert str(told.value).startswith("front.svg, piece Front: paper =")
        assert 'fold = "A"' in str(told.value)

    def test_joining_a_piece_without_a_fold(self) -> None:
        edges = tuple(replace(e, lies=Lies.SEWN) for e in BACK.outlines[0].edges)
        plain = replace(BACK, outlines=(Outline(Role.CUT, edges),))
        with pytest.raises(PatternError, match=r"back\.svg, piece Back: it is joined to Front"):
            for_paper(pattern_of(FRONT, plain, joined=PAIR))

    def test_joining_along_a_bent_fold(self) -> None:
        edges = BACK.outlines[0].edges
        bent = replace(edges[0], path=line((0, 0), (-9, 100), (0, 340)))
        piece = replace(BACK, outlines=(Outline(Role.CUT, (bent, *edges[1:])),))
        with pytest.raises(PatternError, match=r"piece Back, edge A: .* bulges by 9 mm"):
            for_paper(pattern_of(FRONT, piece, joined=PAIR))

    @pytest.mark.parametrize(
        ("joined", "problem"),
        [
            ((("Front", "Rear"),), "there is no piece called 'Rear'"),
            ((("Front", "Front"),), "cannot be joined to itself"),
            ((("Front", "Back"), ("Back", "Third")), "Back is joined to Front already"),
        ],
    )
    def test_pairs_that_are_none(self, joined: tuple[tuple[str, str], ...], problem: str) -> None:
        third = block("Third", 200, 90)
        with pytest.raises(PatternError, match=problem) as told:
            for_paper(pattern_of(FRONT, BACK, third, joined=joined))
        assert str(told.value).startswith("joined, ")

    def test_a_half_that_is_printed_whole(self) -> None:
        whole = replace(BACK, wishes=Wishes(paper=Paper.WHOLE))
        with pytest.raises(PatternError, match="Back is printed whole"):
            for_paper(pattern_of(FRONT, whole, joined=PAIR))
