"""Heights of the paper from two photos: a raised line lies elsewhere on the table in each.

A point h above the table is shown h times the slant of the view away from the camera's foot. Two
cameras with different slants disagree by h times the difference, across the line.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.model import Camera, Numbers, Photo, Points, Strand, Web

#: Places are so far apart along the ink, millimetres.
_STEP = 6.0
#: Length of line that is averaged at a place, and how many profiles that takes.
_ALONG, _PROFILES = 5.0, 6
#: From one sample to the next across the line, millimetres.
_ACROSS = 0.25
#: How far a line may be displaced, millimetres.
_REACH = 6.0
#: Views must differ so much across the line: shift for each millimetre of height.
LEAST_DIFFERENCE = 0.15
#: Uncertainty of the place of a line in one photo, millimetres.
PLACE = 0.03
#: Crossings and ends are left out as far as this, millimetres.
_ENDS = 8.0
#: Least darkness of a line against its paper, of 1, and how alike both photos must show it.
_DARK, _ALIKE = 0.12, 0.5


@dataclass(frozen=True, eq=False)
class Heights:
    """Heights at places of the ink.

    Args:
        points: Where, (n, 2), millimetres.
        heights: Above the table, millimetres.
        unsure: Standard uncertainty of each, millimetres.
    """

    points: Points
    heights: Numbers
    unsure: Numbers


def heights_of(web: Web, photos: Sequence[Photo], cameras: Sequence[Camera]) -> Heights:
    """Heights wherever two photos see the ink from different sides.

    Args:
        web: The ink.
        photos: All of them.
        cameras: How each sees the table; those without a centre are left out.
    """
    points, normals, widths = _places(web)
    found: list[NDArray[np.float64]] = []
    views = [(i, c) for i, camera in enumerate(cameras) if (c := camera.centre) is not None]
    for place, (first, centre) in enumerate(views):
        for second, other in views[place + 1 :]:
            difference = across(points, normals, other) - across(points, normals, centre)
            tells = np.abs(difference) > LEAST_DIFFERENCE
            if not tells.any():
                continue
            chosen = points[tells], normals[tells], widths[tells]
            a = _profile(photos[first], cameras[first], *chosen)
            b = _profile(photos[second], cameras[second], *chosen)
            shift = _displaced(a, b)
            good = np.isfinite(shift)
            slope = difference[tells][good]
            unsure = PLACE * np.sqrt(2) / np.abs(slope)
            found.append(np.column_stack((chosen[0][good], shift[good] / slope, unsure)))
    table = np.concatenate(found) if found else np.empty((0, 4))
    return Heights(table[:, :2], table[:, 2], table[:, 3])


def across(points: Points, normals: Points, centre: tuple[float, float, float]) -> Numbers:
    """Shift along each normal for each millimetre that a point stands above the table."""
    return np.asarray(((points - centre[:2]) * normals).sum(axis=1) / centre[2])


def _places(web: Web) -> tuple[Points, Points, Numbers]:
    """Places along the ink, unit normals there, and the width of the line."""
    points, normals, widths = [], [], []
    for strand in web.strands:
        if strand.bridged or len(strand.points) < 5:
            continue
        here, across_line = _along(strand)
        points.append(here)
        normals.append(across_line)
        widths.append(np.full(len(here), strand.width))
    if not points:
        return np.empty((0, 2)), np.empty((0, 2)), np.empty(0)
    return np.concatenate(points), np.concatenate(normals), np.concatenate(widths)


def _along(strand: Strand) -> tuple[Points, Points]:
    steps = np.hypot(*np.diff(strand.points, axis=0).T)
    along = np.concatenate(([0.0], np.cumsum(steps)))
    at = np.arange(_ENDS, along[-1] - _ENDS, _STEP)

    def place(distances: Numbers) -> Points:
        return np.column_stack([np.interp(distances, along, strand.points[:, k]) for k in (0, 1)])

    ways = place(at + _ALONG / 2) - place(at - _ALONG / 2)
    long = np.hypot(ways[:, 0], ways[:, 1])
    # Where the chord is much shorter than the way along the ink, the line turns a corner.
    straight = long > 0.97 * _ALONG
    ways = ways[straight] / long[straight, None]
    return place(at)[straight], np.column_stack((-ways[:, 1], ways[:, 0]))


def _profile(
    photo: Photo, camera: Camera, points: Points, normals: Points, widths: Numbers
) -> NDArray[np.float64]:
    """Darkness across the line at each place as a photo shows it, (n, steps); NaN where it cannot.

    Paper beside the line is 0, black is 1.
    """
    import cv2

    reach = _REACH + float(widths.max()) / 2 + 4.0
    offsets = np.arange(-reach, reach + _ACROSS / 2, _ACROSS)
    ways = np.column_stack((normals[:, 1], -normals[:, 0]))
    strip = np.linspace(-_ALONG / 2, _ALONG / 2, _PROFILES)
    table = (
        points[:, None, None]
        + strip[None, :, None, None] * ways[:, None, None]
        + offsets[None, None, :, None] * normals[:, None, None]
    )
    seen = camera.to_photo(table.reshape(-1, 2))
    inside = (
        (seen[:, 0] > 1)
        & (seen[:, 1] > 1)
        & (seen[:, 0] < photo.width - 2)
        & (seen[:, 1] < photo.height - 2)
    ).reshape(table.shape[:3])
    pixels = np.nan_to_num(seen, nan=-1.0).astype(np.float32).reshape(len(points), -1, 2)
    colours = cv2.remap(photo.pixels, pixels[..., 0], pixels[..., 1], cv2.INTER_LINEAR)
    # The darkest channel of a coloured marker tells most.
    grey = np.asarray(colours, np.float64).min(axis=-1).reshape(table.shape[:3]).mean(axis=1)
    paper = np.percentile(grey, 75, axis=1, keepdims=True)
    dark = 1 - grey / np.maximum(paper, 1)
    dark[~inside.all(axis=(1, 2))] = np.nan
    return np.asarray(dark)


def _displaced(a: NDArray[np.float64], b: NDArray[np.float64]) -> Numbers:
    """How far line profiles of the second photo lie along the normal from those of the first.

    The middle between the two flanks of the line that is nearest to the middle of each profile.
    """
    first, size_a = _middles(a)
    second, size_b = _middles(b)
    shift = second - first
    alike = np.minimum(size_a, size_b) > _ALIKE * np.maximum(size_a, size_b)
    return np.where(alike & (np.abs(shift) < _REACH), shift, np.nan)


def _middles(dark: NDArray[np.float64]) -> tuple[Numbers, Numbers]:
    """Middle of the line in each profile, millimetres from the profile's own, and its width."""
    middles, sizes = np.full(len(dark), np.nan), np.zeros(len(dark))
    centre = (dark.shape[1] - 1) / 2
    for row, profile in enumerate(dark):
        if not np.isfinite(profile).all():
            continue
        half = max(_DARK, 0.5 * float(np.percentile(profile, 95)))
        above = profile > half
        flanks = np.nonzero(np.diff(above.astype(np.int8)))[0]
        ends = flanks + (half - profile[flanks]) / (profile[flanks + 1] - profile[flanks])
        if above[0] or above[-1] or len(ends) != 2:
            continue
        middles[row] = (ends.mean() - centre) * _ACROSS
        sizes[row] = (ends[1] - ends[0]) * _ACROSS
    return middles, sizes
