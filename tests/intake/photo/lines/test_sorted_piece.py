"""What was told apart reads as a piece: the fold, the grain, notches, drill marks and darts."""

import numpy as np
import pytest

from tests.intake.photo.lines.test_anywhere import DRAWN, read
from tiler.drafting.darts.drawn import drawn_mouths, fisheye_of
from tiler.intake.drawn import DrawnSheet
from tiler.intake.photo.curves.fitting import fitted
from tiler.intake.piece import piece_from
from tiler.intake.words.model import PieceWords
from tiler.pattern.model import Lies, Piece, Role


@pytest.fixture(scope="module")
def piece() -> Piece:
    paths = fitted(read(list(DRAWN), 0.08, 4))
    sheet = DrawnSheet("front.svg", 300, 450, paths, ())
    made, _ = piece_from(sheet, PieceWords("Front", "front.svg", where="pattern.toml, piece Front"))
    return made


def test_has_one_edge_from_corner_to_corner(piece: Piece) -> None:
    assert len(piece.outlines[0].edges) == 6


def test_lies_on_the_fold_with_the_edge_that_the_bracket_means(piece: Piece) -> None:
    (edge,) = [e for e in piece.outlines[0].edges if e.lies is Lies.FOLD]
    assert edge.path.length == pytest.approx(310, abs=1.5)


def test_has_its_grain(piece: Piece) -> None:
    assert piece.grain is not None
    assert piece.grain.length == pytest.approx(180, abs=2.5)


def test_has_its_marks_where_they_were_drawn(piece: Piece) -> None:
    drills = sorted((m.at.x, m.at.y) for m in piece.marks if m.role is Role.DRILL)
    assert np.allclose(drills, [(60, 150), (180, 300)], atol=0.6)
    notches = sorted((m.at.x, m.at.y) for m in piece.marks if m.role is Role.NOTCH)
    assert np.allclose(notches, [(100, 0), (125, 0), (241.45, 150)], atol=0.8)


def test_has_darts_that_the_drafting_reads(piece: Piece) -> None:
    mouths = drawn_mouths(piece.lines, piece.outlines[0], None, "front.svg")
    assert [(m.tip.x, m.tip.y) for m in mouths] == [pytest.approx((160, 110), abs=1.5)]
    fisheyes = [fisheye_of(line) for line in piece.lines]
    assert sum(each is not None for each in fisheyes) == 1
