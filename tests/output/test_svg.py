"""A page as SVG, drawn by resvg, looks like the same page as PDF drawn by pdfium."""

from __future__ import annotations

import io
import re
import xml.etree.ElementTree as etree
from dataclasses import replace
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pypdfium2
import pytest
import resvg_py
from PIL import Image

import tiler.sheets
from tests.demos import each_demo, pattern_of_demo, publication_of
from tiler.output.pdf import pdf_bytes
from tiler.output.svg import svg_bytes
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import circle, polyline, rectangle
from tiler.sheets.drawing import (
    Drawing,
    Fill,
    Group,
    Item,
    Page,
    Pen,
    Publication,
    Stroke,
    Use,
    Words,
    walk,
)
from tiler.sheets.picture import draw_picture

Ink = npt.NDArray[np.float64]
SVG = "{http://www.w3.org/2000/svg}"
FONTS = sorted(map(str, (Path(tiler.sheets.__path__[0]) / "fonts").glob("*.ttf")))
DOTS = 4.0


def by_resvg(svg: bytes, dots: float = DOTS) -> Ink:
    """Darkness from 0 to 1, `dots` to the millimetre."""
    root = etree.fromstring(svg)
    width, height = (float(n) for n in root.get("viewBox").split()[2:])
    png = resvg_py.svg_to_bytes(
        svg_string=svg.decode(),
        background="white",
        skip_system_fonts=True,
        dpi=96,
        font_files=FONTS,
        width=round(width * dots),
        height=round(height * dots),
    )
    with Image.open(io.BytesIO(bytes(png))) as image:
        return 1 - np.array(image.convert("L")) / 255


def by_pdfium(page: Page, dots: float = DOTS) -> Ink:
    layers = dict.fromkeys(i.drawing.layer for i in walk(page.items) if isinstance(i, Use))
    publication = Publication("Apron", "", "", (page,), tuple(filter(None, layers)))
    document = pypdfium2.PdfDocument(pdf_bytes(publication))
    try:
        image = document[0].render(scale=dots * 25.4 / 72, grayscale=True).to_pil()
    finally:
        document.close()
    return 1 - np.array(image) / 255


def alike(one: Ink, other: Ink) -> float:
    """Share of the dark dots of each that have grey of the other within a dot (the worse one)."""
    height, width = (min(a, b) for a, b in zip(one.shape, other.shape, strict=True))
    a, b = one[:height, :width], other[:height, :width]
    shares = []
    for ink, near in ((a, b), (b, a)):
        dark, grown = ink > 0.5, near > 0.25
        for axis in (0, 1):
            grown = grown | np.roll(grown, 1, axis) | np.roll(grown, -1, axis)
        shares.append((dark & grown).sum() / max(1, dark.sum()))
    return min(shares)


@each_demo
def test_the_picture_looks_the_same_as_svg_and_as_pdf(demo: str) -> None:
    """Ink of one lies on ink of the other: all of the lines, and nearly all of the letters."""
    page = draw_picture(pattern_of_demo(demo))
    svg, pdf = by_resvg(svg_bytes(page, "Apron")), by_pdfium(page)
    assert abs(svg.shape[0] - pdf.shape[0]) <= 1
    assert abs(svg.shape[1] - pdf.shape[1]) <= 1
    # A browser moves some pairs of letters closer together, a PDF does not.
    assert alike(svg, pdf) > 0.85
    bare = without_words(page)
    assert bare != page
    assert alike(by_resvg(svg_bytes(bare, "Apron")), by_pdfium(bare)) > 0.995


def test_a_printed_page_looks_the_same_as_svg_and_as_pdf() -> None:
    """With its clipped pattern, crosses, tints and the small map."""
    page = without_words(publication_of("hat", "a4").pages[-1])
    assert alike(by_resvg(svg_bytes(page, "Hat")), by_pdfium(page)) > 0.995


def without_words(page: Page) -> Page:
    """The same page without its words."""

    def stripped(items: tuple[Item, ...]) -> tuple[Item, ...]:
        found: list[Item] = []
        for item in items:
            if isinstance(item, Group):
                found.append(replace(item, items=stripped(item.items), layers=()))
            elif isinstance(item, Use):
                drawing = replace(item.drawing, items=stripped(item.drawing.items))
                found.append(replace(item, drawing=drawing))
            elif not isinstance(item, Words):
                found.append(item)
        return tuple(found)

    return replace(page, items=stripped(page.items))


@each_demo
def test_the_file_is_at_true_size(demo: str) -> None:
    """Width and height are in millimetres and a user unit is one of them."""
    page = draw_picture(pattern_of_demo(demo))
    root = etree.fromstring(svg_bytes(page, "Apron & smock"))
    assert root.tag == SVG + "svg"
    width, height = (float(root.get(name).removesuffix("mm")) for name in ("width", "height"))
    assert (width, height) == pytest.approx((page.width, page.height), abs=1e-3)
    assert [float(n) for n in root.get("viewBox").split()] == [0, 0, width, height]
    assert root.findtext(SVG + "title") == "Apron & smock"


def drawn(*items: Item) -> Page:
    return Page("A1", 40, 30, items)


LINE = Stroke((polyline([Point(5, 5), Point(35, 25)]),), Pen(1.0))


@pytest.mark.parametrize(
    "page",
    [
        drawn(LINE),
        drawn(Stroke((circle(Point(20, 15), 10),), Pen(0.6, grey=0.3))),
        drawn(Stroke((rectangle(Bounds(5, 5, 30, 20)),), Pen(0.8, dash=(3, 1.5)))),
        drawn(Fill((circle(Point(12, 20), 6), rectangle(Bounds(20, 4, 36, 12))), 0.2)),
        drawn(Group((LINE,), at=Affine.turn(90).then(Affine.move(35, 0)))),
        drawn(Group((LINE,), window=Bounds(10, 8, 22, 20))),
        drawn(Group((LINE,), at=Affine.move(4, -2), window=Bounds(10, 8, 22, 20))),
        drawn(
            Group(
                (Use(Drawing(Bounds(0, 0, 40, 30), (LINE,), "Front"), Affine.move(2, 1)),),
                window=Bounds(10, 8, 22, 20),
            )
        ),
        drawn(Words("Front", Point(20, 15), 24, anchor="middle", bold=True)),
        drawn(Words("<Äg & Co>", Point(4, 10), 14)),
        drawn(Words("turned", Point(30, 5), 16, turn=90, grey=0.3)),
        drawn(Words("end", Point(36, 20), 18, anchor="end", turn=-30)),
    ],
    ids=lambda page: re.sub(r"\W+", "-", str(page.items[0]))[:40],
)
def test_every_kind_of_item_is_drawn_alike(page: Page) -> None:
    """Each item by itself, large enough to compare."""
    svg, pdf = by_resvg(svg_bytes(page, "item"), 10), by_pdfium(page, 10)
    assert pdf.sum() > 50
    assert alike(svg, pdf) > 0.98


def test_the_layer_of_a_drawing_is_kept() -> None:
    """Programs that read the SVG find the lines of each piece together."""
    use = Use(Drawing(Bounds(0, 0, 40, 30), (LINE,), 'Front "A" & B'))
    root = etree.fromstring(svg_bytes(drawn(use), "layers"))
    (group,) = root.iter(SVG + "g")
    assert group.get("data-layer") == 'Front "A" & B'
    assert len(list(group.iter(SVG + "path"))) == 1
