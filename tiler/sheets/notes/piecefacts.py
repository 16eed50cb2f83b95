"""What the cutting notes tell of one piece."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tiler.drafting.pairs import partner_of
from tiler.pattern.model import Cut, Lies, Pattern, Piece, Role
from tiler.pattern.wishes import Paper
from tiler.sheets.allowances import SAME
from tiler.sheets.notes.meetings import Meeting, NotchFacts, notch_facts
from tiler.sheets.notes.quoting import Quoted


@dataclass(frozen=True)
class EdgeTold:
    """An edge: the maker's word for it, or its letter where there is none."""

    name: Quoted
    letter: str


@dataclass(frozen=True)
class MeetingTold:
    """As `Meeting`, ready to be told."""

    kind: str
    seam: Quoted
    piece: Quoted
    edge: EdgeTold
    number: int
    other: Quoted
    times: tuple[int, int]


@dataclass(frozen=True)
class NotchTold:
    """As `NotchFacts`, ready to be told."""

    edge: EdgeTold
    number: int
    count: int
    distance: float
    beside: EdgeTold
    places: bool
    meets: tuple[MeetingTold, ...]
    styles: tuple[Quoted, ...]


@dataclass(frozen=True)
class Allowances:
    """The seam allowances of a piece.

    Args:
        included: Whether the cut line is drawn; else the line is the seam itself.
        usual: The width on most edges, millimetres; None when nobody has said.
        others: Width and edges, where it is another one.
    """

    included: bool
    usual: float | None
    others: tuple[tuple[float, tuple[EdgeTold, ...]], ...]


@dataclass(frozen=True)
class PieceFacts:
    """One piece.

    Args:
        number: In the pattern's order, from 1.
        name: Its name.
        cuts: How many of which cloth, lying how; none where the maker has not said.
        cloths: The cloth of each of them, in the maker's words.
        folds: Its edges on the fold.
        grain: Whether a grainline is drawn.
        side: left or right of the wearer, for a lone asymmetric piece; else empty.
        opened: Whether a half piece is printed opened.
        partner: The piece that it is printed joined to.
        allowances: Its seam allowances.
        styles: The styles that have lines of their own on it.
        notes: The maker's words for it.
        notches: Its notches, edge by edge.
    """

    number: int
    name: Quoted
    cuts: tuple[Cut, ...]
    cloths: tuple[Quoted, ...]
    folds: tuple[EdgeTold, ...]
    grain: bool
    side: str
    opened: bool
    partner: Quoted
    allowances: Allowances
    styles: tuple[Quoted, ...]
    notes: tuple[Quoted, ...]
    notches: tuple[NotchTold, ...]


def piece_facts(pattern: Pattern) -> tuple[PieceFacts, ...]:
    """All pieces, in the pattern's order.

    Args:
        pattern: Drafted; half pieces are half.
    """
    notches = notch_facts(pattern)
    return tuple(
        _facts(piece, pattern, number, notches[piece.name])
        for number, piece in enumerate(pattern.pieces, start=1)
    )


def _facts(
    piece: Piece, pattern: Pattern, number: int, notches: Sequence[NotchFacts]
) -> PieceFacts:
    folds: dict[str, EdgeTold] = {}
    for outline in piece.outlines:
        for edge in outline.edges:
            if edge.lies is Lies.FOLD:
                folds.setdefault(edge.letter, _edge(edge.name, edge.letter))
    order = [name for name, _ in pattern.styles]
    styles = sorted(piece.styles, key=lambda name: order.index(name) if name in order else 99)
    return PieceFacts(
        number=number,
        name=Quoted(piece.name),
        cuts=piece.cuts,
        cloths=tuple(Quoted(cut.cloth) for cut in piece.cuts),
        folds=tuple(folds.values()),
        grain=piece.grain is not None,
        side=piece.side.value if piece.side else "",
        opened=piece.wishes.paper is Paper.WHOLE,
        partner=Quoted(partner_of(piece, pattern)),
        allowances=_allowances(piece),
        styles=tuple(map(Quoted, styles)),
        notes=tuple(map(Quoted, piece.notes)),
        notches=tuple(map(_notch, notches)),
    )


def _edge(name: str, letter: str) -> EdgeTold:
    return EdgeTold(Quoted(name), letter)


def _notch(notch: NotchFacts) -> NotchTold:
    return NotchTold(
        edge=_edge(notch.edge, notch.letter),
        number=notch.number,
        count=notch.count,
        distance=notch.distance,
        beside=_edge(notch.beside, notch.beside_letter),
        places=notch.places,
        meets=tuple(map(_meeting, notch.meets)),
        styles=tuple(map(Quoted, notch.styles)),
    )


def _meeting(met: Meeting) -> MeetingTold:
    return MeetingTold(
        kind=met.kind,
        seam=Quoted(met.seam),
        piece=Quoted(met.piece),
        edge=_edge(met.edge, met.letter),
        number=met.number,
        other=Quoted(met.other),
        times=met.times,
    )


def _allowances(piece: Piece) -> Allowances:
    """The width that goes for most edges, and the edges that have another one."""
    edges = {
        edge.letter: edge
        for outline in reversed(piece.outlines)
        for edge in outline.edges
        if edge.lies is not Lies.FOLD
    }
    widths = {letter: piece.allowance_of(edge) for letter, edge in edges.items()}
    known = [round(width, 1) for width in widths.values() if width is not None]
    usual = piece.allowance
    if usual is None and known and len(known) == len(edges):
        usual = max(known, key=lambda width: (known.count(width), width))
    others: dict[float, dict[str, EdgeTold]] = {}
    for letter in sorted(edges, key=lambda letter: (len(letter), letter)):
        width = widths[letter]
        if width is None or (usual is not None and abs(width - usual) < SAME):
            continue
        told = _edge(edges[letter].name, letter)
        others.setdefault(round(width, 1), {}).setdefault(str(told.name) or letter, told)
    return Allowances(
        piece.outlines[0].role is Role.CUT,
        usual,
        tuple((width, tuple(names.values())) for width, names in others.items()),
    )
