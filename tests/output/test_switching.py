"""Layers of a publication, switched in the file and rendered by readers of other makers.

The file is changed by pypdf, checked by qpdf and rendered by poppler and by pdfium.
"""

from __future__ import annotations

import io
import subprocess
from dataclasses import replace
from functools import cache

import numpy as np
import numpy.typing as npt
import pypdfium2
import pytest
import shapely
import shapely.affinity
from PIL import Image
from pypdf import PdfReader, PdfWriter
from pypdf.generic import ArrayObject, NameObject
from scipy import ndimage

from tests.demos import pattern_of_demo
from tests.laying import laid
from tests.printed import words_on
from tiler.drafting.cutlines import with_cut
from tiler.drafting.styles import only_styles, with_shared_runs, with_styles
from tiler.layout.papers import find_paper
from tiler.layout.plan import Plan
from tiler.layout.tiles import PageSetup
from tiler.output.pdf import pdf_bytes
from tiler.pattern.affine import Affine, Point
from tiler.pattern.model import (
    Cut,
    Edge,
    Lay,
    Lies,
    Line,
    Mark,
    Outline,
    Pattern,
    Piece,
    Role,
    Run,
    styles_in,
)
from tiler.pattern.path import Path, polyline
from tiler.pattern.wishes import StyleWish, Wishes
from tiler.sheets.drawing import Publication
from tiler.sheets.publication import lay_out

DPI = 150
DOTS = DPI / 25.4
#: Half of the widest line (0.55 mm), and one dot that a renderer may tint beside it.
BAND = 0.55 / 2 + 1.0 / DOTS
#: The longest gap between dashes, with what the round ends leave of it, millimetres.
GAP = 2.0

Grey = npt.NDArray[np.uint8]
PROGRAMS = ("poppler", "pdfium")


def _trousers() -> Pattern:
    """A small leg with three lengths: two of them share a part of their hem line."""
    corners = [Point(0, 0), Point(0, 220), Point(130, 220), Point(150, 0)]
    ends = [*corners[1:], corners[0]]
    lies = {"A": Lies.FOLD, "D": Lies.HEM}
    outline = Outline(
        Role.STITCH,
        tuple(
            Edge(letter, polyline([a, b]), lies.get(letter, Lies.SEWN))
            for letter, a, b in zip("ABCD", corners, ends, strict=True)
        ),
    )
    side = outline.edges[2].path
    at = [side.point_at(side.length * share)[0] for share in (0.5, 0.7)]
    short = Path(polyline([Point(0, 110), Point(80, 110), at[0]]).segments)
    knee = Path(polyline([Point(0, 110), Point(80, 110), at[1]]).segments)
    piece = Piece(
        "Leg",
        (outline,),
        (Line(Role.STITCH, short, "short"), Line(Role.STITCH, knee, "knee")),
        (),
        polyline([Point(50, 20), Point(50, 200)]),
        (Cut(2, "main", Lay.FOLD),),
        10.0,
        stitch=(outline,),
        wishes=Wishes(
            styles=tuple(StyleWish(style, ("D",)) for style in ("short", "knee", "long"))
        ),
    )
    made = with_shared_runs(with_cut(with_styles(piece)[0]))
    return Pattern("Nest", (made,), styles=(("short", ""), ("knee", ""), ("long", "")))


@cache
def pattern_called(name: str) -> Pattern:
    if name == "leg":
        return _trousers()
    hat = pattern_of_demo("hat")
    return replace(hat, pieces=tuple(piece for piece in hat.pieces if piece.name == "Brim"))


@cache
def published(name: str) -> tuple[Plan, Publication, bytes]:
    pattern = pattern_called(name)
    plan = laid(pattern, [PageSetup(find_paper("a3"), landscape) for landscape in (False, True)])
    publication = lay_out(pattern, plan)
    return plan, publication, pdf_bytes(publication)


def switched(pdf: bytes, off: frozenset[str]) -> bytes:
    """The file with some layers off, as a reader leaves them (ISO 32000-1, 8.11.4.3)."""
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(pdf)))
    properties = writer.root_object["/OCProperties"]
    groups = {str(g.get_object()["/Name"]): g for g in properties["/OCGs"]}
    default = properties["/D"]
    default[NameObject("/OFF")] = ArrayObject(groups[name] for name in sorted(off))
    default[NameObject("/ON")] = ArrayObject(g for n, g in groups.items() if n not in off)
    target = io.BytesIO()
    writer.write(target)
    return target.getvalue()


@cache
def seen(program: str, name: str, off: frozenset[str]) -> tuple[Grey, ...]:
    """All pages, with some layers off."""
    pdf = switched(published(name)[2], off)
    if program == "pdfium":
        document = pypdfium2.PdfDocument(pdf)
        try:
            return tuple(
                np.array(page.render(scale=DPI / 72, grayscale=True).to_pil()) for page in document
            )
        finally:
            document.close()
    count = len(PdfReader(io.BytesIO(pdf)).pages)
    pages = []
    for number in range(1, count + 1):
        done = subprocess.run(
            ["pdftoppm", "-gray", "-r", str(DPI), "-f", str(number), "-l", str(number), "-"],
            input=pdf,
            capture_output=True,
            check=True,
        )
        assert done.stderr == b""
        with Image.open(io.BytesIO(done.stdout)) as image:
            pages.append(np.array(image))
    return tuple(pages)


def own_paths(piece: Piece, keys: set[str]) -> list[Path]:
    things: tuple[Run | Line | Mark, ...] = (*piece.runs, *piece.lines, *piece.marks)
    return [
        thing.edge.path if isinstance(thing, Run) else thing.path
        for thing in things
        if thing.style in keys
    ]


def gone_keys(piece: Piece, off: frozenset[str]) -> set[str]:
    """The style keys of which no style is on."""
    return {key for key in piece.style_keys if set(styles_in(key)) <= off}


def on_page(plan: Plan, number: int, paths: list[Path]) -> list[shapely.LineString]:
    """Paths of the only piece in dots of a page of the pattern, y down."""
    cell = plan.cells[number]
    origin = plan.grid.origin(cell)
    height = plan.grid.setup.height
    at = plan.placements[0].at.then(Affine.move(-origin.x, -origin.y))
    at = at.then(Affine(DOTS, 0, 0, -DOTS, 0, height * DOTS))
    window = plan.grid.setup.window
    box = shapely.box(
        window.left * DOTS,
        (height - window.top) * DOTS,
        window.right * DOTS,
        (height - window.bottom) * DOTS,
    )
    lines = [shapely.LineString(path.moved(at).flattened(0.05)) for path in paths]
    return [line & box for line in lines if line.intersects(box)]


def names_of_styles(publication: Publication, page: str, plan: Plan) -> list[shapely.Polygon]:
    """Where the words along the cut lines of styles stand, in dots."""
    height = plan.grid.setup.height
    [found] = [each for each in publication.pages if each.name == page]
    return [
        shapely.affinity.affine_transform(
            words.ink.buffer(0.5), [DOTS, 0, 0, -DOTS, 0, height * DOTS]
        )
        for words in words_on(found)
        if words.text.endswith(": cut here")
    ]


SWITCHED = [
    ("leg", frozenset({"short"})),
    ("leg", frozenset({"knee"})),
    ("leg", frozenset({"long"})),
    ("leg", frozenset({"short", "knee"})),
    ("brim", frozenset({"wide"})),
    ("brim", frozenset({"narrow"})),
]


@pytest.mark.parametrize("program", PROGRAMS)
@pytest.mark.parametrize(("name", "off"), SWITCHED)
def test_switching_a_style_off_changes_exactly_its_own_edges(
    program: str, name: str, off: frozenset[str]
) -> None:
    plan, publication, _ = published(name)
    piece = pattern_called(name).pieces[0]
    front = len(publication.pages) - len(plan.cells)
    all_on, some_off = seen(program, name, frozenset()), seen(program, name, off)
    changed = 0
    for number, (before, after) in enumerate(zip(all_on, some_off, strict=True)):
        assert before.shape == after.shape
        rows, columns = np.nonzero(before != after)
        if number < front:
            assert not len(rows)
            continue
        cell = number - front
        lines = on_page(plan, cell, own_paths(piece, gone_keys(piece, off)))
        words = names_of_styles(publication, plan.cells[cell].name, plan)
        area = shapely.union_all([line.buffer(BAND * DOTS) for line in lines] + words)
        shapely.prepare(area)
        dots = shapely.points(columns + 0.5, rows + 0.5)
        assert shapely.covers(area, dots).all()
        # And all of them: along each line something changes at least once in every dash.
        if not len(dots):
            assert not any(line.length > 4 * GAP * DOTS for line in lines)
            continue
        tree = shapely.STRtree(dots)
        others = on_page(
            plan, cell, own_paths(piece, {"", *piece.style_keys} - gone_keys(piece, off))
        )
        under = shapely.union_all([line.buffer(BAND * DOTS) for line in others])
        for line in lines:
            for along in np.arange(0, line.length, 2.0):
                spot = line.interpolate(along)
                if not under.contains(spot):
                    nearest = dots[tree.nearest(spot)]
                    assert shapely.distance(spot, nearest) <= (GAP / 2 + 0.5) * DOTS
        changed += len(dots)
    assert changed > 100


@pytest.mark.parametrize("program", PROGRAMS)
@pytest.mark.parametrize(
    ("name", "style"),
    [("leg", "short"), ("leg", "knee"), ("leg", "long"), ("brim", "wide"), ("brim", "narrow")],
)
def test_with_one_style_left_the_outline_is_closed(program: str, name: str, style: str) -> None:
    plan, _, _ = published(name)
    pattern = pattern_called(name)
    off = frozenset(pattern.pieces[0].styles) - {style}
    pages = seen(program, name, off)
    assert len(plan.cells) == 1, "the piece is to be seen on one page"
    [alone] = only_styles(pattern, [style]).pieces
    [ring] = on_page(plan, 0, [alone.outlines[0].path])
    # Lines are widened until the gaps between their dashes are shut.
    radius = int(np.ceil(GAP / 2 * DOTS))
    thick = ndimage.minimum_filter(np.where(pages[-1] < 128, 0, 255), size=2 * radius + 1)
    rooms, _ = ndimage.label(thick == 255)
    where = shapely.Polygon(ring.coords).buffer(-3 * DOTS)
    reach = shapely.Polygon(ring.coords).buffer(0.5 * DOTS)
    shapely.prepare([where, reach])
    row, column = first_inside(rooms > 0, where)
    room = rooms == rooms[row, column]
    # The outline has no hole, so what holds the rim of the room holds all of it.
    rows, columns = np.nonzero(room & ~ndimage.binary_erosion(room))
    assert shapely.intersects_xy(reach, columns, rows).all()


def first_inside(free: npt.NDArray[np.bool_], where: shapely.Polygon) -> tuple[int, int]:
    """Row and column of the first free dot whose middle an area holds."""
    for row in range(len(free)):
        columns = np.flatnonzero(free[row])
        held = shapely.intersects_xy(where, columns + 0.5, np.full(len(columns), row + 0.5))
        if held.any():
            return row, int(columns[held][0])
    raise AssertionError("nothing is left white inside the outline")


@pytest.mark.parametrize("name", ["leg", "brim"])
def test_a_switched_file_is_sound(name: str, tmp_path) -> None:
    styles = pattern_called(name).pieces[0].styles
    file = tmp_path / "switched.pdf"
    file.write_bytes(switched(published(name)[2], frozenset(styles[:1])))
    done = subprocess.run(["qpdf", "--check", file], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert "No syntax or stream encoding errors found" in done.stdout


def test_a_reader_lists_styles_before_pieces_under_headings() -> None:
    """ISO 32000-1, 8.11.4.3: a text string at the start of an array is its heading."""
    root = PdfReader(io.BytesIO(published("leg")[2])).trailer["/Root"]
    order = root["/OCProperties"]["/D"]["/Order"]
    listed = [
        [str(part[0]), *(str(group.get_object()["/Name"]) for group in part[1:])]
        for part in (each.get_object() for each in order)
    ]
    assert listed == [
        ["Styles", "short", "knee", "long"],
        ["Pieces", "Leg"],
        ["Beside the lines", "Page marks", "Words"],
    ]
    assert all(group.get_object()["/Type"] == "/OCG" for group in root["/OCProperties"]["/OCGs"])


def test_marks_and_words_ask_to_be_printed_whatever_the_screen_shows() -> None:
    """ISO 32000-1, 8.11.4.4: PrintState in the group's usage, and AS for the event Print."""
    properties = PdfReader(io.BytesIO(published("leg")[2])).trailer["/Root"]["/OCProperties"]
    asking = {
        str(group.get_object()["/Name"])
        for group in properties["/OCGs"]
        if group.get_object().get("/Usage", {}).get("/Print", {}).get("/PrintState") == "/ON"
    }
    assert asking == {"Page marks", "Words"}
    [event] = properties["/D"]["/AS"]
    assert (event["/Event"], list(event["/Category"])) == ("/Print", ["/Print"])
    assert {str(group.get_object()["/Name"]) for group in event["/OCGs"]} == asking
    # Styles and pieces are switched for printing, too.
    assert "/OFF" not in properties["/D"]


def rendered(pdf: bytes, *, printing: bool) -> list[Grey]:
    """The pages as pdfium shows them on screen, or as it prints them."""
    document = pypdfium2.PdfDocument(pdf)
    mode = "print" if printing else None
    try:
        return [
            np.array(page.render(scale=1.0, grayscale=True, optimize_mode=mode).to_pil())
            for page in document
        ]
    finally:
        document.close()


@pytest.mark.parametrize("beside", ["Page marks", "Words"])
def test_what_is_off_on_screen_still_prints(beside: str) -> None:
    """A reader that knows the event (pdfium does) prints marks and words all the same."""
    pdf = published("brim")[2]
    off = switched(pdf, frozenset({beside}))
    plain, paper = rendered(off, printing=False), rendered(off, printing=True)
    whole, whole_paper = rendered(pdf, printing=False), rendered(pdf, printing=True)
    dark = [int((255 - page.astype(int)).sum()) for page in (plain[-1], whole[-1])]
    assert dark[0] < dark[1]
    assert all((a == b).all() for a, b in zip(paper, whole_paper, strict=True))


@pytest.mark.parametrize("program", PROGRAMS)
def test_without_marks_and_words_the_lines_alone_are_left(program: str) -> None:
    """With everything off the pages of the pattern are blank, and the front pages as before."""
    plan, publication, _ = published("brim")
    front = len(publication.pages) - len(plan.cells)
    bare = seen(program, "brim", frozenset({"Page marks", "Words"}))
    piece = pattern_called("brim").pieces[0]
    assert piece.grain is not None
    lines = on_page(plan, 0, [*own_paths(piece, {"", *piece.style_keys}), piece.grain])
    # Arrowheads of the grain go with its line.
    near = shapely.union_all([line.buffer((BAND + 1.5) * DOTS) for line in lines])
    shapely.prepare(near)
    rows, columns = np.nonzero(bare[front] < 250)
    assert len(rows)
    assert shapely.covers(near, shapely.points(columns + 0.5, rows + 0.5)).all()
    blank = seen(program, "brim", frozenset(publication.layers))
    assert all((page == 255).all() for page in blank[front:])
    whole = seen(program, "brim", frozenset())
    assert all((a == b).all() for a, b in zip(blank[:front], whole[:front], strict=True))
