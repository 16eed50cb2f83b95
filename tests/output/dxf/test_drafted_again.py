"""A drafted pattern that went out as DXF and comes back is not drafted a second time."""

from collections import Counter

from tests.demos import drafted_demo, each_demo
from tiler.drafting.draft import drafted
from tiler.intake.dxf import read_dxf
from tiler.output.dxf import dxf_bytes
from tiler.pattern.model import Piece


def drawn(piece: Piece) -> Counter[tuple[str, str]]:
    return Counter((str(thing.role), thing.style) for thing in (*piece.lines, *piece.marks))


@each_demo
def test_nothing_is_drawn_twice_or_lost(demo: str) -> None:
    before = drafted_demo(demo)
    after = drafted(read_dxf(dxf_bytes(before), "back.dxf"))
    for one, other in zip(before.pieces, after.pieces, strict=True):
        assert drawn(one) == drawn(other), one.name
        letters = [
            [(edge.letter, edge.lies) for outline in piece.outlines for edge in outline.edges]
            for piece in (one, other)
        ]
        assert letters[0] == letters[1], one.name
