"""Which of the drawn lines is the outline of the piece."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tiler.intake.chains import Chains, Group, Ring
from tiler.intake.drawn import DrawnPath
from tiler.intake.ring import MEETS, closes, gap_of, ring_from
from tiler.intake.tomlwords import toml_string
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


def choose_outlines(
    paths: Sequence[DrawnPath], where: str, unseen: str = "", traced: Role | None = None
) -> Chosen:
    """Find the outline: the closed cut line, else the closed stitch line, else the only ring.

    Open lines of one role that touch end to end and close round count as one closed line.

    Args:
        paths: Lines of one piece, without corner marks.
        where: File and piece, for messages.
        unseen: What was left out of the drawing since nobody sees it, full sentences.
        traced: CUT or STITCH, what the outline is when the drawing does not say; None when
            nobody says, which is then told.

    Raises:
        DrawingError: No outline, an open one, several between which nothing decides, or one
            whose role is not plain since its name is nearly one.
    """
    findings: list[Finding] = []
    for role in (Role.CUT, Role.STITCH, None):
        paths = _chained(paths, role, where, findings)
        lines = [path for path in paths if path.role is role]
        rings = [path for path in lines if closes(path.path)]
        if rings:
            if role is None:
                _refuse_slips(rings, where)
            outlines = _one_a_style(rings, role, where)
            # Beside a larger line of its kind a ring is a hole or a button, and the larger line
            # is an outline that somebody forgot to close.
            size = max(_size(ring) for ring in outlines)
            opened = [line for line in lines if not line.style]
            _refuse_open([group for group in _groups(opened) if group.size > size], where)
            if role is None and traced is None:
                findings.append(_assumed(outlines[0], where))
            return _chosen(role or traced or Role.STITCH, outlines, paths, where, findings)
        if role is Role.CUT:
            # A stitch line must not stand in for a cut line that somebody forgot to close.
            _refuse_open(_groups([path for path in lines if not path.style]), where)
    unstyled = [path for path in paths if not path.style]
    _refuse_open([g for role in (Role.STITCH, None) for g in _groups(unstyled, role)], where)
    raise DrawingError(
        "there is no closed outline",
        where=where,
        remedy=f"{unseen} Draw one closed path. {_CLASS}.".lstrip(),
    )


def _chained(
    paths: Sequence[DrawnPath], role: Role | None, where: str, findings: list[Finding]
) -> Sequence[DrawnPath]:
    """The lines, with those of a role that close round together replaced by one closed line.

    Only where that is an outline: it is larger than any ring of its style, and no ring is shared
    by all styles.
    """
    sizes: dict[str, float] = {}
    opened: dict[str, list[DrawnPath]] = {"": []}
    for path in paths:
        if path.role is role and closes(path.path):
            sizes[path.style] = max(_size(path), sizes.get(path.style, 0.0))
        elif path.role is role:
            opened.setdefault(path.style, []).append(path)
    rings: list[Ring] = []
    for style, lines in opened.items():
        if style and "" in sizes:
            break
        found = [r for r in Chains(lines).rings() if _size(r.joined) > sizes.get(style, 0.0)]
        if found:
            sizes.setdefault(style, 0.0)
        rings += found
    findings += [_told_chain(ring.parts, where) for ring in rings]
    gone = {id(part) for ring in rings for part in ring.parts}
    return [*(path for path in paths if id(path) not in gone), *(ring.joined for ring in rings)]


def _told_chain(parts: Sequence[DrawnPath], where: str) -> Finding:
    return Finding(
        "outline-chained",
        Severity.NOTE,
        f"{where}, {parts[0].element}",
        f"The outline is drawn as {len(parts)} lines that touch end to end, and was joined: "
        f"{_named(parts)}.",
    )


def _refuse_slips(rings: Sequence[DrawnPath], where: str) -> None:
    """An outline whose name is nearly a role must not be taken for the other one by default."""
    for ring in rings:
        if ring.slip is not None:
            raise DrawingError(
                f'the outline has the class or layer name "{ring.slip.word}", which is not a role '
                f"but looks like {ring.slip.like}, so it is not sure whether it includes the "
                "allowance",
                where=f"{where}, {ring.element}",
                remedy="Rename it cut (the line to cut along, allowance included) or stitch (the "
                "seam itself), or give the line one of these classes.",
            )


def _groups(lines: Sequence[DrawnPath], *roles: Role | None) -> list[Group]:
    """Open lines, those together that touch; of some roles, or all."""
    wanted = [line for line in lines if not roles or line.role in roles]
    return Chains([line for line in wanted if not closes(line.path)]).groups()


def _chosen(
    role: Role,
    outlines: Sequence[DrawnPath],
    paths: Sequence[DrawnPath],
    where: str,
    findings: list[Finding],
) -> Chosen:
    findings += [_joined(path, where) for path in outlines if gap_of(path.path) > MEETS]
    return Chosen(
        role,
        tuple((p.style, ring_from(p.path, f"{where}, {p.element}")) for p in outlines),
        tuple(path for path in paths if not any(path is outline for outline in outlines)),
        tuple(findings),
    )


def _assumed(outline: DrawnPath, where: str) -> Finding:
    return Finding(
        "outline-role-assumed",
        Severity.NOTE,
        f"{where}, {outline.element}",
        "The drawing does not say what the outline is, so it is taken as the stitch line "
        f'(the line that fits). {_CLASS}, or write traced = "stitch" (or "cut") in pattern.toml.',
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
        names = ", ".join(toml_string(layer) for layer in layers[:6])
        advice = f"If each is a piece, give every [[piece]] its own layer, such as layer = {names}"
    else:
        advice = (
            "If each is a piece, put each into a layer of its own and name it in [[piece]] with "
            'layer = "front"'
        )
    other = "give the outline the class cut or stitch" if role is None else ""
    other = other or "give all but one the class inside, stitch or style:NAME"
    return f"{advice}. Otherwise {other}."


def _refuse_open(groups: Sequence[Group], where: str) -> None:
    if not groups:
        return
    group = max(groups, key=lambda each: each.length)
    if group.fork is not None:
        at = group.fork.at
        raise DrawingError(
            f"the outline is drawn in parts, and more than two of them meet at ({at.x:.2f}, "
            f"{at.y:.2f}) mm from the lower left of the drawing: {_named(group.fork.lines)}",
            where=where,
            remedy="Join the parts of the outline into one closed path, and give lines inside it "
            "the class inside.",
        )
    if len(group.lines) > 1 and len(group.loose) == 2:
        start, end = group.loose
        raise DrawingError(
            f"the outline is open: {len(group.lines)} lines touch end to end, but the first and "
            f"the last are {format_mm(start.to(end), 2)} apart, at ({start.x:.2f}, {start.y:.2f}) "
            f"and ({end.x:.2f}, {end.y:.2f}) mm from the lower left of the drawing",
            where=f"{where}, {_named(group.lines)}",
            remedy="Join all its parts into one closed path.",
        )
    paths = [line for each in groups for line in each.lines]
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
