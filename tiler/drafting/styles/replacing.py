"""One style's line put in the place of edges of a ring."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from tiler.drafting.styles.landing import Atom, atoms_of, snapped, spot_on
from tiler.drafting.styles.lettering import (
    Named,
    base_letter,
    bends,
    in_order,
    split_at_corners,
)
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Outline
from tiler.pattern.path import Path


def replaced(outline: Outline, line: Path, letters: Collection[str]) -> Outline:
    """A ring along a style's own line instead of the edges that it replaces.

    What the line does not replace stays the very same; an edge on which the line ends part-way
    is trimmed there. The line is split at its corners. Where its first or last part only carries
    on an edge that used to end in a corner there (the side of a longer hem), or one that it leaves
    part-way without a corner (a fuller leg), that part belongs to this edge. The others take the
    letters of the replaced edges, one each where there are as many; else all take the first one's:
    B, B2, B3. With the letter comes all that is said of the edge.

    Args:
        outline: Clockwise.
        line: Open, both ends within 0.5 mm of the ring; it may run either way.
        letters: The edges that may be replaced, as traced. The line replaces those of them that
            lie between its ends, or on which it ends.

    Returns:
        The ring, edges clockwise, the lowest letter first.

    Raises:
        PatternError: None of the letters, or another edge too, lies between the ends.
    """
    ways = _ways(outline, line)
    fitting = [way for way in ways if way.fits(letters)]
    if not fitting:
        raise _no_way(ways, letters)
    return min(fitting, key=lambda way: way.length).taken(letters)


def both_ways(outline: Outline, line: Path, letters: Collection[str]) -> tuple[float, ...]:
    """Millimetres of outline that a line may replace, where it fits either way round.

    A line that starts in the middle of its own edge and ends at a corner of it, or on a fold, may
    stand for what lies on either side of it; `replaced` takes the shorter one.

    Args:
        outline: As for `replaced`, with line and letters.

    Returns:
        The shorter and the longer length; nothing where only one way fits.

    Raises:
        PatternError: The line does not end on the outline.
    """
    fitting = sorted(way.length for way in _ways(outline, line) if way.fits(letters))
    return tuple(fitting) if len(fitting) > 1 else ()


def _ways(outline: Outline, line: Path) -> list[_Way]:
    spots = spot_on(outline, line.start), spot_on(outline, line.end)
    if spots[0].point == spots[1].point:
        raise PatternError(
            "its line ends where it starts",
            remedy="Draw only what differs, open, from one place on the outline to another.",
        )
    atoms, first, last = atoms_of(outline, spots)
    line = snapped(line, atoms[first].path.start, atoms[last].path.start)
    return [
        _Way(outline, atoms, first, last, line),
        _Way(outline, atoms, last, first, line.reversed()),
    ]


@dataclass(frozen=True, slots=True)
class _Way:
    """A line in the place of some atoms of a ring.

    Args:
        outline: The ring.
        atoms: Its edges, cut where the line starts and ends.
        first: The first atom that is replaced.
        after: The atom after the last one that is.
        line: From the one's start to the other's.
    """

    outline: Outline
    atoms: list[Atom]
    first: int
    after: int
    line: Path

    @property
    def out(self) -> list[Atom]:
        """What is replaced, clockwise."""
        return self._from(self.first, self.after)

    @property
    def kept(self) -> list[Atom]:
        """What stays, clockwise."""
        return self._from(self.after, self.first)

    def _from(self, start: int, stop: int) -> list[Atom]:
        count = len(self.atoms)
        return [self.atoms[(start + step) % count] for step in range((stop - start) % count)]

    @property
    def length(self) -> float:
        """Millimetres that are replaced."""
        return sum(atom.path.length for atom in self.out)

    def letter(self, origin: int) -> str:
        """The letter that an edge has in the tracing."""
        return base_letter(self.outline.edges[origin].letter)

    @property
    def whole(self) -> list[int]:
        """Edges of which nothing stays."""
        stays = {atom.origin for atom in self.kept}
        return list(dict.fromkeys(a.origin for a in self.out if a.origin not in stays))

    def fits(self, letters: Collection[str]) -> bool:
        """Whether it replaces some of these letters and no others."""
        some = {self.letter(atom.origin) for atom in self.out}
        return {self.letter(origin) for origin in self.whole} <= set(letters) and bool(
            some & set(letters)
        )

    def taken(self, letters: Collection[str]) -> Outline:
        """The ring along the line."""
        parts = split_at_corners(self.line)
        kept = [Named(atom.origin, atom.path) for atom in self.kept]
        head, tail = self._carried_on(parts, letters)
        if head and tail and len(parts) == 1:
            joined = kept[-1].then(parts[0])
            if len(kept) > 1:
                joined = joined.then(kept[0].path)
            return in_order(self.outline, [*kept[1:-1], joined])
        own = parts[head : len(parts) - tail]
        if tail:
            kept[0] = Named(kept[0].origin, parts[-1]).then(kept[0].path)
        if head:
            kept[-1] = kept[-1].then(parts[0])
        slots = self._slots(letters)
        if len(slots) != len(own):
            slots = slots[:1] * len(own)
        named = [Named(origin, path) for origin, path in zip(slots, own, strict=True)]
        return in_order(self.outline, [*kept, *named])

    def _carried_on(self, parts: Sequence[Path], letters: Collection[str]) -> tuple[bool, bool]:
        """Whether the first part belongs to the edge before the line, the last to the one after."""
        before, after = self.kept[-1], self.kept[0]
        several = len(parts) > 1
        head = not bends(before.path.segments[-1], parts[0].segments[0]) and (
            several or self.letter(before.origin) in letters
            if not before.last
            else several and bends(before.path.segments[-1], self.out[0].path.segments[0])
        )
        tail = not bends(parts[-1].segments[-1], after.path.segments[0]) and (
            several or self.letter(after.origin) in letters
            if not after.first
            else several and bends(self.out[-1].path.segments[-1], after.path.segments[0])
        )
        if head and tail and len(parts) == 1:
            tail = before.origin == after.origin
        if head and tail and len(parts) == 2 and self.whole:
            # An edge that is replaced from end to end has to have a part of the line.
            tail = False
        return head, tail

    def _slots(self, letters: Collection[str]) -> list[int]:
        """The edges that the line's parts may be named after, in order."""
        wished = [a.origin for a in self.out if self.letter(a.origin) in letters]
        return self.whole or list(dict.fromkeys(wished))


def _no_way(ways: Sequence[_Way], letters: Collection[str]) -> PatternError:
    """What is wrong with a line that fits neither way round."""
    reached = [{way.letter(origin) for origin in way.whole} for way in ways]
    over = [found - set(letters) for found in reached if found & set(letters)]
    if over:
        least: set[str] = min(over, key=len)
        more = sorted(least)
        return PatternError(
            f"its line also goes past {_edges(more)}, which it is not said to replace",
            remedy="End the line on the outline beside the edge that differs, or name "
            f"{'it' if len(more) == 1 else 'them'} in styles too.",
        )
    return PatternError(
        f"{_edges(sorted(letters))} does not lie between the ends of its line"
        if len(letters) == 1
        else f"none of {_edges(sorted(letters))} lies between the ends of its line",
        remedy="Draw the line from one end of the edge that differs to the other, or name the "
        "edge that it replaces.",
    )


def _edges(letters: Sequence[str]) -> str:
    return f"edge {letters[0]}" if len(letters) == 1 else f"edges {', '.join(letters)}"
