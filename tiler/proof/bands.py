"""Filled bands that stand for lines, read back from one page of a set for a projector."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from pypdf import PageObject
from shapely.geometry.base import BaseGeometry

from tiler.intake.sheetfile.objects import entry
from tiler.pattern.units import MM_PER_UNIT
from tiler.proof.content import read_ink
from tiler.proof.geometry import Floats
from tiler.proof.resources import PdfResources, Shelf

#: Rings closer together than that meet, points of the page.
_MEETS = 1e-7


@dataclass(frozen=True)
class Band:
    """One filled area.

    Args:
        rings: Closed rings of points (n, 2), millimetres of the page; the last point is not
            repeated.
        furniture: Whether it is no line of the pattern.
        dark: Whether it is painted in a dark colour.
        measure: Width and height that the middle of its line is to have, mm on the mat.
    """

    rings: tuple[Floats, ...]
    furniture: bool
    dark: bool
    measure: tuple[float, float] | None


@dataclass(frozen=True)
class Picture:
    """A page as it was written.

    Args:
        width: Millimetres of the page.
        height: Likewise.
        bands: In the order in which they are painted.
        clipped: Whether anything is painted through a window.
    """

    width: float
    height: float
    bands: tuple[Band, ...]
    clipped: bool


def read_picture(page: PageObject) -> Picture:
    """What a page paints, in millimetres from its lower left corner."""
    left, bottom, right, top = (float(side) for side in entry(page, "/MediaBox"))
    content = page.get_contents()
    written = content.get_data() if content is not None else b""
    ink = read_ink(written, PdfResources(entry(page, "/Resources"), Shelf()))
    mm = MM_PER_UNIT["pt"]
    bands = []
    for cover in ink.covers:
        if cover.sides is None:
            continue
        mark = ink.marks[cover.mark] if cover.mark >= 0 else None
        rings = tuple((ring - (left, bottom)) * mm for ring in _rings(cover.sides))
        furniture = mark is not None and mark.furniture
        bands.append(Band(rings, furniture, cover.dark, mark.measure if mark else None))
    clipped = any(len(cover.window) for cover in ink.covers) or bool(ink.uses)
    return Picture((right - left) * mm, (top - bottom) * mm, tuple(bands), clipped)


def _rings(sides: Floats) -> list[Floats]:
    """The rings of a filled path, from its sides in order; those that close rings come last."""
    apart = np.abs(sides[1:, 0] - sides[:-1, 1]).max(axis=1) > _MEETS
    found = []
    for part in np.split(sides, np.flatnonzero(apart) + 1):
        points = part[:, 0]
        if len(points) > 1 and np.abs(part[-1, 1] - points[0]).max() > _MEETS:
            points = np.concatenate([points, part[-1:, 1]])
        if len(points) > 2:
            found.append(points)
    return found


def areas_of(rings: tuple[Floats, ...]) -> list[BaseGeometry]:
    """The areas that rings enclose: each hole is cut from the smallest ring about it.

    Args:
        rings: Outer rings run one way and holes the other; the largest one is an outer ring.
    """
    shapes = [shapely.Polygon(ring) for ring in rings]
    signs = [_area(ring) for ring in rings]
    if not shapes:
        return []
    outward = np.sign(max(signs, key=abs))
    outer = [k for k, sign in enumerate(signs) if sign * outward > 0]
    holes: dict[int, list[Floats]] = {k: [] for k in outer}
    tree = shapely.STRtree([shapes[k] for k in outer])
    for k, sign in enumerate(signs):
        if sign * outward < 0:
            about = [outer[n] for n in tree.query(shapely.Point(rings[k][0]), "intersects")]
            if about:
                holes[min(about, key=lambda n: float(shapes[n].area))].append(rings[k])
    return [shapely.make_valid(shapely.Polygon(rings[k], holes[k])) for k in outer]


def _area(ring: Floats) -> float:
    x, y = ring.T
    return float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)) / 2)
