"""What a maker asks of the packing."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.pattern.errors import LengthError

#: quick: about a second. normal: up to 20 s. long: up to three minutes.
EFFORTS = ("quick", "normal", "long")
#: Free paper between two pieces, millimetres: scissors find a way between (common practice, no
#: source).
GAP = 4.0


@dataclass(frozen=True, slots=True)
class Packing:
    """How the pieces are to be packed.

    Args:
        effort: One of `EFFORTS`: how many steps the search may take.
        seed: Another number gives another search; the same number gives the same result anywhere.
        turn: Whether pieces may turn; without it they stay as drawn.
        small_whole: Whether a unit that fits a page is never split over two.
        gap: Least free paper between two units, millimetres.

    Raises:
        ValueError: An effort that does not exist.
        LengthError: A gap that is not between 0 and 100 mm.
    """

    effort: str = "normal"
    seed: int = 1
    turn: bool = True
    small_whole: bool = False
    gap: float = GAP

    def __post_init__(self) -> None:
        if self.effort not in EFFORTS:
            raise ValueError(f"effort {self.effort!r} is none of {', '.join(EFFORTS)}")
        if not 0 <= self.gap <= 100:
            raise LengthError(
                f"a gap of {self.gap:g} mm between pieces is not between 0 and 100 mm",
                remedy="4 mm is enough for scissors to find a way between.",
            )
