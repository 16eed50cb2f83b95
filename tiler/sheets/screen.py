"""Pages that are shown by a projector: millimetres of the page stand for its pixels."""

from __future__ import annotations

from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import rectangle
from tiler.sheets.drawing import Fill

#: Millimetres of a page for one pixel. Any number would do; this one makes pages of a handy size
#: for readers that show them, and lengths that PDF numbers hold exactly.
PX_MM = 0.2
#: Renderers fill an upright rectangle out to whole pixels; drawn in by so little, it covers none
#: that it only touches.
_SHY_PX = 0.01


def page_size(width_px: int, height_px: int) -> tuple[float, float]:
    """Size of the page that fills a picture, mm."""
    return width_px * PX_MM, height_px * PX_MM


def on_page(x_px: float, y_px: float, height_px: int) -> Point:
    """A place of the picture (pixels, y down) on its page (mm, y up)."""
    return Point(x_px * PX_MM, (height_px - y_px) * PX_MM)


def box_on_page(
    left_px: float, top_px: float, right_px: float, bottom_px: float, height_px: int
) -> Bounds:
    """An upright rectangle of the picture on its page, mm."""
    low, high = on_page(left_px, bottom_px, height_px), on_page(right_px, top_px, height_px)
    return Bounds(low.x, low.y, high.x, high.y)


def block(
    left_px: float, top_px: float, right_px: float, bottom_px: float, height_px: int, grey: float
) -> Fill:
    """An upright rectangle of whole pixels, filled."""
    box = box_on_page(left_px, top_px, right_px, bottom_px, height_px)
    return Fill((rectangle(box.grown(-_SHY_PX * PX_MM)),), grey)


def size_pt(height_px: float) -> float:
    """The type size whose letters have a line height of so many pixels, points."""
    return height_px * PX_MM * 72 / 25.4
