"""What tells printed ink from a marker's: filled arrowheads, and words that blur into lines."""

from __future__ import annotations

import numpy as np

from tiler.intake.photo.ink.centre import STEP, Course
from tiler.intake.photo.ink.light import Light
from tiler.intake.photo.model import Flattened, Numbers

#: A filled arrowhead is no longer than this (millimetres), and as much wider than its line.
_HEAD, _WIDER, _MORE = 8.0, 1.7, 0.5
#: It is widest past this part of its length, and its tip is narrower than this part of that; a
#: blob, where a pen rested, is round.
_BARB, _TIP = 0.6, 0.75
#: Unevenness is that about a mean over so many places.
_OVER = 11


def heads_of(course: Course) -> tuple[bool, bool]:
    """Whether the ink widens into a filled arrowhead at the beginning and at the end of a line."""
    if course.closed:
        return False, False
    wide = course.flanks.sum(axis=1)
    return _head(wide, course.width), _head(wide[::-1], course.width)


def _head(wide: Numbers, usual: float) -> bool:
    reach = round(_HEAD / STEP)
    if len(wide) < 3 * reach:
        return False
    most = int(np.argmax(wide[:reach]))
    if wide[most] < max(_WIDER * usual, usual + _MORE):
        return False
    after = np.flatnonzero(wide[most : reach + 1] < 1.25 * usual)
    return bool(
        len(after)
        and most >= _BARB * (most + after[0])
        and wide[0] < _TIP * wide[most]
        and wide[most + after[0] : 2 * reach].max() < 1.4 * usual
    )


def unevenness_of(course: Course, light: Light, flattened: Flattened) -> float:
    """How uneven the darkness is along the middle of a line, as a part of it.

    A pen and a printed line leave a few hundredths; a row of letters that run into one another
    leaves more than a tenth.
    """
    some = course.points[course.good] if course.good.sum() > _OVER else course.points
    dark = (
        light.darkness(flattened, flattened.to_pixels(some)[:, None])[:, 0] @ course.mix
    ).astype(np.float64)
    if len(dark) < _OVER:
        return 0.0
    around = np.pad(dark, _OVER // 2, mode="edge")
    off = dark - np.convolve(around, np.ones(_OVER) / _OVER, "valid")
    return float(off.std() / max(dark.mean(), 0.05))
