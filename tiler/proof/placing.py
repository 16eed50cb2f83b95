"""A page's forms unfolded: which drawing lands where, through which window."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from tiler.pattern.affine import Affine
from tiler.pattern.errors import NotProvenError
from tiler.proof.document import Document, Paper
from tiler.proof.geometry import Bools, Floats, box_window, mapped, moved_window
from tiler.proof.ink import Ink, Mark, Unseen

_DEEPEST = 16
_MOST = 100_000
_LARGEST = 1e9
#: Lines thinner than this do not show, mm.
THINNEST = 0.05
#: A clip may touch the line that it holds, mm.
_TOUCH = 0.02

Place = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Placed:
    """One drawing on one page.

    Args:
        key: Of the form; None for the page's own content.
        ink: What it draws.
        matrix: Its space to page mm.
        window: What shows of it, page mm: the clip in force and the media box.
        layers: The optional content groups that it stands in, from the outside in.
        around: The marked content that it stands in.
        place: Tells this stretch of marked content from all others on the page.
        number: Tells it from all other drawings on the page.
        width: The width of lines that it starts with, in its space.
        gap: The gap between dashes that it starts with, in its space.
        time: When it is painted, in the order of tuples.
    """

    key: tuple[int, Unseen] | None
    ink: Ink
    matrix: Affine
    window: Floats
    layers: tuple[int, ...]
    around: Mark
    place: Place
    number: int
    width: float
    gap: float
    time: tuple[int, ...]

    def nib_sizes(self) -> Floats:
        """For each of its ink's nibs (n, 3), mm: least and greatest width, longest gap.

        A map that is no rigid motion makes a line wider in one direction than in another, by
        its singular values.
        """
        sizes = np.empty((len(self.ink.nibs), 3))
        for index, nib in enumerate(self.ink.nibs):
            a, b, c, d, _, _ = nib.matrix.then(self.matrix)
            across = math.hypot(a + d, b - c)
            along = math.hypot(a - d, b + c)
            width = self.width if nib.width is None else nib.width
            gap = self.gap if nib.gap is None else nib.gap
            large = (across + along) / 2
            sizes[index] = abs(across - along) / 2 * width, large * width, large * gap
        return sizes

    def mark(self, index: int) -> Mark:
        """A mark of its ink, together with what stands around the drawing."""
        if index < 0:
            return self.around
        return self.ink.marks[index].within(self.around)


def unfold(document: Document, paper: Paper, where: str) -> list[Placed]:
    """Everything that is drawn on a page, the page's own content first.

    Raises:
        NotProvenError: Forms inside forms without end.
    """
    sheet = box_window(0, 0, paper.width, paper.height)
    found: list[Placed] = []
    waiting = [
        (Placed(None, paper.ink, paper.to_page, sheet, (), Mark(), (0, -1), 0, 1.0, 0.0, ()), 0)
    ]
    while waiting:
        placed, depth = waiting.pop()
        found.append(placed)
        if depth > _DEEPEST or len(found) + len(waiting) > _MOST:
            raise NotProvenError(
                "its drawings are nested without end",
                where=f"{where}, page {paper.label}",
                remedy="Publish the pattern again.",
            )
        for use in placed.ink.uses:
            key = (use.form, use.unseen)
            form = document.forms[key]
            around = placed.mark(use.mark)
            layer = () if form.layer is None else (form.layer,)
            number = len(found) + len(waiting)
            matrix = form.matrix.then(use.matrix).then(placed.matrix)
            if (
                not all(abs(part) < _LARGEST for part in matrix)
                or not abs(matrix.determinant) > 1 / _LARGEST
            ):
                raise NotProvenError(
                    "something is drawn at a size or a place that does not exist",
                    where=f"{where}, page {paper.label}",
                    remedy="Publish the pattern again.",
                )
            inner = Placed(
                key=key,
                ink=form.ink,
                matrix=matrix,
                window=np.concatenate([placed.window, moved_window(use.window, placed.matrix)]),
                layers=(*around.layers, *layer),
                around=replace(around, layers=(*around.layers, *layer)),
                place=(placed.number, use.mark) if use.mark >= 0 else placed.place,
                number=number,
                width=placed.width if use.width is None else use.width,
                gap=placed.gap if use.gap is None else use.gap,
                time=(*placed.time, use.time),
            )
            waiting.append((inner, depth + 1))
    return found


@dataclass(frozen=True, slots=True)
class Marked:
    """The strokes of one cross, one measure or one half of the ticks at a joint.

    Args:
        mark: What they are.
        strokes: Control points (n, 4, 2), page mm.
        seen: Whether all of them show.
    """

    mark: Mark
    strokes: Floats
    seen: bool


def marked_strokes(page: list[Placed]) -> Iterator[Marked]:
    """The strokes of every cross, measure and scale; those in different layers are not one."""
    groups: dict[tuple[Place, tuple[int, ...]], list[tuple[Mark, Floats, bool]]] = {}
    for placed in page:
        ink = placed.ink
        wanted = [k for k, mark in enumerate(ink.marks) if mark.exact]
        if placed.around.exact:
            wanted.append(-1)
        if not wanted:
            continue
        order = np.argsort(ink.mark, kind="stable")
        first = np.searchsorted(ink.mark[order], wanted, side="left")
        last = np.searchsorted(ink.mark[order], wanted, side="right")
        strokes = mapped(ink.strokes[order], placed.matrix)
        thin = placed.nib_sizes()[:, 0] < THINNEST
        lost = (ink.unseen[order] != 0) | thin[ink.nib[order]] | _outside(strokes, placed.window)
        for index, start, stop in zip(wanted, first, last, strict=True):
            if stop > start:
                place = (placed.number, index) if index >= 0 else placed.place
                mark = placed.mark(index)
                part = (mark, strokes[start:stop], not lost[start:stop].any())
                groups.setdefault((place, mark.layers), []).append(part)
    for parts in groups.values():
        strokes = np.concatenate([part[1] for part in parts])
        yield Marked(parts[0][0], strokes, all(part[2] for part in parts))


def _outside(strokes: Floats, window: Floats) -> Bools:
    """Which strokes come out of a window."""
    outside: Bools = np.any(strokes @ window[:, :2].T > window[:, 2] + _TOUCH, axis=(1, 2))
    return outside
