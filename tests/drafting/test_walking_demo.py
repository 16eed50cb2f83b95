"""The demo patterns' seams fit one another as their notes say.

Outside values: demo_pieces/README.md, where the lengths of the drafts are stated: pairs agree
within 0.01 on the stitch line, the sleeve head is 15 longer than the armhole (8 behind, 7 in
front), the notches of the armhole are 85 from the underarm, lines across seams add up to 180
degrees within 0.1, and the hems of trousers and sleeves to 182.1 and 182.8.
"""

import pytest

from tests.demos import pattern_of_demo
from tiler.drafting.walking.notches import middles, notches_on
from tiler.drafting.walking.run_on import run_on
from tiler.drafting.walking.walk import Agreement, Walk, walk
from tiler.pattern.model import Piece, Role
from tiler.pattern.path import Path

#: Furthest that a cut line of 15 lies from its stitch line, with room for rounding.
REACH = 15.5


def piece(demo: str, name: str) -> Piece:
    return next(piece for piece in pattern_of_demo(demo).pieces if piece.name == name)


def stitched(demo: str, name: str, *segments: int) -> Path:
    """Segments of a piece's stitch line, in the order given; the first is number 0."""
    (line,) = (
        line for line in piece(demo, name).lines if line.role is Role.STITCH and not line.style
    )
    return Path(tuple(line.path.segments[number] for number in segments))


def hem(demo: str, name: str) -> Path:
    """The fold of a hem, which no fold edge lies beside."""
    (line,) = (line for line in piece(demo, name).lines if line.role is Role.FOLD)
    return line.path


def notches(demo: str, name: str, line: Path) -> tuple[float, ...]:
    places = [mark.at for mark in piece(demo, name).marks if mark.role is Role.NOTCH]
    return middles(notches_on(line, places, REACH))


def walked(demo: str, first: tuple[str, Path], second: tuple[str, Path]) -> Walk:
    marks = [notches(demo, name, line) for name, line in (first, second)]
    return walk(first[1], second[1], *marks)


FRONT_NECK, FRONT_SHOULDER, FRONT_ARMHOLE, FRONT_SIDE = (
    stitched("smock", "Front", n) for n in range(4)
)
BACK_NECK, BACK_SHOULDER, BACK_ARMHOLE, BACK_SIDE = (stitched("smock", "Back", n) for n in range(4))
#: From the crown down to the underarm, like the armholes.
HEAD_FRONT = stitched("smock", "Sleeve", 3)
HEAD_BACK = stitched("smock", "Sleeve", 2).reversed()


@pytest.mark.parametrize(
    ("first", "second"),
    [
        (("Front", FRONT_SHOULDER), ("Back", BACK_SHOULDER)),
        (("Front", FRONT_SIDE), ("Back", BACK_SIDE)),
        (("Front", FRONT_NECK), ("Front neck facing", stitched("smock", "Front neck facing", 0))),
        (("Back", BACK_NECK), ("Back neck facing", stitched("smock", "Back neck facing", 0))),
        (
            ("Sleeve", stitched("smock", "Sleeve", 0, 1)),
            ("Sleeve", stitched("smock", "Sleeve", 4, 5).reversed()),
        ),
    ],
)
def test_seams_of_the_smock_agree(first: tuple[str, Path], second: tuple[str, Path]) -> None:
    found = walked("smock", first, second)
    assert found.paired
    assert found.agreement is Agreement.AGREES
    assert max(abs(stretch.difference) for stretch in found.stretches) <= 0.01


@pytest.mark.parametrize(
    ("name", "armhole", "head", "ease"),
    [("Front", FRONT_ARMHOLE, HEAD_FRONT, 7), ("Back", BACK_ARMHOLE, HEAD_BACK, 8)],
)
def test_the_ease_of_the_sleeve_lies_over_the_notches(
    name: str, armhole: Path, head: Path, ease: float
) -> None:
    marks = notches("smock", name, armhole), notches("smock", "Sleeve", head)
    # The notch at the crown marks the shoulder, where the armhole begins.
    on_head = tuple(place for place in marks[1] if place > 1)
    found = walk(armhole, head, marks[0], on_head, ease=(ease, ease))
    assert found.paired
    assert found.agreement is Agreement.AGREES
    assert found.whole.difference == pytest.approx(ease, abs=0.01)
    assert found.stretches[0].difference == pytest.approx(ease, abs=0.01)
    assert all(abs(stretch.difference) <= 0.01 for stretch in found.stretches[1:])
    last = found.stretches[-1].lengths
    assert last == pytest.approx((85, 85), abs=0.01)


def test_the_sleeve_head_is_15_longer_than_the_armhole() -> None:
    armhole = Path(FRONT_ARMHOLE.segments + BACK_ARMHOLE.segments)
    head = Path(HEAD_FRONT.segments + HEAD_BACK.segments)
    found = walk(armhole, head, ease=(15, 15))
    assert found.whole.difference == pytest.approx(15, abs=0.01)
    assert found.agreement is Agreement.AGREES
    assert walk(armhole, head).agreement is Agreement.ASK


def test_side_seams_and_inseams_of_the_trousers_agree() -> None:
    """The side seam is 1025 long and the inseam 758."""
    front, back = "Front", "Back"
    inseams = (
        (front, stitched("trousers", front, 0, 1)),
        (back, stitched("trousers", back, 7, 8).reversed()),
    )
    sides = (
        (front, stitched("trousers", front, 5, 6, 7)),
        (back, stitched("trousers", back, 0, 1).reversed()),
    )
    for (first, second), length in ((inseams, 758), (sides, 1025)):
        found = walked("trousers", first, second)
        assert found.agreement is Agreement.AGREES
        assert max(abs(stretch.difference) for stretch in found.stretches) <= 0.01
        assert found.whole.lengths == pytest.approx((length, length), abs=0.5)


def test_neck_and_armhole_of_the_smock_run_on_across_their_seams() -> None:
    for before, seam, other, after in (
        (FRONT_NECK, FRONT_SHOULDER, BACK_SHOULDER, BACK_NECK),
        (FRONT_ARMHOLE, FRONT_SHOULDER, BACK_SHOULDER, BACK_ARMHOLE),
        (FRONT_ARMHOLE, FRONT_SIDE, BACK_SIDE, BACK_ARMHOLE),
    ):
        found = run_on(before, seam, other, after)
        assert found.off == pytest.approx(0, abs=0.1)
        assert found.smooth


def test_the_necks_leave_the_shoulder_at_80_and_100_degrees() -> None:
    found = run_on(FRONT_NECK, FRONT_SHOULDER, BACK_SHOULDER, BACK_NECK)
    assert (found.first, found.second) == pytest.approx((80, 100), abs=0.1)


def test_hems_across_their_seams() -> None:
    front, back = (
        next(line.path for line in piece("smock", name).lines if line.role is Role.FOLD)
        for name in ("Front", "Back")
    )
    smock = run_on(front, FRONT_SIDE, BACK_SIDE, back)
    assert smock.first + smock.second == pytest.approx(180.0, abs=0.1)
    trousers = run_on(
        hem("trousers", "Front"),
        stitched("trousers", "Front", 0),
        stitched("trousers", "Back", 8),
        hem("trousers", "Back"),
    )
    assert trousers.first + trousers.second == pytest.approx(182.1, abs=0.1)
    sleeve = run_on(
        hem("smock", "Sleeve"),
        stitched("smock", "Sleeve", 0),
        stitched("smock", "Sleeve", 5),
        hem("smock", "Sleeve"),
    )
    assert sleeve.first + sleeve.second == pytest.approx(182.8, abs=0.1)
