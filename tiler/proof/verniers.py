"""The fine ticks at joints: whether what they tell of two pages is true.

Ticks of one page stand 1.0 mm apart and those of the other 0.9 mm, so that pages that are off by n
tenths of a millimetre have their n-th ticks in one line (P. Vernier, 1631). That holds when both
middle ticks, the longest, cross the joint in one point while the crosses lie on each other.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from tiler.pattern.affine import Point
from tiler.proof.crosses import Key
from tiler.proof.geometry import Floats, sizes
from tiler.proof.known import Known
from tiler.proof.neighbours import Neighbours
from tiler.proof.placing import Placed, marked_strokes
from tiler.proof.record import Record
from tiler.proof.verdict import Fault, millimetres

#: Ticks may be off by this much, mm; a tenth of what they tell.
_TRUE = 0.01
_STEPS = (0.9, 1.0)
#: How far a tick leans along the joint for each millimetre across it, by the kind of the ticks.
_LEANS = {1: 0.0, 2: 1.0}


def scales_on(page: list[Placed], name: str, known: Known) -> tuple[dict[Key, Floats], list[Fault]]:
    """The ticks of a page, control points (n, 4, 2) in page mm, by joint and kind."""
    found: dict[Key, Floats] = {}
    faults: list[Fault] = []
    for drawn in marked_strokes(page):
        key, layers = drawn.mark.scale, drawn.mark.layers
        if key is None:
            continue
        words = f"the ticks of joint {key[0]}, kind {key[1]}"
        if key in found:
            faults.append(Fault("ticks", name, f"{words} are there twice"))
        if not drawn.seen:
            faults.append(Fault("ticks", name, f"{words} do not show, or not all of them"))
        if not known.stays(layers):
            text = f"{words} hang in the layer {known.words(layers)!r}, and would go with it"
            faults.append(Fault("ticks", name, text))
        found[key] = drawn.strokes
    return found, faults


def vernier_faults(
    record: Record,
    neighbours: Neighbours,
    crosses: Sequence[dict[Key, Point] | None],
    scales: Sequence[dict[Key, Floats]],
) -> list[Fault]:
    """Ticks of which a page has only one half, and halves that do not agree with the crosses.

    Args:
        record: Says which pages there are.
        neighbours: Says which of them lie side by side.
        crosses: For each page, its crosses; None for a page that is missing.
        scales: For each page, its ticks.
    """
    beside = set(neighbours.pairs)
    where: dict[Key, list[int]] = {}
    for index, on_page in enumerate(scales):
        for key in on_page:
            where.setdefault(key, []).append(index)
    faults: list[Fault] = []
    for key, pages in sorted(where.items()):
        names = " and ".join(record.pages[page].name for page in pages[:6])
        words = f"the ticks of joint {key[0]}, kind {key[1]}"
        if len(pages) != 2 or (pages[0], pages[1]) not in beside:
            if None not in crosses:
                faults.append(Fault("ticks", names, f"{words} are not on two pages side by side"))
            continue
        halves = [_along(key, scales[page][key], crosses[page] or {}) for page in pages]
        if halves[0] is None or halves[1] is None:
            faults.append(Fault("ticks", names, f"{words} do not stand across a joint"))
            continue
        off = _off(halves[0], halves[1])
        if off > _TRUE:
            text = f"{words} are {millimetres(off)} off what the crosses say"
            faults.append(Fault("ticks", names, text, off))
    return faults


def _along(key: Key, ticks: Floats, crosses: dict[Key, Point]) -> Floats | None:
    """Where ticks cross the joint: mm from its first cross towards the second, the longest first.

    None when there is no joint line, or ticks do not lean as their kind should.
    """
    joint, kind = key
    one, other = crosses.get((joint, 1)), crosses.get((joint, 2))
    if one is None or other is None or kind not in _LEANS or len(ticks) < 3:
        return None
    line = np.array(other, dtype=float) - np.array(one, dtype=float)
    length = float(sizes(line))
    if length == 0:
        return None
    line = line / length
    across = np.array([-line[1], line[0]])
    start, run = ticks[:, 0] - np.array(one), ticks[:, 3] - ticks[:, 0]
    high, low = run @ across, start @ across
    thirds = ticks[:, 1:3] - (ticks[:, :1] + run[:, None] * np.array([[1 / 3], [2 / 3]]))
    if float(np.abs(high).min()) < 1.0 or float(sizes(thirds).max()) > _TRUE:
        return None
    lean = (run @ line) / high
    if float(np.ptp(lean)) > 1e-3 or abs(abs(float(lean[0])) - _LEANS[kind]) > 1e-3:
        return None
    at: Floats = start @ line - low * lean
    longest = int(np.argmax(sizes(run)))
    return np.concatenate([at[longest : longest + 1], np.delete(at, longest)])


def _off(one: Floats, other: Floats) -> float:
    """How far ticks are from where both scales should have them, zero on zero."""
    best = np.inf
    for steps in (_STEPS, _STEPS[::-1]):
        misses = [abs(float(one[0] - other[0]))]
        for at, step in zip((one, other), steps, strict=True):
            count = np.round((at - at[0]) / step)
            misses.append(float(np.abs(at - at[0] - count * step).max()))
            # Every number once, as many on either side.
            reach = len(at) // 2
            if sorted(count.tolist()) != list(range(-reach, reach + 1)):
                misses.append(step)
        best = min(best, max(misses))
    return float(best)
