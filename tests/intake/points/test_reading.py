"""Tables of points as sewists and their spreadsheets write them."""

import pytest

from tiler.intake.drawn import DrawnSheet
from tiler.intake.piece import piece_from
from tiler.intake.points import read_points
from tiler.intake.points.table import points_in
from tiler.intake.words.model import PieceWords
from tiler.pattern.affine import Point
from tiler.pattern.errors import DrawingError
from tiler.pattern.model import Finding, Piece, Role
from tiler.pattern.segment import Cubic, Straight

SQUARE = "0,0,corner\n100,0,corner\n100,200,corner\n0,200,corner\n"
BENCH = """x (cm),y (cm),kind,name,note
0,0,corner,hem at the fold,
26,0.8,corner,hem at the side,measured twice
24.6,29,curve,,
25,43,corner,underarm,
20,46,curve,,
18.4,52,curve,,
20,64,corner,shoulder tip,
8.5,68.5,corner,neck,
6,61.5,curve,,
0,59.8,corner,,
24.7,28,notch,,
15,30,drill,,
10,5,grain,,
10,50,grain,,
"""


def read(text: str | bytes) -> DrawnSheet:
    return read_points(text.encode() if isinstance(text, str) else text, "front.csv")


def made(text: str) -> tuple[Piece, dict[str, Finding]]:
    sheet = read(text)
    piece, findings = piece_from(sheet, PieceWords("Front", "front.csv"))
    return piece, {f.code: f for f in (*findings, *sheet.findings)}


def places(text: str | bytes) -> list[Point]:
    content = text.encode() if isinstance(text, str) else text
    return [point.at for point in points_in(content)]


def refused(text: str | bytes) -> str:
    with pytest.raises(DrawingError) as told:
        read(text)
    return str(told.value)


def test_a_measured_front_becomes_a_piece() -> None:
    piece, findings = made(BENCH)
    assert [len(edge.path.segments) for edge in piece.outlines[0].edges] == [1, 2, 1, 3, 2, 1]
    assert piece.grain is not None
    assert (piece.grain.start, piece.grain.end) == ((100, 50), (100, 500))
    assert [mark.role for mark in piece.marks] == [Role.NOTCH, Role.DRILL]
    assert piece.marks[1].at == (150, 300)
    assert set(findings) <= {"outline-role-assumed", "notch-moved"}


def test_two_corners_are_joined_straight_and_curve_points_smoothly() -> None:
    (outline,) = read("x (mm),y (mm),kind\n" + SQUARE).paths
    assert [type(s) for s in outline.path.segments] == [Straight] * 4
    curved = "x (mm),y (mm),kind\n0,0,corner\n60,-9,curve\n100,0,corner\n50,80,corner\n"
    (outline,) = read(curved).paths
    assert [type(s) for s in outline.path.segments] == [Cubic, Cubic, Straight, Straight]
    assert outline.role is None


def test_curve_points_alone_make_a_smooth_ring() -> None:
    ring = "x (mm),y (mm),kind\n100,0,curve\n0,100,curve\n-100,0,curve\n0,-100,curve\n"
    (outline,) = read(ring).paths
    # Four cubics of a circle of 100 mm (Goldapp, 1991: area off by less than 0.03 %).
    assert outline.path.area == pytest.approx(31415.93, rel=3e-4)


def test_a_corner_that_hardly_turns_is_a_corner_all_the_same() -> None:
    bent = (
        "x (mm),y (mm),kind\n0,0,corner\n100,0,corner\n200,20,corner\n200,200,corner\n0,200,corner"
    )
    piece, _ = made(bent)
    assert len(piece.outlines[0].edges) == 5


def test_either_way_round_is_the_same_piece() -> None:
    head, *rows = BENCH.splitlines()
    back = "\n".join([head, *reversed(rows)])
    one, other = made(BENCH)[0].outlines[0], made(back)[0].outlines[0]
    assert one.area == pytest.approx(other.area, abs=1e-6)
    assert [edge.letter for edge in one.edges] == [edge.letter for edge in other.edges]


def test_the_first_point_may_be_written_again_at_the_end() -> None:
    assert len(read(f"x (mm),y (mm),kind\n{SQUARE}0,0,corner\n").paths[0].path.segments) == 4


@pytest.mark.parametrize(
    "text",
    [
        "x (cm),y (cm),kind\n53.5,-2,corner\n",
        "kind,y (cm),x (cm)\ncorner,-2,53.5\n",
        "X (cm);Y (cm);Kind\n53,5;-2,0;Corner\n",
        "x (cm)\ty (cm)\tkind\n53,5\t-2\tcorner\n",
        'x (cm),y (cm),kind\n"53,5","-2,0",corner\n',
        "sep=;\nx (cm);y (cm);kind\n53,5;-2;corner\n",
        "\ufeffx;y;kind;unit\r\n53,5;-2;corner;cm\r\n\r\n;;;\r\n",
        "x [mm],y in cm,kind\n535,\u22122,corner\n",
        "x,y,kind\n53.5 cm,-20mm,corner\n",
        "x (in),y (mm),kind,unit\n53.5,-2,corner,cm\n",
    ],
)
def test_spreadsheets_of_all_kinds_say_the_same(text: str) -> None:
    (only,) = places(text)
    assert only == (pytest.approx(535), pytest.approx(-20))


@pytest.mark.parametrize(
    ("written", "inches"),
    [
        ("5 3/8", 5.375),
        ("3/8", 0.375),
        ("-1 1/2", -1.5),
        ('5 3/8"', 5.375),
        ("7", 7),
        ("2.25", 2.25),
    ],
)
def test_inches_are_written_with_fractions(written: str, inches: float) -> None:
    quoted = written.replace('"', '""')
    (only,) = places(f'x (in),y (in),kind\n"{quoted}",0,corner\n')
    # 25.4 mm exactly (international yard and pound agreement, 1959).
    assert only.x == pytest.approx(inches * 25.4)


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "cp1252"])
def test_names_with_accents_are_read_however_they_were_saved(encoding: str) -> None:
    (only,) = points_in("x (cm);y (cm);kind;name\n1;2;corner;Ärmelloch\n".encode(encoding))
    assert only.name == "Ärmelloch"


HEAD = "x (cm),y (cm),kind\n"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", ["front.csv", "empty", "x (cm),y (cm),kind"]),
        ("x (cm),kind\n1,corner\n", ['"y" is missing', "line 1"]),
        ("x (cm),y (cm),kin\n", ['no column "kin"', 'Did you mean "kind"']),
        ("x,y,kind\n1,2,corner\n", ["line 2, column x", "no unit", "x (cm)"]),
        (HEAD + "1,2,corner\n,3,curve\n", ["line 3, column x", "missing"]),
        (HEAD + "1,2,corner\n4,1.2.3,curve\n", ["line 3, column y", "not a length"]),
        (HEAD + '"1.234,5",2,corner\n', ["line 2, column x", "point and a comma"]),
        (HEAD + "1,2,cornr\n", ["line 2, column kind", '"cornr"', "curve"]),
        (HEAD + "53,5,2,corner\n", ["line 2", "semicolons"]),
        (HEAD + "1,2,corner\n1,2,curve\n5,5,corner\n", ["line 3", "same as the one before"]),
        (HEAD + "1,2,corner\n5,5,corner\n", ["2 points", "at least three"]),
        (HEAD + "0,0,corner\n9,0,corner\n9,9,corner\n4,4,grain\n", ["line 5", "1 point", "two"]),
        (HEAD + "0,0,corner\n9,0,corner\n9,9,corner\n1,8,notch\n", ["line 5", "away from"]),
        (HEAD + "0,0,corner\n9e9,0,corner\n", ["line 3, column x"]),
        ("x (cm),y (cm),kind,unit\n1,2,corner,ell\n", ['no unit "ell"', "line 2, column unit"]),
        (b"\x89PNG\r\n\x1a\n\0\0", ["front.csv"]),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_place(text: str | bytes, words: list[str]) -> None:
    told = refused(text)
    assert [word for word in words if word not in told] == [], told


def test_a_notch_a_little_off_is_moved_on_to_the_outline() -> None:
    piece, findings = made(f"x (mm),y (mm),kind\n{SQUARE}102,80,notch\n")
    assert piece.marks[0].at.to(Point(100, 80)) < 1e-9
    assert piece.marks[0].path.end.x < 100
    assert "2 mm" in findings["notch-moved"].text
