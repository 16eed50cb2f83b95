"""Paths of several styles, drawn once wherever they run together."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Generic, TypeVar

from tiler.drafting.styles.coinciding import SLIVER, TOGETHER, Stretch, to_ends, together
from tiler.drafting.styles.places import Place, length_between, part, place_of, point_of
from tiler.intake.nearest import nearest
from tiler.intake.ring import with_end, with_start
from tiler.pattern.affine import Point
from tiler.pattern.path import Path
from tiler.pattern.segment import Straight

Kind = TypeVar("Kind")


@dataclass(eq=False)
class Arc(Generic[Kind]):
    """A path that is drawn once.

    Attributes:
        path: Open; what it was before it was parted when there are `parts`.
        kind: Only arcs of one kind may be shared.
        owners: Indexes of the styles that have it.
        parts: What it has been parted into, in order.
    """

    path: Path
    kind: Kind
    owners: set[int]
    parts: list[Arc[Kind]] = field(default_factory=list)

    def leaves(self) -> list[Arc[Kind]]:
        """The arcs that it consists of now."""
        return [leaf for part in self.parts for leaf in part.leaves()] if self.parts else [self]

    def parted(self, first: Place, last: Place) -> Arc[Kind]:
        """Cut the stretch between two places out of an arc without parts, as an arc of its own."""
        whole = float(len(self.path.segments))
        cuts = sorted({0.0, first, last, whole})
        if len(cuts) == 2:
            return self
        middle = self
        for low, high in itertools.pairwise(cuts):
            path = part(self.path, low, high)
            if path is None:
                continue
            arc = Arc(path, self.kind, set(self.owners))
            self.parts.append(arc)
            if low == first:
                middle = arc
        _mend(self)
        return middle


def _mend(arc: Arc[Kind]) -> None:
    """Make the parts of an arc meet in the very same points, rounding apart."""
    ends = [arc.path.start, *(p.path.end for p in arc.parts[:-1]), arc.path.end]
    for each, start, end in zip(arc.parts, ends, ends[1:], strict=False):
        each.path = _between(each.path, start, end)


class Sharing(Generic[Kind]):
    """Lays paths of one style after the other onto those that are there.

    A path takes over what is there wherever it runs within 0.04 mm of it; only the rest is new.
    """

    def __init__(self) -> None:
        self._roots: list[Arc[Kind]] = []

    def lay(
        self, owner: int, paths: Sequence[tuple[Path, Kind]], *, closed: bool
    ) -> list[list[Arc[Kind]]]:
        """Lay paths of a style that follow one another.

        Args:
            owner: Index of the style.
            paths: Open paths, each from the end of the one before.
            closed: Whether the first follows the last.

        Returns:
            For each path the arcs that it consists of, in order. They follow one another exactly
            and may be parted later (`Arc.leaves`).
        """
        rows = []
        for path, kind in paths:
            there = [leaf for root in self._roots for leaf in root.leaves()]
            found = [
                (stretch, leaf)
                for leaf in there
                if leaf.kind == kind and owner not in leaf.owners
                for stretch in together(path, leaf.path)
            ]
            rows.append(self._row(owner, path, kind, _in_turn(path, found)))
        self._meet(owner, rows, closed)
        for row in rows:
            row[:] = [self._there(owner, arc) for arc in row]
        self._roots += [arc for row in rows for arc in row if arc.owners == {owner}]
        return rows

    def _there(self, owner: int, arc: Arc[Kind]) -> Arc[Kind]:
        """What is there already from end to end of a new arc whose ends were moved; or itself."""
        if arc.owners != {owner}:
            return arc
        for root in self._roots:
            for leaf in root.leaves():
                same = leaf.kind == arc.kind and owner not in leaf.owners
                if same and (leaf.path.start, leaf.path.end) == (arc.path.start, arc.path.end):
                    whole = Stretch(0.0, len(arc.path.segments), 0.0, len(leaf.path.segments))
                    if together(arc.path, leaf.path) == [whole]:
                        leaf.owners.add(owner)
                        return leaf
        return arc

    def _meet(self, owner: int, rows: Sequence[list[Arc[Kind]]], closed: bool) -> None:
        """Make arcs follow one another exactly; what is new gives way first.

        Where two that were there before do not quite meet, the node is moved in all of them;
        where they are more than 0.04 mm apart, a straight line is put between them.
        """
        arcs = [(row, arc) for row in rows for arc in row]
        for number, (row, arc) in enumerate(arcs):
            if number + 1 == len(arcs) and not closed:
                break
            after = arcs[(number + 1) % len(arcs)][1]
            end, start = arc.path.end, after.path.start
            if end == start:
                continue
            if arc.owners == {owner}:
                arc.path = _between(arc.path, arc.path.start, start)
            elif after.owners == {owner}:
                after.path = _between(after.path, end, after.path.end)
            elif end.to(start) <= TOGETHER:
                self._move(end, start)
            else:
                gap = Arc(Path((Straight(end, start),)), arc.kind, {owner})
                row.insert(next(n for n, each in enumerate(row) if each is arc) + 1, gap)

    def _move(self, node: Point, to: Point) -> None:
        for root in self._roots:
            for leaf in root.leaves():
                start = to if leaf.path.start == node else leaf.path.start
                end = to if leaf.path.end == node else leaf.path.end
                leaf.path = _between(leaf.path, start, end)

    def _row(
        self,
        owner: int,
        path: Path,
        kind: Kind,
        found: Sequence[tuple[Stretch, Arc[Kind]]],
    ) -> list[Arc[Kind]]:
        row: list[Arc[Kind]] = []
        at = 0.0
        for stretch, arc in found:
            if stretch.start > at and (own := part(path, at, stretch.start)) is not None:
                row.append(Arc(own, kind, {owner}))
            shared = _leaf_at(arc, stretch)
            shared.owners.add(owner)
            row.append(shared)
            at = stretch.end
        whole = float(len(path.segments))
        if at < whole and (own := part(path, at, whole)) is not None:
            row.append(Arc(own, kind, {owner}))
        return row


def leaves_of(row: Sequence[Arc[Kind]]) -> list[Arc[Kind]]:
    """The arcs that a row consists of by now."""
    return [leaf for arc in row for leaf in arc.leaves()]


def _leaf_at(arc: Arc[Kind], stretch: Stretch) -> Arc[Kind]:
    """The stretch of an arc that may have been parted since the stretch was found."""
    if not arc.parts:
        return arc.parted(stretch.first, stretch.last)
    first, last = point_of(arc.path, stretch.first), point_of(arc.path, stretch.last)
    leaf = min(
        arc.leaves(),
        key=lambda each: nearest(each.path, first).distance + nearest(each.path, last).distance,
    )
    return leaf.parted(*to_ends(leaf.path, place_of(leaf.path, first), place_of(leaf.path, last)))


def _in_turn(
    path: Path, found: Sequence[tuple[Stretch, Arc[Kind]]]
) -> list[tuple[Stretch, Arc[Kind]]]:
    """Stretches in the order of the path, none over another."""
    row: list[tuple[Stretch, Arc[Kind]]] = []
    for stretch, arc in sorted(found, key=lambda each: (each[0].start, -each[0].end)):
        if row and stretch.start < row[-1][0].end:
            before = row[-1][0]
            if length_between(path, stretch.start, min(before.end, stretch.end)) > SLIVER:
                continue
            stretch = Stretch(before.end, stretch.end, stretch.first, stretch.last)
            if stretch.end <= stretch.start:
                continue
        elif length_between(path, row[-1][0].end if row else 0.0, stretch.start) < SLIVER:
            start = row[-1][0].end if row else 0.0
            stretch = Stretch(start, stretch.end, stretch.first, stretch.last)
        row.append((stretch, arc))
    return row


def _between(path: Path, start: Point, end: Point) -> Path:
    segments = list(path.segments)
    if segments[0].start != start:
        segments[0] = with_start(segments[0], start)
    if segments[-1].end != end:
        segments[-1] = with_end(segments[-1], end)
    return Path(tuple(segments))
