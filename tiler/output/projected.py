"""Drawing on the mat -> page of pixels, bent so that the projector's tilt bends it back.

Lines become filled bands, so that their width is right everywhere on the mat too.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry.base import BaseGeometry
from shapely.ops import substring

from tiler.layout.mats.grid import picture_corners_px
from tiler.layout.mats.homography import Homography
from tiler.pattern.affine import STILL, Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import Path, polyline, rectangle
from tiler.sheets.drawing import Fill, Group, Item, Page, Pen, Stroke, Words
from tiler.sheets.lettering import width_of
from tiler.sheets.screen import PX_MM, on_page, page_size

#: How far chords may lie from a curve, mm on the mat.
_CLOSE = 0.02
#: Straight lines of a picture are straight on the mat as well; points along them keep what is
#: between in its place where a band is clipped, mm.
_DENSE = 25.0
#: Quarter circles of ends and corners, in chords.
_ROUND = 6


@dataclass(frozen=True)
class Screen:
    """A projector over a mat.

    Args:
        width_px: Pixels across.
        height_px: Pixels down.
        to_pixels: From the mat (mm) to the picture (pixels, y down).
        dark: Whether the ground is dark and lines are light.
    """

    width_px: int
    height_px: int
    to_pixels: Homography
    dark: bool = True

    @property
    def seen(self) -> BaseGeometry:
        """The part of the mat that the picture reaches."""
        corners = picture_corners_px(self.width_px, self.height_px)
        return shapely.Polygon(self.to_pixels.inverse()(corners))

    def shade(self, grey: float) -> float:
        """A grey of the drawing as it is shown."""
        return 1.0 - grey if self.dark else grey


def prewarped(name: str, items: Sequence[Item], frame: Bounds, screen: Screen) -> Page:
    """A drawing of the mat as the page that the projector shows.

    Args:
        name: Of the page.
        items: Mat coordinates.
        frame: Nothing is shown outside of it, mat coordinates.
        screen: The projector.
    """
    width, height = page_size(screen.width_px, screen.height_px)
    made = _Warp(screen)
    within = made.seen.intersection(shapely.box(*frame))
    ground: list[Item] = [Fill((rectangle(Bounds(0.0, 0.0, width, height)),), 0.0)]
    if not screen.dark:
        # Light beside the mat would only dazzle.
        ground.append(Fill(made.paths(within), 1.0))
    shown = made.items(items, STILL, within)
    return Page(name, width, height, (Group(tuple(ground), furniture=True), *shown))


class _Warp:
    def __init__(self, screen: Screen) -> None:
        self.screen = screen
        self.seen = screen.seen

    def items(self, items: Sequence[Item], at: Affine, within: BaseGeometry) -> list[Item]:
        """Items of the drawing on the page.

        Args:
            items: To be shown.
            at: From their coordinates to the mat.
            within: Nothing is shown outside of it, mat coordinates.
        """
        found: list[Item] = []
        for item in items:
            if isinstance(item, Stroke):
                paths = [
                    p for path in item.paths for p in self._bands(path.moved(at), item.pen, within)
                ]
                if paths:
                    found.append(Fill(tuple(paths), self.screen.shade(item.pen.grey)))
            elif isinstance(item, Fill):
                paths = [p for path in item.paths for p in self._filled(path.moved(at), within)]
                if paths:
                    found.append(Fill(tuple(paths), self.screen.shade(item.grey)))
            elif isinstance(item, Words):
                found += self._words(item, at, within)
            elif isinstance(item, Group):
                inner = item.at.then(at) if item.at else at
                part = within
                if item.window is not None:
                    box = shapely.Polygon([at(corner) for corner in item.window.corners()])
                    part = within.intersection(box)
                inside = self.items(item.items, inner, part)
                if inside:
                    found.append(Group(tuple(inside), furniture=item.furniture, facts=item.facts))
            else:
                found += self.items(item.drawing.items, item.at.then(at), within)
        return found

    def paths(self, area: BaseGeometry) -> tuple[Path, ...]:
        """The outlines of an area of the mat, on the page: round its inside and round its holes."""
        found = []
        for part in shapely.get_parts(area):
            if isinstance(part, shapely.Polygon) and part.area > 1e-9:
                ring = shapely.geometry.polygon.orient(part)
                for loop in (ring.exterior, *ring.interiors):
                    points = shapely.get_coordinates(loop.segmentize(_DENSE))
                    found.append(polyline(self._on_page(points[:-1]), closed=True))
        return tuple(found)

    def _bands(self, path: Path, pen: Pen, within: BaseGeometry) -> Iterator[Path]:
        if not within.intersects(shapely.box(*path.bounds).buffer(pen.width)):
            return
        points = path.flattened(_CLOSE)
        line = shapely.LineString(points)
        parts: Iterable[BaseGeometry]
        if pen.dash:
            parts = shapely.buffer(
                np.array(list(_dashes(line, pen.dash)), dtype=object),
                pen.width / 2,
                quad_segs=_ROUND,
                cap_style="flat",
            )
        elif path.closed:
            parts = [shapely.LinearRing(points).buffer(pen.width / 2, quad_segs=_ROUND)]
        else:
            parts = [line.buffer(pen.width / 2, quad_segs=_ROUND)]
        for part in parts:
            if within.intersects(part):
                yield from self.paths(part.intersection(within))

    def _filled(self, path: Path, within: BaseGeometry) -> tuple[Path, ...]:
        area = shapely.make_valid(shapely.Polygon(path.flattened(_CLOSE)))
        return self.paths(area.intersection(within))

    def _words(self, words: Words, at: Affine, within: BaseGeometry) -> list[Item]:
        """Each word is bent as the picture is about its middle; lines stay straight that way."""
        size, bold = words.size_pt, words.bold
        whole = width_of(words.text, size, bold=bold)
        shift = {"start": 0.0, "middle": -whole / 2, "end": -whole}[words.anchor]
        own = Affine.turn(words.turn).then(Affine.move(*words.at)).then(at)
        found: list[Item] = []
        for word in re.finditer(r"\S+", words.text):
            before = width_of(words.text[: word.start()], size, bold=bold)
            along = shift + before + width_of(word[0], size, bold=bold) / 2
            middle = own(Point(along, 0.0))
            if within.intersects(shapely.Point(middle)):
                text = Words(
                    word[0],
                    Point(0.0, 0.0),
                    size,
                    anchor="middle",
                    bold=bold,
                    grey=self.screen.shade(words.grey),
                )
                found.append(Group((text,), at=self._about(middle, own)))
        return found

    def _about(self, middle: Point, own: Affine) -> Affine:
        """From a word's own frame to the page, right at its middle."""
        slopes = self.screen.to_pixels.jacobian_at(middle)
        (ux, uy), (vx, vy) = slopes @ (own.a, own.b), slopes @ (own.c, own.d)
        (start,) = self._on_page(np.array([middle]))
        return Affine(ux * PX_MM, -uy * PX_MM, vx * PX_MM, -vy * PX_MM, start.x, start.y)

    def _on_page(self, points: npt.NDArray[np.float64]) -> list[Point]:
        pixels = self.screen.to_pixels(points)
        return [on_page(float(x), float(y), self.screen.height_px) for x, y in pixels]


def _dashes(line: Any, dash: Sequence[float]) -> Iterator[BaseGeometry]:
    """The parts of a line that are drawn; the last one may be cut short by the line's end."""
    along, number = 0.0, 0
    while along < line.length:
        length = dash[number % len(dash)]
        if number % 2 == 0:
            yield substring(line, along, min(along + length, line.length))
        along += length
        number += 1
