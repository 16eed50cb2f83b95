"""A commented pattern file reads as it is written, and with every example in use."""

from __future__ import annotations

import re
import tomllib

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.demos import DEMO_PIECES
from tests.strategies import patterns, rectangular
from tiler.intake.folder import read_pattern, read_sources
from tiler.output.folder.commented import NewPattern, commented_words
from tiler.output.folder.commentedpiece import NewPiece
from tiler.output.folder.drawing import drawing_of
from tiler.output.folder.edgehints import hints_of, possible_folds
from tiler.output.folder.names import drawing_names
from tiler.pattern.model import Lies, Pattern, Piece, Role, Source

some = settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
#: Names and words as a maker may type them.
words = st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=30).map(
    lambda text: " ".join(text.split())
)


def with_examples(text: str) -> str:
    """Without the mark in front of every example."""
    return re.sub(r"(?m)^#(?=\S)", "", text)


def files_of(pattern: Pattern, text: str, *, unsaid: bool = False) -> list[Source]:
    """The pattern file and its drawings."""
    names = drawing_names([piece.name for piece in pattern.pieces])
    drawings = [(names[piece.name], drawing_of(piece, 4)) for piece in pattern.pieces]
    if unsaid:
        drawings = [
            (name, re.sub('class="(cut|stitch)"', "", svg, count=1)) for name, svg in drawings
        ]
    return [
        Source("pattern.toml", text.encode()),
        *(Source(name, svg.encode()) for name, svg in drawings),
    ]


def begun(pattern: Pattern, *, copied: bool, unsaid: bool, traced: Role | None) -> NewPattern:
    names = drawing_names([piece.name for piece in pattern.pieces])
    pieces = tuple(
        NewPiece(piece, names[piece.name], copied=copied, unsaid=unsaid) for piece in pattern.pieces
    )
    return NewPattern(pattern, pieces, None, traced)


@some
@given(patterns(most=3), st.booleans(), words, words)
def test_any_pattern_reads_as_written_and_with_every_example_in_use(
    pattern: Pattern, copied: bool, title: str, cloth: str
) -> None:
    pattern = Pattern(title or "x", pattern.pieces, cloths=(("main", cloth),))
    text = commented_words(begun(pattern, copied=copied, unsaid=False, traced=None))
    assert [each.name for each in read_sources(files_of(pattern, text)).pieces] == [
        piece.name for piece in pattern.pieces
    ]
    everything = read_sources(files_of(pattern, with_examples(text)))
    assert everything.seams
    assert everything.handover.finished
    assert everything.title == " ".join((title or "x").split())


@some
@given(patterns(most=3), st.sampled_from((None, Role.CUT, Role.STITCH)))
def test_drawings_that_do_not_say_what_they_are_read_too(
    pattern: Pattern, traced: Role | None
) -> None:
    pattern = Pattern("Smock", tuple(_plain(piece) for piece in pattern.pieces))
    text = commented_words(begun(pattern, copied=True, unsaid=True, traced=traced))
    for each in (text, with_examples(text)):
        read = read_sources(files_of(pattern, each, unsaid=True))
        roles = {piece.outlines[0].role for piece in read.pieces}
        assert roles == {traced or Role.STITCH}


def _plain(piece: Piece) -> Piece:
    """Only its outline, which is what a first tracing holds."""
    return Piece(piece.name, piece.outlines)


def test_lines_are_short_and_hold_nothing_that_cannot_be_seen() -> None:
    pattern = read_pattern(DEMO_PIECES / "smock")
    text = commented_words(begun(pattern, copied=True, unsaid=True, traced=None))
    assert all(len(line) <= 100 for line in text.splitlines() if line.startswith("#"))
    assert all(letter.isprintable() for letter in text.replace("\n", ""))
    tomllib.loads(text)
    tomllib.loads(with_examples(text))


def test_edges_are_told_by_side_shape_and_length() -> None:
    """A rectangle of 100 by 300 mm: the sides were chosen, not measured."""
    hints = hints_of(rectangular("Band", 100, 300))
    assert [(h.letter, h.side, h.straight, h.upright) for h in hints] == [
        ("A", "left", True, True),
        ("B", "top", True, False),
        ("C", "right", True, True),
        ("D", "bottom", True, False),
    ]
    assert [hint.length for hint in hints] == pytest.approx([300, 100, 300, 100])


def test_folds_are_asked_for_where_the_piece_lies_on_one_side_and_none_is_drawn() -> None:
    """By eye, on the drawings of the smock and the sleeve."""
    front, back, sleeve = (
        read_pattern(DEMO_PIECES / "smock" / f"{name}.svg").pieces[0]
        for name in ("front", "back", "sleeve")
    )
    assert Lies.FOLD in [edge.lies for edge in front.outlines[0].edges]
    assert possible_folds(hints_of(front)) == ()
    assert possible_folds(hints_of(back))[0] == "A"
    assert possible_folds(hints_of(sleeve)) == ()
