"""Two rendered pages laid together at a joint, and its vernier read from the pixels alone.

What is known beforehand is about where the ticks are, that each page has eleven of them with its
own spacing, and that the longest of them is its zero. Nothing is taken from the code that draws
them.
"""

from __future__ import annotations

import subprocess
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tiler.pattern.affine import Point

Grey = npt.NDArray[np.uint8]
#: Dots to the millimetre of the pictures that are laid together (1270 dpi): tenths of a millimetre
#: are whole dots.
DOTS = 50
#: Half the size of what is looked at, along the joint and across it, millimetres.
HALF_LONG, HALF_DEEP = 12, 8
#: Millimetres from the joint between which the ticks are looked at. Nearer, one page's ticks may
#: run over the other page's.
NEAR, FAR = 1.1, 2.0


def rendered(
    pdf: bytes, page: int, about: Point, dpi: float, *, upright: bool, mono: bool = False
) -> Grey:
    """The surroundings of a point of a page by poppler, `DOTS` dots to the millimetre.

    Args:
        pdf: The file.
        page: From 1.
        about: The middle, page millimetres from the upper left corner.
        dpi: Of the raster that a printer would make, enlarged dot by dot.
        upright: Whether the joint is.
        mono: Whether its dots are black or white only.
    """
    per_mm = dpi / 25.4
    halves = (HALF_DEEP, HALF_LONG) if upright else (HALF_LONG, HALF_DEEP)
    # Middles of the fine dots, in dots of the raster, and the dots of it that are needed.
    columns, rows = (
        np.floor((at + (np.arange(-half * DOTS, half * DOTS) + 0.5) / DOTS) * per_mm).astype(int)
        for at, half in zip(about, halves, strict=True)
    )
    left, top = int(columns[0]), int(rows[0])
    command = ["pdftoppm", "-mono" if mono else "-gray", "-r", repr(dpi), "-f", str(page)]
    command += ["-l", str(page), "-x", str(left), "-y", str(top)]
    command += ["-W", str(columns[-1] - left + 1), "-H", str(rows[-1] - top + 1), "-"]
    done = subprocess.run(command, input=pdf, capture_output=True, check=True)
    return _picture(done.stdout)[np.ix_(rows - top, columns - left)]


def _picture(content: bytes) -> Grey:
    """A PGM (P5, 255) or a PBM (P4), as netpbm defines them."""
    kind, size, rest = content.split(b"\n", 2)
    width, height = map(int, size.split())
    if kind == b"P4":
        packed = np.frombuffer(rest, np.uint8).reshape(height, -1)
        return np.where(np.unpackbits(packed, axis=1)[:, :width] > 0, 0, 255).astype(np.uint8)
    assert kind == b"P5"
    return np.frombuffer(rest.removeprefix(b"255\n"), np.uint8).reshape(height, width)


def laid_together(
    under: Grey, over: Grey, slid: float, gap: float, *, way: str, upright: bool
) -> Grey:
    """Both pages as they lie on the table, turned so that the joint is level.

    Args:
        under: Surroundings of a point of the joint on the page on the left or above.
        over: Surroundings of the same point on the page on the right or below.
        slid: How far the over page lies too far up (upright joint) or right (level), millimetres.
        gap: How far it lies too far right (upright joint) or down (level).
        way: overlap, butt or see-through.
        upright: Whether the joint is.
    """
    turned = -1 if upright else 0
    under, over = np.rot90(under, turned), np.rot90(over, turned)
    middle = len(under) // 2
    right, down = round(slid * DOTS), round(gap * DOTS)
    paper = np.full_like(over, 255)
    here, there = (
        tuple(
            slice(max(0, sign * shift), size + min(0, sign * shift))
            for shift, size in zip((down, right), over.shape, strict=True)
        )
        for sign in (1, -1)
    )
    paper[here] = over[there]
    if way == "see-through":
        return np.minimum(under, paper)
    table = under.copy()
    if way == "butt":
        table[middle:] = 255
    table[middle + down :] = paper[middle + down :]
    return table


@dataclass(frozen=True)
class Group:
    """A page's ticks: place at the joint and lean of each, and which is the longest."""

    places: npt.NDArray[np.float64]
    leans: npt.NDArray[np.float64]
    longest: int


@dataclass(frozen=True)
class Reading:
    """What ticks say.

    Args:
        under: Number of the aligned tick of the page that lies under, from its longest one.
        over: The same of the other page.
        off: How far the two are out of line, millimetres.
        spare: How much farther the next best pair of like numbers is out of line.
        lean: Of the under page's ticks: 0 for straight ones, 1 for 45 degrees to the right.
    """

    under: int
    over: int
    off: float
    spare: float
    lean: float

    @property
    def tenths(self) -> float:
        """How far the over page is off, tenths of a millimetre: its ticks are 0.9 mm apart."""
        return 10 * self.under - 9 * self.over


def read(picture: Grey) -> Reading:
    """Which pair of ticks is in one line.

    Args:
        picture: As `laid_together` gives it.
    """
    above = _ticks(picture[: len(picture) // 2][::-1], 1.0)
    below = _ticks(picture[len(picture) // 2 :], 0.9)
    off = above.places[:, None] - below.places[None, :]
    upper, lower = (np.arange(11) - group.longest for group in (above, below))
    # At half a millimetre two pairs are in line; the one with like numbers is meant.
    odd = upper[:, None] != lower[None, :]
    order = np.argsort(np.abs(off) + np.where(odd, 0.02, 0.0), axis=None)
    (i, j), (k, m) = (np.unravel_index(n, off.shape) for n in order[~odd.ravel()[order]][:2])
    best = np.unravel_index(order[0], off.shape)
    spare = abs(float(off[k, m])) - abs(float(off[i, j]))
    lean = float(np.mean(above.leans))
    return Reading(int(upper[best[0]]), int(lower[best[1]]), float(off[best]), spare, lean)


def _ticks(half: Grey, apart: float) -> Group:
    """The ticks of one page, row 0 at the joint."""
    heights = np.arange(round(NEAR * DOTS), round(FAR * DOTS))
    lines = np.array([_eleven(_middles(half[height]), apart) for height in heights])
    leans, places = np.polyfit((heights + 0.5) / DOTS, lines, 1)
    lengths = [_length(half, place, lean) for place, lean in zip(places, leans, strict=True)]
    return Group(places, leans, int(np.argmax(lengths)))


def _middles(row: Grey) -> list[float]:
    """Middles of the dark runs of a row, millimetres from its middle."""
    dark = np.concatenate([[False], row < 128, [False]])
    starts, ends = (np.flatnonzero(np.diff(dark.astype(int)) == step) for step in (1, -1))
    return [float(s + e - len(row)) / 2 / DOTS for s, e in zip(starts, ends, strict=True)]


def _eleven(middles: list[float], apart: float) -> list[float]:
    """The eleven of these that are about `apart` millimetres from each other."""
    rows: list[list[float]] = [[]]
    for middle in middles:
        if rows[-1] and abs(middle - rows[-1][-1] - apart) > 0.2:
            rows.append([])
        rows[-1].append(middle)
    found = [row for row in rows if len(row) == 11]
    assert len(found) == 1, f"rows of {[len(row) for row in rows]} ticks"
    return found[0]


def _length(half: Grey, place: float, lean: float) -> float:
    """How far up a tick is dark without a break, millimetres."""
    heights = np.arange(round(NEAR * DOTS), HALF_DEEP * DOTS)
    places = (place + lean * (heights + 0.5) / DOTS) * DOTS + half.shape[1] / 2
    around = np.rint(places).astype(int)[:, None] + np.arange(-2, 3)
    # Beyond the picture there is no tick either.
    around = np.clip(around, 0, half.shape[1] - 1)
    broken = np.flatnonzero((half[heights[:, None], around] >= 128).all(axis=1))
    return float(heights[broken[0]] / DOTS) if len(broken) else float(HALF_DEEP)
