"""Hand-made drawings."""

from collections.abc import Callable, Sequence

import pytest

from tiler.intake.drawn import DrawnPath, DrawnSheet
from tiler.intake.piece import piece_from
from tiler.intake.words.model import EdgeWord, PieceWords
from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Finding, Piece, Role
from tiler.pattern.path import Path, polyline, rectangle

Draw = Callable[..., DrawnPath]
Make = Callable[..., tuple[Piece, dict[str, Finding]]]


@pytest.fixture(scope="session")
def draw() -> Draw:
    """A drawn line: draw(path or points, role, style=…, corner=…, element=…, layers=…)."""

    def made(
        path: Path | Sequence[tuple[float, float]],
        role: Role | None = None,
        *,
        style: str = "",
        corner: bool = False,
        element: str = "<path>",
        layers: tuple[str, ...] = (),
    ) -> DrawnPath:
        if not isinstance(path, Path):
            path = polyline([Point(*place) for place in path])
        return DrawnPath(path, role, style, corner, element, layers)

    return made


@pytest.fixture(scope="session")
def make() -> Make:
    """A piece "Front" from drawn lines, and its findings by their codes."""

    def made(
        *paths: DrawnPath, edges: tuple[EdgeWord, ...] = (), layer: str = ""
    ) -> tuple[Piece, dict[str, Finding]]:
        sheet = DrawnSheet("front.svg", 300, 300, paths, ())
        words = PieceWords(
            "Front", "front.svg", layer=layer, edges=edges, where="pattern.toml line 3, piece Front"
        )
        piece, findings = piece_from(sheet, words)
        return piece, {finding.code: finding for finding in findings}

    return made


@pytest.fixture(scope="session")
def block() -> Path:
    """An upright rectangle 100 mm across and 200 mm up, its lower left at (10, 20)."""
    return rectangle(Bounds(10, 20, 110, 220))
