"""What a projector shows on the mat is in true size.

A simulated projector, tilted by up to 25 degrees about both axes, throws the written PNG onto a
mat of 1.2 by 0.7 m. Its six lengths were measured with a noise of 1 mm. The light on the mat is
looked at with OpenCV, and each line is compared with the pattern after the best shift and turn:
where on the mat a piece lies is of no matter. The limits are those that the work was asked to keep:
half of all places within 1 mm, all within 3 mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest
import shapely

from tests.simulated_projector import HEIGHT, WIDTH, Projector, centres, random_projector
from tiler.job import read
from tiler.job.projecting import Projected, Showing, project
from tiler.layout.ink import paths_of
from tiler.layout.mats.grid import GRID_INSET
from tiler.layout.mats.mat import Mat
from tiler.layout.mats.quadrilateral import nearest_quadrilateral
from tiler.layout.mats.usable import laid
from tiler.layout.mats.windows import Shown
from tiler.pattern.affine import Point
from tiler.pattern.model import Lies, Pattern

Array = npt.NDArray[np.float64]
#: As large as the mat shows at once, with a line along its middle.
SHEET = """<svg xmlns="http://www.w3.org/2000/svg" width="1150mm" height="620mm"
viewBox="0 0 1150 620"><path class="cut" d="M0 0H1150V620H0Z"/><path class="grain"
d="M60 310H1090"/></svg>"""
_ENDS = {
    "lower": (0, 1),
    "right": (1, 2),
    "upper": (2, 3),
    "left": (3, 0),
    "rising": (0, 2),
    "falling": (1, 3),
}


def measured(projector: Projector, random: np.random.Generator) -> tuple[Mat, Array]:
    """The mat as its six lengths tell it, and where the grid's corners really fall."""
    low, right = HEIGHT - GRID_INSET, WIDTH - GRID_INSET
    grid = np.array(
        [[GRID_INSET, low], [right, low], [right, GRID_INSET], [GRID_INSET, GRID_INSET]], float
    )
    true = projector.land(grid)
    lengths = {
        name: float(np.hypot(*(true[a] - true[b])) + random.normal(0.0, 1.0))
        for name, (a, b) in _ENDS.items()
    }
    corners = [Point(*corner) for corner in nearest_quadrilateral(lengths).corners.tolist()]
    return laid(Mat("bench", WIDTH, HEIGHT, 1200.0, 700.0), corners), true


def errors(pattern: Pattern, name: str, seed: int, folder: Path) -> Array:
    """Of many places on the solid lines of a piece: how far the light is off, mm."""
    random = np.random.default_rng(seed)
    projector = random_projector(random)
    mat, true = measured(projector, random)
    done = project(pattern, mat, folder, Showing())
    number, shown = _window_of(done, name)
    picture = sorted(done.folder.glob("*.png"))[number + 1]
    lit, origin = projector.show(picture.read_bytes())
    points, normals = _places(shown, name)
    turn, shift = _rigid(np.array(mat.corners), true)
    off = centres(lit, origin, points @ turn + shift, normals @ turn, 7.0)
    # The best shift and turn, for small ones: what they move along each normal is linear in them.
    moves = np.column_stack([normals, points[:, 0] * normals[:, 1] - points[:, 1] * normals[:, 0]])
    return np.abs(off - moves @ np.linalg.lstsq(moves, off, rcond=None)[0])


def _window_of(done: Projected, name: str) -> tuple[int, tuple[Shown, ...]]:
    for number, (_, shown) in enumerate(done.windows):
        if any(each.piece.name == name for each in shown):
            return number, shown
    raise AssertionError(f"{name} is in no window")


def _places(shown: Sequence[Shown], name: str) -> tuple[Array, Array]:
    """Places on the solid outline, away from corners and from other lines, and the way across."""
    (own,) = (each for each in shown if each.piece.name == name)
    lines = [
        (path, shapely.LineString([each.at(p) for p in path.flattened(0.02)]))
        for each in shown
        for path in paths_of(each.piece)
    ]
    points, normals = [], []
    for run in own.piece.runs:
        if run.style or run.edge.lies is Lies.FOLD:
            continue
        line = shapely.LineString([own.at(p) for p in run.edge.path.flattened(0.02)])
        others = shapely.union_all([other for path, other in lines if path is not run.edge.path])
        for along in np.arange(15.0, line.length - 15.0, 5.0):
            here, before, after = (line.interpolate(along + by) for by in (0.0, -4.0, 4.0))
            back = np.array([here.x - before.x, here.y - before.y])
            ahead = np.array([after.x - here.x, after.y - here.y])
            if here.distance(others) < 9.0 or np.hypot(*(ahead - back)) > 0.6:
                continue
            x, y = (back + ahead) / np.hypot(*(back + ahead))
            points.append((here.x, here.y))
            normals.append((-y, x))
    return np.array(points), np.array(normals)


def _rigid(source: Array, target: Array) -> tuple[Array, Array]:
    """The turn and shift that bring points nearest to others (Kabsch 1976, from memory)."""
    a, b = source.mean(axis=0), target.mean(axis=0)
    u, _, v = np.linalg.svd((source - a).T @ (target - b))
    turn = u @ np.diag([1.0, np.sign(np.linalg.det(u @ v))]) @ v
    return turn, b - a @ turn


@pytest.mark.parametrize("seed", range(8))
def test_a_sheet_as_large_as_the_mat_is_in_true_size(seed: int, tmp_path: Path) -> None:
    drawing = tmp_path / "sheet.svg"
    drawing.write_text(SHEET)
    pattern = read(drawing)
    found = errors(pattern, pattern.pieces[0].name, seed, tmp_path / "out")
    assert len(found) > 500
    assert np.median(found) <= 1.0
    assert found.max() <= 3.0


def test_a_piece_of_the_smock_is_in_true_size(tmp_path: Path) -> None:
    found = errors(read(Path("demo:smock")), "Front", 0, tmp_path)
    assert len(found) > 100
    assert np.median(found) <= 1.0
    assert found.max() <= 3.0


def test_the_looking_itself_sees_a_wrong_size(tmp_path: Path) -> None:
    """The same sheet, thrown from one percent farther away, is found to be wrong."""
    drawing = tmp_path / "sheet.svg"
    drawing.write_text(SHEET)
    pattern = read(drawing)
    random = np.random.default_rng(3)
    projector = random_projector(random)
    mat, true = measured(projector, random)
    done = project(pattern, mat, tmp_path / "out", Showing())
    farther = Projector(np.diag([1.01, 1.01, 1.0]) @ projector.matrix)
    picture = sorted(done.folder.glob("*.png"))[1]
    lit, origin = farther.show(picture.read_bytes())
    points, normals = _places(done.windows[0][1], pattern.pieces[0].name)
    turn, shift = _rigid(np.array(mat.corners), true * 1.01)
    off = centres(lit, origin, points @ turn + shift, normals @ turn, 12.0)
    assert np.abs(off).max() > 3.0
