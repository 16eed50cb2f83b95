"""Hand-written files read right.

Layers and fields are those of ASTM D6673 [from memory].
"""

from __future__ import annotations

import pytest

from tiler.intake.dxf import read_dxf
from tiler.pattern.affine import Point
from tiler.pattern.model import Cut, Lay, Lies, Pattern, Piece, Role, Severity


def _codes(pattern: Pattern) -> set[str]:
    return {finding.code for finding in pattern.findings}


def _only(content: bytes) -> Piece:
    (piece,) = read_dxf(content, "front.dxf").pieces
    return piece


SMOCK = """\
0
SECTION
2
HEADER
9
$ACADVER
1
AC1009
0
ENDSEC
0
SECTION
2
BLOCKS
0
BLOCK
8
1
2
SF-01
70
0
10
0.0
20
0.0
30
0.0
3
SF-01
0
TEXT
8
1
10
2.0
20
8.0
30
0.0
40
0.25
1
PIECE NAME: SMOCK FRONT
0
TEXT
8
1
10
2.0
20
7.5
30
0.0
40
0.25
1
QUANTITY: 1
0
TEXT
8
1
10
2.0
20
7.0
30
0.0
40
0.25
1
MATERIAL: TWILL
0
TEXT
8
15
10
2.0
20
6.5
30
0.0
40
0.25
1
Ease in between the notches
0
POLYLINE
8
1
66
1
70
1
0
VERTEX
8
1
10
0.0
20
0.0
0
VERTEX
8
1
10
0.0
20
20.0
0
VERTEX
8
1
10
8.0
20
20.0
0
VERTEX
8
1
10
10.0
20
0.0
0
SEQEND
8
1
0
POINT
8
2
10
0.0
20
0.0
30
0.0
0
POINT
8
2
10
0.0
20
20.0
30
0.0
0
POINT
8
2
10
8.0
20
20.0
30
0.0
0
POINT
8
2
10
10.0
20
0.0
30
0.0
0
LINE
8
6
10
0.0
20
0.0
30
0.0
11
0.0
21
20.0
31
0.0
0
LINE
8
7
10
3.0
20
2.0
30
0.0
11
3.0
21
18.0
31
0.0
0
POINT
8
4
10
9.0
20
10.0
30
0.0
0
POINT
8
13
10
4.0
20
15.0
30
0.0
0
LINE
8
14
10
7.375
20
20.0
30
0.0
11
9.375
21
0.0
31
0.0
0
LINE
8
8
10
1.0
20
5.0
30
0.0
11
6.0
21
5.0
31
0.0
0
ENDBLK
8
1
0
ENDSEC
0
SECTION
2
ENTITIES
0
TEXT
8
1
10
0.0
20
-2.0
30
0.0
40
0.25
1
STYLE NAME: GARDEN SMOCK
0
TEXT
8
1
10
0.0
20
-3.0
30
0.0
40
0.25
1
UNITS: ENGLISH
0
INSERT
8
1
2
SF-01
10
0.0
20
0.0
30
0.0
0
ENDSEC
0
EOF
"""


@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"])
def test_a_front_in_inches(ends):
    """A front on the fold, 10 in wide at the hem and 20 in long; 1 in is 25.4 mm exactly."""
    pattern = read_dxf(SMOCK.replace("\n", ends).encode(), "smock.dxf")
    (piece,) = pattern.pieces
    assert (pattern.title, piece.name) == ("GARDEN SMOCK", "SMOCK FRONT")
    assert piece.cuts == (Cut(1, "TWILL", Lay.FOLD),)
    assert piece.notes == ("Ease in between the notches",)
    (outline,) = piece.outlines
    assert outline.role is Role.CUT
    assert [edge.lies for edge in outline.edges] == [Lies.FOLD, *[Lies.SEWN] * 3]
    assert outline.edges[0].path.length == pytest.approx(508)
    assert [edge.path.start for edge in outline.edges] == [
        pytest.approx(place) for place in ((0, 0), (0, 508), (203.2, 508), (254, 0))
    ]
    assert piece.grain is not None
    assert piece.grain.start == pytest.approx((76.2, 50.8))
    assert piece.grain.end == pytest.approx((76.2, 457.2))
    notch, drill = piece.marks
    assert (notch.role, drill.role) == (Role.NOTCH, Role.DRILL)
    assert notch.at == pytest.approx((228.6, 254))
    assert notch.path.end.x < notch.at.x, "a notch given as a point is drawn inwards"
    assert drill.at == pytest.approx((101.6, 381))
    roles = {line.role: line.path for line in piece.lines}
    assert set(roles) == {Role.STITCH, Role.INSIDE}
    # The stitch line runs 5/8 in inside at hem and shoulder.
    assert roles[Role.STITCH].end == pytest.approx((254 - 15.875, 0))
    assert roles[Role.INSIDE].length == pytest.approx(127)
    # Said to the reader: nobody knows how much allowance is included.
    assert _codes(pattern) == {"boundary-taken-as-cut"}
    assert piece.allowance is None
    assert pattern.digest


@pytest.mark.parametrize(
    ("units", "header", "side"),
    [
        ("METRIC", None, 100),
        ("metric", None, 100),
        ("ENGLISH", None, 2540),
        ("", 4, 100),
        ("", 1, 2540),
        ("", 5, 1000),
        ("METRIC", 1, 100),
    ],
)
def test_the_unit_comes_from_the_text_and_else_from_the_header(dxf, square, units, header, side):
    entities = [dxf.text(f"Units: {units}")] if units else []
    unit = dxf.tags((9, "$INSUNITS"), (70, header)) if header else ""
    content = dxf.file([dxf.block("A", square)], [*entities, dxf.insert("A")], unit)
    pattern = read_dxf(content, "a.dxf")
    assert pattern.pieces[0].bounds.width == pytest.approx(side)
    assert ("units-differ" in _codes(pattern)) == bool(units and header)


def test_the_unit_may_stand_inside_a_block(dxf, square):
    content = dxf.file([dxf.block("A", square, dxf.text("UNITS: ENGLISH"))], [dxf.insert("A")])
    assert _only(content).bounds.width == pytest.approx(2540)


@pytest.mark.parametrize("header", ["", "9\n$INSUNITS\n70\n0\n", "9\n$INSUNITS\n70\n2\n"])
def test_without_a_unit_nothing_is_guessed(dxf, square, refused, header):
    content = dxf.file([dxf.block("A", square)], [dxf.insert("A")], header)
    refused(content, "does not say its unit", '"Units: METRIC"', '"Units: ENGLISH"')


def test_an_unknown_unit_is_refused(dxf, square, refused):
    refused(dxf.piece(square, units="CUBITS"), 'unit "cubits"', "METRIC")


def test_two_units_are_refused(dxf, square, refused):
    content = dxf.piece(square, dxf.text("Units: ENGLISH"))
    refused(content, "both as METRIC and as ENGLISH")


def test_a_scaled_drawing_betrays_itself(dxf, square, refused):
    """A line that states 100 mm and measures 101 shows that all the drawing was scaled."""
    words = [dxf.text("Units: METRIC"), dxf.text("Scale Check: 100 mm, the line below")]
    true = [*words, dxf.line(15, (0, -9), (100, -9)), dxf.insert("A")]
    assert _only(dxf.file([dxf.block("A", square)], true)).bounds.width == 100
    false = [*words, dxf.line(15, (0, -9), (101, -9)), dxf.insert("A")]
    refused(dxf.file([dxf.block("A", square)], false), "has been scaled", "101 mm")


@pytest.mark.parametrize(
    ("words", "mirror", "cuts", "code"),
    [
        ("1", False, (Cut(1, "main", Lay.COPIES),), None),
        ("1", True, (Cut(1, "main", Lay.FOLD),), None),
        ("2", True, (Cut(2, "main", Lay.FOLD),), None),
        ("2", False, (), "quantity-not-understood"),
        ("1,1", False, (), "quantity-not-understood"),
        ("two", False, (), "quantity-not-understood"),
        ("0", False, (), "quantity-not-understood"),
        ("99999", True, (), "quantity-not-understood"),
        ("", False, (), None),
    ],
)
def test_quantities(dxf, square, words, mirror, cuts, code):
    """Two of a piece may be a pair or copies: that is asked for, never guessed."""
    fold = dxf.line(6, (0, 0), (0, 100)) if mirror else ""
    texts = dxf.text(f"Quantity: {words}") + dxf.text("Material: main")
    pattern = read_dxf(dxf.piece(square, texts, fold), "a.dxf")
    assert pattern.pieces[0].cuts == cuts
    assert ({code} if code else set()) == _codes(pattern) - {"boundary-taken-as-cut"}


def test_layers_that_the_standard_has_not_are_told(dxf, square):
    content = dxf.piece(
        square,
        dxf.line("FRAME", (0, 0), (9, 9)),
        dxf.line("FRAME", (0, 0), (9, 8)),
        dxf.line(0, (0, 0), (9, 7)),
        dxf.line(9, (0, 50), (100, 50)),
        dxf.polyline(84, ((0, 0), (0, 100), (100, 100), (100, 0))),
        dxf.tags((0, "3DFACE"), (8, 8), *((c + i, i) for i in range(4) for c in (10, 20, 30))),
    )
    pattern = read_dxf(content, "a.dxf")
    assert pattern.pieces[0].lines == ()
    (finding,) = [f for f in pattern.findings if f.code == "left-out"]
    assert finding.severity is Severity.WARNING
    for words in ("layer FRAME", "(2)", "layer 0", "stripe", "validation", "3DFACE"):
        assert words in str(finding)


def test_things_on_a_layer_where_they_say_nothing_are_told(dxf, square):
    content = dxf.piece(
        square, dxf.point(8, (5, 5)), dxf.line(2, (0, 0), (5, 5)), dxf.line(1, (0, 0), (5, 5))
    )
    told = {finding.code: str(finding) for finding in read_dxf(content, "a.dxf").findings}
    assert "POINT entities on layer 8" in told["left-out"]
    assert "LINE entities on layer 2" in told["left-out"]
    assert "layer 1 were left out: 1" in told["boundary-lines-left-out"]


def test_texts_that_were_not_used_are_named(dxf, square):
    pattern = read_dxf(dxf.piece(square, dxf.text("WASH CODE: 7")), "a.dxf")
    (finding,) = [f for f in pattern.findings if f.code == "texts-not-used"]
    assert "wash code" in finding.text


def test_a_hole_to_cut_out_stays_inside_the_boundary(dxf, square):
    hole = dxf.polyline(11, ((40, 40), (60, 40), (50, 60)))
    piece = _only(dxf.piece(square, hole))
    assert len(piece.outlines) == 1
    (line,) = piece.lines
    assert (line.role, line.path.closed) == (Role.CUT, True)
    assert abs(line.path.area) == pytest.approx(200)


def test_the_first_point_may_be_repeated_at_the_end(dxf):
    piece = _only(dxf.piece(dxf.polyline(1, ((0, 0), (9, 0), (9, 9), (0, 0)), closed=False)))
    assert piece.outlines[0].area == pytest.approx(40.5)
    assert len(piece.outlines[0].edges) == 3


def test_notches_of_every_kind_keep_their_place(dxf, square):
    kinds = [dxf.point(layer, (10 * i, 100)) for i, layer in enumerate((4, 80, 81, 82, 83), 2)]
    drawn = dxf.line(4, (100, 30), (94, 30))
    marks = _only(dxf.piece(square, *kinds, drawn)).marks
    assert [mark.role for mark in marks] == [Role.NOTCH] * 6
    assert [mark.at for mark in marks] == [
        pytest.approx(p) for p in ((20, 100), (30, 100), (40, 100), (50, 100), (60, 100), (100, 30))
    ]


def test_a_notch_beside_the_boundary_is_told(dxf, square):
    pattern = read_dxf(dxf.piece(square, dxf.point(4, (50, 97))), "a.dxf")
    (finding,) = [f for f in pattern.findings if f.code == "notch-off-outline"]
    assert "3 mm away" in finding.text
    assert pattern.pieces[0].marks[0].at == Point(50, 97)


def test_a_mirror_line_inside_is_told(dxf, square):
    pattern = read_dxf(dxf.piece(square, dxf.line(6, (50, 0), (50, 100))), "a.dxf")
    assert "mirror-off-edge" in _codes(pattern)
    assert [line.role for line in pattern.pieces[0].lines] == [Role.FOLD]


def test_drills_may_be_drawn_as_rings_or_crosses(dxf, square):
    ring = dxf.tags((0, "CIRCLE"), (8, 13), (10, 30), (20, 40), (30, 0), (40, 2))
    cross = dxf.line(13, (68, 40), (72, 40)) + dxf.line(13, (70, 38), (70, 42))
    marks = _only(dxf.piece(square, ring, cross)).marks
    assert [mark.role for mark in marks] == [Role.DRILL] * 2
    assert sorted(mark.at for mark in marks) == [
        pytest.approx((30, 40), abs=0.02),
        pytest.approx((70, 40)),
    ]


def test_the_grainline_is_the_longest_line_of_its_layer(dxf, square):
    head = dxf.line(7, (50, 90), (46, 84))
    pattern = read_dxf(dxf.piece(square, head, dxf.line(7, (50, 10), (50, 90))), "a.dxf")
    assert pattern.pieces[0].grain.length == pytest.approx(80)
    assert "grain-simplified" in _codes(pattern)


@pytest.mark.parametrize(
    ("more", "width", "height", "code"),
    [
        ((), 40, 100, None),
        (((50, 90),), 100, 40, None),
        (((41, 2), (42, 2)), 80, 200, "block-scaled"),
        (((41, -1),), 40, 100, None),
        (((210, 0), (220, 0), (230, -1)), 40, 100, None),
    ],
)
def test_turn_flip_and_scale_of_a_block_are_heeded(dxf, more, width, height, code):
    ring = dxf.polyline(1, ((0, 0), (0, 100), (40, 100), (30, 0)))
    pattern = read_dxf(dxf.piece(ring, dxf.point(4, (20, 100)), insert=more), "a.dxf")
    (piece,) = pattern.pieces
    assert (piece.outlines[0].path.bounds.width, piece.outlines[0].path.bounds.height) == (
        pytest.approx(width),
        pytest.approx(height),
    )
    assert "notch-off-outline" not in _codes(pattern)
    assert (code in _codes(pattern)) == bool(code)


def test_a_flipped_block_is_the_other_half_of_a_pair(dxf):
    """The slant of the side lies on the other side after a flip about the y axis."""
    ring = dxf.polyline(1, ((0, 0), (0, 100), (40, 100), (30, 0)))
    piece = _only(dxf.piece(ring, insert=((41, -1),)))
    xs = [node.x for node in piece.outlines[0].path.nodes()]
    assert max(xs) - sorted(set(xs))[0] == pytest.approx(40)
    low = [n.x - max(xs) for n in piece.outlines[0].path.nodes() if n.y - piece.bounds.bottom < 1]
    assert sorted(set(low)) == [pytest.approx(-30), pytest.approx(0)]


def test_a_stretched_block_is_refused(dxf, square, refused):
    refused(dxf.piece(square, insert=((41, 2), (42, 1))), "stretched: 2 across and 1 up", "scale 1")


def test_blocks_inside_blocks_are_read_in_their_place(dxf, square):
    inner = dxf.block("HOLE", dxf.polyline(11, ((0, 0), (10, 0), (0, 10))))
    outer = dxf.block(
        "FRONT", square, dxf.tags((0, "INSERT"), (8, 8), (2, "HOLE"), (10, 30), (20, 40))
    )
    piece = _only(dxf.file([inner, outer], [dxf.text("Units: METRIC"), dxf.insert("FRONT")]))
    (line,) = piece.lines
    assert line.path.bounds == pytest.approx((30, 40, 40, 50))


def test_sizes_of_a_piece_nest_as_styles(dxf):
    shared = dxf.line(8, (5, 5), (20, 5))
    blocks = [
        dxf.block(
            f"F{size}",
            dxf.text("Piece Name: Front"),
            dxf.text(f"Size: {size}"),
            dxf.polyline(1, ((0, 0), (0, size), (40, size), (40, 0))),
            shared,
            dxf.line(8, (5, 9), (size, 9)),
        )
        for size in (36, 38)
    ]
    content = dxf.file(blocks, [dxf.text("Units: METRIC"), dxf.insert("F36"), dxf.insert("F38")])
    pattern = read_dxf(content, "a.dxf")
    (piece,) = pattern.pieces
    assert [(o.style, o.path.bounds.height) for o in piece.outlines] == [("36", 36), ("38", 38)]
    assert sorted(line.style for line in piece.lines) == ["", "36", "38"]
    assert pattern.styles == (("36", ""), ("38", ""))


def test_the_same_piece_twice_gets_a_name_of_its_own(dxf, square):
    blocks = [dxf.block(name, dxf.text("Piece Name: Cuff"), square) for name in ("A", "B", "C")]
    inserts = [dxf.insert(name) for name in ("A", "B", "C", "A")]
    pattern = read_dxf(dxf.file(blocks, [dxf.text("Units: METRIC"), *inserts]), "a.dxf")
    assert [piece.name for piece in pattern.pieces] == ["Cuff", "Cuff 2", "Cuff 3"]
    assert "piece-renamed" in _codes(pattern)


def test_blocks_that_are_nowhere_inserted_are_pieces_all_the_same(dxf, square):
    pattern = read_dxf(dxf.file([dxf.block("A", square)], [dxf.text("Units: METRIC")]), "a.dxf")
    assert [piece.name for piece in pattern.pieces] == ["A"]
    assert pattern.title == "a"


def test_letters_of_windows_and_codes_of_dxf_are_read(dxf, square):
    content = dxf.piece(square, dxf.text("Piece Name: Bündchen 30%%d \\U+2013 \\U+5DE6"))
    assert _only(content).name == "Bündchen 30° – 左"


def test_a_later_release_is_read_too(dxf):
    """Release 2000 draws with LWPOLYLINE and MTEXT; made by ezdxf, not by our writer."""
    import io

    import ezdxf

    document = ezdxf.new("R2000", units=4)
    block = document.blocks.new("BACK")
    block.add_lwpolyline(
        [(0, 0), (0, 50), (80, 50), (80, 0)], close=True, dxfattribs={"layer": "1"}
    )
    block.add_mtext("PIECE NAME: BACK\\PQUANTITY: 1", dxfattribs={"layer": "1"})
    document.modelspace().add_blockref("BACK", (300, 0))
    stream = io.StringIO()
    document.write(stream)
    piece = _only(stream.getvalue().encode())
    assert (piece.name, piece.cuts) == ("BACK", (Cut(1, "", Lay.COPIES),))
    assert piece.bounds == pytest.approx((0, 0, 80, 50))
