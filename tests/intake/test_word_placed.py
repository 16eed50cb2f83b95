"""What `pattern.toml` says of pieces that were laid by hand."""

import pytest

from tests.intake.said import HEAD, PIECE, read, refused
from tiler.pattern.placed import Placed, PlacedPiece

PLACED = """[[placed]]
on = "A4"
orientation = "landscape"
margin = "1/4 in"
overlap = "10 mm"
styles = ["short"]
pieces = [
    { piece = "Front", sheet = 1, page = "B2", at = ["12 cm", "-0.4 mm"], turn = "-90 deg" },
    { piece = "Gone since", sheet = 2, page = "AA1", at = ["1 mm", "2.25 mm"] },
]
"""


def test_places_are_read_with_their_units() -> None:
    """1/4 in is 6.35 mm (the inch is 25.4 mm); -90 degrees is 270."""
    (placed,) = read(HEAD + PIECE + PLACED).placed
    assert placed == Placed(
        "a4",
        landscape=True,
        margin=6.35,
        overlap=10.0,
        pieces=(
            PlacedPiece("Front", 1, "B2", (120.0, -0.4), 270.0),
            PlacedPiece("Gone since", 2, "AA1", (1.0, 2.25), 0.0),
        ),
        styles=("short",),
        where="pattern.toml line 6, placed 1, key on",
    )


def test_a_pattern_without_places_has_none() -> None:
    assert read(HEAD + PIECE).placed == ()


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('on = "A4"', 'paper = "A4"', 'line 6, placed 1, key paper: unknown key "paper"'),
        ('on = "A4"\n', "", "line 5, placed 1, key on: on is missing"),
        ('"landscape"', '"sideways"', "line 7, placed 1, key orientation: there is no orientation"),
        ('"1/4 in"', '"6"', "line 8, placed 1, key margin: the length '6' has no unit"),
        ('overlap = "10 mm"\n', "", "placed 1, key overlap: overlap is missing"),
        ('"B2"', '"2B"', 'placed 1, place 1, key page: "2B" is no name of a page'),
        ("sheet = 1", "sheet = 0", "place 1, key sheet: sheet must be from 1 to 1000"),
        ('["12 cm", "-0.4 mm"]', '"12 cm"', "place 1, key at: at is not two lengths"),
        ('"-90 deg"', '"-90"', 'place 1, key turn: turn "-90" is not an angle in degrees'),
        ('"Gone since"', '"Front"', 'place 2, key piece: "Front" has two places'),
    ],
)
def test_what_cannot_be_is_refused_with_its_place(old: str, new: str, told: str) -> None:
    assert told in refused(HEAD + PIECE + PLACED.replace(old, new))


def test_two_tables_for_the_same_pages_are_refused() -> None:
    """Which way the paper lies makes no difference: one of the two could never be used."""
    other = PLACED.replace("landscape", "portrait").replace("A4", "a4")
    assert "the other is at pattern.toml line 6" in refused(HEAD + PIECE + PLACED + other)
    assert len(read(HEAD + PIECE + PLACED + other.replace("short", "long")).placed) == 2


def test_a_table_without_pieces_is_refused() -> None:
    text = PLACED[: PLACED.index("pieces")]
    assert "no piece has a place" in refused(HEAD + PIECE + text)
