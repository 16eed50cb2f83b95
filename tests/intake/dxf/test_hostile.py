"""Files that are broken, far too large, or mean harm: refused quickly, with place and remedy."""

from __future__ import annotations

import gzip
import logging
import math
import time

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.strategies import pattern_of, rectangular
from tiler.intake.dxf import read_dxf
from tiler.intake.dxf import scan as limits
from tiler.intake.dxf.entities import POINT_LIMIT
from tiler.intake.dxf.piece import MARK_LIMIT, MIRROR_LIMIT
from tiler.output.dxf import dxf_bytes
from tiler.pattern.affine import Point
from tiler.pattern.errors import BlocksheetError
from tiler.pattern.model import Line, Role
from tiler.pattern.path import circle

NOT_DXF = [
    (b"", "the file is empty", "Save the drawing again"),
    (b" \r\n \n", "the file is empty", "Save the drawing again"),
    (b"hello", "EOF is missing", "again"),
    (b"hello\nworld\n", "line 1: this is not ASCII DXF: a group code", "'hello'"),
    (b"0\nSECTION\nx\ny\n", "line 3", "'x'"),
    (b"AutoCAD Binary DXF\r\n\x1a\0", "binary DXF", "ASCII DXF"),
    (b"AC1015\0\0\0", "DWG", "ASCII DXF"),
    (b"%PDF-1.7\n", "it is a PDF", "ASCII DXF"),
    (b"PK\x03\x04", "ZIP", "ASCII DXF"),
    (gzip.compress(b"0\nEOF\n"), "compressed", "ASCII DXF"),
    (b"<svg/>", "SVG", "ASCII DXF"),
    (b"\x89PNG\r\n\x1a\n", "picture", "ASCII DXF"),
    (b"0\nSECTION\n\0\0", "binary data", "ASCII DXF"),
    (b"0\nEOF\n", "no pieces", ""),
    (b"0\nSECTION\n2\nENTITIES\n", "line 4: the file breaks off", "again"),
    (b"99999\nx\n0\nEOF\n", "line 1", "group code"),
    ("\u0660\nx\n0\nEOF\n".encode(), "line 1", "group code"),
]


@pytest.mark.parametrize(("content", "reason", "remedy"), NOT_DXF, ids=range(len(NOT_DXF)))
def test_other_files_are_refused(refused, dxf, content, reason, remedy):
    if reason == "no pieces":
        # Without a unit there is no further look.
        content = dxf.file([], [dxf.text("Units: METRIC")])
    refused(content, reason, remedy)


@pytest.mark.parametrize(
    "value", ["nan", "inf", "-inf", "1e999", "1_0", "0x10", "ten", "", "1e8", "٣", "1,5"]
)
def test_numbers_that_are_none_are_refused_with_their_line(refused, dxf, square, value):
    content = dxf.piece(square).decode().replace("\n100\n", f"\n{value}\n", 1).encode()
    line = content.decode().split("\n").index(value, 30) + 1 if value else None
    message = refused(content, "number")
    assert line is None or f"line {line}:" in message


def test_a_file_cut_short_anywhere_is_refused(refused, dxf, square):
    content = dxf.piece(square, dxf.point(4, (50, 100)))
    for end in range(1, len(content) - 6, 7):
        refused(content[:end])


def test_a_huge_file_is_refused_unread(refused):
    refused(b"0\n" * (limits.SIZE_LIMIT // 2 + 1), "larger than 16 MiB", "split")


def test_too_many_entities_are_refused(refused):
    refused(b"0\nPOINT\n" * (limits.ENTITY_LIMIT + 1), f"more than {limits.ENTITY_LIMIT} entities")


def test_a_long_line_is_refused(refused):
    refused(b"1\n" + b"x" * (limits.LINE_LIMIT + 1) + b"\n0\nEOF\n", "line 2", "5001 characters")


def test_blocks_in_a_circle_are_refused(refused, dxf, square):
    blocks = [
        dxf.block("A", square, dxf.insert("B")),
        dxf.block("B", square, dxf.insert("C")),
        dxf.block("C", square, dxf.insert("A")),
    ]
    content = dxf.file(blocks, [dxf.text("Units: METRIC"), dxf.insert("A")])
    refused(content, "inside themselves", "a in c in b in a", "Explode")


def test_a_block_inside_itself_is_refused(refused, dxf, square):
    content = dxf.piece(square, dxf.insert("FRONT"))
    refused(content, "inside themselves")
    refused(dxf.piece(square, dxf.insert("front"), insert=((50, 30),)), "inside themselves")


def test_blocks_nested_too_deep_are_refused(refused, dxf, square):
    names = [f"B{i}" for i in range(9)]
    blocks = [dxf.block(n, square, dxf.insert(f"B{i + 1}")) for i, n in enumerate(names)]
    content = dxf.file(
        [*blocks, dxf.block("B9", square)], [dxf.text("Units: METRIC"), dxf.insert("B0")]
    )
    refused(content, "more than 4 deep", "Explode")


def test_blocks_that_multiply_are_refused_in_time(refused, dxf, square):
    """Each of four blocks holds the next a hundred times: a hundred million lines, if obeyed."""
    blocks = [
        dxf.block(f"B{i}", square if not i else "", *[dxf.insert(f"B{i + 1}")] * 100)
        for i in range(4)
    ]
    blocks.append(dxf.block("B4", *[dxf.line(8, (0, 0), (1, 1))] * 10))
    content = dxf.file(blocks, [dxf.text("Units: METRIC"), dxf.insert("B0")])
    start = time.monotonic()
    refused(content, f"more than {POINT_LIMIT} points")
    assert time.monotonic() - start < 60


def test_rows_of_a_block_are_left_out_and_told(dxf, square):
    rows = dxf.insert("HOLE", (70, 30000), (71, 30000), (44, 1), (45, 1))
    blocks = [dxf.block("HOLE", dxf.line(8, (0, 0), (1, 1))), dxf.block("A", square, rows)]
    pattern = read_dxf(dxf.file(blocks, [dxf.text("Units: METRIC"), dxf.insert("A")]), "a.dxf")
    assert pattern.pieces[0].lines == ()
    assert any("repeated INSERT" in finding.text for finding in pattern.findings)


@pytest.mark.parametrize(
    ("layer", "what", "most"),
    [
        (4, "notches", MARK_LIMIT),
        (13, "drill holes", MARK_LIMIT),
        (6, "mirror lines", MIRROR_LIMIT),
    ],
)
def test_marks_without_end_are_refused(refused, dxf, square, layer, what, most):
    marks = [dxf.line(layer, (i / 10, 0), (i / 10, 5)) for i in range(most + 1)]
    refused(dxf.piece(square, *marks), f"there are {most + 1} {what}", f"at most {most}")


def test_a_ring_of_many_points_is_read_in_time(dxf):
    """Twenty thousand curve points on a circle of radius 500 mm."""
    count = 20_000
    ring = [
        (500 * math.cos(i * math.tau / count), 500 * math.sin(i * math.tau / count))
        for i in range(count)
    ]
    start = time.monotonic()
    piece = read_dxf(dxf.piece(dxf.polyline(1, ring), dxf.point(3, ring[0])), "a.dxf").pieces[0]
    assert time.monotonic() - start < 60
    assert piece.outlines[0].area == pytest.approx(math.pi * 500**2, rel=1e-5)


BOUNDARIES = [
    ((), "no line on layer 1"),
    ((((0, 0), (0, 9), (9, 9)), False), "open: its ends are 12.73 mm apart"),
]


@pytest.mark.parametrize(("ring", "reason"), BOUNDARIES)
def test_pieces_without_a_boundary_are_refused(refused, dxf, ring, reason):
    line = dxf.polyline(1, ring[0], closed=ring[1]) if ring else ""
    refused(dxf.piece(line, dxf.line(8, (0, 0), (5, 5))), "piece FRONT", reason)


def test_two_boundaries_are_refused(refused, dxf, square):
    refused(dxf.piece(square, square), "2 closed lines on layer 1", "layer 11")


def test_a_piece_of_no_size_or_of_too_much_is_refused(refused, dxf):
    point = dxf.polyline(1, [(5, 5)] * 4)
    refused(dxf.piece(point), "no line on layer 1")
    huge = dxf.polyline(1, [(0, 0), (0, 90_000), (90_000, 0)])
    refused(dxf.piece(huge), "measures 90 by 90 m", "Units")


def test_an_arc_as_large_as_a_county_is_refused(refused, dxf, square):
    arc = dxf.tags((0, "CIRCLE"), (8, 8), (10, 0), (20, 0), (40, 9e6))
    refused(dxf.piece(square, arc, units="ENGLISH"), "radius")


@pytest.mark.parametrize(
    "words",
    [
        "Units: METRIC\nSIZE",
        "Edge A: fold",
        "Edge ZZZ: hem, x",
        "Allowance: 1e400 mm",
        "Allowance: -5 mm",
        "Allowance: ten",
        "Cut: 0 pair of x",
        "Cut: 9999 pair",
        "Boundary: none",
        "Note, continued: what",
        ":",
        "::",
        "\\U+D800",
        "\\U+ZZZZ",
        "%%",
        "^",
        "\\M+1",
    ],
)
def test_strange_words_harm_nothing(dxf, square, words):
    text = dxf.tags((0, "TEXT"), (8, 15), (10, 0), (20, 0), (40, 2), (1, words.split("\n")[0]))
    pattern = read_dxf(dxf.piece(square, text), "a.dxf")
    assert pattern.pieces[0].outlines[0].area == 10_000
    assert all(str(finding).encode() for finding in pattern.findings)


def test_extended_data_that_make_no_sense_say_nothing(dxf):
    content = dxf_bytes(
        pattern_of(
            rectangular(
                "Front", 90, 90, lines=(Line(Role.DART, circle(Point(40, 40), 9), "narrow"),)
            )
        )
    )
    for before, after in (
        (b"role=dart", b"role=wart"),
        (b"variant=1", b"variant=9"),
        (b"variant=1", b"variant=\xb2"),
        (b"variant=1", b"xxxx"),
    ):
        assert before in content
        pattern = read_dxf(content.replace(before, after), "a.dxf")
        (line,) = pattern.pieces[0].lines
        assert line.role is (Role.INSIDE if b"role" in before else Role.DART)
        assert (line.style == "narrow") == (b"role" in before)


SMALL = dxf_bytes(pattern_of(rectangular("Front", 90, 60))).split(b"\r\n")


@settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.data())
def test_a_file_changed_at_random_is_read_or_refused(data):
    """Lines are deleted, doubled, swapped or overwritten: never anything but our own errors."""
    lines = list(SMALL)
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(lines) - 2)) // 2 * 2
        what = data.draw(st.sampled_from(("delete", "double", "value", "code", "swap")))
        if what == "delete":
            del lines[at : at + 2]
        elif what == "double":
            lines[at:at] = lines[at : at + 2]
        elif what == "code":
            lines[at] = str(
                data.draw(st.sampled_from((0, 1, 2, 5, 8, 10, 40, 70, 100, 210)))
            ).encode()
        elif what == "value":
            value = st.sampled_from(
                (
                    b"",
                    b"0",
                    b"-1",
                    b"1e6",
                    b"LINE",
                    b"INSERT",
                    b"ENDSEC",
                    b"BLOCK",
                    b"POLYLINE",
                    b"EOF",
                    b"FRONT",
                    b"\xff",
                )
            )
            lines[at + 1] = data.draw(value)
        else:
            other = data.draw(st.integers(0, len(lines) - 2)) // 2 * 2
            lines[at : at + 2], lines[other : other + 2] = (
                lines[other : other + 2],
                lines[at : at + 2],
            )
    said = ""
    try:
        pieces = read_dxf(b"\r\n".join(lines), "any.dxf").pieces
    except BlocksheetError as bad:
        pieces, said = (), str(bad)
    assert pieces or said.startswith("any.dxf")


@settings(max_examples=100, deadline=None)
@given(st.binary(max_size=300))
def test_any_bytes_are_refused(content):
    with pytest.raises(BlocksheetError):
        read_dxf(content, "any.dxf")


def test_the_library_prints_nothing(dxf, square, capfd):
    logging.getLogger("ezdxf").warning("a remark of the library")
    read_dxf(dxf.piece(square, dxf.insert("NOWHERE")), "a.dxf")
    captured = capfd.readouterr()
    assert (captured.out, captured.err) == ("", "")


def test_nothing_is_opened(monkeypatch, dxf, square):
    """A block that names a file of its own (an external reference) is not fetched."""
    reference = dxf.tags(
        (0, "BLOCK"), (8, 0), (2, "X"), (70, 4), (10, 0), (20, 0), (3, "X"), (1, "/etc/passwd")
    ) + dxf.tags((0, "ENDBLK"))
    content = dxf.file(
        [reference, dxf.block("A", square)],
        [dxf.text("Units: METRIC"), dxf.insert("X"), dxf.insert("A")],
    )
    read_dxf(content, "a.dxf")

    def opened(*what: object, **_: object) -> None:
        raise AssertionError(f"opened {what}")

    monkeypatch.setattr("builtins.open", opened)
    assert len(read_dxf(content, "a.dxf").pieces) == 1
