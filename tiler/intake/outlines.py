"""Which of the drawn lines is the outline of the piece."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tiler.intake.drawn import DrawnPath
from tiler.intake.ring import MEETS, closes, gap_of, ring_from
from tiler.pattern.errors import DrawingError
from tiler.pattern.model import Finding, Role, Severity
from tiler.pattern.path import Path
from tiler.pattern.units import format_mm

_CLASS = "Give it the class cut (allowance included) or stitch (the seam itself)"


@dataclass(frozen=True, slots=True)
class Chosen:
    """The outlines among the drawn lines.

    Args:
        role: CUT or STITCH.
        rings: Style (empty when shared) and closed clockwise ring of each outline.
        rest: All other lines.
        findings: What had to be assumed.
    """

    role: Role
    rings: tuple[tuple[str, Path], ...]
    rest: tuple[DrawnPath, ...]
    findings: tuple[Finding, ...]


def choose_outlines(paths: Sequence[DrawnPath], where: str) -> Chosen:
    """Find the outline: the closed cut line, else the closed stitch line, else the only ring.

    Args:
        paths: Lines of one piece, without corner marks.
        where: File and piece, for messages.

    Raises:
        DrawingError: No outline, an open one, or several between which nothing decides.
    """
    for role in (Role.CUT, Role.STITCH, None):
        lines = [path for path in paths if path.role is role]
        rings = [path for path in lines if closes(path.path)]
        if rings:
            outlines = _one_a_style(rings, role, where)
            # Beside a larger line of its kind a ring is a hole or a button, and the larger line
            # is an outline that somebody forgot to close.
            size = max(_size(ring) for ring in outlines)
            opened = [line for line in lines if not closes(line.path) and not line.style]
            _refuse_open([line for line in opened if _size(line) > size], where)
            return _chosen(role, outlines, paths, where)
        if role is Role.CUT:
            # A stitch line must not stand in for a cut line that somebody forgot to close.
            _refuse_open([path for path in lines if not path.style], where)
    _refuse_open([p for p in paths if p.role in (Role.STITCH, None) and not p.style], where)
    raise DrawingError(
        "there is no closed outline", where=where, remedy=f"Draw one closed path. {_CLASS}."
    )


def _chosen(
    role: Role | None, outlines: Sequence[DrawnPath], paths: Sequence[DrawnPath], where: str
) -> Chosen:
    findings = [_joined(path, where) for path in outlines if gap_of(path.path) > MEETS]
    if role is None:
        findings.append(
            Finding(
                "outline-role-assumed",
                Severity.NOTE,
                f"{where}, {outlines[0].element}",
                "The drawing does not say what the outline is, so it is taken as the stitch line "
                f"(the line that fits). {_CLASS}.",
            )
        )
    return Chosen(
        role or Role.STITCH,
        tuple((p.style, ring_from(p.path, f"{where}, {p.element}")) for p in outlines),
        tuple(path for path in paths if not any(path is outline for outline in outlines)),
        tuple(findings),
    )


def _one_a_style(rings: Sequence[DrawnPath], role: Role | None, where: str) -> list[DrawnPath]:
    by_style: dict[str, list[DrawnPath]] = {}
    for ring in rings:
        by_style.setdefault(ring.style, []).append(ring)
    for style, same in by_style.items():
        if len(same) > 1:
            what = f"closed {role} lines" if role else "closed lines without a class"
            what += f" of the style {style}" if style else ""
            raise DrawingError(
                f"there are {len(same)} {what}, and one outline is wanted: {_named(same)}",
                where=where,
                remedy=_which(same, role),
            )
    # Beside a shared outline, a style's ring is a line to cut along instead.
    return by_style.get("") or [same[0] for same in by_style.values()]


def _which(rings: Sequence[DrawnPath], role: Role | None) -> str:
    layers = [ring.layers[-1] if ring.layers else "" for ring in rings]
    if all(layers) and len(set(layers)) == len(layers):
        names = ", ".join(f'"{layer}"' for layer in layers[:6])
        advice = f"If each is a piece, give every [[piece]] its own layer, such as layer = {names}"
    else:
        advice = (
            "If each is a piece, put each into a layer of its own and name it in [[piece]] with "
            'layer = "front"'
        )
    other = "give the outline the class cut or stitch" if role is None else ""
    other = other or "give all but one the class inside, stitch or style:NAME"
    return f"{advice}. Otherwise {other}."


def _refuse_open(paths: Sequence[DrawnPath], where: str) -> None:
    if not paths:
        return
    path = max(paths, key=lambda each: each.path.length)
    start, end = path.path.start, path.path.end
    others = f" (the longest of {len(paths)} open lines)" if len(paths) > 1 else ""
    raise DrawingError(
        f"the outline is open{others}: its ends are {format_mm(gap_of(path.path), 2)} apart, at "
        f"({start.x:.2f}, {start.y:.2f}) and ({end.x:.2f}, {end.y:.2f}) mm from the lower left "
        "of the drawing",
        where=f"{where}, {path.element}",
        remedy="Join all its parts into one closed path.",
    )


def _size(drawn: DrawnPath) -> float:
    """Diagonal of the bounds, millimetres."""
    bounds = drawn.path.bounds
    return math.hypot(bounds.width, bounds.height)


def _joined(path: DrawnPath, where: str) -> Finding:
    start = path.path.start
    return Finding(
        "outline-joined",
        Severity.WARNING,
        f"{where}, {path.element}",
        f"The outline's ends were {format_mm(gap_of(path.path), 2)} apart at ({start.x:.2f}, "
        f"{start.y:.2f}) mm and were joined half way. Close the path in the drawing.",
    )


def _named(paths: Sequence[DrawnPath]) -> str:
    more = f" and {len(paths) - 6} more" if len(paths) > 6 else ""
    return ", ".join(path.element for path in paths[:6]) + more
