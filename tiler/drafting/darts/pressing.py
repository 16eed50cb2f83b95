"""Which way the drawn darts of a piece are pressed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from tiler.drafting.darts.dart import Dart
from tiler.drafting.darts.drawn import fisheye_of
from tiler.drafting.darts.folded import HalfMouth
from tiler.drafting.darts.mouth import Mouth, pressed_to
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Finding, Line, Outline, Piece, Role, Severity
from tiler.pattern.units import format_mm

#: Legs that differ by more (millimetres) are told of. Common practice, no source.
_UNEVEN = 1.0


def pressed_mouths(
    mouths: list[Mouth], halves: list[HalfMouth], ring: Outline, piece: Piece, where: str
) -> tuple[list[Mouth], list[Finding]]:
    """The drawn darts with the side that they are pressed to.

    Without `Wishes.press_darts` they stay as drawn.

    Args:
        mouths: Of the drawn darts that stand on the ring.
        halves: Drawn darts on its folds, which look the same pressed either way.
        ring: The stitch line.
        piece: With its wishes and lines.
        where: File and piece.

    Returns:
        The darts, and a warning for each line that cannot be pressed as asked.

    Raises:
        PatternError: None of the darts lies in an edge beside the one named, or none is drawn.
    """
    towards = piece.wishes.press_darts
    if not towards:
        return mouths, []
    known = {mouth.drawn for mouth in mouths} | {half.drawn for half in halves}
    findings = list(_not_darts(piece.lines, known, ring, where))
    if not known:
        raise PatternError(
            f'the drawn darts are to be pressed towards edge "{towards}", but no drawn dart '
            "stands on the stitch line",
            where=where,
            remedy="Draw each as an open line: leg, tip, leg, with both ends on one edge; or "
            "leave press_darts out.",
        )
    done: list[Mouth] = []
    refusal: PatternError | None = None
    for mouth in mouths:
        try:
            side = pressed_to(ring, mouth.letter, towards, where)
            done.append(replace(mouth, pressed=side))
        except PatternError as told:
            refusal = refusal or told
            done.append(mouth)
            findings.append(
                Finding(
                    "dart-not-pressed",
                    Severity.WARNING,
                    where,
                    f"The dart in edge {mouth.letter} with its tip at ({mouth.tip.x:.1f}, "
                    f"{mouth.tip.y:.1f}) mm stays as drawn: edge {towards}, towards which the "
                    "darts are pressed, is not beside its own.",
                )
            )
    if refusal and not halves and all(mouth.pressed is None for mouth in done):
        raise refusal
    return done, findings


def _not_darts(
    lines: tuple[Line, ...], known: set[int | None], ring: Outline, where: str
) -> Iterator[Finding]:
    for index, line in enumerate(lines):
        own = not ring.style or line.style in ("", ring.style)
        if line.role is not Role.DART or index in known or not own or fisheye_of(line):
            continue
        yield Finding(
            "dart-not-known",
            Severity.WARNING,
            where,
            f"The dart line from ({line.path.start.x:.1f}, {line.path.start.y:.1f}) mm stays as "
            "drawn: it is no open line of two straight legs that both end on one edge, within "
            "0.5 mm of its stitch line or of the traced cut line.",
        )


def uneven(dart: Dart, where: str) -> Iterator[Finding]:
    """Tell of a drawn dart whose legs differ and are not trued."""
    left, right = dart.legs
    if abs(left - right) > _UNEVEN:
        yield Finding(
            "dart-legs-differ",
            Severity.WARNING,
            where,
            f"The legs of the dart with its tip at ({dart.tip.x:.1f}, {dart.tip.y:.1f}) mm measure "
            f"{format_mm(left)} and {format_mm(right)}: one will have to be eased onto the other. "
            "Write press_darts with the letter of the edge towards which the darts are pressed, "
            "and they are trued and capped.",
        )
