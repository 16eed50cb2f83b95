"""Where the ends of a style's line stand on the outline that it changes."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from tiler.drafting.styles.places import Place, part, place_of, point_of
from tiler.intake.ring import with_end, with_start
from tiler.pattern.affine import Point
from tiler.pattern.model import Outline
from tiler.pattern.path import Path

#: An end at most this far (millimetres) from the outline, or from a corner, was meant to be there.
REACH = 0.5


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on a ring of edges.

    Args:
        edge: The edge's index.
        place: The place on its path, never its end: a corner is the start of the edge after it.
        point: Where that is.
        off: Millimetres from the point asked for.
    """

    edge: int
    place: Place
    point: Point
    off: float


@dataclass(frozen=True, slots=True)
class Atom:
    """An edge of a ring, or a part of it up to or from a place where it was cut.

    Args:
        origin: The edge's index in the ring.
        path: The part.
        first: Whether it starts where the edge starts.
        last: Whether it ends where the edge ends.
    """

    origin: int
    path: Path
    first: bool = True
    last: bool = True


def spot_on(outline: Outline, point: Point) -> Spot:
    """The place on an outline nearest to a point; a corner within 0.5 mm goes before all else."""
    edges = outline.edges
    corner = min(range(len(edges)), key=lambda index: edges[index].path.start.to(point))
    at = edges[corner].path.start
    if at.to(point) <= REACH:
        return Spot(corner, 0.0, at, at.to(point))
    spots = []
    for index, edge in enumerate(edges):
        place = place_of(edge.path, point)
        there = point_of(edge.path, place)
        spots.append(Spot(index, place, there, there.to(point)))
    return min(spots, key=lambda spot: spot.off)


def atoms_of(outline: Outline, spots: tuple[Spot, Spot]) -> tuple[list[Atom], int, int]:
    """The edges, cut at two places, and the indexes of the atoms that start there."""
    atoms: list[Atom] = []
    for index, edge in enumerate(outline.edges):
        whole = float(len(edge.path.segments))
        cuts = sorted({0.0, whole, *(spot.place for spot in spots if spot.edge == index)})
        for low, high in itertools.pairwise(cuts):
            path = edge.path if (low, high) == (0.0, whole) else part(edge.path, low, high)
            if path is not None:
                atoms.append(Atom(index, path, low == 0.0, high == whole))
    starts = [_starting(atoms, spot) for spot in spots]
    return atoms, starts[0], starts[1]


def _starting(atoms: list[Atom], spot: Spot) -> int:
    mine = [number for number, atom in enumerate(atoms) if atom.origin == spot.edge]
    return min(mine, key=lambda number: atoms[number].path.start.to(spot.point))


def snapped(path: Path, start: Point, end: Point) -> Path:
    """The path with its ends moved, the handles there carried along."""
    segments = list(path.segments)
    segments[0] = with_start(segments[0], start)
    segments[-1] = with_end(segments[-1], end)
    return Path(tuple(segments))
