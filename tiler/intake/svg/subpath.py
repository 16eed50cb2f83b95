"""A continuous line in the drawing's own units, before it is put to scale."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple, Union

from tiler.pattern.affine import Affine, Point
from tiler.pattern.segment import Cubic, Straight


class Arc(NamedTuple):
    """Part of an ellipse.

    Args:
        start: Where it begins, exactly as drawn.
        end: Where it ends, exactly as drawn.
        frame: The map that makes the ellipse from the unit circle.
        first: Angle on the unit circle at the start, radians.
        sweep: Signed angle to the end, radians.
    """

    start: Point
    end: Point
    frame: Affine
    first: float
    sweep: float


Step = Union[Straight, Cubic, Arc]  # noqa: UP007  (a name that isinstance and mypy both accept)


@dataclass(slots=True)
class Subpath:
    """Steps that follow one another from `start`; `closed` when a Z ends them."""

    start: Point
    steps: list[Step] = field(default_factory=list)
    closed: bool = False
