"""Pages put together by their crosses, as a person with tape does it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tiler.proof.crosses import Tie
from tiler.proof.geometry import Floats, Ints, sizes
from tiler.proof.neighbours import grouped
from tiler.proof.record import Record
from tiler.proof.verdict import Fault, millimetres


@dataclass(frozen=True, slots=True)
class Assembly:
    """The pages as their crosses put them together.

    Args:
        errors: For each page (n, 2): how far from its recorded origin it comes to lie, mm.
        gaps: For each tie (m, 2): second minus first when both pages lie as recorded, mm.
        residuals: For each tie (m, 2): the same when they lie as assembled. Where a page is
            turned or scaled, these cannot all vanish.
    """

    errors: Floats
    gaps: Floats
    residuals: Floats


def assemble(record: Record, ties: Sequence[Tie], offsets: Floats) -> Assembly:
    """Shift the pages so that their crosses meet as nearly as they can (least squares).

    The crosses leave each group of joined pages free to lie anywhere. It is laid so that one of
    its pages lies exactly where the record says: the one with which its lines, whose typical
    offsets from the pattern are given, come out best. So a single page printed off its place is
    told from its neighbours.

    Args:
        record: Says where the pages should lie.
        ties: The crosses.
        offsets: For each page (n, 2): its lines minus the pattern when the page lies as
            recorded; not a number for a page without lines.
    """
    count = len(record.pages)
    origins = np.array([page.origin for page in record.pages], dtype=float)
    if not ties:
        return Assembly(np.zeros((count, 2)), np.empty((0, 2)), np.empty((0, 2)))
    first = np.array([tie.first for tie in ties])
    second = np.array([tie.second for tie in ties])
    on_first = np.array([tie.on_first for tie in ties], dtype=float)
    on_second = np.array([tie.on_second for tie in ties], dtype=float)
    gaps = on_second + origins[second] - on_first - origins[first]
    errors = np.zeros((count, 2))
    group = grouped(count, first, second)
    for label in np.unique(group):
        pages = np.flatnonzero(group == label)
        if len(pages) > 1:
            inside = group[first] == label
            place = np.searchsorted(pages, first[inside]), np.searchsorted(pages, second[inside])
            free = _least_squares(len(pages), *place, gaps[inside])
            errors[pages] = _laid(free, offsets[pages])
    return Assembly(errors, gaps, gaps + errors[second] - errors[first])


def assembly_faults(
    record: Record, ties: Sequence[Tie], assembly: Assembly, tolerance: float
) -> list[Fault]:
    """Pages that come to lie off their place, and crosses that do not meet."""
    faults: list[Fault] = []
    errors, gaps = sizes(assembly.errors), sizes(assembly.gaps)
    residuals = sizes(assembly.residuals)
    for index, page in enumerate(record.pages):
        if errors[index] > tolerance:
            text = f"its crosses put the whole page {millimetres(errors[index])} off its place"
            faults.append(Fault("shift", page.name, text, float(errors[index])))
    for index, tie in enumerate(ties):
        told = max(errors[tie.first], errors[tie.second]) > tolerance
        # A page off its place opens all its joints; only what that leaves over is told again.
        if residuals[index] > tolerance or (
            gaps[index] > tolerance and (not told or residuals[index] > tolerance / 4)
        ):
            off = float(max(gaps[index], residuals[index]))
            names = f"{record.pages[tie.first].name} and {record.pages[tie.second].name}"
            joint, point = tie.key
            text = f"the crosses of joint {joint}, point {point} are {millimetres(off)} apart"
            faults.append(Fault("cross", names, text, off))
    return faults


def _least_squares(count: int, first: Ints, second: Ints, gaps: Floats) -> Floats:
    """Shifts (n, 2), first page fixed, with shift[first] - shift[second] nearest to the gaps."""
    matrix = np.zeros((count, count))
    np.add.at(matrix, (first, first), 1)
    np.add.at(matrix, (second, second), 1)
    np.add.at(matrix, (first, second), -1)
    np.add.at(matrix, (second, first), -1)
    right = np.zeros((count, 2))
    np.add.at(right, first, gaps)
    np.add.at(right, second, -gaps)
    shifts = np.zeros((count, 2))
    shifts[1:] = np.linalg.solve(matrix[1:, 1:], right[1:])
    return shifts


def _laid(free: Floats, offsets: Floats) -> Floats:
    """The shifts with the whole group laid where the record and the lines want it."""
    candidates = np.unique(np.round(-free, 6), axis=0)
    known = np.isfinite(offsets).all(axis=1)
    best, least = -free[0], (np.inf, np.inf)
    for candidate in candidates:
        shifts = free + candidate
        misfit = float(sizes(shifts[known] + offsets[known]).sum())
        moved = float(sizes(shifts).sum())
        cost = (round(misfit, 5), round(moved, 5))
        if cost < least:
            best, least = candidate, cost
    laid: Floats = free + best
    return laid
