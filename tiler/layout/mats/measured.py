"""From measured lengths to a mat that can be shown on, or a plain word why not."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from tiler.layout.mats.blame import Suspect, less_likely, suspects, to_name
from tiler.layout.mats.grid import grid_corners_px
from tiler.layout.mats.homography import Homography
from tiler.layout.mats.lengths import MIDDLES, NEEDED, SPOKEN, in_order
from tiler.layout.mats.mat import Mat
from tiler.layout.mats.quadrilateral import Quadrilateral, most_misfit, nearest_quadrilateral
from tiler.layout.mats.usable import laid
from tiler.pattern.affine import Point
from tiler.pattern.errors import ProjectionError
from tiler.pattern.tolerance import PICTURE_LARGEST, PICTURE_SMALLEST, PIXELS_UNLIKE
from tiler.pattern.units import format_inch, format_mm

#: A picture may look so much narrower, for its pixels, than the projector makes it; beyond, sides
#: were taken for each other. A tilt of 25 degrees narrows one way by a tenth and stretches the
#: other by about a fifth; common practice, no source.
_NARROWED = 0.6
#: No length of a picture is so many times the middle one, or so small a part of it: keystone does
#: not reach it, and a figure typed twice stays below.
_ABSURD = 40.0
#: Suspects that one sentence names at most.
_MOST_NAMED = 3


def measured(mat: Mat, lengths: Mapping[str, float]) -> tuple[Mat, Quadrilateral]:
    """The mat with its corners where the measured lengths put them.

    Args:
        mat: Its `noise` is that of each length.
        lengths: The six, and the middle lines where they were measured, by name, mm.

    Returns:
        The mat in a frame of its own (`usable.laid`), and the quadrilateral that was fitted.

    Raises:
        ProjectionError: A length is missing or impossible, they do not fit together (and which
            one is the likeliest to be wrong), or no picture to work with could look like that.
    """
    _check_size(lengths)
    _check_fit(mat, lengths)
    quadrilateral = nearest_quadrilateral(lengths)
    _check_shape(mat, lengths, quadrilateral)
    lower_left, lower_right, upper_right, upper_left = (
        Point(float(x), float(y)) for x, y in quadrilateral.corners
    )
    return laid(mat, (lower_left, lower_right, upper_right, upper_left)), quadrilateral


def _check_size(lengths: Mapping[str, float]) -> None:
    """A unit that was mistaken everywhere shows in the size alone, and so does an absurd number."""
    in_order(lengths)
    middle = float(np.median([lengths[name] for name in NEEDED]))
    for name, length in lengths.items():
        if not middle / _ABSURD < length < middle * _ABSURD:
            raise ProjectionError(
                f"{SPOKEN[name]} is wrong: {length:g} mm cannot be, where others are about "
                f"{middle:.0f} mm",
                remedy="Measure this one again, and look at its unit.",
            )
    if middle < PICTURE_SMALLEST.limit:
        problem = f"a picture about {_spoken(middle)} across is too small to work with"
    elif middle > PICTURE_LARGEST.limit:
        problem = (
            f"a picture about {format_mm(middle / 1000)[:-3]} m across is too large to be true"
        )
    else:
        return
    raise ProjectionError(problem, remedy="Is the unit of the lengths the right one?")


def _check_fit(mat: Mat, lengths: Mapping[str, float]) -> None:
    """Lengths that do not close are refused, with the one that is likely to be wrong."""
    freedom = len(lengths) - 5
    most = most_misfit(mat.noise, freedom)
    try:
        misfit = nearest_quadrilateral(lengths).misfit
    except ProjectionError:
        misfit = np.inf
    if misfit <= most:
        return
    low_left, low_right, _, up_left = grid_corners_px(mat.width_px, mat.height_px)
    aspect = (low_left.y - up_left.y) / (low_right.x - low_left.x)
    ranked = suspects(lengths, mat.noise, aspect)
    named = to_name(ranked)[:_MOST_NAMED]
    rest = less_likely(ranked, len(named))
    first, *others = (_accused(suspect, lengths) for suspect in named)
    also = f", or {', or '.join(others)}" if others else ""
    if rest:
        *before, last = (SPOKEN[suspect.names[0]] for suspect in rest)
        also += f". Less likely {' or '.join([', '.join(before), last] if before else [last])}"
    far = f"they are off by {format_mm(misfit)}, " if np.isfinite(misfit) else ""
    missing = [SPOKEN[name] for name in MIDDLES if name not in lengths]
    more = (
        f" Measure {' and '.join(missing)} as well: with more numbers the wrong one stands out."
        if missing and (others or rest)
        else ""
    )
    raise ProjectionError(
        f"the lengths do not fit together: {far}where careful measuring stays under "
        f"{format_mm(most)}. Most likely {first}{also}",
        remedy=f"{_again(named)}{more}",
    )


def _again(named: list[Suspect]) -> str:
    if len(named) > 1:
        return "Measure these again."
    if named[0].fits is None:
        return "Look for their names in the grid again."
    return "Measure this one again."


def _accused(suspect: Suspect, lengths: Mapping[str, float]) -> str:
    if suspect.fits is None:
        one, other = suspect.names
        return f"{SPOKEN[one]} and {SPOKEN[other]} have changed places"
    name = suspect.names[0]
    return (
        f"{SPOKEN[name]} is wrong: you have {_spoken(lengths[name])}, "
        f"about {_spoken(suspect.fits)} would fit"
    )


def _check_shape(mat: Mat, lengths: Mapping[str, float], found: Quadrilateral) -> None:
    """What closes can still be no picture of a projector, or no good one."""
    grid = grid_corners_px(mat.width_px, mat.height_px)
    onto = Homography.through(grid, found.corners)
    wide = np.mean([lengths["lower"], lengths["upper"]]) / (grid[1].x - grid[0].x)
    tall = np.mean([lengths["left"], lengths["right"]]) / (grid[0].y - grid[3].y)
    if not _NARROWED < wide / tall < 1 / _NARROWED:
        raise ProjectionError(
            f"the picture would be {_spoken(float(wide * (grid[1].x - grid[0].x)))} wide and "
            f"{_spoken(float(tall * (grid[0].y - grid[3].y)))} high, which is not the shape of "
            f"{mat.width_px} x {mat.height_px} pixels",
            remedy="Were the lengths measured on the grid of this mat, each under its own name?",
        )
    sizes = [onto.sizes_at((x, y))[0] for x, y in grid]
    if max(sizes) > PIXELS_UNLIKE.limit * min(sizes):
        raise ProjectionError(
            f"the pixels at one corner are {max(sizes) / min(sizes):.1f} times as large as at "
            f"another",
            remedy="Let the projector face the mat more squarely, and measure again.",
        )


def _spoken(length: float) -> str:
    return f"{format_mm(length, 0)} ({format_inch(length, 16)})"
