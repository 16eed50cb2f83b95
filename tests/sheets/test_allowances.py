"""What the label says of seam allowances: the usual one, and every edge that has another."""

from __future__ import annotations

import dataclasses

import pytest

from tests.strategies import rectangular
from tiler.pattern.model import Lies, Outline, Piece, Role
from tiler.sheets.allowances import allowance_words

#: Letter -> what is said of the edge of a rectangle.
Said = dict[str, dict[str, object]]


def piece(said: Said, allowance: float | None = 15.0, role: Role = Role.CUT) -> Piece:
    plain = rectangular("Front", 200, 300)
    edges = tuple(
        dataclasses.replace(edge, **said.get(edge.letter, {}))  # type: ignore[arg-type]
        for edge in plain.outlines[0].edges
    )
    return dataclasses.replace(plain, outlines=(Outline(role, edges),), allowance=allowance)


NECK: dict[str, object] = {"name": "neck", "allowance": 10.0}
HEM: dict[str, object] = {"name": "hem", "allowance": 30.0, "lies": Lies.HEM}
RAW: dict[str, object] = {"name": "outer edge", "lies": Lies.RAW}


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({}, "15 mm seam allowance is included"),
        ({"B": NECK, "D": HEM}, "15 mm seam allowance is included; neck 10 mm, hem 30 mm"),
        ({"D": HEM, "A": {"lies": Lies.FOLD}}, "15 mm seam allowance is included; hem 30 mm"),
        ({"C": RAW}, "15 mm seam allowance is included; outer edge none"),
        (
            {"B": NECK, "C": {"name": "armhole", "allowance": 10.0}},
            "15 mm seam allowance is included; neck and armhole 10 mm",
        ),
        ({"B": {"allowance": 7.5}}, "15 mm seam allowance is included; edge B 7.5 mm"),
        ({"B": {"name": "neck", "allowance": 15.0}}, "15 mm seam allowance is included"),
    ],
)
def test_edges_that_differ_are_named_with_their_width(said: Said, words: str) -> None:
    """By the maker's name or else by letter; a fold and what is as usual are not spoken of."""
    assert allowance_words(piece(said)) == words


@pytest.mark.parametrize(
    ("role", "allowance", "said", "words"),
    [
        (Role.STITCH, 15.0, {"D": HEM}, "add 15 mm seam allowance when you cut; hem 30 mm"),
        (Role.CUT, None, {"D": HEM}, "seam allowance is included; hem 30 mm"),
        (Role.STITCH, None, {"D": HEM}, "add seam allowance when you cut; hem 30 mm"),
        (Role.STITCH, None, {}, "no seam allowance drawn: add your own"),
    ],
)
def test_what_is_not_included_or_not_known_is_told(
    role: Role, allowance: float | None, said: Said, words: str
) -> None:
    """A stitch line holds none; a width that nobody has said is not made up."""
    assert allowance_words(piece(said, allowance, role)) == words


def test_the_commonest_width_is_the_usual_one_when_every_edge_has_its_own() -> None:
    """Three edges of 10 mm and a hem of 30 mm: 10 mm, hem 30 mm."""
    said: Said = {letter: {"allowance": 10.0} for letter in "ABC"}
    words = allowance_words(piece({**said, "D": HEM}, None))
    assert words == "10 mm seam allowance is included; hem 30 mm"


def test_edges_with_one_name_are_named_once() -> None:
    """An opened piece has two side seams."""
    side: dict[str, object] = {"name": "side seam", "allowance": 20.0}
    words = allowance_words(piece({"A": side, "C": side}))
    assert words == "15 mm seam allowance is included; side seam 20 mm"


def test_edges_of_all_styles_are_spoken_of_once() -> None:
    """Two styles with the same hem have one hem allowance."""
    (ring,) = piece({"D": HEM}).outlines
    styles = tuple(dataclasses.replace(ring, style=style) for style in ("long", "short"))
    both = dataclasses.replace(piece({}), outlines=styles)
    assert allowance_words(both) == "15 mm seam allowance is included; hem 30 mm"
