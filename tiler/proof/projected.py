"""Proof of a set for a projector: its pixels, brought back to the mat, against the pattern.

The bands are read from the written PDF, taken to the mat by a map that is computed here from the
measured corners, and each line is looked for: is the middle of its band where the pattern says, is
it whole, and is nothing missing over all windows?
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from pypdf import PdfReader
from shapely.geometry.base import BaseGeometry

from tiler.layout.mats.grid import GRID_INSET
from tiler.layout.mats.mat import Mat
from tiler.layout.mats.windows import Shown
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Lies, Mark, Piece, Role
from tiler.pattern.model import Line as Drawn
from tiler.pattern.path import Path
from tiler.proof.bands import Band, areas_of, read_picture
from tiler.proof.centres import middles
from tiler.proof.expected import ROLE_WORDS
from tiler.proof.geometry import Floats
from tiler.proof.verdict import Fault
from tiler.sheets.screen import PX_MM

#: How far chords stand from the curves that are looked for, mm.
_CLOSE = 0.005
#: Pieces of a line shorter than that are not missed, mm.
_SPECK = 0.3
#: Lines farther apart than so many widths do not share ink.
_NEAR = 2.0
#: Gaps between dashes are no longer than this many widths of a cut line.
_GAP = 5.0
#: How far the size of a check square may be off, mm.
_SQUARE = 0.05


@dataclass(frozen=True)
class Outcome:
    """What a proof of a set comes to.

    Args:
        windows: How many windows were measured.
        lines: How many lines of the pattern, each counted once for each window that shows it.
        places: At how many places the middle of a line was measured.
        worst: The largest distance of a middle from its line, mm.
        faults: All that is not as it should be.
    """

    windows: int
    lines: int
    places: int
    worst: float
    faults: tuple[Fault, ...]


@dataclass(frozen=True)
class Line:
    """A line that must be seen.

    Args:
        words: What it is.
        path: In the piece's coordinates.
        solid: Whether it is drawn without gaps.
    """

    words: str
    path: Path
    solid: bool


def prove_projected(
    pdf: bytes,
    mat: Mat,
    field: Bounds,
    windows: Sequence[tuple[str, Sequence[Shown]]],
    line_width: float,
    *,
    tolerance: float = 0.05,
) -> Outcome:
    """Measure a set against its pattern.

    Args:
        pdf: The written file: a first picture, then the windows.
        mat: The mat with its measured corners.
        field: The part of the mat that shows pieces, mm.
        windows: Name of each and the pieces that it is to show, with where they lie on the mat.
        line_width: How wide a cut line is to be, mm; no line is wider.
        tolerance: How far the middle of a line may be off, mm on the mat.
    """
    pages = PdfReader(io.BytesIO(pdf)).pages
    if len(pages) != len(windows) + 1:
        fault = Fault("windows", "", f"there are {len(pages)} pages for {len(windows)} windows")
        return Outcome(0, 0, 0, 0.0, (fault,))
    to_mat = _page_to_mat(mat)
    faults: list[Fault] = []
    lines = places = 0
    worst = 0.0
    seen: dict[str, tuple[Piece, list[BaseGeometry]]] = {}
    for number, page in enumerate(pages):
        picture = read_picture(page)
        name, shown = windows[number - 1] if number else ("the first picture", ())
        size = (mat.width_px * PX_MM, mat.height_px * PX_MM)
        if max(abs(picture.width - size[0]), abs(picture.height - size[1])) > 1e-3:
            faults.append(Fault("size", name, "it has not the projector's pixels"))
        if picture.clipped:
            faults.append(Fault("clipped", name, "it is painted through a window"))
        bands = [_moved(band, to_mat) for band in picture.bands]
        squares = [band for band in bands if band.measure]
        if number == 0 and not squares:
            faults.append(Fault("square", name, "it has no check square"))
        faults += [fault for band in squares for fault in _square_faults(band, name)]
        faults += _covered_faults(bands, name)
        own = [area for band in bands if not band.furniture for area in areas_of(band.rings)]
        window = _Window(name, own, field, line_width)
        for each in shown:
            if not _rigid(each.at):
                faults.append(Fault("size", name, f"{each.piece.name} is stretched"))
                continue
            back = _inverse(each.at)
            part = shapely.Polygon([back(corner) for corner in field.corners()])
            seen.setdefault(each.piece.name, (each.piece, []))[1].append(part)
        drawn = [
            (line, shapely.LineString([each.at(Point(*p)) for p in line.path.flattened(_CLOSE)]))
            for each in shown
            for line in lines_of(each.piece)
        ]
        if number:
            for index, (line, where) in enumerate(drawn):
                rest = [other for k, (_, other) in enumerate(drawn) if k != index]
                found = window.measure(line, where, rest, tolerance)
                faults += found.faults
                worst = max(worst, found.worst)
                places += found.places
                lines += found.shown
            faults += window.strangers([where for _, where in drawn], tolerance)
    faults += [fault for piece, parts in seen.values() for fault in _missing(piece, parts)]
    return Outcome(len(windows), lines, places, worst, tuple(dict.fromkeys(faults)))


@dataclass(frozen=True)
class _Found:
    faults: tuple[Fault, ...] = ()
    worst: float = 0.0
    places: int = 0
    shown: bool = False


class _Window:
    """The bands of one window on the mat."""

    def __init__(
        self, name: str, areas: Sequence[BaseGeometry], field: Bounds, line_width: float
    ) -> None:
        self.name, self.line_width = name, line_width
        self.areas = np.array(list(areas), dtype=object)
        self.tree = shapely.STRtree(self.areas)
        self.box = shapely.box(*field)

    def measure(
        self,
        line: Line,
        whole: shapely.LineString,
        rest: Sequence[BaseGeometry],
        tolerance: float,
    ) -> _Found:
        """Whether a line is there, and how far the middle of its band is off.

        Args:
            line: The line.
            whole: Where it is to be on the mat.
            rest: All other lines.
            tolerance: How far off it may be, mm.
        """
        within = whole.intersection(self.box.buffer(-_SPECK))
        if within.length < _SPECK:
            return _Found()
        near = self.areas[self.tree.query(within, predicate="intersects")]
        missed = within.difference(shapely.union_all(near)) if len(near) else within
        about = whole.envelope.buffer(_NEAR * self.line_width + 2.0)
        others = shapely.union_all([other for other in rest if about.intersects(other.envelope)])
        found = middles(whole, near, self.box, others, self.line_width)
        most = _SPECK if line.solid else _GAP * self.line_width + _SPECK
        gaps = [float(part.length) for part in shapely.get_parts(missed)]
        faults = []
        if max(gaps, default=0.0) > most:
            text = f"{max(gaps):.1f} mm of {line.words} are not there"
            faults.append(Fault("missing", self.name, text, max(gaps)))
        worst = float(found.offsets.max(initial=0.0))
        if worst > tolerance:
            text = f"{line.words} is {worst:.3f} mm off"
            faults.append(Fault("off", self.name, text, worst))
        return _Found(tuple(faults), worst, len(found.offsets), True)

    def strangers(self, lines: Sequence[BaseGeometry], tolerance: float) -> list[Fault]:
        """Bands that belong to none of the lines."""
        if not len(self.areas):
            return []
        points, owner = shapely.get_coordinates(self.areas, return_index=True)
        reach = self.line_width / 2 + tolerance
        far = shapely.distance(shapely.points(points), shapely.union_all(lines)) > reach
        if not far.any():
            return []
        number = len(np.unique(owner[far]))
        return [Fault("stranger", self.name, f"{number} lines belong to no piece")]


def lines_of(piece: Piece) -> Iterator[Line]:
    """Everything of a piece that must be seen."""
    for run in piece.runs:
        solid = run.role is Role.CUT and not run.style and run.edge.lies is not Lies.FOLD
        words = f"the {ROLE_WORDS[run.role]} of {piece.name}, edge {run.edge.letter}"
        yield Line(words, run.edge.path, solid)
    dashed = (Role.STITCH, Role.FOLD, Role.POCKET, Role.INSIDE)
    things: tuple[Drawn | Mark, ...] = (*piece.lines, *piece.marks)
    for thing in things:
        solid = thing.role not in dashed and not (thing.role is Role.CUT and thing.style)
        yield Line(f"the {ROLE_WORDS[thing.role]} of {piece.name}", thing.path, solid)
    if piece.grain is not None:
        yield Line(f"the grainline of {piece.name}", piece.grain, True)


def _missing(piece: Piece, parts: Sequence[BaseGeometry]) -> Iterator[Fault]:
    """Lines that no window of a piece reaches."""
    seen = shapely.union_all(parts)
    for line in lines_of(piece):
        left = shapely.LineString(line.path.flattened(_CLOSE)).difference(seen)
        if left.length > _SPECK:
            text = f"{left.length:.1f} mm of {line.words} are in no window"
            yield Fault("missing", "", text, float(left.length))


def _rigid(at: Affine) -> bool:
    long, wide = at.a**2 + at.b**2, at.c**2 + at.d**2
    return abs(long - 1) < 1e-9 and abs(wide - 1) < 1e-9 and abs(at.a * at.c + at.b * at.d) < 1e-9


def _inverse(at: Affine) -> Affine:
    flip = at.determinant
    return Affine(
        at.d / flip,
        -at.b / flip,
        -at.c / flip,
        at.a / flip,
        (at.c * at.f - at.d * at.e) / flip,
        (at.b * at.e - at.a * at.f) / flip,
    )


def _page_to_mat(mat: Mat) -> Floats:
    """The map from the page's millimetres to the mat's, from four pairs of corners.

    Eight linear equations for the eight entries (Heckbert, "Fundamentals of texture mapping and
    image warping", 1989, from memory).
    """
    assert mat.corners is not None
    inset, wide, tall = GRID_INSET * PX_MM, mat.width_px * PX_MM, mat.height_px * PX_MM
    left, right, low, high = inset, wide - inset, inset, tall - inset
    rows, wanted = [], []
    pairs = zip(((left, low), (right, low), (right, high), (left, high)), mat.corners, strict=True)
    for (x, y), (u, v) in pairs:
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        wanted += [u, v]
    entries = np.linalg.solve(np.array(rows, dtype=float), np.array(wanted, dtype=float))
    return np.append(entries, 1.0).reshape(3, 3)


def _moved(band: Band, by: Floats) -> Band:
    rings = []
    for ring in band.rings:
        far = np.column_stack([ring, np.ones(len(ring))]) @ by.T
        rings.append(far[:, :2] / far[:, 2:])
    return Band(tuple(rings), band.furniture, band.dark, band.measure)


def _square_faults(band: Band, name: str) -> Iterator[Fault]:
    """A square is as large as the mean of its outer and its inner extent."""
    assert band.measure is not None
    extents = [np.ptp(ring, axis=0) for ring in band.rings]
    if len(extents) != 2:
        yield Fault("square", name, "the check square is no frame")
        return
    off = float(np.abs((extents[0] + extents[1]) / 2 - band.measure).max())
    if off > _SQUARE:
        yield Fault("square", name, f"the check square is {off:.3f} mm off", off)


def _covered_faults(bands: Sequence[Band], name: str) -> Iterator[Fault]:
    """The ground is painted before all lines, and nothing of its shade after them."""
    first = next((k for k, band in enumerate(bands) if not band.furniture), len(bands))
    if first == len(bands):
        return
    dark = not bands[first].dark
    lines = [area for band in bands if not band.furniture for area in areas_of(band.rings)]
    tree = shapely.STRtree(lines)
    for band in bands[first:]:
        if band.dark == dark:
            for area in areas_of(band.rings):
                met = tree.geometries[tree.query(area, predicate="intersects")]
                if len(met) and shapely.area(shapely.intersection(met, area)).max() > 0:
                    yield Fault("covered", name, "something is painted over its lines")
                    return
