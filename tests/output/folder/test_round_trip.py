"""A pattern that is written as a folder and read again is the same pattern."""

from __future__ import annotations

import pathlib
import tomllib
from dataclasses import replace
from xml.etree import ElementTree

import pytest
from hypothesis import HealthCheck, given, settings

from tests.demos import DEMOS
from tests.output.folder.wished import as_read, wished_patterns, without_places
from tests.strategies import patterns
from tiler.intake.dxf import read_dxf
from tiler.intake.folder import read_pattern, read_sources
from tiler.intake.patternfile import parse_pattern_file
from tiler.output.dxf import dxf_bytes
from tiler.output.folder import folder_files
from tiler.pattern.affine import Affine
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Pattern, Piece, Role, Source
from tiler.pattern.path import Path

FOLDERS = pathlib.Path(__file__).parents[3] / "demo_pieces"

slow = settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck))
few = settings(slow, max_examples=15)


def again(pattern: Pattern) -> Pattern:
    files = folder_files(pattern)
    return read_sources([Source(name, content) for name, content in files.items()])


def words_of(pattern: Pattern) -> tuple[object, ...]:
    """All that is no geometry."""
    return (
        pattern.title,
        pattern.maker,
        pattern.version,
        pattern.about,
        pattern.cloths,
        pattern.styles,
        pattern.traced_from,
        without_places(pattern.seams),
        pattern.joined,
        pattern.together,
        pattern.traced_stretch,
        pattern.cloth_stretch,
        pattern.handover,
        without_places(pattern.placed),
        *(_words_of_piece(piece) for piece in pattern.pieces),
    )


def _words_of_piece(piece: Piece) -> tuple[object, ...]:
    edges = [
        (o.style, o.role, e.letter, e.lies, e.name, e.allowance, e.finish)
        for o in piece.outlines
        for e in o.edges
    ]
    facts = (piece.name, piece.cuts, piece.allowance, piece.notes, piece.part, piece.side)
    return (*facts, without_places(piece.wishes), edges)


def lines_of(piece: Piece) -> dict[tuple[Role | str, str], list[Path]]:
    """Role and style -> what is drawn, in order."""
    drawn: dict[tuple[Role | str, str], list[Path]] = {}
    for outline in piece.outlines:
        for edge in outline.edges:
            drawn.setdefault((f"edge {edge.letter}", outline.style), []).append(edge.path)
    for thing in (*piece.lines, *piece.marks):
        drawn.setdefault((thing.role, thing.style), []).append(thing.path)
    if piece.grain:
        drawn["grain", ""] = [piece.grain]
    return drawn


def farthest(before: Piece, after: Piece) -> float:
    """The largest distance between two points that are the same; the move of the page taken out."""
    start, end = before.outlines[0].path.start, after.outlines[0].path.start
    move = Affine.move(round(end.x - start.x), round(end.y - start.y))
    one, other = lines_of(before), lines_of(after)
    assert one.keys() == other.keys()
    worst = 0.0
    for key, paths in one.items():
        for a, b in zip(paths, other[key], strict=True):
            assert [type(s) for s in a.segments] == [type(s) for s in b.segments]
            assert a.closed == b.closed
            points = (
                (p, q)
                for s, t in zip(a.segments, b.segments, strict=True)
                for p, q in zip(s, t, strict=True)
            )
            worst = max([worst, *(move(p).to(q) for p, q in points)])
    for a, b in zip(before.marks, after.marks, strict=True):
        worst = max(worst, move(a.at).to(b.at))
    return worst


def check(pattern: Pattern) -> None:
    after = again(pattern)
    assert words_of(after) == words_of(pattern)
    for one, other in zip(pattern.pieces, after.pieces, strict=True):
        assert farthest(one, other) <= 0.001


@pytest.mark.parametrize("demo", DEMOS)
def test_a_demo_comes_back(demo: str) -> None:
    pattern = read_pattern(FOLDERS / demo)
    check(pattern)
    assert all(
        piece.bounds == pytest.approx(other.bounds, abs=0.001)
        for piece, other in zip(pattern.pieces, again(pattern).pieces, strict=True)
    )


@pytest.mark.parametrize("demo", DEMOS)
def test_a_demo_read_from_an_exchange_file_can_be_kept_as_a_folder(demo: str) -> None:
    """Outlines that went through points on their curves pass some micrometres beside notches."""
    pattern = read_dxf(dxf_bytes(read_pattern(FOLDERS / demo)), "demo.dxf")
    after = again(pattern)
    assert words_of(after) == words_of(pattern)
    for one, other in zip(pattern.pieces, after.pieces, strict=True):
        for before, mark in zip(one.marks, other.marks, strict=True):
            assert mark.at.to(before.at) <= 0.05


@slow
@given(patterns())
def test_a_pattern_comes_back(pattern: Pattern) -> None:
    check(as_read(pattern))


@slow
@given(wished_patterns())
def test_all_that_can_be_said_comes_back(pattern: Pattern) -> None:
    check(pattern)


@few
@given(wished_patterns())
def test_words_make_a_text_that_makes_the_same_words(pattern: Pattern) -> None:
    text = folder_files(pattern)["pattern.toml"]
    words = parse_pattern_file(text)
    assert without_places(words.seams) == without_places(pattern.seams)
    for said, piece in zip(words.pieces, pattern.pieces, strict=True):
        assert without_places(said.wishes) == without_places(piece.wishes)
        assert (said.part, said.side, said.allowance) == (piece.part, piece.side, piece.allowance)


@few
@given(wished_patterns())
def test_what_is_written_is_toml_and_svg(pattern: Pattern) -> None:
    """Judged by the standard library's own readers."""
    files = folder_files(pattern)
    data = tomllib.loads(files["pattern.toml"].decode())
    drawings = [piece["drawing"] for piece in data["piece"]]
    assert sorted(files) == sorted(["pattern.toml", *drawings])
    for name in drawings:
        root = ElementTree.fromstring(files[name])
        width, height = root.attrib["width"], root.attrib["height"]
        box = f"0 0 {width.removesuffix('mm')} {height.removesuffix('mm')}"
        assert root.attrib["viewBox"] == box


@given(patterns(most=1))
@settings(deadline=None, max_examples=20)
def test_the_second_time_nothing_changes(pattern: Pattern) -> None:
    """A folder written from a folder is the same, byte for byte."""
    first = folder_files(as_read(pattern))
    read = read_sources([Source(name, content) for name, content in first.items()])
    assert folder_files(read) == first


@few
@given(patterns(most=1))
def test_a_drafted_piece_is_refused(pattern: Pattern) -> None:
    piece = pattern.pieces[0]
    drafted = replace(piece, stitch=piece.outlines)
    with pytest.raises(PatternError, match="drafted already"):
        folder_files(replace(pattern, pieces=(drafted,)))
