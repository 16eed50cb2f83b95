"""Shifts and turns that may bring a unit off the joints."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
import shapely

from tiler.layout.ink import NEAR_JOINT, Floats
from tiler.layout.packing.lying import Lying
from tiler.layout.tiles import Cell

#: What stays between a line and the border it is laid against, millimetres.
_HAIR = 0.1
#: Shifts that are tried along one side of the paper, millimetres each way.
_STEPS = (1.0, 2.0, 3.0, 4.5, 6.0, 8.0, 11.0, 15.0, 20.0, 28.0, 40.0)
#: Shifts that are tried both ways at once, millimetres.
_BOTH = (2.0, 5.0, 9.0, 16.0)
#: The farthest that a unit is moved to lie against a joint, as a share of the pitch.
_FAR = 0.6
#: Small turns, degrees each way.
_TURNS = (1.0, 2.0, 3.0, 5.0, 8.0, 12.0)
#: Millimetres between the places that are tried on a page.
_APART = 11.0


def clear_of_joints(
    spans: Iterable[tuple[float, float]], pitch: float, past: float
) -> tuple[float, ...]:
    """Shifts along one axis that bring an end of a span against a joint, the smallest first.

    Either so far past the joint as pages show, or so far from it that no line is taken for it.

    Args:
        spans: The lowest and the highest levels, millimetres.
        pitch: From joint to joint.
        past: What pages show beyond a joint.
    """
    found = set()
    for low, high in spans:
        for joint in (math.floor(high / pitch), math.ceil(high / pitch)):
            for inside in (-(past - _HAIR), NEAR_JOINT + _HAIR):
                found.add(round(joint * pitch - inside - high, 3))
        for joint in (math.floor(low / pitch), math.ceil(low / pitch)):
            for inside in (-(past - _HAIR), NEAR_JOINT + _HAIR):
                found.add(round(joint * pitch + inside - low, 3))
    near = {shift for shift in found if 0 < abs(shift) <= _FAR * pitch}
    return tuple(sorted(near, key=lambda shift: (abs(shift), shift)))


def off_rails(lying: Sequence[Lying], axis: int, pitch: float) -> tuple[float, ...]:
    """Shifts along one axis that bring runs of line that are near joints just off them."""
    found = set()
    for unit in lying:
        level = unit.rails.runs[axis][:, 0]
        off = level - np.round(level / pitch) * pitch
        for each in np.unique(np.round(off[np.abs(off) < NEAR_JOINT], 1)).tolist():
            found |= {round(side * (NEAR_JOINT + _HAIR) - each, 2) for side in (-1, 1)}
    # A slanting line gives many levels: a few tell all that matters.
    ordered = sorted(found)
    few = ordered[:: max(1, len(ordered) // 6)]
    return tuple(sorted(few, key=lambda shift: (abs(shift), shift)))


def shifts_of(
    lying: Sequence[Lying], pitch: tuple[float, float], past: tuple[float, float], fine: int
) -> Floats:
    """Shifts that are worth a try for units that move as one, the shortest first.

    Args:
        lying: The units.
        pitch: Millimetres from page to page, across and up.
        past: What pages show beyond their cells.
        fine: From 0 for few shifts to 2 for many.

    Returns:
        Millimetres across and up, shape (n, 2).
    """
    most = (3, 6, 10)[fine]
    special = []
    for axis in (0, 1):
        spans = [(unit.box[axis], unit.box[axis + 2]) for unit in lying]
        outer = [(min(low for low, _ in spans), max(high for _, high in spans))]
        own = clear_of_joints({*outer, *spans[:8]}, pitch[axis], past[axis])[:most]
        special.append((*own, *off_rails(lying, axis, pitch[axis])[:most]))
    steps = [side * step for step in (_STEPS if fine == 2 else _STEPS[1::2]) for side in (-1, 1)]
    found = {(x, 0.0) for x in (*special[0], *steps)} | {(0.0, y) for y in (*special[1], *steps)}
    found |= {(x, y) for x in special[0] for y in special[1]}
    both = [side * step for step in (_BOTH if fine == 2 else _BOTH[1::2]) for side in (-1, 1)]
    found |= {(x, y) for x in both for y in both}
    if fine == 2:
        found |= {(x, y) for x in special[0] for y in both}
        found |= {(x, y) for x in both for y in special[1]}
    return np.array(sorted(found, key=lambda s: (s[0] ** 2 + s[1] ** 2, s)), dtype=float)


def small_turns(unit: Lying) -> list[Lying]:
    """The unit, turned by a few degrees each way on its place."""
    return [unit.turned(side * degrees) for degrees in _TURNS for side in (1, -1)]


def upright_turns(unit: Lying, turn: bool) -> list[Lying]:
    """The unit as it lies and, where it may turn, with its long side along the paper's sides."""
    if not turn:
        return [unit]
    rectangle = shapely.get_coordinates(shapely.minimum_rotated_rectangle(unit.body))
    run = rectangle[1] - rectangle[0]
    slant = round(math.degrees(math.atan2(run[1], run[0])) % 90, 6)
    wished = [0.0, 90.0, 180.0, 270.0]
    if 0.01 < slant < 89.99:
        wished += [quarter - slant for quarter in wished]
    return [unit.turned(degrees) if degrees else unit for degrees in wished]


def places_of(
    unit: Lying, cells: Iterable[Cell], pitch: tuple[float, float], past: tuple[float, float]
) -> Floats:
    """Shifts that lay a unit on one of the cells, all over it; none where it does not fit.

    Args:
        unit: As it lies.
        cells: The pages it may be laid on.
        pitch: Millimetres from page to page, across and up.
        past: What pages show beyond their cells.
    """
    levels = []
    for axis in (0, 1):
        size = unit.box[axis + 2] - unit.box[axis]
        free = pitch[axis] + 2 * (past[axis] - _HAIR) - size
        if free < 0:
            return np.zeros((0, 2))
        ends = -(past[axis] - _HAIR), -(past[axis] - _HAIR) + free
        inner = NEAR_JOINT + _HAIR, pitch[axis] - NEAR_JOINT - _HAIR - size
        steps = np.linspace(*ends, 1 + min(9, math.ceil(free / _APART)))
        levels.append(np.unique(np.round([*steps, *(level for level in inner if level > 0)], 3)))
    grid = np.stack(np.meshgrid(*levels, indexing="ij"), axis=-1).reshape(-1, 2)
    grid = grid - np.array(unit.box[:2])
    corners = [
        (c.column * pitch[0], (-1 - c.row) * pitch[1])
        for c in sorted(cells, key=lambda cell: (cell.row, cell.column))
    ]
    if not corners:
        return np.zeros((0, 2))
    shifts = (np.array(corners)[:, None, :] + grid[None, :, :]).reshape(-1, 2)
    return np.asarray(shifts[np.argsort(np.hypot(*shifts.T).round(3), kind="stable")])
