"""What is read off a page, against readers and geometry that others have written."""

from __future__ import annotations

import ctypes
from pathlib import Path as File
from typing import Any

import numpy as np
import pypdfium2 as pdfium
import pypdfium2.raw as raw
import pytest
import shapely
from publication_builder import CELLS, Draft
from pypdf.generic import ContentStream, DecodedStreamObject
from reportlab.pdfgen.canvas import Canvas

from tiler.pattern.affine import Affine, Point
from tiler.pattern.segment import Cubic
from tiler.proof.content import read_ink
from tiler.proof.document import open_document
from tiler.proof.geometry import (
    between,
    box_window,
    chord_counts,
    mapped,
    moved_window,
    points_at,
    ring_window,
    sizes,
    spans,
)
from tiler.proof.matching import match
from tiler.proof.pen import Graphics
from tiler.proof.placing import unfold
from tiler.proof.tokens import operations

MM = 25.4 / 72


def our_strokes(paper: Draft, folder: File, name: str) -> np.ndarray:
    document = open_document(paper.write(folder))
    (page,) = (page for page in document.papers if page.label == name)
    parts = [mapped(placed.ink.strokes, placed.matrix) for placed in unfold(document, page, "")]
    return np.concatenate(parts)


def pdfium_strokes(file: File, index: int) -> np.ndarray:
    """Stroked segments by PDFium's own interpreter, page mm, straight lines as cubics."""
    document = pdfium.PdfDocument(file)
    page = document[index]
    found: list[list[tuple[float, float]]] = []
    for number in range(raw.FPDFPage_CountObjects(page)):
        _collect(raw.FPDFPage_GetObject(page, number), Affine(), found)
    page.close()
    document.close()
    return np.array(found) * MM


def _collect(thing: Any, outer: Affine, found: list[list[tuple[float, float]]]) -> None:
    told = raw.FS_MATRIX()
    raw.FPDFPageObj_GetMatrix(thing, ctypes.byref(told))
    by = Affine(told.a, told.b, told.c, told.d, told.e, told.f).then(outer)
    kind = raw.FPDFPageObj_GetType(thing)
    if kind == raw.FPDF_PAGEOBJ_FORM:
        for number in range(raw.FPDFFormObj_CountObjects(thing)):
            _collect(raw.FPDFFormObj_GetObject(thing, number), by, found)
        return
    mode, stroked = ctypes.c_int(), ctypes.c_int()
    if kind != raw.FPDF_PAGEOBJ_PATH:
        return
    assert raw.FPDFPath_GetDrawMode(thing, ctypes.byref(mode), ctypes.byref(stroked))
    if not stroked.value:
        return
    here = start = Point(0, 0)
    handles: list[Point] = []
    for number in range(raw.FPDFPath_CountSegments(thing)):
        segment = raw.FPDFPath_GetPathSegment(thing, number)
        x, y = ctypes.c_float(), ctypes.c_float()
        assert raw.FPDFPathSegment_GetPoint(segment, ctypes.byref(x), ctypes.byref(y))
        at = by(Point(x.value, y.value))
        what = raw.FPDFPathSegment_GetType(segment)
        if what == raw.FPDF_SEGMENT_MOVETO:
            start = here = at
        elif what == raw.FPDF_SEGMENT_LINETO:
            found.append(_line(here, at))
            here = at
        else:
            handles.append(at)
            if len(handles) == 3:
                found.append([here, *handles])
                here, handles = at, []
        if raw.FPDFPathSegment_GetClose(segment) and here.to(start) > 1e-9:
            found.append(_line(here, start))
            here = start


def _line(a: Point, b: Point) -> list[tuple[float, float]]:
    step = (b.x - a.x) / 3, (b.y - a.y) / 3
    return [a, (a.x + step[0], a.y + step[1]), (b.x - step[0], b.y - step[1]), b]


@pytest.mark.parametrize("name", CELLS)
def test_strokes_agree_with_pdfium(paper: Draft, tmp_path: File, name: str) -> None:
    paper.forms["Pocket"][1].append(
        "q 0.5 0.1 -0.2 0.7 3 4 cm 5 6 20 -10 re S Q 1 2 m 3 4 l 9 9 l s"
    )
    paper.forms["Pocket"][1].append("1 2 m 3 4 5 6 v 7 8 9 1 y b")
    ours = our_strokes(paper, tmp_path, name)
    theirs = pdfium_strokes(paper.write(tmp_path), paper.order.index(name))
    assert len(theirs) == len(ours) >= 40
    found = match(ours, theirs)
    # PDFium counts in single precision: 24 bits over some 700 pt are 0.04 µm an operation.
    assert found.distance.max() < 0.0005
    assert found.nearest.max() < 0.0005
    # A shift of five micrometres is seen by both.
    assert match(ours + 0.005, theirs).distance.min() > 0.005


def test_strokes_of_a_page_by_reportlab(tmp_path: File) -> None:
    file = tmp_path / "page.pdf"
    canvas = Canvas(str(file), pagesize=(300, 300))
    canvas.translate(30, 40)
    canvas.rotate(25)
    canvas.scale(2, 2)
    path = canvas.beginPath()
    path.moveTo(1, 2)
    path.lineTo(30, 5)
    path.curveTo(40, 10, 35, 60, 10, 50)
    path.close()
    canvas.drawPath(path)
    canvas.rect(5, 5, 20, 10)
    canvas.bezier(0, 0, 10, 40, 60, 20, 90, 90)
    canvas.save()
    document = pdfium.PdfDocument(file)
    page = document[0]
    objects = [raw.FPDFPage_GetObject(page, k) for k in range(raw.FPDFPage_CountObjects(page))]
    theirs: list[list[tuple[float, float]]] = []
    for thing in objects:
        _collect(thing, Affine(), theirs)
    page.close()
    document.close()
    from pypdf import PdfReader

    content = PdfReader(file).pages[0].get_contents().get_data()
    ours = read_ink(content, NoResources()).strokes
    assert len(ours) == 8  # line, curve, close; four sides; one curve
    assert match(ours, np.array(theirs)).distance.max() < 0.001


class NoResources:
    def form(self, name: str) -> int | None:
        return None

    def graphics(self, name: str) -> Graphics:
        return Graphics()

    def space(self, name: str) -> str:
        return "other"

    def properties(self, name: str) -> dict[str, Any]:
        return {}


def test_tokens_agree_with_pypdf() -> None:
    content = (
        b"q 1 0 0 -1 +.5 -3. cm % a remark ) (\r/Artifact <</Type/Layout /Measure [180 0.0] >>BDC\n"
        b"BT /F1 12 Tf [(a\\)b(c)) -20 <0A fF>] TJ (x\\\\)' ET EMC 0.5 w[3 2]0 d 1 2 m 3 4 l S "
        b"/N#61me gs f* Q"
    )
    stream = DecodedStreamObject()
    stream.set_data(content)
    theirs = ContentStream(stream, None).operations
    ours = list(operations(content))
    assert [word for word, _ in ours] == [word for _, word in theirs]
    for (_, mine), (yours, _) in zip(ours, theirs, strict=True):
        assert len(mine) == len(yours)
        for one, other in zip(mine, yours, strict=True):
            if isinstance(one, float):
                assert one == float(other)
    assert ours[2][1][1] == {"Type": "Layout", "Measure": [180.0, 0.0]}


def test_windows_agree_with_shapely() -> None:
    dice = np.random.default_rng(3)
    starts, ends = dice.uniform(-20, 20, (400, 2)), dice.uniform(-20, 20, (400, 2))
    ring = np.array([[-8.0, -6], [9, -7], [12, 3], [1, 11], [-9, 4]])
    for corners in (ring, ring[::-1]):
        window = ring_window(corners)
        assert window is not None
        shape = shapely.Polygon(corners)
        low, high = spans(starts, ends, window)
        ours = np.maximum(high - low, 0) * sizes(ends - starts)
        lines = shapely.linestrings(np.stack([starts, ends], axis=1))
        theirs = shapely.length(shapely.intersection(lines, shape))
        assert ours == pytest.approx(theirs, abs=1e-9)
    dart = np.array([[0.0, 0], [10, 0], [10, 10], [7, 3]])
    assert ring_window(dart) is None
    assert ring_window(np.array([[0.0, 0], [5, 0], [9, 0]])) is None


def test_a_moved_window_holds_the_moved_points() -> None:
    by = Affine(1.5, 0.4, -0.3, 2.0, 7, -2)
    window = moved_window(box_window(-1, -2, 3, 4), by)
    corners = mapped(np.array([[-1.0, -2], [3, -2], [3, 4], [-1, 4]]), by)
    sides = corners @ window[:, :2].T - window[:, 2]
    assert sides.max() == pytest.approx(0, abs=1e-9)
    assert np.sum(np.abs(sides) < 1e-9) == 8  # every side has two of the corners on it


def test_parts_of_curves_agree_with_splitting() -> None:
    curve = Cubic(Point(0, 0), Point(10, 40), Point(60, -20), Point(80, 30))
    part = between(np.array([curve], dtype=float), np.array([0.25]), np.array([0.75]))[0]
    tail = curve.split(0.25)[1]
    assert part == pytest.approx(np.array(tail.split(2 / 3)[0]), abs=1e-12)


def test_chords_stay_by_their_curve() -> None:
    curves = np.array([[[0, 0], [10, 40], [60, -20], [80, 30]]], dtype=float)
    (count,) = chord_counts(curves, 0.005)
    t = np.linspace(0, 1, count + 1)
    chords = shapely.LineString(points_at(np.repeat(curves, len(t), axis=0), t))
    dense = np.linspace(0, 1, 20_001)
    points = shapely.points(points_at(np.repeat(curves, len(dense), axis=0), dense))
    assert 0.001 < float(shapely.distance(points, chords).max()) <= 0.005
