"""A captured drawing -> SVG at true size, to be read as any other drawing."""

from __future__ import annotations

import math
import re

from tiler.intake.drawn import DrawnPath, DrawnSheet
from tiler.output.folder.drawing import DrawingPen, framed
from tiler.pattern.affine import Affine
from tiler.pattern.errors import PatternError

#: Decimal places of the coordinates: far finer than any photo tells.
_PLACES = 3
_DOT = 0.5


def tracing_svg(sheet: DrawnSheet) -> str:
    """The SVG of a drawing; one user unit is a millimetre.

    A line without a role gets no class for one, so that whoever begins the pattern is asked.

    Args:
        sheet: Millimetres, y up, nothing to the left of or below its corner.

    Raises:
        PatternError: A style has a name that no class can hold.
    """
    width, height = math.ceil(sheet.width), math.ceil(sheet.height)
    pen = DrawingPen(Affine(1, 0, 0, -1, 0, height), _PLACES)
    words = f"{sheet.name}: captured from a photo, drawn at true size, 1 unit = 1 mm"
    return framed(width, height, words, (_element(path, pen) for path in sheet.paths))


def _element(drawn: DrawnPath, pen: DrawingPen) -> str:
    if drawn.corner:
        return pen.dot(drawn.path.bounds.centre, "corner", _DOT)
    if re.search(r"[\s,;]", drawn.style):
        raise PatternError(
            f'the class of a line cannot hold the style "{drawn.style}"',
            remedy="Give the style a name of one word.",
        )
    role = drawn.role.value if drawn.role else ""
    style = f"style:{drawn.style}" if drawn.style else ""
    return pen.draw(drawn.path, f"{role} {style}".strip())
