"""Which areas make up an outline, as far as marker colours and smooth crossings say so."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from tiler.intake.photo.lines.crossings import passes
from tiler.intake.photo.lines.faces import Face, outline_loops, polygon_of, ring_points
from tiler.intake.photo.lines.net import Half, Net

#: Areas are tried in all combinations up to this many.
_MOST = 10
#: Of two ways to close a colour's lines, the larger area must be so much larger to be certain.
_PLAINLY = 1.6
#: A line of another colour counts from this length, millimetres.
_COUNTS = 10.0
#: Outlines that have more than this share of their joint area in common are styles of a piece.
_SAME_BODY = 0.5


@dataclass(frozen=True, eq=False)
class Body:
    """The areas of one piece.

    Args:
        styles: Style and its areas; one without a name where all share the outline.
        name: That the user gave it; empty for none.
    """

    styles: tuple[tuple[str, tuple[Face, ...]], ...]
    name: str = ""

    @property
    def faces(self) -> tuple[Face, ...]:
        """All of its areas."""
        found: dict[str, Face] = {}
        for _, faces in self.styles:
            found.update({face.letter: face for face in faces})
        return tuple(found.values())


def by_colour(net: Net, faces: Sequence[Face], words: Mapping[int, str]) -> list[Body] | None:
    """The styles that lines of different colours draw; None where colours do not decide.

    A style of a colour is what its lines go round, together with lines of others where they must
    be: all its lines are on the edge, and of the ways to close them the plainly largest is taken.
    """
    keys = {key for face in faces for key, _ in face.halves}
    inks: dict[int, set[int]] = {}
    for key in keys:
        arc = net.arcs[key]
        if arc.length >= _COUNTS and len(arc.bridged) * 8 < arc.length:
            inks.setdefault(arc.ink, set()).add(key)
    if len(inks) < 2 or len(faces) > _MOST:
        return None
    unions = list(_unions(net, faces))
    found: dict[int, tuple[frozenset[str], frozenset[int]]] = {}
    for ink, own in sorted(inks.items()):
        fit = sorted(
            ((area, letters, edge) for letters, edge, area in unions if own <= edge),
            key=lambda each: -each[0],
        )
        if not fit:
            continue
        if len(fit) > 1 and fit[0][0] < _PLAINLY * fit[1][0]:
            return None
        found[ink] = (fit[0][1], fit[0][2])
    by_letters: dict[frozenset[str], int] = {}
    for ink, (letters, edge) in found.items():
        # Of two colours with one outline, the one that draws less of it is not a style's.
        held = by_letters.get(letters)
        if held is None or _length(net, inks[ink] & edge) < _length(net, inks[held] & edge):
            by_letters[letters] = ink
    if len(by_letters) < 2:
        return None
    covered = frozenset(letter for letters in by_letters for letter in letters)
    if covered != {face.letter for face in faces} or any(
        not one & other for one, other in combinations(by_letters, 2)
    ):
        return None
    edges = frozenset(key for letters, edge, _ in unions if letters in by_letters for key in edge)
    if any(own - edges for own in inks.values()):
        # A line that is on no outline could be one for all that anybody knows.
        return None
    named = {face.letter: face for face in faces}
    return [
        Body(
            tuple(
                (words[ink], tuple(named[letter] for letter in sorted(letters)))
                for letters, ink in by_letters.items()
            )
        )
    ]


def _length(net: Net, keys: set[int] | frozenset[int]) -> float:
    return sum(net.arcs[key].length for key in keys)


def _unions(
    net: Net, faces: Sequence[Face]
) -> Iterator[tuple[frozenset[str], frozenset[int], float]]:
    """All unions of areas without holes: letters, arcs on the edge, square millimetres."""
    for count in range(1, len(faces) + 1):
        for some in combinations(faces, count):
            loops = outline_loops(net, some)
            if len(loops) != 1:
                continue
            edge = frozenset(key for key, _ in loops[0])
            yield frozenset(f.letter for f in some), edge, sum(f.area for f in some)


def by_crossing(net: Net, faces: Sequence[Face]) -> list[Body] | None:
    """The outlines that closed lines draw which cross one another smoothly; None for other lines.

    Those that share most of their area are styles of one piece, others are pieces.
    """
    part = net.only({key for face in faces for key, _ in face.halves})
    onward = _onward(part)
    if onward is None or all(len(halves) == 2 for halves in part.leaving.values()):
        return None
    rings: list[list[Half]] = []
    left = set(part.arcs)
    while left:
        half: Half = (min(left), True)
        ring = []
        while half[0] in left:
            left.discard(half[0])
            ring.append(half)
            half = onward[half]
        rings.append(ring)
    if len(rings) < 2:
        return None
    inside: list[tuple[Face, ...]] = []
    for ring in rings:
        area = polygon_of(ring_points(part, ring))
        held = tuple(face for face in faces if area.contains(face.polygon.representative_point()))
        loops = outline_loops(part, held)
        if len(loops) != 1 or {k for k, _ in loops[0]} != {k for k, _ in ring}:
            return None
        inside.append(held)
    inside.sort(key=lambda held: -sum(face.area for face in held))
    if all(_overlap(one, other) > _SAME_BODY for one, other in combinations(inside, 2)):
        names = ("one", "two", "three", "four", "five", "six")
        if len(inside) > len(names):
            return None
        return [Body(tuple(zip(names, inside, strict=False)))]
    return [Body((("", held),)) for held in inside]


def _overlap(one: Sequence[Face], other: Sequence[Face]) -> float:
    letters = {face.letter for face in other}
    both = sum(face.area for face in one if face.letter in letters)
    whole = sum(face.area for face in one) + sum(face.area for face in other) - both
    return both / whole


def crosses_itself(net: Net, faces: Sequence[Face]) -> bool:
    """Whether one closed line, smooth at its crossings, draws all of the areas."""
    part = net.only({key for face in faces for key, _ in face.halves})
    onward = _onward(part)
    if onward is None or all(len(halves) == 2 for halves in part.leaving.values()):
        return False
    half: Half = (min(part.arcs), True)
    seen: set[int] = set()
    while half[0] not in seen:
        seen.add(half[0])
        half = onward[half]
    return seen == set(part.arcs)


def _onward(net: Net) -> dict[Half, Half] | None:
    """Half -> the half that goes on from it, where all lines cross smoothly or end nowhere."""
    onward: dict[Half, Half] = {}
    for node, halves in net.leaving.items():
        if len(halves) == 2:
            pairs: tuple[tuple[Half, Half], ...] = ((halves[0], halves[1]),)
        else:
            crossing = passes(net, node)
            if crossing is None:
                return None
            pairs = crossing
        for one, other in pairs:
            onward[(one[0], not one[1])] = other
            onward[(other[0], not other[1])] = one
    return onward
