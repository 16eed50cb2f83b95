"""The seams as they are declared: none twice, nothing left over."""

from __future__ import annotations

from collections.abc import Iterator

from tiler.drafting.checks.bench import Bench, edges_of
from tiler.drafting.checks.fault import Fault, Spot
from tiler.pattern.model import Lies, Piece, Seam, Severity
from tiler.pattern.wishes import EdgeName


def seams_twice(bench: Bench) -> Iterator[Fault]:
    """The same edges joined in two places of the pattern file."""
    seen: dict[frozenset[frozenset[EdgeName]], Seam] = {}
    for seam in bench.pattern.seams:
        key = frozenset({frozenset(seam.first), frozenset(seam.second)})
        earlier = seen.setdefault(key, seam)
        if earlier is seam:
            continue
        yield Fault(
            "seam-twice",
            Severity.WARNING,
            _named(seam),
            f"The seam is declared twice: {earlier.where or 'first'} and "
            f"{seam.where or 'again'}. Which ease is meant?",
            "Take one of the two away.",
            spots=_spots(bench, (*seam.first, *seam.second)),
        )


def edges_twice(bench: Bench) -> Iterator[Fault]:
    """Edges in several seams: three layers, or a slip of the letter."""
    found: dict[EdgeName, list[Seam]] = {}
    for seam in bench.pattern.seams:
        for name in dict.fromkeys((*seam.first, *seam.second)):
            found.setdefault(name, []).append(seam)
    for name, seams in found.items():
        keys = {frozenset({frozenset(s.first), frozenset(s.second)}) for s in seams}
        if len(keys) < 2:
            continue
        names = "; ".join(seam.name or _named(seam) for seam in seams)
        yield Fault(
            "edge-twice",
            Severity.NOTE,
            name.piece,
            f"Edge {name.letter} is in {len(seams)} seams: {names}.",
            "If that is not a facing or another layer, one of the letters is wrong.",
            detail=f"edge {name.letter}",
            numbers={"seams": float(len(seams))},
            spots=_spots(bench, (name,)),
        )


def edges_unsewn(bench: Bench) -> Iterator[Fault]:
    """Edges that are to be sewn but are in no seam; pieces that no seam names."""
    if not bench.pattern.seams:
        return
    named = {name for seam in bench.pattern.seams for name in (*seam.first, *seam.second)}
    alone: list[EdgeName] = []
    for piece in bench.pattern.pieces:
        letters = _sewn_letters(piece)
        left = [EdgeName(piece.name, x) for x in letters if EdgeName(piece.name, x) not in named]
        if len(left) == len(letters):
            alone += left
        elif left:
            shown = ", ".join(name.letter for name in left)
            edges = f"Edge {shown} is" if len(left) == 1 else f"Edges {shown} are"
            yield Fault(
                "edge-unsewn",
                Severity.NOTE,
                piece.name,
                f"{edges} sewn, but no seam says to what.",
                f'Declare it: [[seam]] join = ["{left[0]}", ...]; or say that it is not sewn: hem '
                f'or raw = "{left[0].letter}".',
                detail=f"edge {shown}" if len(left) == 1 else f"edges {shown}",
                numbers={"edges": float(len(left))},
                spots=_spots(bench, left),
            )
    if alone:
        pieces = list(dict.fromkeys(name.piece for name in alone))
        yield Fault(
            "piece-unsewn",
            Severity.NOTE,
            "the seams",
            f"No seam names {', '.join(pieces)}.",
            "What is sewn into a seam should be declared; a patch that is sewn on flat has none.",
            numbers={"pieces": float(len(pieces))},
            spots=_spots(bench, alone),
        )


def _sewn_letters(piece: Piece) -> list[str]:
    edges = (
        [edge for _, edge in edges_of(piece)]
        if piece.stitch
        else [edge for outline in piece.outlines for edge in outline.edges]
    )
    return list(dict.fromkeys(edge.letter for edge in edges if edge.lies is Lies.SEWN))


def _named(seam: Seam) -> str:
    edges = " + ".join(map(str, seam.first)) + " – " + " + ".join(map(str, seam.second))
    return f"{seam.name} ({edges})" if seam.name else edges


def _spots(bench: Bench, names: tuple[EdgeName, ...] | list[EdgeName]) -> tuple[Spot, ...]:
    spots = []
    for piece in bench.pattern.pieces:
        letters = {name.letter for name in names if name.piece == piece.name}
        paths = tuple(
            edge.path
            for edge in (piece.stitch or piece.outlines)[0].edges
            if edge.letter in letters
        )
        if paths:
            spots.append(Spot(piece.name, paths=paths))
    return tuple(spots)
