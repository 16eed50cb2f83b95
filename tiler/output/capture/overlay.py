"""What was captured, drawn over a photo: every line where it was found, and how sure it is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from tiler.intake.photo import cards
from tiler.intake.photo.capture import Captured
from tiler.intake.photo.model import Camera, Lying, Photo, Points
from tiler.output.capture.canvas import LIGHT, Canvas, Colour
from tiler.output.capture.legend import Sample, strip
from tiler.pattern.model import Role
from tiler.pattern.path import Path

#: Pixels of the long side.
_LONGEST = 2400
#: How finely curves are followed, millimetres on the table.
_FLAT = 0.1
#: A straight line is bent by the lens: it is drawn through points as close as this, millimetres.
_CLOSE = 8.0
#: Length of the bar that shows the scale, and how far it lies from the pieces, millimetres.
_BAR, _AWAY = 100.0, 22.0
#: Room round that bar, millimetres.
_CLEAR = 6.0

_CARD: Colour = (170, 190, 200)
_CORNER: Colour = (255, 255, 255)
_GAP: Colour = (255, 120, 225)
_WORST: Colour = (255, 96, 64)
_DOUBT: Colour = (255, 180, 60)
_DOUBT_DASH = (3.0, 3.0)
#: The doubt that is drawn as a ring already.
_SHOWN = "gap-closed"


@dataclass(frozen=True)
class _Look:
    name: str
    colour: Colour
    dash: tuple[float, ...] = ()


#: Outlines: the one that all share or the first style, and the next styles.
_OUTLINES = (
    _Look("outline", (64, 225, 255)),
    _Look("outline", (255, 214, 64), (9, 4)),
    _Look("outline", (130, 255, 130), (4, 3)),
    _Look("outline", (255, 160, 225), (9, 4, 3, 4)),
)
_ROLES = {
    Role.FOLD: _Look("fold", (255, 214, 64), (10, 3, 2, 3)),
    Role.GRAIN: _Look("grain", (255, 255, 255), (14, 3)),
    Role.NOTCH: _Look("notch", (255, 214, 64)),
    Role.DART: _Look("dart", (255, 165, 80), (5, 3)),
    Role.DRILL: _Look("drill hole", (255, 165, 80)),
}
_OTHER = _Look("line inside", (130, 255, 130), (2, 3))


@dataclass(frozen=True, eq=False)
class Letter:
    """The letter of an edge, or another short word.

    Args:
        text: What is written.
        at: The place that it stands at, millimetres on the table, (2,).
    """

    text: str
    at: Points


def captured_picture(
    photo: Photo,
    number: int,
    captured: Captured,
    letters: Sequence[Letter],
    corners: Points,
    words: str,
) -> bytes:
    """The photo with all that was captured drawn on it, as JPEG.

    Args:
        photo: One of those that were given.
        number: Its index.
        captured: What became of them.
        letters: Of the edges.
        corners: Where edges meet, millimetres on the table.
        words: How sure it is, for the legend.
    """
    camera = captured.solved.cameras[number]
    canvas = Canvas(photo, _LONGEST, _shown(photo, number, captured))
    view = _View(canvas, camera)
    samples: dict[_Look | str, Sample] = {}
    for card in captured.solved.cards:
        canvas.line(view.at(_outline(card)), _CARD, closed=True, width=0.6)
    for look, path in _lines(captured):
        points = view.at(_along(path))
        canvas.line(points, look.colour, closed=path.closed, dash=look.dash)
        canvas.keep_free(points[::4])
        if np.isfinite(points).all(axis=1).any():
            samples.setdefault(look, Sample(look.name, look.colour, look.dash))
    for corner in corners:
        view.canvas.dot(view.at(corner), _CORNER)
        samples.setdefault("corner", Sample("corner", _CORNER, mark="dot"))
    _marks(view, captured, samples)
    _scale_bar(view, captured)
    labels = _doubtful(canvas, captured, number, samples)
    for letter in letters:
        view.words(letter.text, letter.at)
    for card in captured.solved.cards:
        middle = _outline(card).mean(axis=0)
        view.words(
            f"card {card.card} · {max(card.residual, 0.01):.2f} mm", middle, bold=False, over=True
        )
    for text, at in labels:
        canvas.words(text, at, _DOUBT)
    return canvas.jpeg(strip(canvas, words, tuple(samples.values())))


def _shown(photo: Photo, number: int, captured: Captured) -> Points:
    """Pixels of the photo that show cards, lines and doubts."""
    parts = [_outline(card) for card in captured.solved.cards]
    parts += [_along(path) for _, path in _lines(captured)]
    points = captured.solved.cameras[number].to_photo(np.vstack(parts))
    spots = [spot for doubt in captured.doubts for spot in doubt.spots if spot.photo == number]
    points = np.vstack([points, *(spot.points.reshape(-1, 2) for spot in spots)])
    with np.errstate(invalid="ignore"):
        inside = np.all((points >= 0) & (points < (photo.width, photo.height)), axis=1)
    return points[inside]


class _View:
    """A canvas that takes millimetres of the table."""

    def __init__(self, canvas: Canvas, camera: Camera) -> None:
        self.canvas = canvas
        self._camera = camera

    def at(self, on_table: Points) -> Points:
        return self.canvas.at(self._camera.to_photo(np.asarray(on_table, float).reshape(-1, 2)))

    def seen(self, on_table: Points) -> bool:
        """Whether all of it lies in the picture."""
        points = self.at(on_table)
        with np.errstate(invalid="ignore"):
            return bool(np.all((points >= 0) & (points < self.canvas.size)))

    def words(self, text: str, at: Points, *, bold: bool = True, over: bool = False) -> None:
        if self.seen(at):
            self.canvas.words(text, self.at(at), LIGHT, bold=bold, over=over)


def _lines(captured: Captured) -> Iterator[tuple[_Look, Path]]:
    """Every line with its look, on the table; outlines last, so that they lie on top."""
    styles: dict[str, int] = {}
    outlines = []
    for sheet, to_table in zip(captured.drawings, captured.to_table, strict=True):
        for drawn in sheet.paths:
            if drawn.corner:
                continue
            path = drawn.path.moved(to_table)
            if drawn.role in (None, Role.CUT, Role.STITCH):
                look = _OUTLINES[styles.setdefault(drawn.style, len(styles)) % len(_OUTLINES)]
                if drawn.style:
                    look = _Look(f"outline {drawn.style}", look.colour, look.dash)
                outlines.append((look, path))
            else:
                assert drawn.role is not None
                yield _ROLES.get(drawn.role, _OTHER), path
    yield from outlines


def _along(path: Path) -> Points:
    """Points along a path, close enough for a lens that bends straight lines."""
    nodes = np.array([(x, y) for x, y in path.flattened(_FLAT)])
    steps = np.linalg.norm(np.diff(nodes, axis=0), axis=1)
    along = np.concatenate(([0.0], np.cumsum(steps)))
    extra = np.arange(0.0, along[-1], _CLOSE)
    places = np.unique(np.concatenate((along, extra)))
    return np.column_stack([np.interp(places, along, nodes[:, k]) for k in (0, 1)])


def _marks(view: _View, captured: Captured, samples: dict[_Look | str, Sample]) -> None:
    """Gaps that were closed, and the worst place."""
    for tracing in captured.tracings:
        for line in tracing.lines:
            for gap in line.bridged:
                if view.seen(gap):
                    view.canvas.ring(view.at(gap), _GAP, 5.0)
                    samples.setdefault("gap", Sample("gap, closed", _GAP, mark="ring"))
    worst = np.asarray(captured.accuracy.worst_at, dtype=float).reshape(-1, 2)
    if len(worst) and view.seen(worst):
        view.canvas.ring(view.at(worst), _WORST, 8.0, 1.3)
        samples.setdefault("worst", Sample("least sure here", _WORST, mark="ring"))


def _doubtful(
    canvas: Canvas, captured: Captured, number: int, samples: dict[_Look | str, Sample]
) -> list[tuple[str, Points]]:
    """Places to look at on this photo, and the words for them."""
    labels = []
    for doubt in captured.doubts:
        for spot in (spot for spot in doubt.spots if spot.photo == number):
            points = canvas.at(spot.points)
            if doubt.code == _SHOWN:
                labels.append((spot.label, points[len(points) // 2]))
                continue
            if len(points) == 1:
                canvas.ring(points, _DOUBT, 6.0)
            else:
                canvas.line(points, _DOUBT, closed=spot.closed, dash=_DOUBT_DASH)
            samples.setdefault("doubt", Sample("look here", _DOUBT, _DOUBT_DASH))
            if spot.label:
                labels.append((spot.label, points[len(points) // 2]))
    return labels


def _outline(card: Lying) -> Points:
    """The corners of a card's squares on the table."""
    cos, sin = np.cos(card.turn), np.sin(card.turn)
    box = np.array(
        [(0, 0), (cards.WIDTH, 0), (cards.WIDTH, cards.HEIGHT), (0, cards.HEIGHT)], dtype=float
    )
    return np.asarray(box @ np.array([[cos, sin], [-sin, cos]]) + (card.x, card.y))


def _scale_bar(view: _View, captured: Captured) -> None:
    """100 mm on the table, near the pieces and off the cards; nowhere when there is no room."""
    import shapely

    points = np.vstack([_along(path) for _, path in _lines(captured)])
    (left, bottom), (right, top) = points.min(axis=0), points.max(axis=0)
    taken = shapely.union_all(
        [shapely.Polygon(_outline(card)).buffer(cards.BORDER) for card in captured.solved.cards]
        + [shapely.LineString(_along(path)) for _, path in _lines(captured)]
    )
    across = np.linspace(left, right - _BAR, 9) if right - left > _BAR else np.array([left])
    places = [(x, y) for y in (bottom - _AWAY, top + _AWAY, bottom + _AWAY) for x in across]
    for x, y in places:
        bar = np.column_stack((np.linspace(x, x + _BAR, 21), np.full(21, y)))
        if view.seen(bar) and not shapely.LineString(bar).buffer(_CLEAR).intersects(taken):
            break
    else:
        return
    view.canvas.line(view.at(bar), LIGHT, width=1.4)
    for nth in (0, 10, 20):
        high = 3.0 if nth == 10 else 5.0
        tick = bar[nth] + np.array([(0, -high), (0, high)])
        view.canvas.line(view.at(tick), LIGHT, width=0.8)
    view.canvas.keep_free(view.at(bar))
    view.words(f"{_BAR:.0f} mm", bar[10])
