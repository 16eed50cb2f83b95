"""Where the paper ends: rays from the ink outwards, to where its colour changes for good."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.cards import BORDER, HEIGHT, WIDTH
from tiler.intake.photo.model import Flattened, Points, Solved, Web

#: Millimetres a pixel of the coarse picture.
COARSE = 2.0
#: A card's border is cut by hand: so far beyond the least one it still counts as card.
_CUT = 6.0
#: Rays a direction apart, millimetres, and the directions.
_APART, _DIRECTIONS = 9.0, 16
#: Paper goes no further than this beyond the ink, or its end is not looked for, millimetres.
_FARTHEST = 300.0
#: Pixels of the coarse picture that are compared before and behind a place, and between them.
_BEFORE, _BEHIND, _BETWEEN = 8, 4, 1
#: Change of colour that ends the paper: grey levels, and times the paper's own unevenness.
_LEAST, _TIMES = 9.0, 5.0


def hidden_by(flattened: Flattened, solved: Solved) -> NDArray[np.bool_]:
    """Pixels of the table that are cards, or that no photo shows."""
    import cv2

    covered = np.zeros(flattened.seen.shape, np.uint8)
    edge = BORDER + _CUT
    wide, high = WIDTH * solved.print_scale[0], HEIGHT * solved.print_scale[1]
    box = np.array(
        [(-edge, -edge), (wide + edge, -edge), (wide + edge, high + edge), (-edge, high + edge)]
    )
    for card in solved.cards:
        cos, sin = math.cos(card.turn), math.sin(card.turn)
        placed = box @ np.array([[cos, sin], [-sin, cos]]) + (card.x, card.y)
        corners = np.round(flattened.to_pixels(placed)).astype(np.int32)
        cv2.fillPoly(covered, [corners], (1,))
    return (covered > 0) | ~flattened.seen


def ends_of_paper(flattened: Flattened, web: Web, hidden: NDArray[np.bool_]) -> Points:
    """Where rays that go straight out from the ink leave the paper, millimetres, (n, 2).

    Args:
        flattened: The table from above.
        web: The ink, which is on paper.
        hidden: Pixels that are not looked at; a ray ends there without a result.
    """
    import cv2

    if not web.strands:
        return np.empty((0, 2))
    factor = COARSE / flattened.pitch
    size = (
        max(1, int(flattened.pixels.shape[1] / factor)),
        max(1, int(flattened.pixels.shape[0] / factor)),
    )
    small = np.asarray(cv2.resize(flattened.pixels, size, interpolation=cv2.INTER_AREA))
    blocked = np.asarray(cv2.resize(hidden.astype(np.uint8), size, interpolation=cv2.INTER_AREA))
    scale = np.array(flattened.pixels.shape[1::-1], float) / size
    ink = np.concatenate([strand.points for strand in web.strands])
    at = (flattened.to_pixels(ink) + 0.5) / scale - 0.5
    around = cv2.convexHull(at.astype(np.float32)).reshape(-1, 2).astype(np.float64)
    width = max(strand.width for strand in web.strands) / COARSE
    found = _rays(small.astype(np.float32), blocked > 0, around, 1.5 + width)
    return flattened.to_table((found + 0.5) * scale - 0.5)


def _rays(
    picture: NDArray[np.float32], blocked: NDArray[np.bool_], hull: Points, gap: float
) -> Points:
    """Where rays end, in pixels (column, row) of the coarse picture."""
    found = []
    for turn in np.arange(_DIRECTIONS) * (2 * math.pi / _DIRECTIONS):
        way = np.array([math.cos(turn), math.sin(turn)])
        side = np.array([-way[1], way[0]])
        spans = hull @ side
        for offset in np.arange(spans.min() + 1, spans.max() - 1, _APART / COARSE):
            begin = _leaves(hull, side, way, offset)
            end = _end_of_ray(picture, blocked, offset * side + (begin + gap) * way, way)
            if end is not None:
                found.append(end)
    return np.array(found).reshape(-1, 2)


def _leaves(hull: Points, side: Points, way: Points, offset: float) -> float:
    """How far along `way` a ray at an offset to the side leaves the hull."""
    beside = hull @ side - offset
    after = np.roll(beside, -1)
    crossing = (beside < 0) != (after < 0)
    share = beside[crossing] / (beside[crossing] - after[crossing])
    first = (hull @ way)[crossing]
    second = np.roll(hull @ way, -1)[crossing]
    return float((first + share * (second - first)).max())


def _end_of_ray(
    picture: NDArray[np.float32], blocked: NDArray[np.bool_], start: Points, way: Points
) -> Points | None:
    """The first place on a ray where the colour changes and stays changed; None for no place."""
    high, wide = blocked.shape
    steps = np.arange(0.0, _FARTHEST / COARSE)
    line = np.round(start + steps[:, None] * way).astype(np.int64)
    inside = (line[:, 0] >= 0) & (line[:, 0] < wide) & (line[:, 1] >= 0) & (line[:, 1] < high)
    clear = inside.copy()
    clear[inside] &= ~blocked[line[inside, 1], line[inside, 0]]
    count = len(clear) if clear.all() else int(clear.argmin())
    need = _BEFORE + _BETWEEN + _BEHIND
    if count < need + 1:
        return None
    colours = picture[line[:count, 1], line[:count, 0]]
    windows = np.lib.stride_tricks.sliding_window_view(colours, need, axis=0)
    before = _median(windows[..., :_BEFORE])
    behind = _median(windows[..., -_BEHIND:])
    uneven = np.abs(windows[..., :_BEFORE] - before[..., None]).mean(axis=-1)
    change = np.linalg.norm(behind - before, axis=-1)
    limit = np.maximum(_LEAST, _TIMES * np.linalg.norm(uneven, axis=-1) / math.sqrt(_BEHIND))
    over = change > limit
    if not over.any():
        return None
    first = int(over.argmax())
    # The change is greatest a few steps later, where the windows lie wholly on either side.
    stop = min(first + _BEHIND + 2, len(change))
    best = first + int(change[first:stop].argmax())
    step = np.linalg.norm(np.diff(colours[best + _BEFORE - 1 : best + need - 1], axis=0), axis=1)
    return np.asarray(start + (best + _BEFORE - 0.5 + float(step.argmax())) * way)


def _median(windows: NDArray[np.float32]) -> NDArray[np.float32]:
    """Median along the last axis, which has an even length; NumPy's own looks for NaN first."""
    half = windows.shape[-1] // 2
    ordered = np.sort(windows, axis=-1)
    return np.asarray((ordered[..., half - 1] + ordered[..., half]) / 2)
