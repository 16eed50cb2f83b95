"""The facts of `look`: allowances, stitch lengths, part and side, how it comes to paper."""

from __future__ import annotations

import dataclasses

import pytest

from tests.strategies import pattern_of, rectangular
from tiler.drafting.inventory import as_json, darts_of, inventory
from tiler.pattern.affine import Point
from tiler.pattern.model import AND, Lies, Line, Outline, Part, Pattern, Role, Seam, Side
from tiler.pattern.path import polyline
from tiler.pattern.wishes import EdgeName, Finish, Paper, Wishes


def drafted() -> Pattern:
    plain = rectangular("Front", 230, 330, allowance=15.0, part=Part.FRONT, side=Side.LEFT)
    fold, neck, side, hem = plain.outlines[0].edges
    edges = (
        dataclasses.replace(fold, lies=Lies.FOLD),
        dataclasses.replace(neck, allowance=10.0, finish=Finish.SQUARE),
        dataclasses.replace(side, lies=Lies.RAW),
        dataclasses.replace(hem, lies=Lies.HEM),
    )
    front = dataclasses.replace(
        plain,
        outlines=(Outline(Role.CUT, edges),),
        stitch=(dataclasses.replace(rectangular("", 200, 300).outlines[0], role=Role.STITCH),),
        wishes=Wishes(paper=Paper.WHOLE),
    )
    seam = Seam((EdgeName("Front", "C"),), (EdgeName("Back", "A"),), (5.0, 10.0), name="side")
    return pattern_of(
        front,
        rectangular("Back", 100, 100),
        rectangular("Yoke", 100, 100),
        seams=(seam,),
        joined=(("Back", "Yoke"),),
        traced_stretch=0.25,
        cloth_stretch=(("main", 0.0),),
    )


def test_each_edge_has_its_allowance_and_its_stitch_length() -> None:
    """Its own, none on a fold and a raw edge, else the piece's; 200 and 300 mm are sewn."""
    edges = {edge.letter: edge for edge in inventory(drafted())[0].edges}
    assert {letter: edge.allowance for letter, edge in edges.items()} == {
        "A": 0.0,
        "B": 10.0,
        "C": 0.0,
        "D": 15.0,
    }
    assert [edges[letter].stitched for letter in "ABCD"] == [300, 200, 300, 200]
    assert [edges[letter].length for letter in "ABCD"] == [330, 230, 330, 230]
    assert (edges["B"].finish, edges["D"].finish) == ("square", None)


def test_an_allowance_that_nobody_has_said_is_not_known() -> None:
    """None, not 0."""
    piece = rectangular("Back", 100, 100)
    assert piece.allowance_of(piece.outlines[0].edges[0]) is None
    assert inventory(pattern_of(piece))[0].edges[0].stitched is None


def test_a_piece_says_where_it_is_worn_and_how_it_is_printed() -> None:
    front, back, yoke = inventory(drafted())
    assert (front.part, front.side, front.paper) == ("front", "left", "whole")
    assert (back.joined_to, yoke.joined_to, front.joined_to) == ("Yoke", "Back", "")
    assert (back.part, back.side, back.paper) == (None, None, "half")


def test_json_holds_seams_joined_pieces_and_stretch() -> None:
    """Plain values that json.dumps takes, lengths in millimetres."""
    facts = as_json(drafted())
    assert facts["seams"] == [
        {
            "name": "side",
            "first": ["Front.C"],
            "second": ["Back.A"],
            "ease": [5.0, 10.0],
            "times": [1, 1],
        }
    ]
    assert facts["joined"] == [["Back", "Yoke"]]
    assert facts["traced_stretch"] == 0.25
    assert facts["cloth_stretch"] == {"main": 0.0}


@pytest.mark.parametrize(
    ("styles", "count"),
    [(["", ""], 2), (["long", "short"], 1), (["", "long", "long", "short"], 3), ([], 0),
     ([AND.join(("long", "short")), "long"], 2)],
)  # fmt: skip
def test_darts_of_one_style_are_counted(styles: list[str], count: int) -> None:
    """A dart that each style has in its own place is one dart."""
    path = polyline([Point(0, 0), Point(5, 50), Point(10, 0)])
    lines = tuple(Line(Role.DART, path, style) for style in styles)
    assert darts_of(rectangular("Back", 100, 100, lines=lines)) == count
