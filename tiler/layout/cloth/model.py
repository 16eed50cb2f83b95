"""What a lay plan is.

Cloth coordinates are millimetres on the cloth **as it is cut** (after washing): x along the
selvedge, from the cut end at 0; y across, up. On folded cloth y = 0 is the fold, on single cloth
one of the selvedges.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from tiler.layout.cloth.ring import Ring
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import ClothError
from tiler.pattern.model import Lay

#: Room between the pieces and each selvedge, millimetres (common practice, no source).
SELVEDGE = 10.0
#: Least cloth between two pieces, millimetres: shears part them in one cut (common practice, no
#: source).
GAP = 2.0


class Spread(StrEnum):
    """How a length of cloth lies on the table: once, or folded lengthwise, right sides together."""

    SINGLE = "single"
    FOLDED = "folded"


@dataclass(frozen=True, slots=True)
class Cloth:
    """A cloth and how it is to be laid; millimetres.

    Args:
        name: As in the pattern: main, lining …
        width: As it is bought, selvedges included.
        spread: How it is laid.
        selvedge: What stays free along each selvedge.
        nap: Whether all pieces lie the same way up.
        shrinkage: What washing takes, along and across; 0.05 for 5 %.
        repeat: Of a check, as it is cut, along and across; 0 for none.
        gap: Least cloth between two pieces.
        tilt: Degrees off the grain that the user allows.

    Raises:
        ClothError: A number that no cloth has.
    """

    name: str
    width: float
    spread: Spread = Spread.FOLDED
    selvedge: float = SELVEDGE
    nap: bool = False
    shrinkage: tuple[float, float] = (0.0, 0.0)
    repeat: tuple[float, float] = (0.0, 0.0)
    gap: float = GAP
    tilt: float = 0.0

    def __post_init__(self) -> None:
        if not 50 <= self.width <= 20_000:
            self._refuse(
                f"a width of {self.width:g} mm is not between 50 and 20000 mm",
                "Give the width of the cloth as it is sold, such as 150cm or 60in.",
            )
        if not self.selvedge >= 0:
            self._refuse(
                f"{self.selvedge:g} mm along each selvedge is less than nothing",
                "Give 0 mm or more; 10 mm is usual.",
            )
        if not self.across > 2 * self.selvedge:
            self._refuse(
                f"{self.selvedge:g} mm along each selvedge leaves nothing of the cloth",
                "10 mm is usual.",
            )
        if not all(0 <= share <= 0.5 for share in self.shrinkage):
            self._refuse(
                "washing takes between 0 and 50 %",
                "Measure it: wash a piece of 50 by 50 cm and see what is left.",
            )
        if not all(repeat == 0 or 2 <= repeat <= 5000 for repeat in self.repeat):
            self._refuse(
                "the repeat of a check is between 2 and 5000 mm",
                "Measure from one line of the check to the next line that is the same.",
            )
        if not 0 <= self.gap <= 100:
            self._refuse(
                f"a gap of {self.gap:g} mm between pieces is not between 0 and 100 mm",
                "2 mm is enough for shears.",
            )
        if not 0 <= self.tilt <= 45:
            self._refuse(
                f"a tilt of {self.tilt:g}° is not between 0 and 45°",
                "Cloth cut more than 1° or 2° off its grain hangs askew.",
            )

    def _refuse(self, problem: str, remedy: str) -> None:
        raise ClothError(problem, where=f"cloth {self.name}", remedy=remedy)

    @property
    def across(self) -> float:
        """Its width as it is cut, selvedges included."""
        return self.width * (1 - self.shrinkage[1])

    def room(self, spread: Spread) -> tuple[float, float]:
        """From where to where (y) pieces may lie."""
        if spread is Spread.FOLDED:
            return 0.0, self.across / 2 - self.selvedge
        return self.selvedge, self.across - self.selvedge


#: What is not cut on the fold keeps so far from it, mm: nobody should take its edge for the middle
#: of a piece that is opened there (common practice, no source).
FOLD_CLEAR = 5.0


@dataclass(frozen=True, slots=True)
class Need:
    """A piece that has to be cut from a cloth, in piece coordinates.

    Args:
        piece: Its name.
        count: How many; a pair is two.
        lay: How the maker has them cut.
        ring: Its cut line, round all styles that are chosen, anticlockwise; half of the piece when
            there is a fold.
        grain: Unit vector along the grain, towards the upper end of the grainline.
        fold: The ends of the line that lies on the fold; None for a piece that is drawn whole.
        symmetric: Whether it is its own mirror image about a line along the grain: then two layers
            give two of it.
        even: The same about a line across the grain, for cloth that has no way up.
        place: File and piece, for messages.
    """

    piece: str
    count: int
    lay: Lay
    ring: Ring
    grain: tuple[float, float] = (0.0, 1.0)
    fold: tuple[Point, Point] | None = None
    symmetric: bool = False
    even: bool = False
    place: str = ""


@dataclass(frozen=True, slots=True)
class Match:
    """Two points that are sewn to each other and see the same place of the check.

    Args:
        first: Name of a piece.
        at: A point of it, piece coordinates.
        second: Name of the piece that is sewn to it.
        to: The point of that piece which meets `at`.
        seam: What the seam is called, for messages.
    """

    first: str
    at: Point
    second: str
    to: Point
    seam: str = ""


@dataclass(frozen=True, slots=True)
class Laid:
    """One cut, through one or two layers.

    Args:
        piece: Whose.
        copy: Number of the cut among those of the piece, from 1.
        at: Piece coordinates -> cloth coordinates, mirrored where the piece lies face down.
        mirrored: Whether it lies face down.
        layers: 1, or 2 on folded cloth.
        on_fold: Whether its middle line lies on the fold of the cloth.
        opened: Whether a half piece is laid as a whole; `at` maps the half that is drawn.
        halved: Whether a piece that is drawn whole is folded along its middle, and so lies on the
            fold.
        outline: What is cut, cloth coordinates, anticlockwise.
    """

    piece: str
    copy: int
    at: Affine
    mirrored: bool
    layers: int
    on_fold: bool
    opened: bool
    outline: Ring
    halved: bool = False


@dataclass(frozen=True, slots=True)
class Part:
    """A stretch of the length, from `start` to `end`, that is spread in one way."""

    spread: Spread
    start: float
    end: float
    laid: tuple[Laid, ...]


@dataclass(frozen=True, slots=True)
class LayPlan:
    """How all pieces of a cloth lie.

    Args:
        cloth: What they lie on.
        parts: Along the length; folded cloth is opened for what cannot be cut through two layers.
        length: Millimetres of cloth as it is cut.
        utilisation: Share (0 to 1) of length x full width that becomes pieces.
        stopped: Whether the search was interrupted.
    """

    cloth: Cloth
    parts: tuple[Part, ...]
    length: float
    utilisation: float
    stopped: bool = False

    @property
    def to_buy(self) -> float:
        """Millimetres of cloth before washing, not rounded."""
        return self.length / (1 - self.cloth.shrinkage[0])
