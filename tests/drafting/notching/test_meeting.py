"""Notches that meet those of the partner edge once the seam is walked.

Outside values: by hand. The first side is 300 long, the second 307; walked from the seam's start a
notch keeps its distance from there, walked from the end its distance from the end.
"""

import math
from dataclasses import replace

import pytest

from tests.drafting.checks.making import piece as drawn
from tests.drafting.darts.blocks import block, notch_at
from tiler.drafting.cutlines import with_cut
from tiler.drafting.notching import with_notches
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Mark, Part, Pattern, Piece, Role, Seam
from tiler.pattern.segment import Cubic
from tiler.pattern.wishes import EdgeName, NotchWish, Place, Wishes

#: Handles of a quarter of a circle: 4/3 (sqrt 2 - 1).
K = 0.5522847498
WHERE = "pattern.toml line 30"
SIDE = Seam((EdgeName("Front", "C"),), (EdgeName("Back", "C"),), turned=None)


def meets(edge: str, other: str, **facts: object) -> NotchWish:
    piece, letter = other.split(".")
    return NotchWish(edge, meets=EdgeName(piece, letter), where=WHERE, **facts)  # type: ignore[arg-type]


def at(edge: str, length: float, count: int | None = None) -> NotchWish:
    return NotchWish(edge, Place(edge, length=length), count=count, where=WHERE)


def taller(piece: Piece, by: float) -> Piece:
    """The same block, 300 + by high."""
    grown = Affine.scale(1, (300 + by) / 300)
    ring = piece.stitch[0]
    edges = tuple(replace(edge, path=edge.path.moved(grown)) for edge in ring.edges)
    made = replace(ring, edges=edges)
    return replace(piece, outlines=(made,), stitch=(made,))


def pattern(front: Wishes, back: Wishes, *seams: Seam, by: float = 7.0) -> Pattern:
    pieces = (
        with_cut(block(front, name="Front", part=Part.FRONT)),
        with_cut(taller(block(back, name="Back", part=Part.BACK), by)),
    )
    return Pattern("Smock", pieces, seams=seams or (SIDE,))


def notches(made: Pattern, name: str) -> list[Mark]:
    (piece,) = (piece for piece in made.pieces if piece.name == name)
    return [mark for mark in piece.marks if mark.role is Role.NOTCH]


def test_the_ease_lies_between_the_halves() -> None:
    """100 from the start lands at 100; 60 from the end lands at 60 from the end.

    Both sides run from waist to hem, so the start is the waist at 300 and at 307.
    """
    front = Wishes(notches=(at("C", 100), at("C", 240)))
    made = with_notches(pattern(front, Wishes(notches=(meets("C", "Front.C"),))))
    ys = [mark.at.y for mark in notches(made, "Back")]
    assert ys == pytest.approx([207, 60])


def test_single_or_double_as_the_partner_unless_it_is_said() -> None:
    front = Wishes(notches=(at("C", 100), at("C", 240, 2)))
    made = with_notches(pattern(front, Wishes(notches=(meets("C", "Front.C"),))))
    assert [mark.at.y for mark in notches(made, "Back")] == pytest.approx([207, 64, 56])
    made = with_notches(pattern(front, Wishes(notches=(meets("C", "Front.C", count=1),))))
    assert [mark.at.y for mark in notches(made, "Back")] == pytest.approx([207, 60])


def test_the_one_that_meets_may_come_first_in_the_pattern() -> None:
    """A single notch of the back, 100 below its waist."""
    back = Wishes(notches=(at("C", 100, 1),))
    made = with_notches(pattern(Wishes(notches=(meets("C", "Back.C"),)), back))
    assert [mark.at.y for mark in notches(made, "Front")] == pytest.approx([200])


def test_drawn_notches_are_met_too() -> None:
    pieces = pattern(Wishes(), Wishes(notches=(meets("C", "Front.C"),)))
    front = replace(pieces.pieces[0], marks=(notch_at(200, 200, 194, 200),))
    made = with_notches(replace(pieces, pieces=(front, pieces.pieces[1])))
    assert [mark.at.y for mark in notches(made, "Back")] == pytest.approx([207])


class TestRefused:
    """Partners that are not there."""

    @pytest.mark.parametrize(
        ("front", "back", "words"),
        [
            ((), (meets("C", "Front.C"),), "Front.C has no notch to meet"),
            ((at("B", 50),), (meets("B", "Front.B"),), "no seam joins the two.*Declare it"),
            (
                (meets("C", "Back.C"),),
                (meets("C", "Front.C"),),
                "the notches of Front.C and of Back.C wait for one another",
            ),
        ],
    )
    def test_a_wish_is_refused(
        self, front: tuple[NotchWish, ...], back: tuple[NotchWish, ...], words: str
    ) -> None:
        with pytest.raises(PatternError, match=words) as caught:
            with_notches(pattern(Wishes(notches=front), Wishes(notches=back)))
        assert str(caught.value).startswith(WHERE)

    def test_notches_that_land_on_another_edge(self) -> None:
        """The back's side goes on over its hem; the front's notch lands on the side."""
        seam = Seam((EdgeName("Front", "C"),), (EdgeName("Back", "C"), EdgeName("Back", "D")))
        front = Wishes(notches=(at("C", 100),))
        back = Wishes(notches=(meets("D", "Front.C"),))
        with pytest.raises(PatternError, match=r"none of the notches of Front\.C lands on Back\.D"):
            with_notches(pattern(front, back, seam))


def test_on_a_gathered_side_a_half_lands_on_the_half() -> None:
    """300 against 600: 75 and 150 of the way down land at 150 and 300 of it."""
    front = Wishes(notches=(at("C", 75), at("C", 150)))
    back = Wishes(notches=(meets("C", "Front.C"),))
    made = with_notches(pattern(front, back, by=300.0))
    assert [mark.at.y for mark in notches(made, "Back")] == pytest.approx([450, 300])


@pytest.mark.parametrize("known", [("B", "D"), ("D",), ("B",)])
def test_a_puffed_sleeve_head_keeps_its_fulness_above_the_notches(known: tuple[str, ...]) -> None:
    """Armholes of two quarter circles of radius 100, a head of a half circle of radius 130.

    The head is 1.3 times as long, but 60 from the underarm is 60 on both, whichever of the
    shoulder and the side seam are declared.
    """
    hollow = arc((100, 300), (100, 200 + 100 * (1 - K)), (200 - 100 * K, 200), (200, 200))
    body = [(0, 0), (0, 300), (100, 300), (200, 200), (200, 0)]
    front, back = (drawn(name, body, curves={2: [hollow]}) for name in ("Front", "Back"))
    up = arc((0, 200), (0, 200 + 130 * K), (130 - 130 * K, 330), (130, 330))
    down = arc((130, 330), (130 + 130 * K, 330), (260, 200 + 130 * K), (260, 200))
    head = [(0, 0), (0, 200), (260, 200), (260, 0)]
    sleeve = drawn("Sleeve", head, curves={1: [up, down]})
    sleeve = replace(sleeve, wishes=Wishes(notches=(meets("B", "Front.C"),)))
    front = replace(front, wishes=Wishes(notches=(NotchWish("C", Place("C", 60, None, True)),)))
    armhole = Seam((EdgeName("Front", "C"), EdgeName("Back", "C")), (EdgeName("Sleeve", "B"),))
    sides = [Seam((EdgeName("Front", x),), (EdgeName("Back", x),)) for x in known]
    underarm = Seam((EdgeName("Sleeve", "A"),), (EdgeName("Sleeve", "C"),))
    whole = Pattern("Smock", (front, back, sleeve), seams=(armhole, *sides, underarm))
    (notch,) = notches(with_notches(whole), "Sleeve")
    # 60 along a circle of radius 130 from its end at either side, 15 outside of it.
    turn = 60 / 130
    x, y = 145 * math.cos(turn), 145 * math.sin(turn)
    assert (abs(notch.at.x - 130), notch.at.y - 200) == pytest.approx((x, y), abs=0.1)


def arc(*places: tuple[float, float]) -> Cubic:
    return Cubic(*(Point(*place) for place in places))
