"""Mats under a projector: kept by name, their grid written, the picture on them measured."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.job import keeping
from tiler.pattern.errors import FileError, LengthError, MeasureError
from tiler.pattern.units import parse_length

if TYPE_CHECKING:
    from tiler.layout.mats.accuracy import Accuracy
    from tiler.layout.mats.mat import Mat
    from tiler.pattern.bounds import Bounds

_KIND = "mats"
#: Fewer pixels cannot hold the words of the grid, and no projector for a room has more.
_FEWEST_PX, _MOST_PX = (640, 360), 10000
#: Sides of a mat, mm.
_SMALLEST, _LARGEST = 200.0, 6000.0
_TIMES = re.compile(r"\s*[x×]\s*", re.IGNORECASE)


@dataclass(frozen=True)
class Measured:
    """A mat whose picture was measured.

    Args:
        mat: As it was kept.
        residuals: Of each length: measured less fitted, mm.
        misfit: Root of the sum of their squares, mm.
        accuracy: What the mat can show.
        usable: The rectangle that windows fill, mm.
        file: Where it is kept.
    """

    mat: Mat
    residuals: Mapping[str, float]
    misfit: float
    accuracy: Accuracy
    usable: Bounds
    file: Path


def new_mat(name: str, pixels: str, size: str) -> Mat:
    """Keep a new mat.

    Args:
        name: What its owner calls it.
        pixels: The projector's own, such as ``1920x1080``.
        size: Of the mat, such as ``1200 mm x 700 mm`` or ``48 x 28 in``.

    Raises:
        MeasureError: The name, the pixels or the size cannot be.
        FileError: There is one of that name, or the file cannot be read or written.
    """
    from tiler.layout.mats.mat import Mat

    name = keeping.checked_name(name)
    entries = keeping.load(_KIND)
    known = keeping.same_name(entries, name)
    if known is not None:
        raise FileError(
            f"there is a mat called {known!r} already",
            remedy=f"Choose another name, or forget it with: blocksheet mat forget {known!r}",
        )
    mat = Mat(name, *_pixels(pixels), *_size(size))
    _keep(mat)
    return mat


def mats() -> tuple[Mat, ...]:
    """All mats that are kept.

    Raises:
        FileError: The file cannot be read, or an entry in it is damaged.
    """
    return tuple(_read(name, facts) for name, facts in keeping.load(_KIND).items())


def find_mat(name: str) -> Mat:
    """The mat of that name, capitals or not.

    Raises:
        FileError: There is none, or what is kept is damaged.
    """
    return _read(*keeping.find(_KIND, name))


def forget_mat(name: str) -> str:
    """Keep a mat no longer.

    Returns:
        The name that it had.

    Raises:
        FileError: There is none, or the file cannot be read or written.
    """
    return keeping.forget(_KIND, name)


def write_grid(mat: Mat, out: Path) -> tuple[Path, Path]:
    """Write the grid that is measured: a PNG at the projector's own pixels, and a PDF.

    Returns:
        Both files.

    Raises:
        FileError: They cannot be written.
    """
    from tiler.job.naming import slug
    from tiler.output.pdf import pdf_bytes
    from tiler.output.safely import replacing
    from tiler.output.screen import screen_png
    from tiler.sheets.drawing import Publication
    from tiler.sheets.matgrid import grid_page

    page = grid_page(mat)
    title = f"Grid of the mat {mat.name}"
    picture, document = (out / f"grid-{slug(mat.name)}{ending}" for ending in (".png", ".pdf"))
    for file, content in (
        (picture, screen_png([page], mat.width_px, mat.height_px)[0]),
        (document, pdf_bytes(Publication(title, "", "", (page,)))),
    ):
        with replacing(file) as draft:
            draft.write_bytes(content)
    return picture, document


def measure_mat(name: str, lengths: Mapping[str, float], noise: float | None = None) -> Measured:
    """Find where the picture lies on a mat, and keep it.

    Args:
        name: Of the mat.
        lengths: By name (`tiler.layout.mats.lengths.NAMES`), mm; middle lines may be left out.
        noise: Standard deviation of one length, mm; what is kept of the mat when None.

    Raises:
        FileError: There is no such mat, or the file cannot be read or written.
        MeasureError: The noise cannot be.
        ProjectionError: The lengths cannot be; which one is likely to be wrong is named.
    """
    from tiler.layout.mats.accuracy import accuracy_of
    from tiler.layout.mats.measured import measured
    from tiler.layout.mats.usable import usable_rectangle

    mat = find_mat(name)
    if noise is not None:
        if not 0.1 <= noise <= 10:
            raise MeasureError(
                "how well a length is measured is between 0.1 mm and 10 mm",
                where="--noise",
                remedy="1 mm is usual for a taut tape.",
            )
        mat = replace(mat, noise=noise)
    found, quadrilateral = measured(mat, lengths)
    return Measured(
        found,
        quadrilateral.residuals,
        quadrilateral.misfit,
        accuracy_of(found),
        usable_rectangle(found),
        _keep(found),
    )


def _keep(mat: Mat) -> Path:
    entries = keeping.load(_KIND)
    facts: dict[str, object] = {
        "width_px": mat.width_px,
        "height_px": mat.height_px,
        "width": mat.width,
        "height": mat.height,
        "noise": mat.noise,
        "corners": None if mat.corners is None else [list(corner) for corner in mat.corners],
    }
    return keeping.save(_KIND, {**entries, mat.name: facts})


def _read(name: str, facts: Mapping[str, object]) -> Mat:
    """A mat from what is kept of it.

    Raises:
        FileError: Something is missing or cannot be.
    """
    from tiler.layout.mats.homography import check_corners
    from tiler.layout.mats.mat import Mat
    from tiler.pattern.affine import Point

    try:
        across, down = (_whole(facts.get(key)) for key in ("width_px", "height_px"))
        width, height, noise = (_positive(facts.get(key)) for key in ("width", "height", "noise"))
        mat = Mat(keeping.checked_name(name), across, down, width, height, noise=noise)
        kept = facts.get("corners")
        if kept is None:
            return mat
        if not isinstance(kept, list) or len(kept) != 4:
            raise ValueError
        a, b, c, d = (Point(_number(x), _number(y)) for x, y in kept)
        check_corners((a, b, c, d))
        return replace(mat, corners=(a, b, c, d))
    except (ValueError, TypeError, OverflowError):
        raise FileError(
            f"what is kept of the mat {name!r} is damaged",
            where=str(keeping.folder() / f"{_KIND}.json"),
            remedy=f"Forget it with: blocksheet mat forget {name!r}; then make it anew.",
        ) from None


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise ValueError
    return float(value)


def _positive(value: object) -> float:
    number = _number(value)
    if number <= 0:
        raise ValueError
    return number


def _whole(value: object) -> int:
    number = _positive(value)
    if number != int(number) or number > _MOST_PX:
        raise ValueError
    return int(number)


def _pixels(words: str) -> tuple[int, int]:
    parts = _TIMES.split(words.strip())
    if len(parts) != 2 or not all(re.fullmatch(r"\d{1,6}", part, re.ASCII) for part in parts):
        raise MeasureError(
            f"{words[:40]!r} are no pixels",
            where="--pixels",
            remedy='Write them as "1920x1080", as the projector\'s manual calls its own '
            "(native) resolution.",
        )
    across, down = int(parts[0]), int(parts[1])
    few = max(across, down) < _FEWEST_PX[0] or min(across, down) < _FEWEST_PX[1]
    if few or max(across, down) > _MOST_PX:
        raise MeasureError(
            f"a projector of {across} x {down} pixels cannot be used",
            where="--pixels",
            remedy=f"It needs at least {_FEWEST_PX[0]} x {_FEWEST_PX[1]}.",
        )
    if across < down:
        raise MeasureError(
            f"{across} x {down} pixels stand upright",
            where="--pixels",
            remedy=f"Turn the picture so that it is {down}x{across}.",
        )
    return across, down


def _size(words: str) -> tuple[float, float]:
    """Long and short side, mm; a unit that is said once counts for both."""
    parts = _TIMES.split(words.strip())
    remedy = 'Write it as "1200 mm x 700 mm" or "48 x 28 in".'
    if len(parts) != 2:
        raise MeasureError(f"{words[:40]!r} is no size", where="--size", remedy=remedy)
    try:
        second = parse_length(parts[1])
        unit = re.sub(r"^[\d\s./+-]*", "", parts[1])
        alone = re.fullmatch(r"[\d\s./]+", parts[0]) is not None
        first = parse_length(parts[0] + f" {unit}" * alone)
    except LengthError as error:
        raise MeasureError(error.problem, where="--size", remedy=remedy) from None
    low, high = sorted((first, second))
    if low < _SMALLEST or high > _LARGEST:
        raise MeasureError(
            f"a mat of {words} cannot be used",
            where="--size",
            remedy=f"Its sides are from {_SMALLEST:g} mm to {_LARGEST / 1000:g} m.",
        )
    return high, low
