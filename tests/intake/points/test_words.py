"""The key `points` of a piece in place of a drawing."""

import pytest

from tiler.intake.folder import read_sources
from tiler.pattern.errors import BlocksheetError
from tiler.pattern.model import Pattern, Source

PIECE = 'title = "Seed pouch"\n[[piece]]\nname = "Flap"\n'
POINTS = """points = [
  { x = "0 mm", y = "0 mm", kind = "corner" },
  { x = "12 cm", y = "0", kind = "corner" },
  { x = "6 cm", y = "8 1/2 cm", kind = "curve", name = "tip" },
]
"""


def read(text: str) -> Pattern:
    return read_sources([Source("pattern.toml", text.encode())])


def test_points_in_the_pattern_file_make_the_piece() -> None:
    pattern = read(PIECE + POINTS.replace('"0"', '"0 mm"'))
    (piece,) = pattern.pieces
    assert piece.drawing == "pattern.toml"
    assert piece.bounds.width == pytest.approx(120, abs=30)
    assert [len(edge.path.segments) for edge in piece.outlines[0].edges] == [2, 1]
    assert [source.name for source in pattern.sources] == ["pattern.toml"]
    assert [finding.code for finding in pattern.findings] == ["outline-role-assumed"]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (PIECE + POINTS, ["line 6", "point 2", "no unit"]),
        (PIECE + 'drawing = "a.svg"\n' + POINTS, ["points and a drawing"]),
        (PIECE + "points = []\n", ["no points"]),
        (PIECE + 'points = [{ x = 3, y = "1 cm", kind = "corner" }]\n', ["x is a whole number"]),
        (PIECE + 'points = [{ x = "1 cm", y = "1 cm" }]\n', ["the kind is missing"]),
        (PIECE + 'points = [{ x = "1 cm", y = "1 cm", kind = "corner" }]\n', ["1 point", "Flap"]),
    ],
)
def test_what_is_wrong_is_told_with_its_place(text: str, words: list[str]) -> None:
    with pytest.raises(BlocksheetError) as told:
        read(text)
    assert [word for word in words if word not in str(told.value)] == [], str(told.value)
