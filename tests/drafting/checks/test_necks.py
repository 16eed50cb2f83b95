"""Which lines are necks: those beside a shoulder, and no waist beside a side seam.

Outside values: depths by hand, from the corners of the pieces.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.drafting.checks.making import Places, pattern, piece, seam
from tiler.drafting.checks import Fault, check
from tiler.pattern.model import Lies, Part, Piece

#: A up the fold, B waist, C side seam, D hem: the waist rises by 12 towards the side.
SKIRT: Places = [(0, 0), (0, 600), (230, 612), (250, 0)]
#: A quarter of a ring: the side seam lies square to the fold, as a shoulder does.
ROUND: Places = [(0, -600), (0, -100), (100, 0), (600, 0)]
#: A fold, B neck, C shoulder and sleeve in one, D sleeve end, E underarm, F waist.
KIMONO: Places = [(0, 0), (0, 550), (90, 640), (600, 540), (580, 438), (255, 330)]


def half(name: str, places: Places, part: Part, **more: object) -> Piece:
    return replace(piece(name, places, **more), part=part)  # type: ignore[arg-type]


def necks(front: Piece, back: Piece, *letters: str) -> list[Fault]:
    seams = [seam(f"{front.name}.{x}", f"{back.name}.{x}") for x in letters]
    made = pattern(front, back, seams=seams)
    return [fault for fault in check(made) if fault.code == "neck-depth"]


@pytest.mark.parametrize("places", [SKIRT, ROUND])
@pytest.mark.parametrize("names", [{}, {"B": "Waist"}])
def test_the_waist_of_a_skirt_is_no_neck(places: Places, names: dict[str, str]) -> None:
    lies = {"A": Lies.FOLD, "D": Lies.HEM}
    front, back = (
        half(part.value, places, part, lies=lies, names=names) for part in (Part.FRONT, Part.BACK)
    )
    assert not necks(front, back, "C")


def test_a_waist_that_dips_in_front_is_no_neck() -> None:
    """The underarm seam of a kimono sleeve runs as much across as down."""
    lies = {"A": Lies.FOLD, "D": Lies.HEM}
    dips = [(0.0, -20.0), *KIMONO[1:], (260.0, 0.0)]
    level = [(0.0, 0.0), (0.0, 620.0), *KIMONO[2:], (260.0, 0.0)]
    front, back = half("F", dips, Part.FRONT, lies=lies), half("B", level, Part.BACK, lies=lies)
    assert not necks(front, back, "C", "E", "F")


def test_the_neck_of_a_kimono_is_one() -> None:
    """Both are 90 deep, and then the back is 7 deeper."""
    lies = {"A": Lies.FOLD, "D": Lies.HEM, "F": Lies.HEM}
    front = half("F", KIMONO, Part.FRONT, lies=lies)
    (even,) = necks(front, half("B", KIMONO, Part.BACK, lies=lies), "C")
    assert even.numbers == {"front_mm": 90, "back_mm": 90, "lower_mm": 0}
    low = [KIMONO[0], (0.0, 543.0), *KIMONO[2:]]
    (deeper,) = necks(front, half("B", low, Part.BACK, lies=lies), "C")
    assert deeper.numbers == {"front_mm": 90, "back_mm": 97, "lower_mm": 7}


def test_a_line_that_is_called_neck_is_one_beside_any_seam() -> None:
    lies = {"A": Lies.FOLD, "D": Lies.HEM}
    front, back = (
        half(part.value, ROUND, part, lies=lies, names={"B": "neckline"})
        for part in (Part.FRONT, Part.BACK)
    )
    (fault,) = necks(front, back, "C")
    assert fault.numbers == {"front_mm": 100, "back_mm": 100, "lower_mm": 0}
