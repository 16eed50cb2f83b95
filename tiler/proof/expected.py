"""What the pattern wants on the sheet, as arrays of Béziers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from tiler.pattern.errors import NotProvenError
from tiler.pattern.model import Pattern, Piece, Role
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic, Segment
from tiler.proof.geometry import (
    Floats,
    Ints,
    chord_counts,
    grown_window,
    mapped,
    points_at,
    spans,
    straight,
)
from tiler.proof.record import Record

#: Chords stand in for curves only where it is asked which page a curve enters.
CHORD_ERROR = 0.005
#: What is shorter than this in both directions cannot be seen and is not compared.
SHORTEST = 0.01
_MOST_CHORDS = 5_000_000

ROLE_WORDS = {
    Role.CUT: "cut line",
    Role.STITCH: "stitch line",
    Role.FOLD: "fold line",
    Role.GRAIN: "grainline",
    Role.NOTCH: "notch",
    Role.DART: "dart line",
    Role.DRILL: "drill point",
    Role.BUTTON: "button mark",
    Role.BUTTONHOLE: "buttonhole",
    Role.POCKET: "pocket line",
    Role.INSIDE: "inside line",
}


@dataclass(frozen=True, slots=True)
class Expected:
    """The pattern's segments where they should lie on the sheet.

    Args:
        curves: Control points (n, 4, 2), sheet mm.
        layer: For each, the index of its layer in `layers`.
        thing: For each, the index of its words in `things`.
        layers: (piece, style) of every layer that has something.
        things: What a segment belongs to, such as "the cut line of Front, edge B".
        chord_of: For each chord, the index of its segment, ascending.
        chord_from: For each chord, the parameter on its segment where it starts.
        chord_to: For each chord, the parameter where it ends.
        starts: Chord starts (m, 2), sheet mm.
        ends: Chord ends (m, 2), sheet mm.
    """

    curves: Floats
    layer: Ints
    thing: Ints
    layers: tuple[tuple[str, str], ...]
    things: tuple[str, ...]
    chord_of: Ints
    chord_from: Floats
    chord_to: Floats
    starts: Floats
    ends: Floats

    def words(self, index: int) -> str:
        """What a segment belongs to."""
        return self.things[int(self.thing[index])]

    def entering(self, window: Floats, among: Ints | None = None) -> Entering:
        """The parts of the pattern inside a window in sheet mm, among all or some chords."""
        index = _near(self.starts, self.ends, window) if among is None else among
        low, high = spans(self.starts[index], self.ends[index], window)
        inside = low < high
        return Entering(index[inside], low[inside], high[inside])


@dataclass(frozen=True, slots=True)
class Entering:
    """Chords inside a window: which, and from which to which parameter of the chord."""

    chord: Ints
    low: Floats
    high: Floats

    def segments(self, expected: Expected) -> tuple[Ints, Floats, Floats]:
        """The segments they belong to, each with the parameters of its first and last part."""
        if not len(self.chord):
            return np.empty(0, dtype=np.int64), np.empty(0), np.empty(0)
        first = expected.chord_from[self.chord]
        along = expected.chord_to[self.chord] - first
        segment, begin = np.unique(expected.chord_of[self.chord], return_index=True)
        low = np.minimum.reduceat(first + along * self.low, begin)
        high = np.maximum.reduceat(first + along * self.high, begin)
        return segment, low, high


def expect(pattern: Pattern, record: Record, where: str) -> Expected:
    """Lay the pattern out as the record says.

    Pieces without a placement are left out here; that is a fault of its own.

    Raises:
        NotProvenError: The pattern has more curves than can be compared.
    """
    pieces = {piece.name: piece for piece in pattern.pieces}
    parts: list[Floats] = []
    layer_ids: dict[tuple[str, str], int] = {}
    things: list[str] = []
    layer: list[int] = []
    thing: list[int] = []
    for placement in record.placements:
        piece = pieces.get(placement.piece)
        for words, style, path in _drawn(piece) if piece else ():
            curves = mapped(curves_of(path.segments), placement.matrix)
            curves = curves[np.ptp(curves, axis=1).max(axis=1) >= SHORTEST]
            if len(curves):
                at = layer_ids.setdefault((placement.piece, style), len(layer_ids))
                layer += [at] * len(curves)
                thing += [len(things)] * len(curves)
                things.append(words)
                parts.append(curves)
    curves = np.concatenate(parts) if parts else np.empty((0, 4, 2))
    counts = chord_counts(curves, CHORD_ERROR)
    total = int(counts.sum())
    if total > _MOST_CHORDS or not np.all(np.isfinite(curves)):
        raise NotProvenError(
            "the pattern has more or larger curves than can be compared",
            where=where,
            remedy="Take out what is not part of the pieces.",
        )
    chord_of = np.repeat(np.arange(len(curves)), counts)
    step = np.arange(total) - np.repeat(np.cumsum(counts) - counts, counts)
    chord_from, chord_to = step / counts[chord_of], (step + 1) / counts[chord_of]
    return Expected(
        curves=curves,
        layer=np.array(layer, dtype=np.int64),
        thing=np.array(thing, dtype=np.int64),
        layers=tuple(layer_ids),
        things=tuple(things),
        chord_of=chord_of,
        chord_from=chord_from,
        chord_to=chord_to,
        starts=points_at(curves[chord_of], chord_from),
        ends=points_at(curves[chord_of], chord_to),
    )


def curves_of(segments: Sequence[Segment]) -> Floats:
    """Segments as cubics (n, 4, 2); the handles of straight lines lie at their thirds."""
    curves = np.empty((len(segments), 4, 2))
    for index, segment in enumerate(segments):
        if isinstance(segment, Cubic):
            curves[index] = segment
        else:
            curves[index] = straight(
                np.array([segment.start], dtype=float), np.array([segment.end], dtype=float)
            )[0]
    return curves


def _drawn(piece: Piece) -> Iterator[tuple[str, str, Path]]:
    """Everything of a piece that must be on paper: words, style, path."""
    for run in piece.runs:
        words = f"the {ROLE_WORDS[run.role]} of {_of(piece, run.style)}, edge {run.edge.letter}"
        yield words, run.style, run.edge.path
    for number, line in enumerate(piece.lines, start=1):
        words = f"the {ROLE_WORDS[line.role]} of {_of(piece, line.style)} (line {number})"
        yield words, line.style, line.path
    for mark in piece.marks:
        words = (
            f"the {ROLE_WORDS[mark.role]} of {_of(piece, mark.style)} "
            f"at ({mark.at.x:.1f}, {mark.at.y:.1f})"
        )
        yield words, mark.style, mark.path
    if piece.grain is not None:
        yield f"the grainline of {piece.name}", "", piece.grain


def _of(piece: Piece, style: str) -> str:
    return f"{piece.name} ({style})" if style else piece.name


def _near(starts: Floats, ends: Floats, window: Floats) -> Ints:
    """Chords that no single side of the window keeps out: a quick first sieve."""
    near = np.ones(len(starts), dtype=bool)
    for a, b, level in grown_window(window, 1e-9):
        first = starts[:, 0] * a + starts[:, 1] * b
        last = ends[:, 0] * a + ends[:, 1] * b
        near &= np.minimum(first, last) <= level
    return np.flatnonzero(near)
