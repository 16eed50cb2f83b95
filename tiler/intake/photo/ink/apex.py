"""Sharp points: two lines whose ink runs together long before their middles meet."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.ink.skeleton import Branch, Net

#: Such a point's stem is at most this many widths long.
_LONGEST = 7.0
#: The two lines part at less than this, degrees.
_SHARP = 75.0
#: Pixels over which their directions are taken.
_CHORD = 24


def apexes_of(net: Net) -> dict[int, NDArray[np.float64]]:
    """Take the stems of sharp points out of a net.

    Returns:
        For each node that had one, where the stem ended: about the point where the two lines
        that are left meet.
    """
    found: dict[int, NDArray[np.float64]] = {}
    degrees = net.degrees()
    for node, degree in degrees.items():
        if degree != 3:
            continue
        own = net.at(node)
        if len({id(branch) for branch, _ in own}) < 3:
            continue
        stems = [
            (branch, begins)
            for branch, begins in own
            if degrees[_other(branch, begins)] == 1
            and branch.length < _LONGEST * net.width_at(node) / 2
        ]
        if len(stems) != 1:
            continue
        stem, begins = stems[0]
        ahead = _direction(stem, begins)
        others = [_direction(b, s) for b, s in own if b is not stem]
        between = np.degrees(np.arccos(np.clip(others[0] @ others[1], -1, 1)))
        middle = others[0] + others[1]
        middle /= max(float(np.hypot(middle[0], middle[1])), 1e-9)
        if between > _SHARP or float(-middle @ ahead) < np.cos(np.radians(20)):
            continue
        found[node] = (stem.points[-1] if begins else stem.points[0]).copy()
        net.branches.remove(stem)
        del net.nodes[_other(stem, begins)]
    return found


def _other(branch: Branch, begins: bool) -> int:
    node = branch.end if begins else branch.start
    return -1 if node is None else node


def _direction(branch: Branch, begins: bool) -> NDArray[np.float64]:
    """Unit vector away from the node."""
    way = branch.points if begins else branch.points[::-1]
    ahead = way[min(len(way) - 1, _CHORD)] - way[0]
    return np.asarray(ahead / max(float(np.hypot(ahead[0], ahead[1])), 1e-9))
