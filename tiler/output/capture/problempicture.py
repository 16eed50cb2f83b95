"""A photo that cannot be used, with the places that show why; and faces that want a name."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from tiler.intake.photo.model import Photo, Points
from tiler.intake.photo.problem import Spot
from tiler.output.capture.canvas import LIGHT, Canvas, Colour, face
from tiler.output.capture.legend import strip

#: Pixels of the long side.
_LONGEST = 2000
#: A part of a photo is enlarged by no more than this.
_LARGER = 2.5
#: A line shorter than this is one place; pixels of a picture of the usual size.
_PLACE = 48.0
_BAD: Colour = (255, 96, 64)
#: Lines of faces, which lie side by side, are told apart by dash as well.
_FACES: tuple[tuple[Colour, tuple[float, ...]], ...] = (
    ((64, 220, 255), ()),
    ((255, 208, 48), (6.0, 4.0)),
    ((128, 255, 128), (2.0, 3.0)),
    ((255, 128, 224), (8.0, 3.0, 1.0, 3.0)),
)


def problem_picture(photo: Photo, spots: Sequence[Spot], words: str) -> bytes:
    """The photo with places drawn on it, and what is wrong below it, as JPEG.

    Args:
        photo: The one that the places are on.
        spots: Those of this photo.
        words: What is wrong, a sentence or two.
    """
    canvas = Canvas(photo, _LONGEST)
    for spot in spots:
        points = canvas.at(spot.points)
        if not spot.closed and _small(points, canvas):
            canvas.ring(points.mean(axis=0), _BAD, 7.0, 1.4)
        else:
            canvas.line(points, _BAD, closed=spot.closed, width=1.4)
    _label(canvas, spots, [_BAD] * len(spots))
    return canvas.jpeg(strip(canvas, words, ()))


def faces_picture(photo: Photo, spots: Sequence[Spot], words: str) -> bytes:
    """The photo with areas between lines tinted and lettered, as JPEG; arguments as above."""
    around = np.vstack([spot.points for spot in spots])
    canvas = Canvas(photo, _LONGEST, around, _LARGER)
    looks = [_FACES[nth % len(_FACES)] for nth in range(len(spots))]
    for spot, (colour, _) in zip(spots, looks, strict=True):
        canvas.tint(canvas.at(spot.points), colour)
    for spot, (colour, dash) in zip(spots, looks, strict=True):
        canvas.line(canvas.at(spot.points), colour, closed=spot.closed, dash=dash, width=0.6)
    _label(canvas, spots, [colour for colour, _ in looks])
    return canvas.jpeg(strip(canvas, words, ()))


def _small(points: Points, canvas: Canvas) -> bool:
    """Whether a line is one place: a stroke over it would hide what is wrong."""
    return bool(np.ptp(points, axis=0).max() < _PLACE * canvas.unit)


def _label(canvas: Canvas, spots: Sequence[Spot], colours: Sequence[Colour]) -> None:
    """Words last, so that no line runs through them."""
    for spot, colour in zip(spots, colours, strict=True):
        if not spot.label:
            continue
        points = canvas.at(spot.points)
        points = points[np.isfinite(points).all(axis=1)]
        if len(points):
            inner = _inside(points) if spot.closed else points[len(points) // 2]
            ink = LIGHT if colour == _BAD else colour
            canvas.words(
                spot.label, inner, ink, over=spot.closed and _holds(canvas, points, spot.label)
            )


def _holds(canvas: Canvas, points: Points, label: str) -> bool:
    """Whether an area is large enough for its label to stand in it."""
    wide = face(canvas.text_px, True).getlength(label)
    return bool(np.all(np.ptp(points, axis=0) > 1.2 * np.array([wide, canvas.text_px])))


def _inside(points: Points) -> Points:
    """A place well inside an area."""
    import shapely

    if len(points) < 3:
        return np.asarray(points.mean(axis=0))
    area = shapely.make_valid(shapely.Polygon(points))
    largest = max(shapely.get_parts(area), key=lambda part: part.area)
    if largest.area == 0:
        return np.asarray(points.mean(axis=0))
    tip = shapely.maximum_inscribed_circle(largest, tolerance=2.0)
    return np.asarray(shapely.get_coordinates(tip)[0])
