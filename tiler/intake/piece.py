"""A piece from what is drawn and what the maker says of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from tiler.intake.doubles import without_doubles
from tiler.intake.drawn import DrawnPath, DrawnSheet
from tiler.intake.edges import edges_of, reached
from tiler.intake.folds import SHARE, shares, with_folds
from tiler.intake.layers import lines_of
from tiler.intake.lettered import refuse_unasked, with_words
from tiler.intake.marks import drills_from, notch_from
from tiler.intake.nearest import Seeker, nearest
from tiler.intake.outlines import Chosen, choose_outlines
from tiler.intake.ring import refuse_not_finite
from tiler.intake.words.model import PieceWords
from tiler.pattern.bounds import bounds_of
from tiler.pattern.errors import DrawingError, PatternError
from tiler.pattern.model import Finding, Line, Mark, Outline, Piece, Role, Severity
from tiler.pattern.path import Path
from tiler.pattern.segment import Straight
from tiler.pattern.units import format_mm
from tiler.pattern.wishes import Wishes

#: Straighter than this (millimetres off the line between the ends) counts as straight.
STRAIGHT_WITHIN = 0.5
#: No garment, and no sheet that a printer makes, is larger (millimetres).
LARGEST = 20_000.0
#: More segments than a person draws or a tracing needs; the work grows with their square.
SEGMENT_LIMIT = 20_000
#: Codes of findings about lines that were left out since nobody sees them.
_UNSEEN = frozenset({"hidden", "unpainted", "background"})


def piece_from(sheet: DrawnSheet, words: PieceWords) -> tuple[Piece, tuple[Finding, ...]]:
    """Put a piece together.

    Args:
        sheet: The drawing.
        words: What the pattern file says of the piece.

    Returns:
        The piece, and what was noticed.

    Raises:
        DrawingError: The drawing has no outline, or one that cannot be taken for a piece.
        PatternError: The words speak of a layer or an edge that is not there, or say otherwise
            than the drawing.
    """
    where = f"{sheet.name}, piece {words.name}"
    paths = lines_of(sheet, words)
    _refuse_unreadable(paths, where)
    paths, doubles = without_doubles(paths, where)
    findings: list[Finding] = list(doubles)
    unseen = " ".join(f.text for f in sheet.findings if f.code in _UNSEEN)
    lines = [path for path in paths if not path.corner]
    chosen = choose_outlines(lines, where, unseen, words.traced)
    _refuse_other_role(chosen, words, where)
    outlines = _outlines(chosen, paths, where, findings)
    outlines, fold_lines = _with_fold_lines(outlines, chosen.rest, where, findings)
    outlines = with_words(outlines, words)
    refuse_unasked(outlines, words)
    rest = _as_outlines(chosen, words.wishes)
    grain = _grain(rest, where)
    _refuse_two_grains(grain, words, where)
    piece = Piece(
        name=words.name,
        outlines=outlines,
        lines=(*_lines(rest, where, findings), *fold_lines),
        marks=_marks(outlines, rest, where, findings),
        grain=grain,
        cuts=words.cuts,
        allowance=words.allowance,
        notes=words.notes,
        drawing=sheet.name,
        part=words.part,
        side=words.side,
        wishes=words.wishes,
    )
    return piece, (*chosen.findings, *findings)


def _refuse_other_role(chosen: Chosen, words: PieceWords, where: str) -> None:
    if words.traced in (None, chosen.role):
        return
    raise PatternError(
        f"the drawing says that the outline is a {chosen.role} line ({where}), and the pattern "
        f'file says traced = "{words.traced}"',
        where=words.traced_where,
        remedy="Change the one that is wrong: cut includes the allowance, stitch is the seam "
        "itself.",
    )


def _as_outlines(chosen: Chosen, wishes: Wishes) -> list[DrawnPath]:
    """The other lines; one of a style that has edges of its own is an outline of its kind."""
    own = {wish.style for wish in wishes.styles}
    return [
        replace(path, role=chosen.role) if path.role is None and path.style in own else path
        for path in chosen.rest
    ]


def _refuse_two_grains(grain: Path | None, words: PieceWords, where: str) -> None:
    if grain is not None and words.wishes.grain is not None:
        raise PatternError(
            f"a grainline is asked for, and one is drawn ({where})",
            where=words.wishes.grain.where,
            remedy="Take the key grain away, or the line out of the drawing.",
        )


def _refuse_unreadable(paths: Sequence[DrawnPath], where: str) -> None:
    for path in paths:
        refuse_not_finite(path.path, f"{where}, {path.element}")
    if not paths:
        return
    bounds = bounds_of([path.path.bounds for path in paths])
    if max(bounds.width, bounds.height) > LARGEST:
        raise DrawingError(
            f"what is drawn measures {bounds.width / 1000:.4g} by {bounds.height / 1000:.4g} m",
            where=where,
            remedy="Draw at true size: check width, height and viewBox of the drawing.",
        )
    count = sum(len(path.path.segments) for path in paths)
    if count > SEGMENT_LIMIT:
        raise DrawingError(
            f"the lines have {count} segments",
            where=where,
            remedy=f"Simplify the paths to at most {SEGMENT_LIMIT} segments in all.",
        )


def _outlines(
    chosen: Chosen, paths: Sequence[DrawnPath], where: str, findings: list[Finding]
) -> tuple[Outline, ...]:
    corners = [path for path in paths if path.corner]
    places = [corner.path.bounds.centre for corner in corners]
    near = reached([ring for _, ring in chosen.rings], places)
    for corner, is_near in zip(corners, near, strict=True):
        if not is_near:
            findings.append(
                Finding(
                    "corner-off-outline",
                    Severity.WARNING,
                    f"{where}, {corner.element}",
                    "The corner mark is more than 1 mm away from the outline and was left out. "
                    "Move it onto the outline.",
                )
            )
    return tuple(
        Outline(chosen.role, edges_of(ring, places), style) for style, ring in chosen.rings
    )


def _with_fold_lines(
    outlines: tuple[Outline, ...],
    rest: Sequence[DrawnPath],
    where: str,
    findings: list[Finding],
) -> tuple[tuple[Outline, ...], list[Line]]:
    """Outlines with edges on the fold where a fold line lies on them; the other fold lines."""
    lines: list[Line] = []
    for fold in (path for path in rest if path.role is Role.FOLD):
        most: tuple[float, str] = (0.0, "")
        made: list[Outline] = []
        for outline in outlines:
            found: Mapping[str, float] = {}
            if fold.style in ("", outline.style):
                found = shares(outline.path, outline.edges, fold.path)
            letters = [letter for letter, share in found.items() if share >= SHARE]
            made.append(replace(outline, edges=with_folds(outline.edges, letters)))
            most = max([most, *((share, letter) for letter, share in found.items())])
        outlines = tuple(made)
        if most[0] < SHARE:
            lines.append(Line(Role.FOLD, fold.path, fold.style))
        if 0.1 < most[0] < SHARE:
            findings.append(_half_on_edge(most[1], most[0], f"{where}, {fold.element}"))
    return outlines, lines


def _half_on_edge(letter: str, share: float, place: str) -> Finding:
    return Finding(
        "fold-covers-part",
        Severity.WARNING,
        place,
        f"The fold line lies on edge {letter} but covers only {share:.0%} of it, so it is "
        "taken as a fold line inside the piece. Draw it along the whole edge.",
    )


def _lines(rest: Sequence[DrawnPath], where: str, findings: list[Finding]) -> Iterator[Line]:
    kept = (Role.CUT, Role.STITCH, Role.DART, Role.POCKET, Role.INSIDE)
    unsaid = [path for path in rest if path.role is None]
    for path in rest:
        if path.role is None or path.role in kept:
            yield Line(path.role or Role.INSIDE, path.path, path.style)
    if unsaid:
        more = f" and {len(unsaid) - 3} more" if len(unsaid) > 3 else ""
        some = ", ".join(path.element for path in unsaid[:3]) + more
        findings.append(
            Finding(
                "role-not-said",
                Severity.WARNING,
                where,
                f"The drawing does not say what these lines are for: {some}. They are taken as "
                "lines inside the piece. Give each a class, such as stitch, notch or inside.",
            )
        )


def _marks(
    outlines: Sequence[Outline],
    rest: Sequence[DrawnPath],
    where: str,
    findings: list[Finding],
) -> tuple[Mark, ...]:
    marks: list[Mark] = []
    notches = [path for path in rest if path.role is Role.NOTCH]
    standing = {style: _standing(outlines, rest, style) for style in {n.style for n in notches}}
    for notch in notches:
        mark, distance = notch_from(notch, standing[notch.style])
        marks.append(mark)
        if distance > STRAIGHT_WITHIN:
            findings.append(
                Finding(
                    "notch-off-outline",
                    Severity.WARNING,
                    f"{where}, {notch.element}",
                    f"The notch at ({mark.at.x:.1f}, {mark.at.y:.1f}) mm does not touch the "
                    f"outline: it is {format_mm(distance)} away. Start it on the outline.",
                )
            )
    buttonholes = (
        Mark(path.role, path.path.bounds.centre, path.path, path.style)
        for path in rest
        if path.role is Role.BUTTONHOLE
    )
    centred = (
        mark
        for role in (Role.DRILL, Role.BUTTON)
        for mark in drills_from([path for path in rest if path.role is role], role)
    )
    return (*marks, *centred, *buttonholes)


def _standing(outlines: Sequence[Outline], rest: Sequence[DrawnPath], style: str) -> list[Seeker]:
    """The lines that a notch of a style may stand on."""
    roles = (Role.CUT, outlines[0].role)
    lines = [path.path for path in rest if path.role in roles and path.style == style != ""]
    lines += [outline.path for outline in outlines if style in ("", outline.style)]
    lines += [outline.path for outline in outlines if style and not outline.style]
    return [Seeker(path) for path in lines or [outline.path for outline in outlines]]


def _grain(rest: Sequence[DrawnPath], where: str) -> Path | None:
    grains = [path for path in rest if path.role is Role.GRAIN]
    if not grains:
        return None
    if len(grains) > 1:
        some = ", ".join(path.element for path in grains[:6])
        raise DrawingError(
            f"there are {len(grains)} grainlines: {some}",
            where=where,
            remedy="Keep one straight line, without arrowheads: they are added.",
        )
    drawn = grains[0]
    start, end = drawn.path.start, drawn.path.end
    if start.to(end) < 1.0:
        raise DrawingError(
            "the grainline has no length",
            where=f"{where}, {drawn.element}",
            remedy="Draw it from the lower to the upper end of the piece.",
        )
    grain = Path((Straight(start, end),))
    bulge = max(nearest(grain, point).distance for point in drawn.path.flattened())
    if bulge > STRAIGHT_WITHIN:
        raise DrawingError(
            f"the grainline is bent by {format_mm(bulge)}",
            where=f"{where}, {drawn.element}",
            remedy="Draw one straight line, without arrowheads: they are added.",
        )
    return grain
