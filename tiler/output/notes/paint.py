"""A drawing as a flowable on a reportlab page, at any size."""

from __future__ import annotations

from typing import Any

from reportlab.platypus.flowables import Flowable

from tiler.pattern.affine import STILL, Affine
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic
from tiler.pattern.units import PT_PER_MM
from tiler.sheets.drawing import Drawing, Fill, Group, Item, Stroke, Use, Words
from tiler.sheets.lettering import BOLD, REGULAR


class Painted(Flowable):  # type: ignore[misc]
    """A drawing that takes its place among paragraphs.

    Args:
        drawing: What to show.
        factor: Times its true size.
        centred: Whether it stands in the middle of its column.
    """

    def __init__(self, drawing: Drawing, factor: float = 1.0, *, centred: bool = False) -> None:
        super().__init__()
        self._drawing, self._factor = drawing, factor
        self.width = drawing.bounds.width * factor * PT_PER_MM
        self.height = drawing.bounds.height * factor * PT_PER_MM
        self.hAlign = "CENTER" if centred else "LEFT"

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """What it takes, points."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw it from its lower left corner."""
        scale = self._factor * PT_PER_MM
        bounds = self._drawing.bounds
        canvas = self.canv
        canvas.saveState()
        canvas.scale(scale, scale)
        canvas.translate(-bounds.left, -bounds.bottom)
        canvas.setLineCap(1)
        canvas.setLineJoin(1)
        _items(canvas, self._drawing.items, STILL)
        canvas.restoreState()


def fitted(drawing: Drawing, width: float, height: float, *, centred: bool = True) -> Painted:
    """As large as it goes in a box of points, and no larger than true size."""
    bounds = drawing.bounds
    factor = min(1.0, width / (bounds.width * PT_PER_MM), height / (bounds.height * PT_PER_MM))
    return Painted(drawing, factor, centred=centred)


def _items(canvas: Any, items: tuple[Item, ...], at: Affine) -> None:
    for item in items:
        if isinstance(item, Stroke):
            canvas.setStrokeGray(item.pen.grey)
            canvas.setLineWidth(item.pen.width)
            canvas.setDash(list(item.pen.dash))
            canvas.drawPath(_path(canvas, item.paths, at), stroke=1, fill=0)
        elif isinstance(item, Fill):
            canvas.setFillGray(item.grey)
            canvas.drawPath(_path(canvas, item.paths, at), stroke=0, fill=1)
        elif isinstance(item, Words):
            _words(canvas, item, at)
        elif isinstance(item, Group):
            _items(canvas, item.items, item.at.then(at) if item.at else at)
        elif isinstance(item, Use):
            _items(canvas, item.drawing.items, item.at.then(at))


def _path(canvas: Any, paths: tuple[Path, ...], at: Affine) -> Any:
    drawn = canvas.beginPath()
    for path in paths:
        drawn.moveTo(*at(path.start))
        for segment in path.segments:
            points = [at(point) for point in segment[1:]]
            if isinstance(segment, Cubic):
                drawn.curveTo(*(value for point in points for value in point))
            else:
                drawn.lineTo(*points[0])
        if path.closed:
            drawn.close()
    return drawn


def _words(canvas: Any, words: Words, at: Affine) -> None:
    canvas.saveState()
    turned = Affine.turn(words.turn).then(at._replace(e=0.0, f=0.0))
    place = at(words.at)
    canvas.transform(turned.a, turned.b, turned.c, turned.d, place.x, place.y)
    canvas.setFont(BOLD if words.bold else REGULAR, words.size_pt / PT_PER_MM)
    canvas.setFillGray(words.grey)
    draw = {
        "start": canvas.drawString,
        "middle": canvas.drawCentredString,
        "end": canvas.drawRightString,
    }
    draw[words.anchor](0, 0, words.text)
    canvas.restoreState()
