"""The nodes of the web, each placed by the lines that it joins."""

from __future__ import annotations

import numpy as np

from tiler.intake.photo.ink.legs import Leg, Vector, meeting, straight_leg
from tiler.intake.photo.ink.light import Light
from tiler.intake.photo.ink.lines import Line
from tiler.intake.photo.ink.meetings import meeting_place, tip_of
from tiler.intake.photo.model import Flattened

#: Lines shorter than this tell little about where they would go on, millimetres.
_SHORT = 2.5
#: Two lines that cross at a small angle share ink for at most this long, millimetres.
_SHARED = 80.0
#: Their ink together is so much wider than either, where they share it.
_WIDER = 1.12
#: How far apart the two sides of such a crossing may say that it is: millimetres across, and as a
#: part of the length that they share along it.
_APART, _APART_ALONG = 0.6, 0.35


def crossings_joined(lines: list[Line], places: dict[int, Vector]) -> dict[int, float]:
    """Make one node of two between which the ink of two crossing lines runs together.

    Takes the shared stretch out of `lines`, and one of the two nodes out of `places`.

    Returns:
        For each node so made, how far from `places` it may turn out to be, millimetres.
    """
    found: dict[int, float] = {}
    for stem in list(lines):
        a, b = stem.start, stem.end
        if a is None or b is None or a == b or {a, b} & found.keys():
            continue
        left = [(line, begin) for line, begin in ends_at(lines, a) if line is not stem]
        right = [(line, begin) for line, begin in ends_at(lines, b) if line is not stem]
        if len(left) != 2 or len(right) != 2:
            continue
        length = float(np.hypot(*(places[a] - places[b])))
        width = float(np.median([line.course.width for line, _ in left + right]))
        if length > _SHARED or (length > 2 * width and stem.course.width < _WIDER * width):
            continue
        one = _crossing([line.leg(begin) for line, begin in left])
        two = _crossing([line.leg(begin) for line, begin in right])
        if one is None or two is None:
            continue
        along = (places[b] - places[a]) / max(length, 1e-9)
        apart = two - one
        across = abs(float(apart[0] * along[1] - apart[1] * along[0]))
        if across > _APART or abs(float(apart @ along)) > _APART_ALONG * length + 1.5:
            continue
        middle = (one + two) / 2
        if not -1.5 <= float((middle - places[a]) @ along) <= length + 1.5:
            continue
        lines.remove(stem)
        for line in lines:
            line.start = a if line.start == b else line.start
            line.end = a if line.end == b else line.end
        places[a] = middle
        del places[b]
        found[a] = 2 + length / 2
    return found


def _crossing(legs: list[Leg | None]) -> Vector | None:
    if legs[0] is None or legs[1] is None:
        return None
    met = meeting(legs[0], legs[1])
    return None if met is None else met[0]


def ends_at(lines: list[Line], node: int) -> list[tuple[Line, bool]]:
    """The lines at a node, and whether each begins there; one that returns stands twice."""
    return [(line, True) for line in lines if line.start == node] + [
        (line, False) for line in lines if line.end == node
    ]


def nodes_placed(
    lines: list[Line],
    places: dict[int, Vector],
    bounds: dict[int, float],
    light: Light,
    flattened: Flattened,
) -> None:
    """Move nodes from about where they are to where their lines meet or end.

    Args:
        lines: All lines.
        places: Where each node is, millimetres; changed.
        bounds: How far some may move; the others about a line's width.
        light: The paper's brightness.
        flattened: The picture.
    """
    tips: dict[int, tuple[Line, bool]] = {}
    for node, about in list(places.items()):
        own = ends_at(lines, node)
        if len(own) == 1:
            tips[node] = own[0]
            continue
        widest = max((line.course.width for line, _ in own), default=0.0)
        legs = [leg for leg in (line.leg(begin) for line, begin in own) if leg is not None]
        legs = [leg for leg in legs if -leg.back >= _SHORT]
        places[node] = meeting_place(about, legs, bounds.get(node, 1.5 * widest + 1.5))
    for node, (line, begins) in tips.items():
        leg = line.leg(begins)
        other = line.end if begins else line.start
        if other is not None and other not in tips and (leg is None or -leg.back < _SHORT):
            # Too short to be carried on by itself: straight on from where it meets the others.
            leg = straight_leg(places[other], _onwards(other, places[other], lines, places[node]))
        if leg is not None:
            places[node] = tip_of(line, leg, places[node], light, flattened)


def _onwards(node: int, place: Vector, lines: list[Line], towards: Vector) -> Vector:
    """Direction of a short line from a node: of a longer one across from it, if there is one."""
    ahead = towards - place
    ahead = ahead / max(float(np.hypot(ahead[0], ahead[1])), 1e-9)
    for line, begins in ends_at(lines, node):
        leg = line.leg(begins)
        if leg is None or -leg.back < _SHORT:
            continue
        across = leg.direction(leg.beside(place))
        if float(across @ ahead) > 0.85:
            return across
    return np.asarray(ahead, np.float64)
