"""All steps from photos of a tracing to drawings of its pieces, one after the other."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from tiler.intake.drawn import DrawnPath, DrawnSheet
from tiler.intake.photo.camera.printed import Printed
from tiler.intake.photo.camera.solving import solve
from tiler.intake.photo.curves.fitting import fitted
from tiler.intake.photo.ink.flattening import FARTHER, flatten
from tiler.intake.photo.ink.web import web_of
from tiler.intake.photo.lines.asking import Asked
from tiler.intake.photo.lines.sorting import tracings_of
from tiler.intake.photo.model import Flattened, Photo, Solved, Tracing
from tiler.intake.photo.problem import CaptureError, Doubt, Doubts, Spot, TableSpot
from tiler.intake.photo.targets.finding import sightings
from tiler.intake.photo.trust.accuracy import Accuracy, accuracy_of
from tiler.intake.photo.trust.flatness import flatness_of
from tiler.pattern.affine import Affine
from tiler.pattern.bounds import Bounds, bounds_of

#: Room round a piece on its drawing, millimetres.
MARGIN = 10.0
#: Beyond the cards, lines are not measured where their places are as unsure as this, millimetres.
_TOO_UNSURE = 1.0
#: A closed gap is of a line that has one within this, millimetres.
_ON_LINE = 2.0
#: Called with what is being done, the steps done and their total.
Progress = Callable[[str, int, int], None]

_STEPS = (
    "Finding the cards",
    "Measuring how the cards lie",
    "Flattening",
    "Following the lines",
    "Telling the lines apart",
    "Drawing the lines",
    "Working out how sure it is",
)


@dataclass(frozen=True, eq=False)
class Captured:
    """What photos have become.

    Args:
        drawings: One a piece, millimetres of the drawing, with `MARGIN` round it.
        to_table: For each drawing, the map from it to the table.
        tracings: For each drawing, the lines that it was fitted to.
        accuracy: How far the lines are from where they were drawn.
        doubts: What to look at, with places on the photos.
        solved: Cameras and cards.
        flattened: The table from straight above.
    """

    drawings: tuple[DrawnSheet, ...]
    to_table: tuple[Affine, ...]
    tracings: tuple[Tracing, ...]
    accuracy: Accuracy
    doubts: tuple[Doubt, ...]
    solved: Solved
    flattened: Flattened


def capture(
    photos: Sequence[Photo], printed: Printed, asked: Asked, progress: Progress | None = None
) -> Captured:
    """From photos, or scans, to drawings of the pieces.

    Args:
        photos: All of one table; each shows three cards or more.
        printed: How large the cards are in print.
        asked: What was said of lines that cross.
        progress: Told of each step.

    Raises:
        CaptureError: It cannot be done; the places are on the photos.
    """
    photos = tuple(photos)
    steps = _Steps(progress)
    doubts = Doubts()
    steps.next()
    seen = sightings(photos, doubts)
    steps.next()
    solved = solve(photos, seen, printed, doubts)
    try:
        steps.next()
        flattened = flatten(photos, solved, doubts)
        steps.next()
        told = len(doubts.found)
        try:
            web = web_of(flattened, solved, photos, doubts)
        except CaptureError as error:
            if error.code != "too-far":
                raise
            del doubts.found[told:]
            flattened = flatten(photos, solved, doubts, beyond=FARTHER)
            web = web_of(flattened, solved, photos, doubts)
            if solved.spread(np.vstack([s.points for s in web.strands])).max() > _TOO_UNSURE:
                raise
        steps.next()
        tracings = tracings_of(web, asked, doubts)
        doubts.found = [doubt for doubt in doubts.found if _concerns(doubt, tracings)]
        steps.next()
        drawn = tuple(fitted(tracing) for tracing in tracings)
        steps.next()
        flatness = flatness_of(flattened, web, solved, photos, doubts)
        accuracy = accuracy_of(tracings, drawn, solved, flatness)
    except CaptureError as error:
        raise _placed(error, photos, solved) from error
    placed = [_drawing(paths, nth) for nth, paths in enumerate(drawn, 1)]
    return Captured(
        tuple(sheet for sheet, _ in placed),
        tuple(to_table for _, to_table in placed),
        tracings,
        accuracy,
        tuple(
            replace(doubt, spots=(*doubt.spots, *spots_of(doubt.table_spots, photos, solved)))
            for doubt in doubts.found
        ),
        solved,
        flattened,
    )


class _Steps:
    """Counts the steps for whoever listens."""

    def __init__(self, progress: Progress | None) -> None:
        self._progress = progress
        self._done = 0

    def next(self) -> None:
        if self._progress:
            self._progress(_STEPS[self._done], self._done, len(_STEPS))
        self._done += 1


def _concerns(doubt: Doubt, tracings: Sequence[Tracing]) -> bool:
    """Whether it is about the pieces: gaps in words and in lines that were left out are not."""
    if doubt.code != "gap-closed" or not doubt.table_spots:
        return True
    there = np.vstack([spot.points for spot in doubt.table_spots])
    return any(
        bool((np.hypot(*(there[:, None] - line.bridged[None]).T) < _ON_LINE).any())
        for tracing in tracings
        for line in tracing.lines
        if len(line.bridged)
    )


def _drawing(paths: Sequence[DrawnPath], number: int) -> tuple[DrawnSheet, Affine]:
    """A drawing with its corner near the piece, and the way back to the table."""
    around: Bounds = bounds_of([path.path.bounds for path in paths])
    left, bottom = around.left - MARGIN, around.bottom - MARGIN
    moved = Affine.move(-left, -bottom)
    sheet = DrawnSheet(
        f"piece {number}",
        around.width + 2 * MARGIN,
        around.height + 2 * MARGIN,
        tuple(replace(path, path=path.path.moved(moved)) for path in paths),
        (),
    )
    return sheet, Affine.move(left, bottom)


def _placed(error: CaptureError, photos: Sequence[Photo], solved: Solved) -> CaptureError:
    """The same error with all its places on photos."""
    return CaptureError(
        error.problem,
        where=error.where,
        remedy=error.remedy,
        spots=(*error.spots, *spots_of(error.table_spots, photos, solved)),
        table_spots=error.table_spots,
        code=error.code,
    )


def spots_of(
    places: Sequence[TableSpot], photos: Sequence[Photo], solved: Solved
) -> tuple[Spot, ...]:
    """Places on the table as the photos show them, each on the photos that show most of it.

    Args:
        places: Millimetres of the table.
        photos: All of them.
        solved: Their cameras.
    """
    return tuple(spot for place in places for spot in _spots(place, photos, solved))


def _spots(place: TableSpot, photos: Sequence[Photo], solved: Solved) -> Iterator[Spot]:
    seen = []
    for nth, (photo, camera) in enumerate(zip(photos, solved.cameras, strict=True)):
        points = camera.to_photo(np.asarray(place.points, dtype=float).reshape(-1, 2))
        with np.errstate(invalid="ignore"):
            inside = np.all((points >= 0) & (points < (photo.width, photo.height)), axis=1)
        if inside.any() and np.isfinite(points).all():
            seen.append((int(inside.sum()), Spot(nth, points, place.closed, place.label)))
    most = max((count for count, _ in seen), default=0)
    yield from (spot for count, spot in seen if count == most)
