"""Where the middle of a band runs, measured square to the line that it stands for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from tiler.proof.geometry import Floats

#: How far apart the middle is measured, mm.
_EVERY = 4.0
#: A band is looked for so many line widths to each side, mm, and a little more.
_REACH = 2.0
#: A line that turns by more than the second, measured so many line widths and a little more ahead
#: and behind, is at a corner.
_AHEAD, _TURN = 1.2, 0.05
#: So far from the border of the window nothing is measured, mm: bands are cut there.
_BORDER = 6.0
#: Lines nearer than that run in the same place, mm; nearer than so many widths, they share ink.
_SAME, _NEAR = 0.001, 1.5
#: A band is no wider than that many times what it mostly is: there another line joins it.
_JOINED = 1.02


@dataclass(frozen=True)
class Middles:
    """What was measured along one line.

    Args:
        offsets: How far the middle of the band is from the line, mm, no sign.
        widths: How wide the band is there, mm.
    """

    offsets: Floats
    widths: Floats


def middles(
    line: shapely.LineString,
    areas: Sequence[BaseGeometry] | Floats,
    box: BaseGeometry,
    others: BaseGeometry,
    widest: float,
) -> Middles:
    """Measure the bands about a line where it runs smoothly and no other line is near.

    Args:
        line: On the mat, mm.
        areas: The bands that meet it.
        box: The window.
        others: All other lines; one that runs in the very same place is none.
        widest: How wide a line may be, mm.
    """
    none = Middles(np.zeros(0), np.zeros(0))
    ahead_mm = _AHEAD * widest + 1.0
    at = _places(line, ahead_mm)
    if not len(at) or not len(areas):
        return none
    here, before, after = (
        shapely.get_coordinates(shapely.line_interpolate_point(line, at + by))
        for by in (0.0, -ahead_mm, ahead_mm)
    )
    back, ahead = here - before, after - here
    # Round a bend the chord is as long as the way along it, as nearly as makes no difference.
    smooth = np.hypot(*(ahead - back).T) < _TURN * ahead_mm * 2
    inner = shapely.contains(box.buffer(-_BORDER), shapely.points(here))
    apart = shapely.distance(shapely.points(here), others)
    alone = np.isnan(apart) | (apart < _SAME) | (apart > _NEAR * widest + 1.0)
    chosen = smooth & inner & alone
    here, along = here[chosen], _tangents(line, at[chosen])
    if not len(here):
        return none
    reach = _REACH * widest + 2.0
    normal = np.column_stack([-along[:, 1], along[:, 0]])
    across = np.asarray(
        shapely.linestrings(np.stack([here - reach * normal, here + reach * normal], axis=1))
    )
    tree = shapely.STRtree(np.asarray(areas, dtype=object))
    place, area = tree.query(shapely.points(here), predicate="within")
    cuts = np.asarray(shapely.intersection(across[place], tree.geometries[area]))
    offsets, widths, which = [], [], []
    for number, cut in zip(place, cuts, strict=True):
        for part in shapely.get_parts(cut):
            ends = (shapely.get_coordinates(part) - here[number]) @ normal[number]
            low, high = float(ends.min()), float(ends.max())
            if low <= 0 <= high:
                offsets.append(abs(low + high) / 2)
                widths.append(high - low)
                which.append(number)
    return _plain(np.array(offsets), np.array(widths), np.array(which, dtype=np.int64), widest)


def _plain(
    offsets: Floats,
    widths: Floats,
    which: np.ndarray[tuple[int], np.dtype[np.int64]],
    widest: float,
) -> Middles:
    """The places at which a single band of the usual width is: no other line runs there."""
    if not len(widths):
        return Middles(offsets, widths)
    counts = np.bincount(which)
    # Where a line comes near to itself, as in a button's mark, its ink runs together.
    usual = min(float(np.median(widths)), widest)
    plain = (counts[which] == 1) & (widths < usual * _JOINED) & (widths > usual / _JOINED)
    return Middles(offsets[plain], widths[plain])


def _places(line: shapely.LineString, ahead: float) -> Floats:
    """Distances along a line, its ends left out."""
    room = float(line.length) - 2 * ahead
    if room < 0:
        return np.zeros(0)
    return ahead + np.linspace(0.0, room, int(room // _EVERY) + 1)


def _tangents(line: shapely.LineString, at: Floats) -> Floats:
    """The direction of the chord at each place."""
    step = 1e-3
    one = shapely.get_coordinates(shapely.line_interpolate_point(line, at - step))
    two = shapely.get_coordinates(shapely.line_interpolate_point(line, at + step))
    along = two - one
    return np.asarray(along / np.hypot(*along.T)[:, None])
