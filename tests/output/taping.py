"""Rendered pages taped together by their crosses, and compared with the lines of a pattern.

Where a cross is about to be found is taken from the drawing; where it is, from the pixels alone.
"""

from __future__ import annotations

import io
import subprocess
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pypdfium2
import shapely

from tests.printed import groups_on
from tiler.layout.plan import Plan
from tiler.pattern.affine import Point
from tiler.pattern.model import Pattern
from tiler.pattern.path import Path
from tiler.sheets.drawing import Page, Publication, Stroke
from tiler.sheets.piece import pattern_strokes

Grey = npt.NDArray[np.uint8]
Ink = npt.NDArray[np.bool_]
#: Dots to the millimetre (254 dpi). A4 and Letter have whole numbers of them, and no program
#: has to stretch a page to whole dots.
DOTS = 10
DPI = DOTS * 25.4
#: The arm of a cross that points into its page is longer than this, all others are shorter.
LONG = 4.5
#: What the picture may be off by, millimetres.
TOLERANCE = 0.2


def by_pdfium(pdf: bytes) -> list[Grey]:
    document = pypdfium2.PdfDocument(pdf)
    try:
        # Sizes are rounded up to whole dots: a hair less keeps rounding errors from adding one.
        scale = DPI / 72 * (1 - 1e-7)
        return [np.array(page.render(scale=scale, grayscale=True).to_pil()) for page in document]
    finally:
        document.close()


def by_poppler(pdf: bytes) -> list[Grey]:
    done = subprocess.run(
        ["pdftoppm", "-gray", "-r", str(DPI), "-"], input=pdf, capture_output=True, check=True
    )
    pages = []
    stream = io.BytesIO(done.stdout)
    while stream.tell() < len(done.stdout):
        # PGM: "P5\n<width> <height>\n255\n" and then the dots.
        assert stream.readline() == b"P5\n"
        width, height = map(int, stream.readline().split())
        assert stream.readline() == b"255\n"
        pages.append(np.frombuffer(stream.read(width * height), np.uint8).reshape(height, width))
    return pages


@dataclass(frozen=True)
class Cross:
    """A cross on a page: which one, about where, and how far its arms reach, page millimetres."""

    joint: float
    point: float
    about: Point
    left: float
    right: float
    bottom: float
    top: float


def crosses_about(page: Page) -> list[Cross]:
    """The crosses as they are drawn: only to know where to look."""
    found = []
    for group in groups_on(page, "Point"):
        facts = dict(group.facts)
        (stroke,) = group.items
        assert isinstance(stroke, Stroke)
        level = next(p.bounds for p in stroke.paths if p.start.y == p.end.y)
        upright = next(p.bounds for p in stroke.paths if p.start.x == p.end.x)
        about = Point(upright.left, level.bottom)
        ends = (level.left, level.right, upright.bottom, upright.top)
        found.append(Cross(facts["Joint"], facts["Point"], about, *ends))
    return found


def line_at(grey: Grey, low: float, high: float, near: float, *, level: bool) -> float:
    """Where a line runs within 1 mm of `near`: the median of its middles between two ends.

    Args:
        grey: The page.
        low: Where along the line to begin, page millimetres.
        high: Where to end.
        near: About where it runs.
        level: True for a level line (its height is found), False for an upright one.
    """
    # Rows of the page counted from the bottom, so that both directions work alike.
    page = grey[::-1] if level else grey[::-1].T
    begin = round((near - 1) * DOTS)
    part = page[begin : round((near + 1) * DOTS), round(low * DOTS) : round(high * DOTS)]
    dark = np.clip(0.5 - part / 255.0, 0, None)
    weight = dark.sum(axis=0)
    seen = weight > 0
    assert seen.mean() > 0.5, "there is no line where a cross should be"
    rows = np.arange(part.shape[0])[:, None] + 0.5
    middles = (dark * rows).sum(axis=0)[seen] / weight[seen]
    return (begin + float(np.median(middles))) / DOTS


def middle_of(grey: Grey, cross: Cross) -> Point:
    """The middle of a cross on the pixels of its page; each arm is measured clear of the other."""
    x, y = cross.about
    spans_x = [(low, high) for low, high in ((cross.left, x - 0.6), (x + 0.6, cross.right))]
    spans_y = [(low, high) for low, high in ((cross.bottom, y - 0.6), (y + 0.6, cross.top))]
    level = [line_at(grey, a, b, y, level=True) for a, b in spans_x if b - a > 1.5]
    upright = [line_at(grey, a, b, x, level=False) for a, b in spans_y if b - a > 1.5]
    return Point(sum(upright) / len(upright), sum(level) / len(level))


@dataclass(frozen=True)
class Found:
    """What the pixels of all pages say: where the crosses are, and so where each page lies."""

    crosses: dict[str, dict[tuple[float, float], Point]]
    origins: dict[str, Point]
    worst: float


def lay_by_crosses(pages: dict[str, Grey], publication: Publication, plan: Plan) -> Found:
    """Lay page on page so that the crosses meet, in reading order, as one tapes them."""
    about = {page.name: crosses_about(page) for page in publication.pages}
    seen = {
        name: {(c.joint, c.point): middle_of(grey, c) for c in about[name]}
        for name, grey in pages.items()
    }
    placed: dict[tuple[float, float], Point] = {}
    origins: dict[str, Point] = {}
    worst = 0.0
    for cell in plan.cells:
        here = seen[cell.name]
        steps = [
            (placed[key].x - at.x, placed[key].y - at.y)
            for key, at in here.items()
            if key in placed
        ]
        # The first page lies where it should; so does one that has no neighbour before it.
        origin = Point(*np.mean(steps, axis=0)) if steps else plan.grid.origin(cell)
        worst = max([worst, *(Point(*step).to(origin) for step in steps)])
        origins[cell.name] = origin
        for key, at in here.items():
            placed.setdefault(key, Point(origin.x + at.x, origin.y + at.y))
    return Found(seen, origins, worst)


def assemble(pages: dict[str, Grey], found: Found, publication: Publication, plan: Plan) -> Ink:
    """Cut every page through its crosses and lay it over its neighbours; rows from the bottom."""
    sheet, window = plan.grid.bounds, plan.grid.setup.window
    picture = np.zeros((round(sheet.height * DOTS) + 40, round(sheet.width * DOTS) + 40), bool)
    joints = {page.name: crosses_about(page) for page in publication.pages}
    for cell in plan.cells:
        grey, origin = pages[cell.name][::-1], found.origins[cell.name]
        left, top = window.left, window.top
        for cross in joints[cell.name]:
            at = found.crosses[cell.name][cross.joint, cross.point]
            # Its long arm points inward: to the right at the left edge, down at the top.
            if cross.right - cross.about.x > LONG:
                left = at.x
            if cross.about.y - cross.bottom > LONG:
                top = at.y
        low_x, low_y = round(left * DOTS), round(window.bottom * DOTS)
        part = grey[low_y : round(top * DOTS), low_x : round(window.right * DOTS)] < 128
        to_x, to_y = low_x + round(origin.x * DOTS), low_y + round(origin.y * DOTS)
        skip_x, skip_y = max(0, -to_x), max(0, -to_y)
        part = part[skip_y:, skip_x:]
        to_x, to_y = to_x + skip_x, to_y + skip_y
        part = part[: picture.shape[0] - to_y, : picture.shape[1] - to_x]
        picture[to_y : to_y + part.shape[0], to_x : to_x + part.shape[1]] = part
    return picture


@dataclass(frozen=True)
class Line:
    """A line of the pattern where it should be on the sheet."""

    path: Path
    width: float
    dash: tuple[float, ...]


def wanted_lines(pattern: Pattern, plan: Plan) -> list[Line]:
    order = tuple(name for name, _ in pattern.styles)
    return [
        Line(path.moved(placement.at), stroke.pen.width, stroke.pen.dash)
        for placement in plan.placements
        for style in ("", *placement.piece.styles)
        for stroke in pattern_strokes(placement.piece, style, order)
        for path in stroke.paths
    ]


def walked(path: Path, step: float) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.float64]]:
    """Points every `step` millimetres along a path, and the unit normal at each."""
    points = np.array(path.flattened(0.005))
    chords = np.diff(points, axis=0)
    lengths = np.hypot(*chords.T)
    chords, points, lengths = chords[lengths > 0], points[:-1][lengths > 0], lengths[lengths > 0]
    starts = np.concatenate([[0], np.cumsum(lengths)])
    along = np.linspace(0, starts[-1], max(2, round(starts[-1] / step)))
    chord = np.clip(np.searchsorted(starts, along, side="right") - 1, 0, len(chords) - 1)
    share = (along - starts[chord]) / lengths[chord]
    normals = np.stack([-chords[:, 1], chords[:, 0]], axis=1) / lengths[:, None]
    return points[chord] + share[:, None] * chords[chord], normals[chord]


def inked_near(picture: Ink, points: npt.NDArray[np.float64], reach: float) -> Ink:
    """Whether a dark dot's middle lies within `reach` millimetres of each point."""
    spots = points * DOTS
    base = np.floor(spots).astype(int)
    far = int(np.ceil(reach * DOTS)) + 1
    found = np.zeros(len(points), bool)
    for dy in range(-far, far + 1):
        for dx in range(-far, far + 1):
            dot = base + np.array([dx, dy])
            near = np.hypot(*(dot + 0.5 - spots).T) <= reach * DOTS
            inside = (dot >= 0).all(axis=1) & (dot < picture.shape[::-1]).all(axis=1)
            pick = near & inside
            found[pick] |= picture[dot[pick, 1], dot[pick, 0]]
    return found


#: Half the diagonal of a dot: how far the middle of a dark dot may be from ink that it shows.
HALF_DOT = 0.71 / DOTS


def missing_from(picture: Ink, lines: list[Line]) -> list[Point]:
    """Places of the pattern without ink: both borders and the middle of every solid line.

    Of a dashed line the middle alone is asked for, and no stretch without ink may be longer than
    the longest gap between its dashes.
    """
    blank: list[Point] = []
    for line in lines:
        points, normals = walked(line.path, 0.25)
        if not line.dash:
            for side in (-0.5, 0.0, 0.5):
                spots = points + normals * side * line.width
                inked = inked_near(picture, spots, TOLERANCE + HALF_DOT)
                blank += [Point(*spot) for spot in spots[~inked]]
            continue
        inked = inked_near(picture, points, TOLERANCE + HALF_DOT)
        longest = max(line.dash[1::2]) / 0.25 + 2
        run = 0
        for spot, dark in zip(points, inked, strict=True):
            run = 0 if dark else run + 1
            if run > longest:
                blank.append(Point(*spot))
    return blank


def extra_in(picture: Ink, lines: list[Line]) -> npt.NDArray[np.float64]:
    """Dark dots that lie farther than the tolerance from every line, sheet millimetres."""
    area = shapely.union_all(
        [
            shapely.LineString(line.path.flattened(0.01)).buffer(
                line.width / 2 + TOLERANCE + HALF_DOT
            )
            for line in lines
        ]
    )
    shapely.prepare(area)
    rows, columns = np.nonzero(picture)
    dots = (np.stack([columns, rows], axis=1) + 0.5) / DOTS
    return dots[~shapely.contains_xy(area, dots)]
