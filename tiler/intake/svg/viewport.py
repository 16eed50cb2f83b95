"""The size of the page and of drawings inside drawings.

Source: SVG 2, 8.2 "The initial viewport", 8.6 viewBox, 8.7 preserveAspectRatio, 8.8 "Establishing
a new SVG viewport".
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import NamedTuple

from tiler.intake.svg import limits
from tiler.intake.svg.lengths import MM_PER_PX, NUMBER, Length, read_length
from tiler.intake.svg.xmltree import Node, excerpt
from tiler.pattern.affine import Affine
from tiler.pattern.units import format_mm

_BOX = re.compile(r"[\s,]+")
_PLAIN = re.compile(NUMBER)
_ASPECT = re.compile(
    r"\s*(?:defer\s+)?(?:none|x(?P<x>Min|Mid|Max)Y(?P<y>Min|Mid|Max))(?:\s+(?P<how>meet|slice))?\s*"
)
_SHARE = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}

_SAY_SIZE = (
    'Give <svg> its size with a unit, as in width="412mm" height="730mm" (or width="41.2cm", or'
    ' width="16.22in"), and keep viewBox.'
)


class Box(NamedTuple):
    """A viewBox in user units."""

    x: float
    y: float
    width: float
    height: float


class Viewport(NamedTuple):
    """What percentages are taken of, in user units."""

    width: float
    height: float

    @property
    def other(self) -> float:
        """For lengths that are neither across nor down (SVG 2, 8.9)."""
        return math.sqrt((self.width**2 + self.height**2) / 2)


class Page(NamedTuple):
    """The whole drawing's size.

    Args:
        width: Millimetres across.
        height: Millimetres up.
        matrix: From the user units inside <svg> to millimetres, y up, origin at the lower left.
        viewport: The size in user units.
        in_pixels: Whether the size was given in pixels or bare numbers.
        stretched: Whether x and y have different scales.
    """

    width: float
    height: float
    matrix: Affine
    viewport: Viewport
    in_pixels: bool
    stretched: bool


def read_box(node: Node) -> Box | None:
    """The viewBox of an element.

    Raises:
        DrawingError: Not four numbers, or no room in it.
    """
    text = node.get("viewBox")
    if text is None:
        return None
    words = [word for word in _BOX.split(text[:400]) if word]
    remedy = 'Write four numbers, as in viewBox="0 0 412 730".'
    if len(words) != 4 or not all(_PLAIN.fullmatch(word) for word in words):
        raise node.fault(f'viewBox="{excerpt(text)}" is not four numbers', remedy)
    box = Box(*map(float, words))
    if not all(abs(number) <= limits.LARGEST_NUMBER for number in box):
        raise node.fault(f'viewBox="{excerpt(text)}" is too large', remedy)
    if box.width <= 0 or box.height <= 0:
        raise node.fault(f'viewBox="{excerpt(text)}" has no width or no height', remedy)
    return box


def fit(node: Node, box: Box | None, width: float, height: float) -> Affine:
    """The map from the viewBox into a rectangle with its corner at the origin, y down.

    Without a viewBox it is the identity.

    Raises:
        DrawingError: A preserveAspectRatio that cannot be read.
    """
    if box is None:
        return Affine()
    text = node.get("preserveAspectRatio") or "xMidYMid"
    match = _ASPECT.fullmatch(text)
    if match is None:
        raise node.fault(
            f'preserveAspectRatio="{excerpt(text)}" cannot be read',
            'Write "none", or an alignment such as "xMidYMid meet" or "xMinYMax slice".',
        )
    across, down = width / box.width, height / box.height
    if match["x"] is None:
        return Affine(across, 0, 0, down, -box.x * across, -box.y * down)
    scale = max(across, down) if match["how"] == "slice" else min(across, down)
    spare_x = (width - box.width * scale) * _SHARE[match["x"]]
    spare_y = (height - box.height * scale) * _SHARE[match["y"]]
    return Affine(scale, 0, 0, scale, spare_x - box.x * scale, spare_y - box.y * scale)


def read_page(root: Node, style: Mapping[str, str]) -> Page:
    """The true size of the drawing.

    Args:
        root: The outermost <svg>.
        style: Its properties, after the cascade.

    Raises:
        DrawingError: A size that is not known, or that no paper could have.
    """
    width, height = _side(root, style, "width"), _side(root, style, "height")
    box = read_box(root)
    if width is None and height is None:
        only = "only a viewBox, which has no unit" if box else "no width and no height"
        raise root.fault(f"the drawing's true size is not known: it has {only}", _SAY_SIZE)
    if (width is None or height is None) and box is None:
        missing = "width" if width is None else "height"
        raise root.fault(f"the drawing's true size is not known: it has no {missing}", _SAY_SIZE)
    bare = [side for side in (width, height) if side is not None and not side.unit]
    if bare and box is None:
        raise root.fault(
            "the drawing's true size is not known: its width and height have no unit and it has no"
            " viewBox",
            _SAY_SIZE,
        )
    ratio = box.width / box.height if box else 1.0
    size_x = width.mm if width else 0.0
    size_y = height.mm if height else size_x / ratio
    size_x = size_x if width else size_y * ratio
    _refuse_odd_size(root, size_x, size_y)
    inner = fit(root, box, size_x, size_y) if box else Affine.scale(MM_PER_PX, MM_PER_PX)
    viewport = Viewport(*box[2:]) if box else Viewport(size_x / MM_PER_PX, size_y / MM_PER_PX)
    in_pixels = any(side is not None and side.unit in ("", "px") for side in (width, height))
    stretched = abs(inner.a - inner.d) > 1e-6 * max(inner.a, inner.d)
    matrix = inner.then(Affine(1, 0, 0, -1, 0, size_y))
    return Page(size_x, size_y, matrix, viewport, in_pixels, stretched)


def _side(root: Node, style: Mapping[str, str], name: str) -> Length | None:
    text = style.get(name)
    if text is None or text.strip() in ("", "auto"):
        return None
    side = read_length(root, name, text)
    if side.unit == "%":
        raise root.fault(
            f'the drawing\'s true size is not known: {name}="{excerpt(text)}" depends on the'
            " window",
            _SAY_SIZE,
        )
    return side


def _refuse_odd_size(root: Node, width: float, height: float) -> None:
    for name, side in (("width", width), ("height", height)):
        if side <= 0:
            raise root.fault(f"the drawing's {name} is {format_mm(side)}", _SAY_SIZE)
        if side < limits.SMALLEST_PAGE or side > limits.REACH:
            measure = f"{side / 1000:.4g} m" if side > limits.REACH else f"{side:.3g} mm"
            raise root.fault(
                f"the drawing's {name} is {measure}, which cannot be meant",
                _SAY_SIZE,
            )
