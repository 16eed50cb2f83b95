"""A cutting mat under a projector."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.layout.mats.grid import grid_corners_px
from tiler.layout.mats.homography import Homography
from tiler.pattern.affine import Point
from tiler.pattern.errors import ProjectionError

#: How well a length is measured on the mat with a tape or a long rule, mm (standard deviation);
#: common practice, no source.
MEASURING_NOISE = 1.0


@dataclass(frozen=True)
class Mat:
    """A mat, and where the projector's picture lies on it.

    The mat's frame has its origin at the lower left corner of the usable rectangle, x along the
    long side, y up.

    Args:
        name: What its owner calls it.
        width_px: The projector's own pixels across.
        height_px: And down.
        width: Long side of the mat, mm.
        height: Short side, mm.
        corners: Where the corners of the measured grid lie, mm: lower left, lower right, upper
            right, upper left as the picture's words are read; None before it was measured.
        noise: Standard deviation of one measured length, mm.
    """

    name: str
    width_px: int
    height_px: int
    width: float
    height: float
    corners: tuple[Point, Point, Point, Point] | None = None
    noise: float = MEASURING_NOISE

    def to_mat(self) -> Homography:
        """The map from the picture (pixels, y down) to the mat (mm, y up).

        Raises:
            ProjectionError: The mat was not measured yet.
        """
        if self.corners is None:
            raise ProjectionError(
                "its picture was not measured yet",
                where=f"the mat {self.name!r}",
                remedy=f'Run "blocksheet mat grid {self.name}" first.',
            )
        return Homography.through(grid_corners_px(self.width_px, self.height_px), self.corners)

    def to_pixels(self) -> Homography:
        """The map from the mat (mm) to the picture (pixels).

        Raises:
            ProjectionError: The mat was not measured yet.
        """
        return self.to_mat().inverse()
