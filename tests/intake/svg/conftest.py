"""What the tests of the SVG reader share: a drawing in one line, and resvg as the outside judge.

resvg (the Rust renderer, here through `resvg_py`) shares no code with the reader. It paints a
drawing at 96 dots to the inch; the reader's lines, filled by shapely, must cover the same dots.
"""

from __future__ import annotations

import io
from collections.abc import Callable

import numpy as np
import pytest
import resvg_py
import shapely
from PIL import Image

from tiler.intake.drawn import DrawnSheet
from tiler.intake.svg import read_svg
from tiler.pattern.errors import DrawingError

ZOOM = 2
DOTS_PER_MM = ZOOM * 96 / 25.4
#: How far ink and line may lie apart, in dots: half a dot of either's own rounding, and the page's
#: size rounded up to whole dots by resvg.
SLACK = 1.0
#: How far a pointed corner of the ink may fall short, in dots: its tip is thinner than a dot.
TIP = 2.5

NAMESPACES = (
    'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    ' xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
)


@pytest.fixture
def drawing() -> Callable[..., str]:
    """An SVG from what is inside it; 100 x 80 mm, one unit to the millimetre, unless told."""

    def make(inside: str, size: str = 'width="100mm" height="80mm" viewBox="0 0 100 80"') -> str:
        return f"<svg {NAMESPACES} {size}>{inside}</svg>"

    return make


@pytest.fixture
def read(drawing: Callable[..., str]) -> Callable[..., DrawnSheet]:
    """The sheet read from what is inside the drawing."""

    def reading(*parts: str) -> DrawnSheet:
        return read_svg(drawing(*parts).encode(), "apron.svg")

    return reading


@pytest.fixture
def refused() -> Callable[..., str]:
    """The message with which bytes are refused; it must name the file and each word asked for."""

    def refusing(content: bytes, *words: str) -> str:
        with pytest.raises(DrawingError) as caught:
            read_svg(content, "apron.svg")
        message = str(caught.value)
        assert message.startswith("apron.svg"), message
        assert caught.value.remedy, message
        for word in words:
            assert word in message, message
        return message

    return refusing


@pytest.fixture
def covers_the_ink() -> Callable[..., DrawnSheet]:
    """Compare the reader's lines with resvg's ink, dot by dot.

    With `stroke` (millimetres) the drawing is taken to stroke its lines, else to fill them.
    """

    def compare(svg: str, stroke: float = 0.0) -> DrawnSheet:
        sheet = read_svg(svg.encode(), "apron.svg")
        ink = _ink(svg)
        region = _region(sheet, stroke)
        rows, columns = ink.shape
        x, y = np.meshgrid(np.arange(columns) + 0.5, np.arange(rows) + 0.5)
        inner, outer = region.buffer(-SLACK), region.buffer(SLACK)
        shapely.prepare(inner)
        shapely.prepare(outer)
        assert ink.any(), "the judge drew nothing"
        missing = shapely.contains_xy(inner, x, y) & ~ink
        surplus = ink & ~shapely.contains_xy(outer, x, y)
        assert not missing.any(), f"{missing.sum()} dots of the reader's lines carry no ink"
        assert not surplus.any(), f"{surplus.sum()} dots of ink lie off the reader's lines"
        seen = region.intersection(shapely.box(0, 0, columns, rows)).bounds
        at_y, at_x = np.nonzero(ink)
        box = (at_x.min(), at_y.min(), at_x.max() + 1, at_y.max() + 1)
        assert np.abs(np.subtract(box, seen)).max() <= TIP, (box, seen)
        return sheet

    return compare


def _ink(svg: str) -> np.ndarray:
    png = resvg_py.svg_to_bytes(svg_string=svg, dpi=96, zoom=ZOOM)
    return np.asarray(Image.open(io.BytesIO(png)).convert("RGBA"))[..., 3] > 127


def _region(sheet: DrawnSheet, stroke: float) -> shapely.Geometry:
    parts = []
    for drawn in sheet.paths:
        dots = [
            (x * DOTS_PER_MM, (sheet.height - y) * DOTS_PER_MM)
            for x, y in drawn.path.flattened(0.01)
        ]
        if stroke:
            line = shapely.LineString(dots)
            parts.append(
                line.buffer(
                    stroke * DOTS_PER_MM / 2, cap_style="flat", join_style="mitre", mitre_limit=4
                )
            )
        else:
            parts.append(shapely.make_valid(shapely.Polygon(dots)))
    return shapely.union_all(parts)
