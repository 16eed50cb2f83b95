"""What stands in the file, read with plain ezdxf (an independent library), not with our reader.

Layer numbers and their meaning are those of ASTM D6673 [from memory].
"""

from __future__ import annotations

import io
from collections import Counter
from dataclasses import replace
from itertools import pairwise

import ezdxf
import pytest
from ezdxf import recover

from tests.demos import each_demo, pattern_of_demo
from tests.strategies import pattern_of, rectangular
from tiler.output.dxf import dxf_bytes
from tiler.pattern.affine import Point
from tiler.pattern.model import Cut, Edge, Lay, Lies, Line, Mark, Outline, Pattern, Piece, Role
from tiler.pattern.path import circle, polyline


def _opened(pattern: Pattern):
    return ezdxf.read(io.StringIO(dxf_bytes(pattern).decode("ascii"), newline=None))


@each_demo
def test_ezdxf_finds_no_error(demo):
    document, auditor = recover.read(io.BytesIO(dxf_bytes(pattern_of_demo(demo))))
    assert not auditor.errors
    assert not auditor.fixes
    assert document.dxfversion == "AC1009"
    auditor = _opened(pattern_of_demo(demo)).audit()
    assert not auditor.errors
    assert not auditor.fixes


@each_demo
def test_each_piece_is_one_block_inserted_once_for_each_style(demo):
    pattern = pattern_of_demo(demo)
    document = _opened(pattern)
    inserts = [i.dxf.name for i in document.modelspace().query("INSERT")]
    assert len(inserts) == len(set(inserts)) == sum(len(p.outlines) for p in pattern.pieces)
    names = [
        text.dxf.text.removeprefix("Piece Name: ")
        for name in inserts
        for text in document.blocks.get(name).query("TEXT")
        if text.dxf.text.startswith("Piece Name: ")
    ]
    assert names == [piece.name for piece in pattern.pieces for _ in piece.outlines]


@each_demo
def test_inserts_do_not_overlap(demo):
    document = _opened(pattern_of_demo(demo))
    spans = []
    for insert in document.modelspace().query("INSERT"):
        xs = [
            vertex.dxf.location.x + insert.dxf.insert.x
            for line in document.blocks.get(insert.dxf.name).query("POLYLINE[layer=='1']")
            for vertex in line.vertices
        ]
        spans.append((min(xs), max(xs)))
    assert all(before[1] < after[0] for before, after in pairwise(spans))


@each_demo
def test_nothing_varies(demo):
    pattern = pattern_of_demo(demo)
    assert dxf_bytes(pattern) == dxf_bytes(pattern)
    # A date, a version of a library or a handle would make two writings differ elsewhere.
    content = dxf_bytes(pattern)
    assert b"$TD" not in content
    assert b"ezdxf" not in content.lower()


def test_each_thing_lies_on_its_layer():
    square = rectangular("Front", 100, 200)
    edges = list(square.outlines[0].edges)
    edges[0] = Edge("A", edges[0].path, Lies.FOLD, "centre front")
    lines = (
        Line(Role.STITCH, polyline([Point(0, 20), Point(100, 20)])),
        Line(Role.INSIDE, polyline([Point(0, 30), Point(100, 30)])),
        Line(Role.FOLD, polyline([Point(0, 40), Point(100, 40)])),
        Line(Role.DART, polyline([Point(40, 200), Point(50, 120), Point(60, 200)])),
        Line(Role.CUT, circle(Point(50, 80), 10)),
    )
    marks = (
        Mark(Role.NOTCH, Point(100, 90), polyline([Point(100, 90), Point(95, 90)])),
        Mark(Role.DRILL, Point(50, 118), circle(Point(50, 118), 1.5)),
    )
    piece = Piece(
        "Front",
        (Outline(Role.CUT, tuple(edges)),),
        lines,
        marks,
        polyline([Point(20, 30), Point(20, 170)]),
        (Cut(1, "main", Lay.FOLD),),
        15.0,
    )
    block = _opened(pattern_of(piece)).blocks.get("FRONT")
    found = Counter(
        (e.dxftype(), e.dxf.layer) for e in block if e.dxf.layer not in ("2", "3", "15")
    )
    assert found == Counter(
        {
            ("POLYLINE", "1"): 1,
            ("TEXT", "1"): 3,
            ("LINE", "14"): 1,
            ("LINE", "8"): 2,
            ("POLYLINE", "8"): 1,
            ("POLYLINE", "11"): 1,
            ("LINE", "6"): 1,
            ("LINE", "7"): 1,
            ("POINT", "4"): 1,
            ("POINT", "13"): 1,
        }
    )
    boundary = block.query("POLYLINE[layer=='1']").first
    assert boundary.is_closed
    assert {(v.x, v.y) for v in boundary.points()} == {(0, 0), (0, 200), (100, 200), (100, 0)}
    mirror = block.query("LINE[layer=='6']").first
    assert {mirror.dxf.start.vec2, mirror.dxf.end.vec2} == {(0, 0), (0, 200)}
    texts = {t.dxf.text for t in block.query("TEXT[layer=='1']")}
    assert texts == {"Piece Name: Front", "Quantity: 1", "Material: main"}
    turns = {p.dxf.location.vec2 for p in block.query("POINT[layer=='2']")}
    assert {(0, 0), (0, 200), (100, 200), (100, 0), (50, 120)} <= turns
    curved = [p.dxf.location for p in block.query("POINT[layer=='3']")]
    assert curved
    assert all(p.distance((50, 80)) == pytest.approx(10, rel=3e-4) for p in curved)


def test_a_fold_inside_is_not_on_the_mirror_layer():
    """A reader unfolds the piece about the mirror line; a hem's fold must not be taken for it."""
    document = _opened(pattern_of_demo("apron"))
    pocket = document.blocks.get("TOOL_POCKET")
    mirrors = pocket.query("LINE[layer=='6']")
    assert len(mirrors) == 1
    assert abs(mirrors.first.dxf.start.x - mirrors.first.dxf.end.x) < 1e-9


def test_a_cutting_line_of_one_style_is_no_cutout():
    piece = rectangular("Brim", 100, 100)
    own = Line(Role.CUT, polyline([Point(0, 40), Point(100, 40)]), "narrow")
    document = _opened(pattern_of(replace(piece, lines=(own,)), styles=(("narrow", ""),)))
    assert not document.blocks.get("BRIM").query("*[layer=='11']")
    assert len(document.blocks.get("BRIM").query("*[layer=='8']")) == 1


def test_the_unit_is_told_and_shown():
    document = _opened(pattern_of_demo("apron"))
    texts = [t.dxf.text for t in document.modelspace().query("TEXT")]
    assert "Units: METRIC" in texts
    assert "Style Name: Potting apron" in texts
    (line,) = document.modelspace().query("LINE")
    assert line.dxf.start.distance(line.dxf.end) == pytest.approx(100, abs=1e-9)
    assert any(text.startswith("Scale Check: 100 mm") for text in texts)


def test_a_known_length_is_true():
    """The apron's neck strap is 680 mm by 80 mm, as its drawing says (x 8 to 88, y 8 to 688)."""
    block = _opened(pattern_of_demo("apron")).blocks.get("NECK_STRAP")
    points = list(block.query("POLYLINE[layer=='1']").first.points())
    xs, ys = [p.x for p in points], [p.y for p in points]
    assert (max(xs) - min(xs), max(ys) - min(ys)) == pytest.approx((80, 680), abs=1e-6)


@each_demo
def test_chords_stay_within_their_promise(demo):
    """Every chord of a curve is nearer than 0.02 mm to the curve that it stands for."""
    import shapely

    pattern = pattern_of_demo(demo)
    document = _opened(pattern)
    names = [i.dxf.name for i in document.modelspace().query("INSERT")]
    outlines = [outline for piece in pattern.pieces for outline in piece.outlines]
    for outline, name in zip(outlines, names, strict=True):
        (boundary,) = document.blocks.get(name).query("POLYLINE[layer=='1']")
        ring = shapely.LinearRing([(p.x, p.y) for p in boundary.points()])
        flat = outline.path.flattened(0.001)
        far = shapely.distance(shapely.points([tuple(p) for p in flat]), ring).max()
        assert far < 0.02, name


@pytest.mark.parametrize(
    ("names", "blocks"),
    [
        (("Front", "front"), ["FRONT", "FRONT_2"]),
        (("Größe 40", "裁縫"), ["GROSSE_40", "PIECE"]),
        (("A" * 40, "A" * 41), ["A" * 31, "A" * 29 + "_2"]),
        (("a/b:c", "../x"), ["A_B_C", "X"]),
    ],
)
def test_block_names_are_plain_and_differ(names, blocks):
    pieces = [rectangular(name, 100, 100) for name in names]
    document = _opened(pattern_of(*pieces))
    assert [i.dxf.name for i in document.modelspace().query("INSERT")] == blocks
