"""Do lines meet the fold at a right angle, and is a fold left alone?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from tiler.drafting.checks.bench import Bench, edge_words, own_style
from tiler.drafting.checks.fault import Fault, Spot, both
from tiler.drafting.unfold.meetings import FoldMeeting, fold_angles
from tiler.pattern.affine import Point
from tiler.pattern.model import Lies, Outline, Piece, Role, Severity

#: Beyond so many degrees from square the opened line has a corner that shows on the body; beyond
#: `MEANT` it is a point that somebody has drawn on purpose, like a V neck. Our choice.
SPOILT = 5.0
MEANT = 20.0


def fold_corners(bench: Bench) -> Iterator[Fault]:
    """Stitch lines that do not leave the fold square open into a beak or a dip."""
    for piece in bench.pattern.pieces:
        # What is left when the allowance is sewn away is the stitch line.
        rings = piece.stitch or piece.outlines
        seen: list[tuple[str, tuple[float, float], float]] = []
        for meeting in fold_angles(replace(piece, outlines=rings, lines=(), shared=())):
            key = meeting.letter, (meeting.at.x, meeting.at.y), round(meeting.angle, 3)
            if not meeting.square and key not in seen and not _dart_at(piece, meeting.at):
                seen.append(key)
                yield _corner(piece, rings, meeting)


def _dart_at(piece: Piece, at: Point) -> bool:
    """Whether the fold ends there in the cap of a dart, half of which the piece shows."""
    # The leg runs between the seam and the tip on the fold; darts are longer than they are wide.
    return any(
        min(line.path.start.to(at), line.path.end.to(at)) < line.path.length / 2
        for line in piece.lines
        if line.role is Role.DART and len(line.path.segments) == 1
    )


def _corner(piece: Piece, rings: tuple[Outline, ...], meeting: FoldMeeting) -> Fault:
    off = abs(meeting.off)
    beak = meeting.off < 0
    severity = Severity.ERROR if off > SPOILT else Severity.WARNING
    if off > MEANT:
        severity = Severity.NOTE
    ring = next(ring for ring in rings if ring.style == meeting.style)
    edge = next(edge for edge in ring.edges if edge.letter == meeting.letter)
    fold = next(edge for edge in ring.edges if edge.letter == meeting.fold)
    text = (
        f"It meets the fold at {meeting.angle:.1f} degrees: opened, it "
        + ("stands out in a beak of " if beak else "falls in with a dip of ")
        + f"{both(abs(meeting.rise))} over 20 mm."
    )
    meant = off > MEANT
    return Fault(
        "fold-angle",
        severity,
        piece.name,
        text,
        "If the point is meant, as in a V neck, leave it; else redraw the line square to the fold."
        if meant
        else f"Turn the first 20 mm of the line by {off:.1f} degrees, so that it leaves the fold "
        "at 90.",
        detail=edge_words(edge),
style=own_style(piece, ring, edge),
        numbers={"angle_degrees": meeting.angle, "off_degrees": meeting.off,
                 "rise_mm": meeting.rise},
        spots=(Spot(piece.name, (meeting.at,), (edge.path,), meeting.style, (fold.path,)),),
    )  # fmt: skip


def joined_folds(bench: Bench) -> Iterator[Fault]:
    """Pieces that are to be printed joined at their folds, but have none."""
    for pair in bench.pattern.joined:
        for name in pair:
            piece = bench.piece(name)
            if any(edge.lies is Lies.FOLD for edge in piece.outlines[0].edges):
                continue
            yield Fault(
                "joined-no-fold",
                Severity.ERROR,
                piece.name,
                f"It is to be printed joined, {pair[0]} with {pair[1]}, but no edge of it is on "
                "the fold: the pattern cannot be published so.",
                'Say which edge it is, such as fold = "A", or take the pair out of joined.',
                spots=(Spot(piece.name, paths=(piece.outlines[0].path,)),),
            )


def sewn_folds(bench: Bench) -> Iterator[Fault]:
    """Edges on the fold that are in a seam, or that have an allowance."""
    for seam in bench.pattern.seams:
        for name in dict.fromkeys((*seam.first, *seam.second)):
            for piece in bench.pattern.pieces:
                edges = (piece.stitch or piece.outlines)[0].edges if piece.outlines else ()
                for edge in edges:
                    if (piece.name, edge.letter) != (name.piece, name.letter):
                        continue
                    if edge.lies is Lies.FOLD:
                        yield Fault(
                            "fold-sewn",
                            Severity.ERROR,
                            piece.name,
                            "The edge is on the fold, so there is nothing to sew, but it is "
                            f"declared in a seam ({seam.where or seam.name or 'seam'}).",
                            "Take it out of the seam, or off the fold and give it an allowance.",
                            detail=edge_words(edge),
                            spots=(Spot(piece.name, paths=(edge.path,)),),
                        )
    for piece in bench.pattern.pieces:
        for edge in piece.outlines[0].edges:
            if edge.lies is Lies.FOLD and edge.allowance:
                yield Fault(
                    "fold-allowance",
                    Severity.ERROR,
                    piece.name,
                    f"The edge is on the fold but has an allowance of {both(edge.allowance)}: "
                    f"opened, the piece comes out {both(2 * edge.allowance)} wider.",
                    "Give the fold no allowance.",
                    detail=edge_words(edge),
                    numbers={"allowance_mm": edge.allowance, "wider_mm": 2 * edge.allowance},
                    spots=(Spot(piece.name, paths=(edge.path,)),),
                )
