"""Places laid by hand, written into a pattern file that keeps all else as it was."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tiler.intake.patternfile import parse_pattern_file
from tiler.output.editing.changes import PieceNamed
from tiler.output.editing.document import Document
from tiler.output.editing.placing import LayAnew, PlaceByHand
from tiler.pattern.placed import Placed, PlacedPiece

BEFORE = """# Our smock
title = "Smock"   # for spring

[[piece]]
name = "Front"
drawing = "front.svg"
"""
FRONT = PlacedPiece("Front", 1, "B2", (120.0, 35.5), 90.0)
PLACED = Placed("a4", False, 10.0, 10.0, (FRONT,))


def kept(doc: Document) -> list[Placed]:
    """What a reader finds, without the places in the file."""
    return [replace(each, where="") for each in parse_pattern_file(doc.content).placed]


def test_places_come_behind_all_else_and_read_as_a_person_would_write_them() -> None:
    after = PlaceByHand(PLACED).done(Document.of(BEFORE.encode()))
    assert after.text == (
        BEFORE
        + """
[[placed]]
on = "a4"
orientation = "portrait"
margin = "10 mm"
overlap = "10 mm"
pieces = [{ piece = "Front", sheet = 1, page = "B2", at = ["120 mm", "35.5 mm"], turn = "90 deg" }]
"""
    )
    assert kept(after) == [PLACED]


def test_the_same_paper_is_kept_once_and_remarks_stay() -> None:
    doc = PlaceByHand(PLACED).done(Document.of(BEFORE.encode()))
    doc = Document.of(doc.text.replace('on = "a4"', 'on = "A4"  # mine').encode())
    other = replace(PLACED, landscape=True, pieces=(replace(FRONT, at=(1.25, 2.0)),))
    doc = PlaceByHand(other).done(doc)
    assert kept(doc) == [other]
    assert "# mine" in doc.text
    assert doc.text.startswith(BEFORE)


@pytest.mark.parametrize(
    "other",
    [
        replace(PLACED, on="letter"),
        replace(PLACED, margin=6.35),
        replace(PLACED, overlap=12.0),
        replace(PLACED, styles=("long", "short")),
    ],
)
def test_what_is_kept_for_something_else_stays(other: Placed) -> None:
    doc = PlaceByHand(PLACED).done(Document.of(BEFORE.encode()))
    doc = PlaceByHand(other).done(doc)
    assert kept(doc) == [PLACED, other]
    assert kept(LayAnew(PLACED.kind).done(doc)) == [other]
    assert (
        LayAnew(other.kind).done(doc).text
        == PlaceByHand(PLACED).done(Document.of(BEFORE.encode())).text
    )


def test_taking_away_what_is_not_there_changes_nothing() -> None:
    doc = Document.of(BEFORE.encode())
    assert LayAnew(PLACED.kind).done(doc).text == BEFORE


def test_a_piece_that_is_renamed_keeps_its_place() -> None:
    doc = PlaceByHand(PLACED).done(Document.of(BEFORE.encode()))
    (placed,) = kept(PieceNamed("Front", "Fore part").done(doc))
    assert placed.pieces == (replace(FRONT, piece="Fore part"),)


@pytest.mark.parametrize("language", ["en", "de", "uk"])
def test_each_has_a_name_for_undo_in_which_the_paper_stands(language: str) -> None:
    words = {PlaceByHand(PLACED).label.text(language), LayAnew(PLACED.kind).label.text(language)}
    assert len(words) == 2
    assert all("A4" in each for each in words)
