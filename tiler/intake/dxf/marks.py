"""Notches and drill points of a DXF file."""

from __future__ import annotations

from collections.abc import Sequence

from tiler.intake.drawn import DrawnPath
from tiler.intake.dxf.drawn import Dot
from tiler.intake.marks import SNAP, drills_from, notch_from
from tiler.intake.nearest import Seeker
from tiler.pattern.affine import Point
from tiler.pattern.model import Finding, Mark, Role, Severity
from tiler.pattern.path import Path, circle
from tiler.pattern.segment import Straight, direction
from tiler.pattern.units import format_mm

#: Length (millimetres) of the stroke that stands for a notch given as a point; common practice,
#: no source.
NOTCH_STROKE = 5.0
#: Radius (millimetres) of the ring that stands for a drill hole given as a point.
DRILL_RADIUS = 1.5
#: What a drill hole may be instead, as extended data say.
_CENTRED = (Role.BUTTON, Role.BUTTONHOLE)


def notches_of(
    dots: Sequence[Dot],
    lines: Sequence[DrawnPath],
    ring: Path,
    styles: Sequence[str],
    where: str,
    findings: list[Finding],
) -> tuple[Mark, ...]:
    """Notches given as points (as ASTM D6673 does [from memory]) or drawn as lines.

    Args:
        dots: Points on the layers of notches.
        lines: Lines on these layers.
        ring: The boundary, closed and clockwise.
        styles: Names of the styles, in the order of their numbers from 1 on.
        where: File and piece.
        findings: Receives notches that are not on the boundary.
    """
    seeker = Seeker(ring)
    marks = []
    for dot in dots:
        mark, distance = _notch_at(dot, seeker, dot.said.style(styles))
        marks.append(mark)
        if distance > SNAP:
            findings.append(_off(mark.at, distance, f"{where}, {dot.element}"))
    for line in lines:
        mark, distance = notch_from(line, [seeker])
        marks.append(mark)
        if distance > SNAP:
            findings.append(_off(mark.at, distance, f"{where}, {line.element}"))
    return tuple(marks)


def drills_of(
    dots: Sequence[Dot], lines: Sequence[DrawnPath], styles: Sequence[str]
) -> tuple[Mark, ...]:
    """Drill holes given as points, or drawn as rings or crosses."""
    marks = [
        Mark(
            d.said.role if d.said.role in _CENTRED else Role.DRILL,
            d.at,
            d.said.drawn or circle(d.at, DRILL_RADIUS),
            d.said.style(styles),
        )
        for d in dots
    ]
    return (*marks, *drills_from(lines))


def _notch_at(dot: Dot, seeker: Seeker, style: str) -> tuple[Mark, float]:
    near = seeker.nearest(dot.at)
    at = near.point if near.distance <= SNAP else dot.at
    if dot.said.drawn:
        # A notch of a style may stand on a line of that style, which is not the boundary.
        return Mark(Role.NOTCH, dot.at, dot.said.drawn, style), 0.0 if style else near.distance
    dx, dy = direction(seeker.path.segments[near.segment], near.t)
    # The inside of a clockwise ring is on the right.
    end = Point(at.x + dy * NOTCH_STROKE, at.y - dx * NOTCH_STROKE)
    return Mark(Role.NOTCH, at, Path((Straight(at, end),)), style), near.distance


def _off(at: Point, distance: float, place: str) -> Finding:
    return Finding(
        "notch-off-outline",
        Severity.WARNING,
        place,
        f"The notch at ({at.x:.1f}, {at.y:.1f}) mm does not touch the boundary: it is "
        f"{format_mm(distance)} away. See where it belongs.",
    )
