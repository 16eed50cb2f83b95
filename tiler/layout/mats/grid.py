"""Where the measured rectangle lies in the projector's picture."""

from __future__ import annotations

from tiler.pattern.affine import Point

#: From the border of the picture to the middle of the rectangle's lines, pixels. A whole number:
#: lines an even number of pixels wide then cover whole pixels. The border itself is no use, for a
#: mount or a lens may hide it.
GRID_INSET = 40


def grid_corners_px(width_px: int, height_px: int) -> tuple[Point, Point, Point, Point]:
    """The corners that are measured between, in the picture.

    Args:
        width_px: The picture, pixels.
        height_px: Likewise.

    Returns:
        Lower left, lower right, upper right, upper left as the picture is seen on a screen;
        pixels, y down, (0, 0) at the outer corner of the top left pixel.
    """
    left, top = float(GRID_INSET), float(GRID_INSET)
    right, bottom = float(width_px - GRID_INSET), float(height_px - GRID_INSET)
    return Point(left, bottom), Point(right, bottom), Point(right, top), Point(left, top)


def picture_corners_px(width_px: int, height_px: int) -> tuple[Point, Point, Point, Point]:
    """The outer corners of the picture, in the same order."""
    right, bottom = float(width_px), float(height_px)
    return Point(0.0, bottom), Point(right, bottom), Point(right, 0.0), Point(0.0, 0.0)
