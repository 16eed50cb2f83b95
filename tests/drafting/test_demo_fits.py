"""What is sewn onto a demo piece fits the place that is drawn for it.

Outside values: demo_pieces/README.md, where the sizes of pockets, and the places of buttons and
buttonholes, are stated.
"""

from __future__ import annotations

import pytest

from tests.demos import drafted_piece
from tiler.intake.nearest import nearest
from tiler.pattern.model import Edge, Mark, Piece, Role


def edge(piece: Piece, name: str) -> Edge:
    return next(each for each in piece.stitch[0].edges if each.name == name)


def marks(piece: Piece, role: Role) -> list[Mark]:
    return [mark for mark in piece.marks if mark.role is role]


def in_and_along(piece: Piece, name: str, mark: Mark) -> tuple[float, float]:
    """How far a mark lies inside of an edge, and from the edge's start."""
    path = edge(piece, name).path
    near = nearest(path, mark.at)
    before = sum(segment.length for segment in path.segments[: near.segment])
    return near.distance, before + path.segments[near.segment].split(near.t)[0].length


@pytest.mark.parametrize(
    ("demo", "body", "pocket", "open_edges"),
    [
        ("smock", "Front", "Patch pocket", {"top hem"}),
        ("smock", "Front", "Seed pocket", {"top hem"}),
        ("apron", "Body", "Bib pocket", {"top hem", "centre front"}),
        ("trousers", "Front", "Front pocket", {"waist"}),
        ("trousers", "Back", "Back pocket", {"top hem"}),
        ("trousers", "Front", "Knee patch", set()),
    ],
)
def test_a_pocket_is_as_large_as_its_place(
    demo: str,
    body: str,
    pocket: str,
    open_edges: set[str],
) -> None:
    around = sum(
        each.path.length
        for each in drafted_piece(demo, pocket).stitch[0].edges
        if each.name not in open_edges
    )
    places = [x.path for x in drafted_piece(demo, body).lines if x.role is Role.POCKET]
    assert any(abs(place.length - around) < 0.02 for place in places)


def test_the_tool_pocket_fits_its_place_once_its_darts_are_sewn() -> None:
    """210 by 230 on the half; the bottom's way round the dips is 0.2 longer than straight."""
    pocket = drafted_piece("apron", "Tool pocket")
    assert len([line for line in pocket.lines if line.role is Role.DART]) == 2
    lengths = [each.path.length for each in pocket.stitch[0].edges if each.name == "bottom"]
    assert lengths[0] - 12 - 6 == pytest.approx(210, abs=0.5)
    places = [x.path for x in drafted_piece("apron", "Body").lines if x.role is Role.POCKET]
    assert any(place.length == pytest.approx(210 + 230, abs=0.01) for place in places)


def test_buttonholes_lie_on_buttons_when_the_placket_is_closed() -> None:
    """40, 100 and 160 below the waist seam, 15 in from the edge, or out from the seam."""
    facing, underlap = (
        drafted_piece("trousers", name) for name in ("Placket facing", "Placket underlap")
    )
    length = edge(facing, "side seam").path.length
    holes = [in_and_along(facing, "side seam", m) for m in marks(facing, Role.BUTTONHOLE)]
    buttons = [in_and_along(underlap, "side seam", m) for m in marks(underlap, Role.BUTTON)]
    assert [inside for inside, _ in (*holes, *buttons)] == pytest.approx([15] * 6, abs=0.01)
    assert [length - along for _, along in holes] == pytest.approx([40, 100, 160], abs=0.01)
    assert [along for _, along in buttons] == pytest.approx([40, 100, 160], abs=0.01)


def test_a_buttonhole_begins_3_beyond_the_middle_of_its_button() -> None:
    """20 long, so from 12 to 32 in from the edge."""
    for name, side in (("Placket facing", "side seam"), ("Waistband", "front end")):
        piece = drafted_piece("trousers", name)
        for hole in marks(piece, Role.BUTTONHOLE):
            depths = [nearest(edge(piece, side).path, p).distance for p in hole.path.nodes()]
            # The bars at its ends lie 2 beside it, on a curved edge 0.1 nearer or further.
            assert (min(depths), max(depths)) == pytest.approx((12, 32), abs=0.1)


def test_the_waistband_closes_at_half_its_depth() -> None:
    """Its buttonhole is 15 in from the front end; its button 15 beyond the left side, at 860."""
    band = drafted_piece("trousers", "Waistband")
    (hole,), (button,) = marks(band, Role.BUTTONHOLE), marks(band, Role.BUTTON)
    for mark in (hole, button):
        assert in_and_along(band, "sewn edge", mark)[0] == pytest.approx(20, abs=0.001)
    assert in_and_along(band, "sewn edge", hole)[1] == pytest.approx(15, abs=0.001)
    assert in_and_along(band, "sewn edge", button)[1] == pytest.approx(860 + 15, abs=0.001)


def test_the_seed_pocket_buttons_onto_the_front() -> None:
    """Hole and button lie 9 below the pocket's top, in its middle."""
    pocket, front = (drafted_piece("smock", name) for name in ("Seed pocket", "Front"))
    (hole,), (button,) = marks(pocket, Role.BUTTONHOLE), marks(front, Role.BUTTON)
    assert in_and_along(pocket, "top hem", hole) == pytest.approx((9, 55), abs=0.001)
    place = next(
        x.path for x in front.lines if x.role is Role.POCKET and x.path.start.y == x.path.end.y
        and x.path.start.to(x.path.end) == pytest.approx(110, abs=0.001)
    )  # fmt: skip
    assert place.start.y - button.at.y == pytest.approx(9, abs=0.001)
    assert abs(button.at.x - place.start.x) == pytest.approx(55, abs=0.001)
