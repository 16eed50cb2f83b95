"""The signs that sheets really have: lines and marks of the pieces, and the page's own marks.

What a piece has comes from what is drawn of it (runs, lines, marks, folds), and what a page has
from the same facts that draw it: whether pages are joined, and how.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from itertools import combinations

from tiler.drafting.walking.sewn import PAIR
from tiler.pattern.model import Lies, Mark, Pattern, Piece, Role
from tiler.sheets.bracket import DEPTHS
from tiler.sheets.drawing import Drawing
from tiler.sheets.stylekeys import cut_keys
from tiler.sheets.ways import Way


class Kind(StrEnum):
    """A sign; the value is what it is called in ``words.toml``.

    Those of the pieces come first, then those of the pages.
    """

    CUT = "cut"
    CUT_STYLE = "cut_style"
    STITCH = "stitch"
    STITCH_STYLE = "stitch_style"
    FOLD_EDGE = "fold_edge"
    FOLD_BRACKET = "fold_bracket"
    FOLD = "fold"
    GRAIN = "grain"
    SLIT = "slit"
    WEDGE = "wedge"
    DOUBLE = "double"
    DART = "dart"
    FISHEYE = "fisheye"
    DRILL = "drill"
    BUTTON = "button"
    BUTTONHOLE = "buttonhole"
    POCKET = "pocket"
    INSIDE = "inside"
    SQUARES = "squares"
    CODE = "code"
    MAP = "map"
    BAR = "bar"
    TAG = "tag"
    TRIM = "trim"
    EDGE = "edge"
    BAND = "band"
    CROSS = "cross"
    TICKS = "ticks"


@dataclass(frozen=True, slots=True)
class Sign:
    """A sign on the sheets.

    Args:
        kind: Which.
        style: The style key, for the cut line of a style.
        picture: What it looks like.
    """

    kind: Kind
    style: str = ""
    picture: Drawing | None = field(default=None, compare=False, repr=False)


#: A wedge has two legs, and a slit is one line.
_LEGS = 2
_ROLES = {
    Role.FOLD: Kind.FOLD,
    Role.DRILL: Kind.DRILL,
    Role.BUTTON: Kind.BUTTON,
    Role.BUTTONHOLE: Kind.BUTTONHOLE,
    Role.POCKET: Kind.POCKET,
    Role.INSIDE: Kind.INSIDE,
}


def signs_of(pattern: Pattern) -> tuple[Sign, ...]:
    """The signs on the pieces, in the order of `Kind`, each with its picture.

    Args:
        pattern: As its sheets show it (`tiler.drafting.paper.for_paper`), with no more pieces than
            are printed.
    """
    from tiler.sheets.notes.specimens import specimen

    kinds = set(_on_pieces(pattern.pieces))
    found = [Sign(kind) for kind in Kind if kind in kinds]
    place = next((i for i, sign in enumerate(found) if sign.kind is not Kind.CUT), len(found))
    found[place:place] = [Sign(Kind.CUT_STYLE, key) for key in cut_keys(pattern)]
    return tuple(
        Sign(sign.kind, sign.style, specimen(sign.kind, pattern, sign.style)) for sign in found
    )


def page_signs(pattern: Pattern, *, joined: bool, whole: bool, way: Way) -> tuple[Sign, ...]:
    """The signs of the pages themselves.

    Args:
        pattern: As for `signs_of`.
        joined: Whether pages are taped at all.
        whole: Whether pieces lie whole on large paper, which has no front pages.
        way: How pages are joined.
    """
    from tiler.sheets.notes.specimens import specimen

    kinds = [Kind.SQUARES, Kind.CODE]
    kinds += [] if whole else [Kind.MAP]
    kinds += [Kind.BAR]
    kinds += [] if whole else [Kind.TAG]
    if joined:
        kinds += [Kind.TRIM] if way.trims_over else []
        kinds += [] if way.trims_under else [Kind.EDGE]
        kinds += [Kind.BAND] if way.has_band else []
        kinds += [Kind.CROSS, Kind.TICKS]
    return tuple(Sign(kind, "", specimen(kind, pattern)) for kind in kinds)


def all_signs(groups: Sequence[tuple[Sign, ...]]) -> tuple[Sign, ...]:
    """Every sign of several files once, in the order of `Kind`."""
    found = dict.fromkeys(sign for group in groups for sign in group)
    order = list(Kind)
    return tuple(sorted(found, key=lambda sign: order.index(sign.kind)))


def _on_pieces(pieces: Sequence[Piece]) -> Iterator[Kind]:
    for piece in pieces:
        for run in piece.runs:
            if run.edge.lies is Lies.FOLD:
                yield Kind.FOLD_EDGE
                if run.edge.path.start.to(run.edge.path.end) >= 4 * DEPTHS[0]:
                    yield Kind.FOLD_BRACKET
            else:
                yield from _line(run.role, run.style)
        for line in piece.lines:
            if line.role is Role.DART:
                yield Kind.FISHEYE if line.path.closed else Kind.DART
            else:
                yield from _line(line.role, line.style)
        if piece.grain:
            yield Kind.GRAIN
        yield from _notches([mark for mark in piece.marks if mark.role is Role.NOTCH])
        for mark in piece.marks:
            if mark.role in _ROLES:
                yield _ROLES[mark.role]


def _line(role: Role, style: str) -> Iterator[Kind]:
    if role is Role.CUT:
        if not style:
            yield Kind.CUT
    elif role is Role.STITCH:
        yield Kind.STITCH_STYLE if style else Kind.STITCH
    elif role is Role.NOTCH:
        yield Kind.SLIT
    elif role in _ROLES:
        yield _ROLES[role]


def _notches(marks: Sequence[Mark]) -> Iterator[Kind]:
    for mark in marks:
        yield Kind.WEDGE if len(mark.path.segments) >= _LEGS else Kind.SLIT
    for one, other in combinations(marks, 2):
        if one.at.to(other.at) <= PAIR:
            yield Kind.DOUBLE
