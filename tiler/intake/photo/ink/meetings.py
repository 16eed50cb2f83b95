"""Where centre lines meet, and where loose ends end."""

from __future__ import annotations

from itertools import combinations

import numpy as np

from tiler.intake.photo.ink.legs import Leg, Vector
from tiler.intake.photo.ink.light import Light
from tiler.intake.photo.ink.lines import Line
from tiler.intake.photo.model import Flattened

#: Two legs that turn by less than this at a node are one line that runs through it, degrees.
_STRAIGHT = 25.0
#: How far apart two such legs may pass one another, millimetres.
_ASIDE = 0.8
#: What a line that runs through counts against one that ends there.
_THROUGH = 12.0


def meeting_place(about: Vector, legs: list[Leg], bound: float) -> Vector:
    """Where lines meet: on those that run through, and as near as can be to the others.

    Args:
        about: About where.
        legs: The lines, each carried on towards the place.
        bound: How far from there it may be, millimetres; beyond, `about` stays.
    """
    if len(legs) < 2:
        return about
    place = about
    for _ in range(4):
        normal = np.eye(2) * 1e-4
        right = 1e-4 * place
        for at, ahead, weight in _tangents(place, legs):
            side = np.array([-ahead[1], ahead[0]])
            normal += weight * np.outer(side, side)
            right = right + weight * side * float(side @ at)
        place = np.asarray(np.linalg.solve(normal, right), np.float64)
        if float(np.hypot(*(place - about))) > bound:
            return about
    return place


def _tangents(place: Vector, legs: list[Leg]) -> list[tuple[Vector, Vector, float]]:
    """A point, a direction and a weight for each line at the node."""
    x = [leg.beside(place) for leg in legs]
    ahead = [leg.direction(v) for leg, v in zip(legs, x, strict=True)]
    at = [leg.at(v) for leg, v in zip(legs, x, strict=True)]
    found, used = [], set()
    order = sorted(
        combinations(range(len(legs)), 2), key=lambda pair: float(ahead[pair[0]] @ ahead[pair[1]])
    )
    for i, j in order:
        if i in used or j in used:
            continue
        through = run_through(place, legs[i], legs[j])
        if through is not None:
            used |= {i, j}
            found.append((through[0], through[1], _THROUGH))
    found += [(at[i], ahead[i], 1.0) for i in range(len(legs)) if i not in used]
    return found


def run_through(
    place: Vector, one: Leg | None, two: Leg | None
) -> tuple[Vector, Vector, float] | None:
    """Whether two legs are one line that runs through a node.

    Args:
        place: About where the node is.
        one: A leg towards it.
        two: Another.

    Returns:
        A point of the line, its direction, and how far the legs pass one another, millimetres;
        None when they are two lines.
    """
    if one is None or two is None:
        return None
    x, y = one.beside(place), two.beside(place)
    along = one.direction(x) - two.direction(y)
    # The length of the difference of unit vectors is twice the cosine of half the turn.
    length = float(np.hypot(along[0], along[1]))
    if length < 2 * np.cos(np.radians(_STRAIGHT / 2)):
        return None
    along = along / length
    here, there = one.at(x), two.at(y)
    aside = abs(float(along[0] * (here - there)[1] - along[1] * (here - there)[0]))
    if aside > _ASIDE:
        return None
    # Between the two, each counts as it is nearer.
    near, far = 1 / max(x, 0.3), 1 / max(y, 0.3)
    return (near * here + far * there) / (near + far), along, aside


def tip_of(line: Line, leg: Leg, about: Vector, light: Light, flattened: Flattened) -> Vector:
    """Where the nib stood at a loose end: half the line's width before its ink ends.

    Args:
        line: The line that ends.
        leg: It, carried on.
        about: About where its ink ends.
        light: The paper's brightness.
        flattened: The picture.
    """
    width = line.course.width
    start = leg.beside(about)
    x = np.arange(start - width, start + width + 4, 0.1)
    way = np.array([leg.at(v) for v in x])
    ahead = leg.direction(start)
    side = np.array([-ahead[1], ahead[0]])
    rays = np.linspace(-width / 10, width / 10, 3)
    places = way[:, None] + rays[None, :, None] * side
    px = flattened.to_pixels(places.reshape(-1, 2)).reshape(places.shape)
    profile = (light.darkness(flattened, px) @ line.course.mix).mean(axis=1)
    ink = np.flatnonzero((profile[:-1] >= 0.5) & (profile[1:] < 0.5))
    ink = ink[x[ink] > start - width / 4]
    if not len(ink):
        return about
    k = int(ink[0])
    over = (profile[k] - 0.5) / max(float(profile[k] - profile[k + 1]), 1e-6)
    end = float(x[k] + 0.1 * over - width / 2)
    return leg.at(max(end, leg.back / 2))
