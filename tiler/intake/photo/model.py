"""What is handed on between the steps from a photo to drawn lines.

Photos are measured in pixels, x to the right and y down, the centre of the first pixel at (0, 0).
The table is the plane that the paper and the cards lie on: millimetres, x to the right, y up as the
first photo shows it. Points are arrays of shape (n, 2) in float64.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
Numbers = NDArray[np.float64]
Pixels = NDArray[np.uint8]


@dataclass(frozen=True, eq=False)
class Photo:
    """A picture as a person sees it, turned upright.

    Args:
        name: File name, for messages.
        pixels: Height x width x 3, red, green and blue (sRGB).
        focal_px: Focal length in pixels where the file tells it, None where not.
        dpi: Resolution that the file states (a scan's is to be believed, a camera's is not).
    """

    name: str
    pixels: Pixels = field(repr=False)
    focal_px: float | None = None
    dpi: float | None = None

    @property
    def width(self) -> int:
        """Pixels across."""
        return int(self.pixels.shape[1])

    @property
    def height(self) -> int:
        """Pixels down."""
        return int(self.pixels.shape[0])


@dataclass(frozen=True, eq=False)
class Sighting:
    """One card as one photo shows it.

    Args:
        photo: Index of the photo.
        card: Number of the card.
        corners: Which of its inner corners were found, (n,), as OpenCV counts them.
        on_card: Where they are in the card's frame, printed at true size, millimetres.
        in_photo: Where they are in the photo, pixels.
        blur_px: How far black and white run into one another there, as the standard deviation of
            a Gaussian.
    """

    photo: int
    card: int
    corners: NDArray[np.int64]
    on_card: Points
    in_photo: Points
    blur_px: float


class Camera(Protocol):
    """How one picture sees the table."""

    @property
    def centre(self) -> tuple[float, float, float] | None:
        """Where it stands, millimetres of the table and above it; None for a scan."""
        ...

    def to_photo(self, on_table: Points) -> Points:
        """Pixels of points of the table; NaN for what lies behind the camera."""
        ...

    def to_table(self, in_photo: Points) -> Points:
        """The points of the table that pixels show; NaN above the horizon."""
        ...


@dataclass(frozen=True, slots=True)
class Lying:
    """How a card lies on the table.

    Args:
        card: Its number.
        x: Of the lower left corner of its squares, millimetres.
        y: Likewise.
        turn: Radians anticlockwise.
        residual: Root mean square of what is left at its corners, millimetres on the table.
    """

    card: int
    x: float
    y: float
    turn: float
    residual: float


@dataclass(frozen=True, eq=False)
class Solved:
    """Where everything was when the photos were taken.

    Args:
        cameras: One a photo.
        cards: How the cards lie.
        print_scale: Printed over nominal length of the cards, along their long and short side.
        spread: Standard uncertainty of the place of points of the table, millimetres, when the
            whole is laid on the truth as well as turning and shifting allow; (n, 2) -> (n,).
            Holds what corners, lens, print scale and lifted cards can do, not the line's own.
        flat: Whether the pictures are scans, without a lens.
    """

    cameras: tuple[Camera, ...]
    cards: tuple[Lying, ...]
    print_scale: tuple[float, float]
    spread: Callable[[Points], Numbers]
    flat: bool = False


@dataclass(frozen=True, eq=False)
class Flattened:
    """The table seen from straight above, joined of all photos.

    Args:
        pixels: Height x width x 3, sRGB; row 0 is the upper edge.
        seen: Height x width, whether any photo shows the place (its frame's edge not counted).
        left: x of the centre of the first column, millimetres.
        top: y of the centre of row 0, millimetres.
        pitch: Millimetres from pixel to pixel.
        taken_from: Height x width, index of the photo that each pixel comes from.
    """

    pixels: Pixels = field(repr=False)
    seen: NDArray[np.bool_] = field(repr=False)
    left: float
    top: float
    pitch: float
    taken_from: NDArray[np.uint8] = field(repr=False)

    def to_table(self, px: Points) -> Points:
        """Millimetres of pixel coordinates (column, row)."""
        return np.column_stack(
            (self.left + px[:, 0] * self.pitch, self.top - px[:, 1] * self.pitch)
        )

    def to_pixels(self, on_table: Points) -> Points:
        """Pixel coordinates (column, row) of points on the table."""
        return np.column_stack(
            ((on_table[:, 0] - self.left) / self.pitch, (self.top - on_table[:, 1]) / self.pitch)
        )


@dataclass(frozen=True, eq=False)
class Strand:
    """The centre line of one stretch of marker, between two ends or crossings.

    Args:
        points: From `start` to `end`, about a millimetre apart, sub-pixel; the crossing's own
            point is not repeated when the strand is a ring.
        start: Index of the node where it begins; None for a ring without a node.
        end: Index of the node where it ends; None for a ring without a node.
        width: Of the line, millimetres, the median along it.
        colour: CIE L*, a*, b* of the ink, mean along it, light divided out.
        unsure: Standard uncertainty of the centre line across itself, millimetres.
        bridged: Whether it is no ink but a gap that was closed.
        heads: Whether it begins, and ends, in a filled arrowhead, as in print.
        uneven: How much its darkness changes along it from one place to the next, as a part of it;
            a row of letters that run into one another is more uneven than any pen.
    """

    points: Points
    start: int | None
    end: int | None
    width: float
    colour: tuple[float, float, float]
    unsure: float = 0.05
    bridged: bool = False
    heads: tuple[bool, bool] = (False, False)
    uneven: float = 0.0

    @property
    def ring(self) -> bool:
        """Whether it closes on itself without a node."""
        return self.start is None


@dataclass(frozen=True, eq=False)
class Web:
    """All ink lines: nodes are loose ends (one strand) and crossings (three or more).

    A node with two strands is the end of a bridged gap or a change of colour.

    Args:
        nodes: Millimetres.
        strands: Between them.
    """

    nodes: Points
    strands: tuple[Strand, ...]


class Kind(StrEnum):
    """What a drawn line turned out to be."""

    OUTLINE = "outline"
    FOLD = "fold"
    GRAIN = "grain"
    NOTCH = "notch"
    DART = "dart"
    DRILL = "drill"
    INSIDE = "inside"


@dataclass(frozen=True, eq=False)
class Traced:
    """One line, told apart from the others.

    Args:
        kind: What it is.
        points: Along it, millimetres; for a closed one the first point is not repeated.
        closed: Whether it comes back to its beginning.
        corners: Indices into `points` where it turns at a corner (ends of open lines left out).
        style: The style that it belongs to; empty when all share it.
        bridged: Middle points of the gaps that were closed on it, (n, 2).
        unsure: Standard uncertainty of the line across itself, millimetres.
    """

    kind: Kind
    points: Points
    closed: bool
    corners: tuple[int, ...] = ()
    style: str = ""
    bridged: Points = field(default_factory=lambda: np.empty((0, 2)))
    unsure: float = 0.05


@dataclass(frozen=True, eq=False)
class Tracing:
    """One piece.

    Args:
        lines: Its outlines (one, or one a style) and what is drawn on it.
        name: That the user gave it; empty for none.
    """

    lines: tuple[Traced, ...]
    name: str = ""
